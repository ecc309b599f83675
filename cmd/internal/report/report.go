// Package report holds what the commands give to programs: one JSON object each, with its
// schema's name and version at the top. Numbers are unrounded where they are not integers;
// kids, roles and drills stand in the order of their files; lists are never null.
package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// The schemas, name and version.
const (
	LineupSchema  = "sevenyard.lineup/1"
	RebuildSchema = "sevenyard.rebuild/1"
	WhySchema     = "sevenyard.why/1"
	ProfileSchema = "sevenyard.profile/1"
	CheckSchema   = "sevenyard.check/1"
)

// Write puts the object out, indented, with a line end; "&" and "<" stay as they are. Characters that nobody sees are
// escaped, which means the same to a program.
func Write(w io.Writer, object any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(object); err != nil {
		return err
	}
	lines := strings.Split(b.String(), "\n")
	for i, line := range lines {
		lines[i] = drills.MapHidden(line, escape)
	}
	_, err := io.WriteString(w, strings.Join(lines, "\n"))
	return err
}

// escape writes a character as JSON can, by its UTF-16 code units. Outside ASCII there is none but in strings.
func escape(r rune, _ string) string {
	out := ""
	for _, unit := range utf16.Encode([]rune{r}) {
		out += fmt.Sprintf(`\u%04x`, unit)
	}
	return out
}

// Lineup is the plan of a game. Strengths, fits and errors are T points; series count from 1. Weakest and Total are of
// the series still to play. With Limited the search ended before the proof: where it was the time
// that ran out, another run may give another plan.
type Lineup struct {
	Schema string `json:"schema"` // name and version of this object's schema
	Team   string `json:"team"`   // the team's name
	Seed   uint64 `json:"seed"`   // where the search began; the same files, options and seed give the same plan
	Favor  string `json:"favor"`  // which objective comes first: weakest, total or even
	Played int    `json:"played"` // number of series that are over, the first ones
	// the search ended before the proof; where it was the time that ran out, another run may give another plan
	Limited   bool           `json:"limited"`
	Kids      []LineupKid    `json:"kids"`                // the kids of the game, in the order of roster.csv
	Series    []LineupSeries `json:"series"`              // the series of the game, in their order
	Hurt      []string       `json:"hurt,omitempty"`      // ids of kids hurt on the day of this game: on hold for the rest of it
	Cleared   []string       `json:"cleared,omitempty"`   // ids of kids hurt by an earlier plan of this game, and cleared by a person since
	Weakest   Weakest        `json:"weakest"`             // strength of the weakest series still to play, T points
	Total     Bounded        `json:"total"`               // sum of the strengths of the series still to play, T points
	Levels    int            `json:"levels,omitempty"`    // favor even only: number of series, from the weakest up, that are proven as strong as can be
	Season    *LineupSeason  `json:"season,omitempty"`    // what earlier games have to say; left out where none count
	Rules     Rules          `json:"rules"`               // the rules in force, after loosening
	Loosened  []string       `json:"loosened"`            // rules given up, in words
	Loosening []Loosening    `json:"loosening,omitempty"` // the same for a program, so that a rebuild can keep it
	Broken    []string       `json:"broken,omitempty"`    // of a saved plan that is shown again, rules that it does not keep, in words
	Heat      *Heat          `json:"heat"`                // what the heat asks for; null: no reading was given
	Breaks    []Break        `json:"breaks"`              // water breaks still to come
	Warnings  []string       `json:"warnings"`            // sentences for a person: what looks odd and counts all the same
	Cautions  []string       `json:"cautions"`            // sentences for a person about the kids' safety
	// CRC-32 of the object without its sum, warnings and cautions, by which a change in the file is noticed: eight hexadecimal digits; left out:
	// saved before there were sums
	Sum string `json:"sum,omitempty"`
}

// Loosening is a rule given up or widened. Rule is its name in team.toml, or equal_series; Kids are those it speaks of, none: everybody.
type Loosening struct {
	Rule string   `json:"rule"` // its name in team.toml, or equal_series
	Kids []string `json:"kids"` // ids of the kids it speaks of; none: everybody
	From int      `json:"from"` // the number asked for, in the rule's own unit (series, roles or kids); 0 where there is none
	To   int      `json:"to"`   // the number in force, in the same unit; equal_series: how many series shares may be from the fair ones; -1: given up
	Kept bool     `json:"kept"` // as in the plan that was changed
}

