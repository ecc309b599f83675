package draft

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// bruteChanges gives by number of moved kids the best objective of all splits that keep the rules.
func bruteChanges(p *Pool, now Split) map[int][2]float64 {
	best := map[int][2]float64{}
	eachSplit(p, func(s Split) {
		if len(Check(p, s)) > 0 {
			return
		}
		moved := len(movesBetween(now, s))
		short := 0
		for t := range p.Teams {
			short += bruteShortage(p, s, t)
		}
		v := [2]float64{float64(short), naive(p, s)}
		if b, seen := best[moved]; !seen || v[0] < b[0] || v[0] == b[0] && v[1] < b[1] {
			best[moved] = v
		}
	})
	return best
}

// withoutKids is the pool with some kids taken out, and the split of those who stay.
func withoutKids(p *Pool, s Split, gone []int) (*Pool, Split) {
	to := make([]int, len(p.Kids))
	q := *p
	q.Kids = nil
	var then Split
	for k := range p.Kids {
		to[k] = -1
		if !slices.Contains(gone, k) {
			to[k] = len(q.Kids)
			q.Kids, then = append(q.Kids, p.Kids[k]), append(then, s[k])
		}
	}
	groups := func(gs [][]int) [][]int {
		var list [][]int
		for _, g := range gs {
			var h []int
			for _, k := range g {
				if to[k] >= 0 {
					h = append(h, to[k])
				}
			}
			if len(h) > 0 {
				list = append(list, h)
			}
		}
		return list
	}
	q.Siblings, q.Carpools = groups(p.Siblings), groups(p.Carpools)
	q.Fixed, q.Apart = nil, nil
	for _, f := range p.Fixed {
		if to[f.Kid] >= 0 {
			q.Fixed = append(q.Fixed, Fixed{to[f.Kid], f.Team, f.Coach})
		}
	}
	for _, a := range p.Apart {
		if to[a[0]] >= 0 && to[a[1]] >= 0 {
			q.Apart = append(q.Apart, [2]int{to[a[0]], to[a[1]]})
		}
	}
	return &q, then
}

// TestBrutePlace compares late registrations and kids who leave with all splits there are.
func TestBrutePlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	tried, pools := 0, repeats(100, 1000)
	for i := range pools {
		teams := 2 + rng.IntN(2)
		p := anyPool(rng, teams+2+rng.IntN(7), teams, 0.4*rng.Float64())
		r := mustDraft(t, p, Settings{})
		if r.Split == nil {
			continue
		}
		q, now := p, slices.Clone(r.Split)
		if rng.IntN(3) == 0 && len(p.Kids) > teams+1 {
			team := rng.IntN(teams) // up to four kids of one team leave
			gone := slices.DeleteFunc(rng.Perm(len(p.Kids)), func(k int) bool { return now[k] != team })
			q, now = withoutKids(p, now, gone[:min(1+rng.IntN(4), len(gone), len(p.Kids)-teams)])
		}
		for range rng.IntN(3) {
			now[rng.IntN(len(now))] = Unplaced
		}
		tried++
		pl, err := Place(background, q, now, MostMoves)
		require.NoError(t, err)
		want := bruteChanges(q, now)
		at := 0
		last := [2]float64{math.Inf(1), 0}
		for moved := range MostMoves + 1 {
			w, any := want[moved]
			if !any || w[0] > last[0] || w[0] == last[0] && w[1] >= last[1]-1e-7 {
				continue
			}
			require.Greater(t, len(pl.Options), at, "pool %d: %d moves", i, moved)
			o := pl.Options[at]
			require.Len(t, o.Moves, moved, "pool %d", i)
			require.InDelta(t, w[0], o.Balance.Shortage, 0, "pool %d", i)
			require.InDelta(t, w[1], o.Balance.Objective, 1e-6, "pool %d: %d moves", i, moved)
			last = w
			at++
		}
		require.Equal(t, at == 0, pl.Beyond, "pool %d", i)
		if at == 0 {
			require.Equal(t, len(want) > 0, len(pl.Options) > 0, "pool %d", i)
			require.Equal(t, len(want) == 0, pl.Conflict != nil, "pool %d", i)
		} else {
			require.Len(t, pl.Options, at, "pool %d", i)
		}
		for _, o := range pl.Options {
			require.Empty(t, Check(q, o.Split))
		}
	}
	require.Greater(t, tried, pools/3)
}

