package gameplan

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// mostSeries is the highest number of a series that can be typed.
const mostSeries = 99

// Swap says that In played in Out's spot in some series; In "" is nobody.
type Swap struct {
	Out, In     string
	First, Last int
	Text        string // as typed
}

// ParseSwaps reads 2:7@4: kid 7 played in 2's spot in series 4; also 2:7@4-6, and - for nobody.
func ParseSwaps(text string) ([]Swap, error) {
	var out []Swap
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		who, when, ok := cutLast(part, "@")
		a, b, two := strings.Cut(who, ":")
		if !ok || !two || a == "" || b == "" || a == b {
			return nil, asked.Wrong(asked.Swap, fmt.Sprintf("%q is no swap", part), "write 2:7@4 where kid 7 played in kid 2's spot in series 4; 2:-@4 where nobody did")
		}
		first, last, ok := ParseRange(when)
		if !ok {
			return nil, asked.Wrong(asked.Swap, fmt.Sprintf("%q is no series", when), "write one such as 4, or 4-6")
		}
		if b == "-" {
			b = ""
		}
		out = append(out, Swap{Out: a, In: b, First: first, Last: last, Text: part})
	}
	return out, nil
}

// ParseRange reads one series or several in a row: 4, 4-6.
func ParseRange(s string) (first, last int, ok bool) {
	a, b, two := strings.Cut(s, "-")
	first, err := strconv.Atoi(strings.TrimSpace(a))
	if !two {
		return first, first, err == nil && first >= 1 && first <= mostSeries
	}
	last, err2 := strconv.Atoi(strings.TrimSpace(b))
	return first, last, err == nil && err2 == nil && 1 <= first && first <= last && last <= mostSeries
}

func cutLast(s, sep string) (before, after string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

// withSwaps is the plan with the swaps of the wishes, which have to be of kids of the roster and go together with what is said of the series that are
// over (played; -1: nothing).
func (sv *Saved) withSwaps(w Wishes, out availability.Out, roster []drills.Kid, played int) (*Saved, error) {
	for _, x := range w.Swaps {
		for _, kid := range []string{x.Out, x.In} {
			if err := known(asked.Swap, kid, roster); err != nil && kid != "" {
				return nil, of(x, err)
			}
		}
		if played >= 0 && x.Last > played {
			return nil, asked.WrongValue(asked.Swap, x.Text, fmt.Sprintf("series %d counts as played by that, and ⟦played⟧ says %d", x.Last, played), fmt.Sprintf("leave ⟦played⟧ out, or use ⟦played %d⟧", x.Last))
		}
	}
	return sv.swapped(w, out)
}

// swapped is the plan with swaps that were made already: the series up to the last of them count as played, with the kids in the spots that they took.
// out says who may not be on the field.
func (sv *Saved) swapped(w Wishes, out availability.Out) (*Saved, error) {
	if len(w.Swaps) == 0 {
		return sv, nil
	}
	to := *sv
	if to.from = sv; sv.from != nil {
		to.from = sv.from
	}
	to.Series, to.notes = slices.Clone(sv.Series), slices.Clone(sv.notes)
	for _, x := range w.Swaps {
		for n := x.First; n <= x.Last; n++ {
			if err := to.swap(x, n, w, out); err != nil {
				return nil, err
			}
		}
		to.Played = max(to.Played, x.Last)
	}
	return &to, nil
}

// swap puts a kid into another one's spot in a series.
func (sv *Saved) swap(x Swap, n int, w Wishes, out availability.Out) error {
	wrong := func(do, format string, args ...any) error {
		return asked.WrongValue(asked.Swap, x.Text, fmt.Sprintf(format, args...), do)
	}
	switch {
	case n > len(sv.Series):
		return wrong(fmt.Sprintf("use a series from 1 to %d", len(sv.Series)), "the plan has %d series", len(sv.Series))
	case n <= sv.recorded:
		return wrong(fmt.Sprintf("correct it there: ⟦record-swap %s⟧", x.Text), "series %d is on record", n)
	case sv.bare:
		return wrong("give the plan with ⟦from⟧", "nobody is planned yet for series %d", n)
	}
	slots := slices.Clone(sv.Series[n-1].Slots)
	find := func(kid string) int { return slices.IndexFunc(slots, func(s games.Slot) bool { return s.Kid == kid }) }
	i, j := find(x.Out), find(x.In)
	switch {
	case i < 0 && x.In != "" && j >= 0:
		return wrong(fmt.Sprintf("did you mean ⟦swap %s:%s@%d⟧?", x.In, x.Out, n), "kid %s has no spot in series %d", x.Out, n)
	case i < 0:
		return wrong("look up who was to be on the field", "kid %s has no spot in series %d", x.Out, n)
	case x.In == "":
		sv.Note("series %d counts as played, with nobody in kid %s's spot at %s", n, x.Out, slots[i].Role)
		sv.Series[n-1].Slots = slices.Delete(slots, i, i+1)
		return nil
	case j >= 0:
		return wrong("say who went on", "kid %s has a spot in series %d already", x.In, n)
	}
	if err := sv.mayGoOn(x, n, w, out); err != nil {
		return err
	}
	sv.Note("series %d counts as played, with kid %s in kid %s's spot at %s", n, x.In, x.Out, slots[i].Role)
	slots[i].Kid = x.In
	sv.Series[n-1].Slots = slots
	return nil
}

// mayGoOn refuses a kid who may not be on the field, or is not there.
func (sv *Saved) mayGoOn(x Swap, n int, w Wishes, out availability.Out) error {
	wrong := func(do, format string, args ...any) error {
		return asked.WrongValue(asked.Swap, x.Text, fmt.Sprintf(format, args...), do)
	}
	switch b, barred := out.Find(x.In); {
	case barred && b.Why == availability.OnHold:
		return wrong("take the kid off the field; a person sets and clears holds", "kid %s is on medical hold", x.In)
	case barred && (b.Series == 0 || n > b.Series):
		return wrong("take the kid off the field; who may play again is cleared first (⟦clear⟧)", "kid %s was hurt in this game", x.In)
	case slices.ContainsFunc(w.Hurt, func(at At) bool { return at.Kid == x.In && n > at.Series }):
		return wrong("mend one of the two", "kid %s is hurt by then", x.In)
	}
	i := slices.IndexFunc(sv.Kids, func(k SavedKid) bool { return k.Kid == x.In })
	if i < 0 || !sv.Kids[i].There(len(sv.Series))[n-1] {
		return wrong(fmt.Sprintf("bring the kid in first: the same with ⟦late %s@%d⟧ and ⟦save⟧, without ⟦swap⟧; then the swap from that plan", x.In, n), "kid %s is not there in series %d by the plan", x.In, n)
	}
	return nil
}

// of says in which swap something is wrong.
func of(x Swap, err error) error {
	var p *asked.Problem
	if errors.As(err, &p) {
		p.Value = x.Text
	}
	return err
}