// LineupKid is one kid of the game: first and last series available, series on the field, and the
// fair share of series, which need not be whole.
type LineupKid struct {
	Kid       string `json:"kid"`       // the kid's id
	Available [2]int `json:"available"` // the first and the last series, counted from 1, for which it is there
	// first and last series, counted from 1, of stretches in between for which it is not there; left out where there is none
	Away [][2]int `json:"away,omitempty"`
	// the series, counted from 1, for which it last came back, having left, also if it missed none; left out where it did not
	Back       int            `json:"back,omitempty"`
	Series     int            `json:"series"`         // number of series on the field
	Share      float64        `json:"share"`          // its fair share of the turns, in series; it need not be whole
	Owed       *float64       `json:"owed,omitempty"` // owed from earlier games, in series, above 0 where it has had too few; left out where none count
	Roles      map[string]int `json:"roles"`          // number of series by role played
	LongestOn  int            `json:"longestOn"`      // most series in a row on the field
	LongestOff int            `json:"longestOff"`     // most series in a row on the bench while there
}

// There tells whether the kid is there in a series.
func (k LineupKid) There(series int) bool {
	for _, w := range k.Away {
		if w[0] <= series && series <= w[1] {
			return false
		}
	}
	return k.Available[0] <= series && series <= k.Available[1]
}

// Throughout tells whether the kid is there for all of a game with so many series.
func (k LineupKid) Throughout(series int) bool {
	return len(k.Away) == 0 && k.Available == [2]int{1, series}
}

// Stretches are the series in a row for which the kid is there, first and last of each.
func (k LineupKid) Stretches() [][2]int {
	out, from := [][2]int{}, k.Available[0]
	for _, w := range k.Away {
		out, from = append(out, [2]int{from, w[0] - 1}), w[1]+1
	}
	return append(out, [2]int{from, k.Available[1]})
}

// LineupSeries is one series; slots stand in the order of the formation's spots.
type LineupSeries struct {
	Number    int    `json:"number"`    // its number, counted from 1
	Formation string `json:"formation"` // the formation's name
	// mean fit of those on the field, weighted by importance: the sum of the slots' values over ten times their number, T points
	Strength float64  `json:"strength"`
	Slots    []Placed `json:"slots"` // who is where, in the order of the formation's spots
	Bench    []string `json:"bench"` // ids of kids who are there and not on the field
}

// Placed is a kid in a role, with how well it fits. Importance is the slot's, scaled so that the slots of its series sum
// to their number; Value = round(10 * importance * fit), half away from zero. The
// strength of a series is the sum of its values / (10 * slots).
type Placed struct {
	games.Slot
	Fit        float64 `json:"fit"`        // the kid's fit for the role, T points
	SE         float64 `json:"se"`         // standard error of the fit, T points
	Own        bool    `json:"own"`        // the fit is the coach's own, of fits.csv
	Tested     bool    `json:"tested"`     // false: no measurement is behind the fit
	Importance float64 `json:"importance"` // what the role is worth, scaled so that the slots of a series sum to their number (no unit)
	Value      int     `json:"value"`      // 10 x importance x fit, rounded half away from zero: tenths of a T point
}

// Bounded is a value that no plan under the rules can lift above Bound; Proven: no plan does
// better, given the objectives that come before it.
type Bounded struct {
	Value  float64 `json:"value"`  // the value of this plan, T points
	Bound  float64 `json:"bound"`  // no plan under the rules has more, given the objectives that come before it, T points
	Proven bool    `json:"proven"` // no plan under the rules does better, given the objectives that come before it
}

// Weakest is the weakest series' strength, and which one it is.
type Weakest struct {
	Bounded
	Series int `json:"series"` // which series it is, counted from 1
}

// Rules are the rules in force, after loosening. What is left out was not asked for.
type Rules struct {
	MaxOn    int `json:"maxOn"`              // most series in a row on the field; 0: no limit
	MaxOff   int `json:"maxOff"`             // most series in a row on the bench; 0: no limit
	MinRoles int `json:"minRoles,omitempty"` // fewest roles that a kid plays in the game (number of roles); left out: not asked for
	// until a kid has played this number of roles in the season, each game brings it a new one; left out: not asked for
	SeasonRoles int     `json:"seasonRoles,omitempty"`
	MaxSameRole int     `json:"maxSameRole,omitempty"` // most series that a kid plays in one role; left out: no limit
	MinShare    float64 `json:"minShare,omitempty"`    // least part of a kid's series on the field, 0 to 1; left out: not asked for
}

