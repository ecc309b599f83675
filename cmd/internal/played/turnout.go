package played

import (
	"cmp"
	"fmt"
	"slices"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills/games"
)

// turnout is in which series a kid is there, by their numbers; who is there for the last one that can be counted is there to the end.
type turnout [maxSeries + 1]bool

// put says that the kid is there, or is not, for the series first to last; last 0: to the end.
func (t *turnout) put(first, last int, there bool) {
	if last == 0 {
		last = maxSeries
	}
	for n := max(1, first); n <= min(last, maxSeries); n++ {
		t[n] = there
	}
}

// stretches are the series in a row for which the kid is there, Last 0 to the end.
func (t *turnout) stretches(kid string) []games.Presence {
	var out []games.Presence
	for n := 1; n <= maxSeries; n++ {
		if !t[n] {
			continue
		}
		first := n
		for n < maxSeries && t[n+1] {
			n++
		}
		p := games.Presence{Kid: kid, First: first, Last: n}
		if n == maxSeries {
			p.Last = 0
		}
		out = append(out, p)
	}
	return out
}

// last is the last series that the kid is there for, 0 if it is there to the end.
func (t *turnout) last() int {
	for n := maxSeries; n > 0; n-- {
		if t[n] {
			return n % maxSeries
		}
	}
	return 0
}

// before tells whether the kid is there for a series before n.
func (t *turnout) before(n int) bool { return slices.Contains(t[1:max(1, n)], true) }

// came says that the kid came, or came back, for series n. One who is there before n without a break came late and was not there before, unless it
// has left and was there before, since it has played or is itself said to have left: then it is back at once; one who has left before comes
// back; what is known of when it leaves later stays.
func (t *turnout) came(n int, was bool) {
	if t[n-1] && (t[n] || !was) {
		t.put(1, n-1, false)
	}
	for s := n; s <= maxSeries; s++ {
		if t[s] {
			return // there from then on, as is known
		}
		t[s] = true
	}
}

// left says that series n was the last one; of a kid of whom less is known, that it was there up to it.
func (t *turnout) left(n int) {
	t.put(n+1, 0, false)
	for s := n; !t[s]; s-- {
		t[s] = true
	}
}

// said is that a kid came for a series, or that a series was its last one.
type said struct {
	gameplan.At
	came  bool
	place asked.Where
}

// before is the last series before it.
func (s said) before() int {
	if s.came {
		return s.Series - 1
	}
	return s.Series
}

// comings takes over who came late, left and came back, in the order in which it happened.
func (b *builder) comings() {
	var all []said
	for _, list := range []struct {
		field asked.Field
		ats   []gameplan.At
		came  bool
	}{{asked.Left, b.told.Left, false}, {asked.Late, b.told.Late, true}} {
		for _, at := range list.ats {
			x := said{at, list.came, asked.Where{Field: list.field, Value: fmt.Sprintf("%s@%d", at.Kid, at.Series)}}
			switch {
			case !b.known(x.place, at.Kid) || slices.Contains(all, x):
			case slices.Contains(b.told.Absent, at.Kid):
				b.problemAt(x.place, "say one of the two", "kid %s is also in ⟦absent⟧", at.Kid)
			case at.Series > maxSeries:
				b.problemAt(x.place, "series are counted 1, 2, 3", "series is %d", at.Series)
			default:
				all = append(all, x)
			}
		}
	}
	slices.SortStableFunc(all, func(x, y said) int { return cmp.Compare(x.before(), y.before()) })
	last := map[string]said{}
	for _, x := range all {
		was, again := last[x.Kid]
		last[x.Kid] = x
		if again && was.came == x.came {
			b.problemAt(was.place, "say one of the two", "kid %s is also said to have series %d there", x.Kid, x.Series)
			continue
		}
		t := b.who[x.Kid]
		switch {
		case t == nil && x.came:
			t = &turnout{}
			b.who[x.Kid] = t
		case t == nil: // left without having come is there from the beginning
			t = &turnout{}
			t.put(1, 0, true)
			b.who[x.Kid] = t
		}
		switch {
		case x.came:
			t.came(x.Series, again || b.played(x.Kid, x.Series))
		case !t.before(x.Series + 1):
			b.problemAt(x.place, "mend one of the two", "kid %s would come for series %d and leave after series %d", x.Kid, slices.Index(t[:], true), x.Series)
		default:
			t.left(x.Series)
		}
	}
}
