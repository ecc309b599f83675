package drills

import "fmt"

// Kind says how a drill is scored.
type Kind string

// The kinds of drill.
const (
	Timed   Kind = "timed"   // seconds, lower is better
	Counted Kind = "counted" // successes out of attempts, higher is better
	Rated   Kind = "rated"   // a coach's mark from 1 to 5, higher is better
)

// Grades is a closed range of school grades; kindergarten is 0.
type Grades struct{ Low, High int }

// Words name the grades: "grades 3-4", "kindergarten", "kindergarten to grade 1".
func (g Grades) Words() string {
	name := func(n int) string {
		if n == 0 {
			return "kindergarten"
		}
		return fmt.Sprintf("grade %d", n)
	}
	switch {
	case g.Low == g.High:
		return name(g.Low)
	case g.Low == 0:
		return name(0) + " to " + name(g.High)
	}
	return fmt.Sprintf("grades %d-%d", g.Low, g.High)
}

// Range is the plausible range of one trial for kids of some grades, in the drill's unit
// (for counted drills: the number of attempts in one trial).
type Range struct {
	Grades   Grades
	Min, Max float64
}

// Share is a named part of a weighted mean: a trait in a role, or a drill's loading on a trait.
// Weights of one list sum to 1 after reading.
type Share struct {
	Name   string
	Weight float64
}

// Trait is something a kid is good at, measured by drills.
type Trait struct {
	Name, Title string // Title in plain words, for screens
}

// Drill is one station of evaluation night.
type Drill struct {
	Name, Title string
	Kind        Kind
	Unit        string  // "s", "pulls", "catches", "mark", ...
	Ranges      []Range // plausible single trials, by grades
	Trials      int     // usual number of trials
	Attempts    int     // usual attempts in one trial of a counted drill
	Reliability float64 // assumed single-trial reliability, 0 to 1 (counted: at ten attempts)
	Loads       []Share // the traits it measures; a trait is the weighted mean of its drills
	Setup       string  // in words, with distances
	Minutes     float64 // per kid, all usual trials
	Safety      string
	Source      string // where ranges and reliability come from, or "common practice, no source"
}

// Role is a position on the field.
type Role struct {
	Name, Title string
	Letter      string  // one letter, beside any colour
	RunValue    float64 // value against the run, 0 to 1
	PassValue   float64 // value against the pass, 0 to 1
	Weights     []Share // traits a role asks for; they sum to 1
}

// Spot is one place in a formation. Yards: Deep from the line of scrimmage towards the own
// end zone, Across from the middle of the field, negative to the left as the defense looks.
type Spot struct {
	Role         string
	Deep, Across float64
}

// Formation is an arrangement of roles, named by counting players from the line back.
// Spots stand in the order in which they are kept when a team is short-handed: the last one
// is dropped first.
type Formation struct {
	Name, Title string
	Spots       []Spot
	Grades      Grades // divisions that use it
	Source      string
}

// Rule is a fact of the game kept as data, such as the rusher's distance, with its source.
type Rule struct {
	Name, Title string
	Value       float64
	Unit        string
	Source      string
}

// Catalogue is everything the trade knows, after a team's own changes.
type Catalogue struct {
	Traits     []Trait
	Drills     []Drill
	Roles      []Role
	Formations []Formation
	RunShares  []RunShare
	Field      []Rule // field sizes, distances, and other facts of the rule books
	Cautions   []Caution

	spoilt map[spoiltName]bool // a team's own entries that could not be read: not unknown, but not usable
}

// RunShare is the share of plays that are runs in a division, 0 to 1.
type RunShare struct {
	Grades Grades
	Share  float64
	Source string
}

// Caution is a safety sentence shown where Topic matters ("heat", "concussion", "hold", "setup", "advice").
type Caution struct{ Topic, Text, Source string }

// Kid is one row of roster.csv.
type Kid struct {
	ID, Name string
	Grade    int      // -1: not given
	Hold     string   // non-empty: medical hold, never planned
	Never    []string // roles the kid does not play
	Notes    string
	Line     int
}

// Trial is one measurement.
type Trial struct {
	Kid, Drill string
	Number     int     // 1, 2, ...
	Value      float64 // seconds, mark, or successes
	Attempts   int     // counted drills only
	Timer      string
	Date       string
	At         Place
}

// Untested is a cell or row that says the kid did not do the drill (DNF, -, x).
type Untested struct {
	Kid, Drill string
	Number     int
	Mark       string // as written
	At         Place
}

// OwnFit is one row of fits.csv: the coach's own fit, which replaces the computed one.
type OwnFit struct {
	Kid, Role string
	Fit, SE   float64 // T points
	At        Place
}

// Place is where something stands in a file. Line counts from 1; 0 means the whole file.
type Place struct {
	File string
	Line int
}

// Pair is two kids.
type Pair [2]string

// Cover asks that at least AtLeast of Kids are on the field in every series.
type Cover struct {
	Kids    []string
	AtLeast int
	At      Place
}

// Pin fixes a kid to a role ("" = any) in a series, or bars the kid from it.
type Pin struct {
	Kid, Role string
	Series    int // from 1
	Must      bool
	At        Place
}

// Rules are the coach's rules. A nil pointer means: not given, use the default.
type Rules struct {
	MaxOn       *int    // series in a row on the field
	MaxOff      *int    // series in a row on the bench while present
	MinRoles    int     // different roles a kid plays in the game; 0 or 1: no demand
	SeasonRoles int     // different roles of the season: until then each game brings a kid a new one; 0 or 1: no demand
	MaxSameRole int     // 0: no limit
	MinShare    float64 // of the series a kid is present for, 0 to 1
	PayBack     int     // whole series that one game pays back to a kid who is owed more than one; 0: none
}

// Team is team.toml with the catalogue's defaults filled in.
type Team struct {
	Name       string
	Division   Grades
	Series     int         // defensive series planned for a game
	Formations []Formation // one for each series, repeated over the game
	Favor      string      // "weakest", "total" or "even"
	Heat       string      // the league's heat table, a HeatTable.ID; "": none is named
	Together   []Pair
	Apart      []Pair
	Rules      Rules
	Covers     []Cover
	Pins       []Pin
	Importance map[string]float64 // overrides, per role
	Catalogue  Catalogue          // with the team's own drills, formations and role weights
}

// Folder is a team folder as read.
type Folder struct {
	Team     Team
	Roster   []Kid
	Trials   []Trial
	Untested []Untested
	Fits     []OwnFit
	Warnings Problems // things that look odd but count
}

// Problem is one thing wrong in a file, in words a coach can act on.
type Problem struct {
	At   Place
	What string // what is wrong, with the value
	Do   string // what to do
}

// Error gives "FILE:LINE: what is wrong; what to do".
func (p Problem) Error() string {
	where := p.At.File
	if p.At.Line > 0 {
		where = fmt.Sprintf("%s:%d", p.At.File, p.At.Line)
	}
	if p.Do == "" {
		return fmt.Sprintf("%s: %s", where, p.What)
	}
	return fmt.Sprintf("%s: %s; %s", where, p.What, p.Do)
}

// Problems are all problems of the files read, in file and line order. As an error it prints one a line.
type Problems []Problem

// Words are the problems as sentences.
func (ps Problems) Words() []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.Error()
	}
	return out
}

// Error joins the problems, one a line.
func (ps Problems) Error() string {
	s := ""
	for i, p := range ps {
		if i > 0 {
			s += "\n"
		}
		s += p.Error()
	}
	return s
}