// Profile is the assessment of a team.
type Profile struct {
	Schema  string                        `json:"schema"`  // name and version of this object's schema
	Team    string                        `json:"team"`    // the team's name
	Drills  []Drill                       `json:"drills"`  // the drills that were done, in the catalogue's order
	Kids    []ProfileKid                  `json:"kids"`    // the kids, in the order of roster.csv
	Weights map[string]map[string]float64 `json:"weights"` // by role and trait, parts of 1: each role's sum to 1
	// by role, what it is worth in a series: by the division's run share, or as team.toml says (no unit; only ratios count)
	Importance map[string]float64 `json:"importance"`
	Warnings   []string           `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}

// Drill says how well a drill measured. Mean, SDs, SEM and MDC are in the drill's unit (counted
// drills: share of attempts).
type Drill struct {
	Drill   string  `json:"drill"`   // the drill's name
	Unit    string  `json:"unit"`    // the unit of its values, such as s
	Kids    int     `json:"kids"`    // number of kids who did it
	Trials  int     `json:"trials"`  // number of trials
	Mean    float64 `json:"mean"`    // mean of the kids, in the drill's unit (counted drills: share of attempts)
	SDKid   float64 `json:"sdKid"`   // standard deviation between kids, in the drill's unit (counted drills: share of attempts)
	SDTrial float64 `json:"sdTrial"` // standard deviation of one kid's trials, in the drill's unit (counted drills: share of attempts)
	ICC1    float64 `json:"icc1"`    // reliability of one trial (intraclass correlation), at most 1
	ICCMean float64 `json:"iccMean"` // reliability of a kid's mean over its trials (intraclass correlation), at most 1
	SEM     float64 `json:"sem"`     // standard error of measurement, in the drill's unit (counted drills: share of attempts)
	// smallest difference between two results that is more than error, in the drill's unit (counted drills: share of attempts)
	MDC         float64 `json:"mdc"`
	Assumed     bool    `json:"assumed"`     // the reliability is the catalogue's: the trials say too little
	TrialsFor80 int     `json:"trialsFor80"` // number of trials a kid for a reliability of 0.80; 0: out of reach
}

// ProfileKid is one kid; scores are T points with their standard errors.
type ProfileKid struct {
	Kid    string           `json:"kid"`            // the kid's id
	Name   string           `json:"name,omitempty"` // the kid's name; left out where it has none, or names are
	Traits map[string]Trait `json:"traits"`         // scores by trait
	Fits   map[string]Fit   `json:"fits"`           // fits by role
}

// Trait is a kid's T-score in a trait; Tested false: no measurement is behind it.
type Trait struct {
	T      float64 `json:"t"`      // T points: 50 is the middle of the team, 10 one standard deviation, more is better
	SE     float64 `json:"se"`     // standard error, T points
	Tested bool    `json:"tested"` // false: no measurement is behind it
}

// Fit is a kid's fit for a role; Own: the coach's own number.
type Fit struct {
	Fit    float64 `json:"fit"`    // T points: 50 is the middle of the team, more is better
	SE     float64 `json:"se"`     // standard error, T points
	Own    bool    `json:"own"`    // it is the coach's own, of fits.csv
	Tested bool    `json:"tested"` // false: no measurement is behind it
}

// Check is what was found in a folder.
type Check struct {
	Schema   string     `json:"schema"`           // name and version of this object's schema
	Team     string     `json:"team"`             // the name of the team, or of the league
	OK       bool       `json:"ok"`               // no problem was found
	Problems []Problem  `json:"problems"`         // what is to be mended first
	Warnings []Problem  `json:"warnings"`         // what looks odd and counts all the same
	Kids     int        `json:"kids"`             // number of kids
	OnHold   []string   `json:"onHold"`           // ids of kids on medical hold
	Drills   []Measured `json:"drills"`           // what was read of each drill
	Untested []Untested `json:"untested"`         // who did not do which drill
	OwnFits  int        `json:"ownFits"`          // number of fits in fits.csv
	Timers   []string   `json:"timers"`           // the names of who held the watch
	Conflict *Conflict  `json:"conflict"`         // rules of the team that cannot hold together in a game with everybody there; null: none was found
	NoGame   string     `json:"noGame,omitempty"` // why no game can be planned at all
}

// Problem is one thing wrong or odd in a file; Line 0: the file as a whole.
type Problem struct {
	File string `json:"file"` // the file's name; "": it is about no file
	Line int    `json:"line"` // the line in the file, counted from 1; 0: the file as a whole
	What string `json:"what"` // what is wrong or odd
	Do   string `json:"do"`   // what to do about it; "": it says nothing
}

// Measured counts what was read of a drill.
type Measured struct {
	Drill  string `json:"drill"`  // the drill's name
	Kids   int    `json:"kids"`   // number of kids who did it
	Trials int    `json:"trials"` // number of trials
}

// Untested is a kid without any trial of a drill that others did.
type Untested struct {
	Kid   string `json:"kid"`   // the kid's id
	Drill string `json:"drill"` // the drill's name
}
