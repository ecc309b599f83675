// Package asked names what a person can be asked for, or told to do, so that the rooms that every front end shares can speak of it without knowing how
// it is typed or touched. A sentence has such a reference in double brackets, ⟦late⟧ or ⟦late 9@3⟧, and each front end puts its own words there:
// a terminal the flag, a page the place to touch.
package asked

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sevenyard/drills"
)

// Field is something that a person can say, or do.
type Field string

// What can be said of a game.
const (
	Absent   Field = "absent"    // kids who are not there: 4,7
	Late     Field = "late"      // a kid and the series from which it is there: 9@3
	Leaves   Field = "leaves"    // a kid and the last series that it is there for: 6@5
	Left     Field = "left"      // the same, of a game that was played
	Hurt     Field = "hurt"      // a kid and the series in which it was hurt: 2@5
	Swap     Field = "swap"      // a kid in another one's spot: 2:7@4
	Series   Field = "series"    // how many there are, or which one is asked about
	Played   Field = "played"    // how many are over
	Favor    Field = "favor"     // which objective comes first
	Strict   Field = "strict"    // refuse rather than loosen a rule
	Kid      Field = "kid"       // whom it is about
	Role     Field = "role"      // which role it is about
	From     Field = "from"      // the saved plan
	FromFile Field = "from-file" // the saved plan, its file to be named
	Game     Field = "game"      // the game on record
	Date     Field = "date"
	Opponent Field = "opponent"
	Void     Field = "void"        // series that do not count
	Line     Field = "line"        // a series as it was played
	Hold     Field = "before-hold" // who played before a hold was written
	SaveFile Field = "save"        // where the plan is kept
	Undo     Field = "undo"        // take a pick of the live draft back
)

// What can be typed at the beginning of a line about a game that was played.
const (
	LineAbsent Field = "line-absent"
	LineLate   Field = "line-late"
	LineLeft   Field = "line-left"
	LineHurt   Field = "line-hurt"
	OfSeries   Field = "of-series" // one series as it is on record, or by the plan
)

// What can be done.
const (
	Plan        Field = "plan"         // plan the game anew
	PlanFavor   Field = "plan-favor"   // plan it for an objective
	PlanLonger  Field = "plan-longer"  // save the plan of a longer game
	SavePlan    Field = "save-plan"    // plan and keep the plan
	SaveRebuild Field = "save-rebuild" // change a plan and keep it
	RebuildHurt Field = "rebuild-hurt" // change a plan because a kid was hurt
	Record      Field = "record"       // put on record what was played
	RecordSwap  Field = "record-swap"  // put on record who played in whose spot
	Clear       Field = "clear"        // take back that a kid was hurt
	ClearKid    Field = "clear-kid"    // the same, of a kid in a game
	SaveTeams   Field = "save-teams"   // split the pool and keep the teams
	StartBoard  Field = "start-board"  // begin the board of a live draft
)

// Fields are all of them.
var Fields = []Field{Absent, Late, Leaves, Left, Hurt, Swap, Series, Played, Favor, Strict, Kid, Role, From, FromFile, Game, Date, Opponent, Void, Line, Hold, SaveFile, Undo,
	LineAbsent, LineLate, LineLeft, LineHurt, OfSeries, Plan, PlanFavor, PlanLonger, SavePlan, SaveRebuild, RebuildHurt, Record, RecordSwap, Clear, ClearKid, SaveTeams, StartBoard}

// String is a reference to the field.
func (f Field) String() string { return f.With("") }

// With is a reference to the field with what is to be said there.
func (f Field) With(value string) string {
	if value != "" {
		value = " " + value
	}
	return "⟦" + string(f) + value + "⟧"
}

// reference is one in a sentence.
var reference = regexp.MustCompile(`⟦([a-z-]+)(?: ([^⟧]*))?⟧`)

// Render puts a front end's own words in place of the references of a sentence. What is no field stays as it is.
func Render(text string, words func(f Field, value string) string) string {
	if !strings.Contains(text, "⟦") {
		return text
	}
	return reference.ReplaceAllStringFunc(text, func(ref string) string {
		m := reference.FindStringSubmatch(ref)
		if !slices.Contains(Fields, Field(m[1])) {
			return ref
		}
		return words(Field(m[1]), m[2])
	})
}

// RenderAll does the same for each of a list.
func RenderAll(list []string, words func(f Field, value string) string) []string {
	for i := range list {
		list[i] = Render(list[i], words)
	}
	return list
}

// Where says what is wrong: something that a person said, or a place in a file.
type Where struct {
	Field Field  // "": a file
	Value string // what was said there; "": it is told in the words
	At    drills.Place
}

// Problem is one thing that is wrong with what was asked for, and what to do about it.
type Problem struct {
	Where
	What, Do string
}

// Wrong is a problem with what was said in a field.
func Wrong(f Field, what, do string) *Problem { return &Problem{Where{Field: f}, what, do} }

// WrongValue is a problem with a value that was said in a field.
func WrongValue(f Field, value, what, do string) *Problem {
	return &Problem{Where{Field: f, Value: value}, what, do}
}

// Place is where it is wrong, in words.
func (w Where) Place() string {
	if w.Field != "" {
		return w.Field.With(w.Value)
	}
	if w.At.Line > 0 {
		return fmt.Sprintf("%s:%d", w.At.File, w.At.Line)
	}
	return w.At.File
}

func (p *Problem) Error() string {
	out := p.What
	if place := p.Place(); place != "" {
		out = place + ": " + out
	}
	if p.Do != "" {
		out += "; " + p.Do
	}
	return out
}

// Problems are several at once.
type Problems []Problem

func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i := range ps {
		lines[i] = ps[i].Error()
	}
	return strings.Join(lines, "\n")
}
