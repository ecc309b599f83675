// Package availability is the one owner of who may be on the field. [Of] puts together, in one place, what the roster, the record of games
// and a saved plan know: who is on medical hold, and who was hurt on the day of the game. Every command, page and saved plan asks [Kids], which knows
// for each kid and each series of one game whether the kid may be on the field, and why not.
//
// A kid who is barred stays so: nothing here takes a bar away, so no wish, no correction and no order of commands can. Only a person does, by
// emptying the cell hold in roster.csv, or with a clearing row in games.csv or a cleared mark in a plan, and then [Of] does not find the bar.
package availability

import (
	"slices"
	"time"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// Reason is why a kid is not planned, or not any more.
type Reason int

// The reasons.
const (
	Absent Reason = iota
	OnHold
	Hurt
	NotInPlan // rebuild only: on the roster, and not in the saved plan
	Reasons   // how many there are
)

// Bar keeps a kid off the field in every series that is still to come.
type Bar struct {
	Why    Reason // OnHold or Hurt
	Game   string // Hurt: the game on record that says so; "": another source
	Plan   string // Hurt: the plan's file that says so; "": another source
	Series int    // Hurt: the series in which it happened; 0: not known
	// Undated says that the game has no date written as one, and is taken as one of the day because it may be.
	Undated bool
}

// Out is who is barred from the field, and why. The zero value bars nobody.
type Out struct{ bars map[string]Bar }

// Of is who is out according to the roster and the record, on the day of a game. That is the day of the game with the given id where it is on record
// with a date, else the day given, as 2026-09-12. A hurt counts in every game of that day, in the game itself, and wherever the
// game may be of that day: one whose date is written otherwise and may mean it, and one without a date that does not have all of so
// many series on record, since it may be the one that is on.
func Of(roster []drills.Kid, rec *games.Record, game, day string, series int) Out {
	out := Out{}.WithHolds(roster)
	if rec == nil {
		return out
	}
	if g, ok := rec.Game(game); ok && isDay(g.Date) {
		day = g.Date
	}
	for i := range rec.Games {
		g := &rec.Games[i]
		may := !isDay(g.Date) && (Recorded(g) < series || slices.Contains(games.DaysOf(g.Date), day))
		if g.Date != day && drills.IDKey(g.ID) != drills.IDKey(game) && !may {
			continue
		}
		for _, m := range g.Marks {
			if !m.Cleared {
				out.bar(m.Kid, Bar{Why: Hurt, Game: g.ID, Series: m.Series, Undated: !isDay(g.Date)})
			}
		}
	}
	return out
}

func isDay(date string) bool {
	_, err := time.Parse(time.DateOnly, date)
	return err == nil
}

// Recorded is the last series of a game that the record has.
func Recorded(g *games.Game) int {
	n := 0
	for _, s := range g.Series {
		if len(s.Slots) > 0 {
			n = max(n, s.Number)
		}
	}
	return n
}

// bar keeps what is known first: a hold says more than a hurt, and the record more than a plan.
func (o *Out) bar(kid string, b Bar) {
	if _, already := o.bars[drills.IDKey(kid)]; !already {
		o.bars[drills.IDKey(kid)] = b
	}
}

// WithHolds is the same with the kids who are on medical hold by the roster.
func (o Out) WithHolds(roster []drills.Kid) Out {
	out := o.clone()
	for _, k := range roster {
		if k.Hold != "" {
			out.bars[drills.IDKey(k.ID)] = Bar{Why: OnHold}
		}
	}
	return out
}

func (o Out) clone() Out {
	out := Out{map[string]Bar{}}
	for kid, b := range o.bars {
		out.bars[kid] = b
	}
	return out
}

// WithPlan is the same with the kids whom a saved plan, or what is said now, has as hurt.
func (o Out) WithPlan(file string, hurt []string) Out {
	out := o.clone()
	for _, kid := range hurt {
		out.bar(kid, Bar{Why: Hurt, Plan: file})
	}
	return out
}

// Find gives what bars a kid.
func (o Out) Find(kid string) (Bar, bool) {
	b, ok := o.bars[drills.IDKey(kid)]
	return b, ok
}