// TestPlaceFewerThanItTakes: with a limit below what it takes, the way with the fewest moves is the one that a higher limit finds.
func TestPlaceFewerThanItTakes(t *testing.T) {
	p := plain(42, 4)
	p.Siblings = [][]int{{40, 41}}
	now := make(Split, 42)
	for k := range now {
		now[k] = k % 4
	}
	now[40], now[41] = Unplaced, Unplaced
	for k := range p.Kids {
		p.Kids[k].Scores[0] = 50 + float64(k*k*7%23) - 11
	}
	none, err := Place(background, p, now, 0)
	require.NoError(t, err)
	two, err := Place(background, p, now, MostMoves)
	require.NoError(t, err)
	require.True(t, none.Beyond)
	require.False(t, two.Beyond)
	require.Len(t, none.Options, 1)
	require.Equal(t, two.Options[0], none.Options[0])
}

// TestPlaceBeyond: six of eight have left one team, so that three have to move.
func TestPlaceBeyond(t *testing.T) {
	p, now := withoutKids(plain(16, 2), Split{0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1}, []int{0, 1, 2, 3, 4, 5})
	pl, err := Place(background, p, now, MostMoves)
	require.NoError(t, err)
	require.True(t, pl.Beyond)
	require.Nil(t, pl.Conflict)
	require.Len(t, pl.Options, 1)
	require.Len(t, pl.Options[0].Moves, 3)

	p.Fixed = []Fixed{{2, 1, false}, {3, 1, false}, {4, 1, false}, {5, 1, false}, {6, 1, false}, {7, 1, false}}
	pl, err = Place(background, p, now, MostMoves)
	require.NoError(t, err)
	require.True(t, pl.Beyond)
	require.Empty(t, pl.Options)
	require.Len(t, pl.Conflict.Rules, 6)

	_, err = Place(background, p, now, 3)
	require.Error(t, err)
	_, err = Place(background, p, now[1:], 1)
	require.Error(t, err)
}

// TestSequences adds, drops and swaps kids at random, ten thousand steps in all (fewer in WebAssembly). After each, every rule holds, nobody is lost, and no more kids have moved than was said.
func TestSequences(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	did := map[string]int{}
	for steps, all := 0, repeats(10_000, 40_000); steps < all; {
		p := anyPool(rng, 12+rng.IntN(16), 2+rng.IntN(3), 0.3*rng.Float64())
		now, _, err := Snake(background, p)
		require.NoError(t, err)
		if now == nil {
			continue
		}
		for range 250 {
			var done string
			p, now, done = step(t, p, now, rng, steps)
			did[done]++
			if done != "nothing" {
				steps++
			}
			require.Len(t, now, len(p.Kids))
			require.Empty(t, Check(p, now), "step %d: %s", steps, done)
		}
	}
	t.Log(did)
	for _, d := range []string{"added", "dropped", "swapped", "countered", "refused"} {
		require.Positive(t, did[d], d)
	}
}

