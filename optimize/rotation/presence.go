package rotation

import (
	"fmt"
	"slices"
)

// Window is a stretch of series, from First to Last, inclusive, from 0; First > Last: none.
type Window struct{ First, Last int }

// There tells whether series s is in the window.
func (w Window) There(s int) bool { return w.First <= s && s <= w.Last }

// Presence is which series of a game a kid is there for: First to Last, inclusive, from 0, but for the stretches Away, in which it is gone
// and after which it is back. First > Last: never there. Away is ascending; each stretch lies inside of First to Last without touching the ends, and
// the kid is there for at least one series between two of them. So any set of series is one Presence.
type Presence struct {
	First, Last int
	Away        []Window
}

// There tells whether the kid is there for series s.
func (p Presence) There(s int) bool { return there(p.First, p.Last, p.Away, s) }

func there(first, last int, away []Window, s int) bool {
	if s < first || s > last {
		return false
	}
	for _, w := range away {
		if w.There(s) {
			return false
		}
	}
	return true
}

// Validate tells whether Away is as it should be; the error says which stretch is not.
func (p Presence) Validate() error {
	from := p.First
	for i, w := range p.Away {
		if w.First <= from || w.First > w.Last || w.Last >= p.Last {
			return fmt.Errorf("away from series %d to %d, which is not a stretch inside of series %d to %d after the one before it", w.First+1, w.Last+1, p.First+1, p.Last+1)
		}
		if from = w.Last + 1; i+1 < len(p.Away) && p.Away[i+1].First <= from {
			return fmt.Errorf("away from series %d to %d and from %d to %d, with no series between", w.First+1, w.Last+1, p.Away[i+1].First+1, p.Away[i+1].Last+1)
		}
	}
	return nil
}

// Stretches are the series in a row that the kid is there for, in a game of so many series, first to last.
func (p Presence) Stretches(series int) []Window { return stretches(grid([]Presence{p}, series)[0]) }

func stretches(here []bool) []Window {
	var out []Window
	for s, in := range here {
		if !in {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Last == s-1 {
			out[n-1].Last = s
		} else {
			out = append(out, Window{s, s})
		}
	}
	return out
}

// Count is how many series of a game of so many the kid is there for.
func (p Presence) Count(series int) int {
	n := 0
	for _, w := range p.Stretches(series) {
		n += w.Last - w.First + 1
	}
	return n
}

// PresenceOf is the presence of a kid who is there for the series s with there[s].
func PresenceOf(there []bool) Presence {
	p := Presence{First: 0, Last: -1}
	for s, here := range there {
		switch {
		case !here:
		case p.Last < 0:
			p.First, p.Last = s, s
		default:
			if p.Last < s-1 {
				p.Away = append(p.Away, Window{p.Last + 1, s - 1})
			}
			p.Last = s
		}
	}
	return p
}

// Within is the presence cut to a game of so many series.
func (p Presence) Within(series int) Presence {
	first, last := max(p.First, 0), min(p.Last, series-1)
	if len(p.Away) == 0 {
		return Presence{First: first, Last: last}
	}
	here := make([]bool, series)
	for s := range here {
		here[s] = p.There(s)
	}
	return PresenceOf(here)
}

// There tells whether the kid is there for series s.
func (k *Kid) There(s int) bool { return there(k.First, k.Last, k.Away, s) }

// Presence is which series the kid is there for.
func (k *Kid) Presence() Presence { return Presence{k.First, k.Last, k.Away} }

// There tells whether the kid is there for series s.
func (p *Player) There(s int) bool { return there(p.First, p.Last, p.Away, s) }

// Presence is which series the kid is there for.
func (p *Player) Presence() Presence { return Presence{p.First, p.Last, p.Away} }

// Present is whatever tells which series a kid is there for: a Window, a Presence, or the like.
type Present interface{ There(s int) bool }

// grid is who is there when, by kid and series.
func grid[P Present](who []P, series int) [][]bool {
	out := make([][]bool, len(who))
	for k, p := range who {
		out[k] = make([]bool, series)
		for s := range out[k] {
			out[k][s] = p.There(s)
		}
	}
	return out
}

// presences are the kids' presences.
func (p *Problem) presences() []Presence {
	out := make([]Presence, len(p.Kids))
	for k := range p.Kids {
		out[k] = p.Kids[k].Presence()
	}
	return out
}

// throughout tells whether a kid is there for all series from first to last.
func throughout(here []bool, first, last int) bool {
	return !slices.Contains(here[first:last+1], false)
}

// throughout tells whether the kid is there for all series from first to last.
func (k *Kid) throughout(first, last int) bool {
	for s := first; s <= last; s++ {
		if !k.There(s) {
			return false
		}
	}
	return true
}

// countHere is how many kids are there for series s.
func countHere(avail [][]bool, s int) int {
	n := 0
	for _, here := range avail {
		if here[s] {
			n++
		}
	}
	return n
}
