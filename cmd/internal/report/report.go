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
	Schema   string         `json:"schema"`
	Team     string         `json:"team"`
	Seed     uint64         `json:"seed"`
	Favor    string         `json:"favor"`  // which objective comes first: weakest, total or even
	Played   int            `json:"played"` // the first so many series are over
	Limited  bool           `json:"limited"`
	Kids     []LineupKid    `json:"kids"`
	Series   []LineupSeries `json:"series"`
	Hurt     []string       `json:"hurt,omitempty"`    // hurt on the day of this game: on hold for the rest of it
	Cleared  []string       `json:"cleared,omitempty"` // who was hurt by an earlier plan of this game, and has been cleared by a person
	Weakest  Weakest        `json:"weakest"`
	Total    Bounded        `json:"total"`
	Levels   int            `json:"levels,omitempty"` // favor even only: so many series, from the weakest up, are proven as strong as can be
	Season   *LineupSeason  `json:"season,omitempty"` // left out where no earlier games count
	Rules    Rules          `json:"rules"`
	Loosened []string       `json:"loosened"` // rules given up, in words
	// Loosening is the same for a program, so that a rebuild can keep it.
	Loosening []Loosening `json:"loosening,omitempty"`
	// Broken are, of a saved plan that is shown again, rules that it does not keep, in words.
	Broken   []string `json:"broken,omitempty"`
	Heat     *Heat    `json:"heat"`   // null: no reading was given
	Breaks   []Break  `json:"breaks"` // water breaks still to come
	Warnings []string `json:"warnings"`
	Cautions []string `json:"cautions"`
	Sum      string   `json:"sum,omitempty"` // see Seal; "": saved before there were sums
}

// Loosening is a rule given up or widened. Rule is its name in team.toml, or equal_series; Kids are those it speaks of, none: everybody.
type Loosening struct {
	Rule string   `json:"rule"`
	Kids []string `json:"kids"`
	From int      `json:"from"` // the number asked for; 0 where there is none
	To   int      `json:"to"`   // the number in force; equal_series: how far shares may be from the fair ones; -1: given up
	Kept bool     `json:"kept"` // as in the plan that was changed
}

// LineupKid is one kid of the game: first and last series available, series on the field, and the
// fair share of series, which need not be whole.
type LineupKid struct {
	Kid        string         `json:"kid"`
	Available  [2]int         `json:"available"`
	Away       [][2]int       `json:"away,omitempty"` // stretches in between for which it is not there; left out where there is none
	Back       int            `json:"back,omitempty"` // the series for which it last came back, having left, also if it missed none; left out where it did not
	Series     int            `json:"series"`
	Share      float64        `json:"share"`
	Owed       *float64       `json:"owed,omitempty"` // from earlier games, in series; left out where none count
	Roles      map[string]int `json:"roles"`          // series by role played
	LongestOn  int            `json:"longestOn"`      // series in a row on the field
	LongestOff int            `json:"longestOff"`     // series in a row on the bench while present
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
	Number    int      `json:"number"`
	Formation string   `json:"formation"`
	Strength  float64  `json:"strength"`
	Slots     []Slot   `json:"slots"`
	Bench     []string `json:"bench"` // present and not on the field
}

// Slot is a kid in a role. Importance is the slot's, scaled so that the slots of its series sum
// to their number; Value = round(10 * importance * fit), half away from zero. The
// strength of a series is the sum of its values / (10 * slots).
type Slot struct {
	games.Slot
	Fit        float64 `json:"fit"`
	SE         float64 `json:"se"`
	Own        bool    `json:"own"`    // the coach's own fit
	Tested     bool    `json:"tested"` // false: no measurement is behind it
	Importance float64 `json:"importance"`
	Value      int     `json:"value"`
}

// Bounded is a value that no plan under the rules can lift above Bound; Proven: no plan does
// better, given the objectives that come before it.
type Bounded struct {
	Value  float64 `json:"value"`
	Bound  float64 `json:"bound"`
	Proven bool    `json:"proven"`
}