// step makes one change and takes one of the options it is offered.
func step(t *testing.T, p *Pool, now Split, rng *rand.Rand, number int) (*Pool, Split, string) {
	t.Helper()
	switch what := rng.IntN(3); {
	case what == 0 && len(p.Kids) < 30:
		q := *p
		kid := p.Kids[rng.IntN(len(p.Kids))]
		kid.Label = fmt.Sprint("late ", number, " ", len(p.Kids))
		q.Kids = append(slices.Clone(p.Kids), kid)
		if rng.IntN(4) == 0 {
			q.Siblings = append(slices.Clone(p.Siblings), []int{len(p.Kids), rng.IntN(len(p.Kids))})
		}
		return taken(t, &q, append(slices.Clone(now), Unplaced), p, now, rng, "added")
	case what == 1 && len(p.Kids) > 2*len(p.Teams):
		q, then := withoutKids(p, now, []int{rng.IntN(len(p.Kids))})
		return taken(t, q, then, p, now, rng, "dropped")
	}
	a, b := rng.IntN(len(now)), rng.IntN(len(now))
	if now[a] == now[b] {
		return p, now, "nothing"
	}
	tr, err := Swap(background, p, now, []Move{{a, now[b]}, {b, now[a]}})
	require.NoError(t, err)
	require.Equal(t, tr.Moves, movesBetween(now, tr.Split))
	for _, o := range tr.Counters {
		require.Empty(t, Check(p, o.Split))
		require.Equal(t, o.Moves, movesBetween(tr.Split, o.Split))
		require.LessOrEqual(t, len(o.Moves), 2*mostCounters)
		for _, m := range tr.Moves {
			require.Equal(t, m.Team, o.Split[m.Kid], "a counter-trade leaves the trade alone")
		}
	}
	if n := len(tr.Counters); n > 0 && rng.IntN(2) == 0 {
		return p, tr.Counters[n-1].Split, "countered"
	}
	if len(tr.Broken) > 0 {
		return p, now, "refused"
	}
	return p, tr.Split, "swapped"
}

func taken(t *testing.T, p *Pool, now Split, before *Pool, was Split, rng *rand.Rand, done string) (*Pool, Split, string) {
	t.Helper()
	most := rng.IntN(MostMoves + 1)
	pl, err := Place(background, p, now, most)
	require.NoError(t, err)
	if len(pl.Options) == 0 {
		return before, was, "refused"
	}
	for i, o := range pl.Options {
		require.Equal(t, o.Moves, movesBetween(now, o.Split))
		if !pl.Beyond {
			require.LessOrEqual(t, len(o.Moves), most)
		}
		if i > 0 {
			require.Greater(t, len(o.Moves), len(pl.Options[i-1].Moves))
		}
	}
	return p, pl.Options[rng.IntN(len(pl.Options))].Split, done
}

// TestSwapRestores undoes a bad trade's harm: two teams alike, the best kid of one traded for the worst of the other.
func TestSwapRestores(t *testing.T) {
	p := plain(12, 2)
	for k := range p.Kids { // pairs of equals
		p.Kids[k].Scores[0] = float64(70 - k/2)
	}
	now := make(Split, 12)
	for k := range now {
		now[k] = k % 2
	}
	tr, err := Swap(background, p, now, []Move{{0, 1}, {11, 0}})
	require.NoError(t, err)
	require.Empty(t, tr.Broken)
	require.InDelta(t, 0, tr.Before.Objective, 1e-12)
	require.Positive(t, tr.After.Objective)
	require.True(t, tr.Restored)
	require.Equal(t, 2, len(tr.Counters[len(tr.Counters)-1].Moves)) // the other best for the other worst
}

// TestSwapBringsSiblings trades a kid with a sibling for one without: sizes break, and a counter-trade mends them.
func TestSwapBringsSiblings(t *testing.T) {
	p := plain(12, 2)
	p.Siblings = [][]int{{0, 1}}
	now := Split{0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1}
	tr, err := Swap(background, p, now, []Move{{0, 1}, {6, 0}})
	require.NoError(t, err)
	require.Equal(t, []int{1}, tr.Along)
	require.Equal(t, []RuleKind{Sizes}, kinds(tr.Broken))
	require.NotEmpty(t, tr.Counters)
	require.Len(t, tr.Counters[0].Moves, 1)
	_, err = Swap(background, p, now, []Move{{0, 1}, {0, 0}})
	require.Error(t, err)
}