// Weakest is the weakest series' strength, and which one it is.
type Weakest struct {
	Bounded
	Series int `json:"series"`
}

// Rules are the rules in force, after loosening. What is left out was not asked for.
type Rules struct {
	MaxOn       int     `json:"maxOn"`  // 0: no limit
	MaxOff      int     `json:"maxOff"` // 0: no limit
	MinRoles    int     `json:"minRoles,omitempty"`
	SeasonRoles int     `json:"seasonRoles,omitempty"` // until a kid has played so many in the season, each game brings it a new one
	MaxSameRole int     `json:"maxSameRole,omitempty"`
	MinShare    float64 `json:"minShare,omitempty"`
}

// Profile is the assessment of a team.
type Profile struct {
	Schema     string                        `json:"schema"`
	Team       string                        `json:"team"`
	Drills     []Drill                       `json:"drills"`
	Kids       []ProfileKid                  `json:"kids"`
	Weights    map[string]map[string]float64 `json:"weights"` // by role and trait; each role's sum to 1
	Importance map[string]float64            `json:"importance"`
	Warnings   []string                      `json:"warnings"`
}

// Drill says how well a drill measured. Mean, SDs, SEM and MDC are in the drill's unit (counted
// drills: share of attempts).
type Drill struct {
	Drill       string  `json:"drill"`
	Unit        string  `json:"unit"`
	Kids        int     `json:"kids"`
	Trials      int     `json:"trials"`
	Mean        float64 `json:"mean"`
	SDKid       float64 `json:"sdKid"`
	SDTrial     float64 `json:"sdTrial"`
	ICC1        float64 `json:"icc1"`
	ICCMean     float64 `json:"iccMean"`
	SEM         float64 `json:"sem"`
	MDC         float64 `json:"mdc"`
	Assumed     bool    `json:"assumed"`
	TrialsFor80 int     `json:"trialsFor80"` // 0: out of reach
}

// ProfileKid is one kid; scores are T points with their standard errors.
type ProfileKid struct {
	Kid    string           `json:"kid"`
	Name   string           `json:"name,omitempty"`
	Traits map[string]Trait `json:"traits"`
	Fits   map[string]Fit   `json:"fits"`
}

// Trait is a kid's T-score in a trait; Tested false: no measurement is behind it.
type Trait struct {
	T      float64 `json:"t"`
	SE     float64 `json:"se"`
	Tested bool    `json:"tested"`
}

// Fit is a kid's fit for a role; Own: the coach's own number.
type Fit struct {
	Fit float64 `json:"fit"`
	SE  float64 `json:"se"`
	Own bool    `json:"own"`
	// Tested false: no measurement is behind it.
	Tested bool `json:"tested"`
}

// Check is what was found in a folder.
type Check struct {
	Schema   string     `json:"schema"`
	Team     string     `json:"team"`
	OK       bool       `json:"ok"` // no problem found
	Problems []Problem  `json:"problems"`
	Warnings []Problem  `json:"warnings"`
	Kids     int        `json:"kids"`
	OnHold   []string   `json:"onHold"` // ids
	Drills   []Measured `json:"drills"`
	Untested []Untested `json:"untested"`
	OwnFits  int        `json:"ownFits"` // numbers in fits.csv
	Timers   []string   `json:"timers"`
	// Conflict are rules of the team that cannot hold together in a game with everybody there; null: none was found.
	Conflict *Conflict `json:"conflict"`
	NoGame   string    `json:"noGame,omitempty"` // why no game can be planned at all
}

// Problem is one thing wrong or odd in a file; Line 0: the file as a whole.
type Problem struct {
	File string `json:"file"`
	Line int    `json:"line"`
	What string `json:"what"`
	Do   string `json:"do"`
}

// Measured counts what was read of a drill.
type Measured struct {
	Drill  string `json:"drill"`
	Kids   int    `json:"kids"`
	Trials int    `json:"trials"`
}

// Untested is a kid without any trial of a drill that others did.
type Untested struct {
	Kid   string `json:"kid"`
	Drill string `json:"drill"`
}
