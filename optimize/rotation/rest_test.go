package rotation

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDefaultRestByHeadCount compares with counting. With n kids all there and c spots, the kids who have to play at least once in
// b+1 series need (b+1) c >= n; those who have to rest at least once in a+1 series need (a+1)(n-c) >= n.
func TestDefaultRestByHeadCount(t *testing.T) {
	for n := 5; n <= 20; n++ {
		for c := 1; c <= min(n, 8); c++ {
			const series = 24 // long enough for every window
			avail, spots := slices.Repeat([]Window{{0, series - 1}}, n), slices.Repeat([]int{c}, series)
			on, off := DefaultRest(avail, spots)
			wantOff := max(1, (n+c-1)/c-1)
			wantOn := series
			if c < n {
				wantOn = max(3, (n+n-c-1)/(n-c)-1)
			}
			assert.Equal(t, [2]int{wantOn, wantOff}, [2]int{on, off}, "%d kids, %d spots", n, c)
		}
	}
}

// TestDefaultRestIsLeast: whoever is there when, a limit below the default (that is not at its own floor) leaves no plan,
// whoever plays how often; for kids who are all there the defaults leave one, with equal series.
func TestDefaultRestIsLeast(t *testing.T) {
	below := 0
	for seed := range uint64(400) {
		rng := newRand(seed)
		n, series := 5+rng.IntN(6), 3+rng.IntN(6)
		avail, spots := make([]Presence, n), make([]int, series)
		c := 1 + rng.IntN(5)
		for s := range spots {
			spots[s] = c
		}
		for k := range avail {
			avail[k].Last = series - 1
			if k >= c && chance(rng, 40) {
				avail[k].First = rng.IntN(series)
			}
			if k >= c && seed >= 200 && chance(rng, 40) {
				avail[k] = randomGap(rng, avail[k])
			}
		}
		on, off := DefaultRest(avail, spots)
		p := plainGame(avail, spots)
		if off > 1 {
			below++
			p.MaxOff = off - 1
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: off %d", seed, off)
		}
		if on > 3 {
			below++
			p.MaxOn, p.MaxOff = on-1, 0
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: on %d", seed, on)
		}
		full := slices.Repeat([]Window{{0, series - 1}}, n)
		p = plainGame(full, spots)
		p.MaxOn, p.MaxOff = DefaultRest(full, spots)
		for k, share := range FairShares(full, spots) {
			p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
		}
		require.Equal(t, Yes, Feasible(context.Background(), p), "seed %d: %d kids, %d spots, %d series", seed, n, c, series)
	}
	require.Greater(t, below, 50)
}

// TestRestForSharesIsLeast: below a limit that equal series raise no plan has them.
func TestRestForSharesIsLeast(t *testing.T) {
	raisedOn, raisedOff := 0, 0
	for seed := range uint64(900) {
		rng := newRand(seed)
		n, series := 5+rng.IntN(6), 4+rng.IntN(9)
		avail, spots := slices.Repeat([]Presence{{Last: series - 1}}, n), slices.Repeat([]int{1 + rng.IntN(5)}, series)
		for range 1 + rng.IntN(2) {
			k := rng.IntN(n)
			avail[k].First = rng.IntN(1 + series/3)
			avail[k].Last = avail[k].First + rng.IntN(series-avail[k].First)
		}
		if k := rng.IntN(n); seed >= 600 {
			avail[k] = randomGap(rng, avail[k])
		}
		p := plainGame(avail, spots)
		for k, share := range FairShares(avail, spots) {
			p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
		}
		on, off := DefaultRest(avail, spots)
		var lo []int
		for _, kid := range p.Kids {
			lo = append(lo, kid.Lo)
		}
		longest, moreOff := restForShares(grid(avail, series), lo, spots, on, off)
		require.GreaterOrEqual(t, moreOff, off)
		for k, n := range longest {
			require.GreaterOrEqual(t, n, on)
			if n == on {
				continue
			}
			raisedOn++
			p.MaxOn, p.MaxOff = on, 0
			for j := range longest {
				p.Kids[j].MaxOn = longest[j]
			}
			p.Kids[k].MaxOn = n - 1
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: kid %d on %d", seed, k, n)
		}
		if moreOff > off {
			raisedOff++
			p.MaxOn, p.MaxOff = 0, moreOff-1
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: off %d", seed, moreOff)
		}
	}
	require.Greater(t, raisedOn, 30)
	require.Greater(t, raisedOff, 30)
}

// TestMostTurns works examples out by hand.
func TestMostTurns(t *testing.T) {
	all := func(n, last int) []Window { return slices.Repeat([]Window{{0, last}}, n) }
	most := func(avail []Window, spots []int) int { return mostTurns(grid(avail, len(spots)), spots, 0, 1) }
	// Four kids, two spots, at most one series off in a row: everybody plays exactly every other series.
	require.Equal(t, 3, most(all(4, 5), slices.Repeat([]int{2}, 6)))
	// Three kids leave a spot over in every two series, so that the fourth may play on.
	avail := all(4, 5)
	avail[3].Last = 0
	require.Equal(t, 6, most(avail, slices.Repeat([]int{2}, 6)))
	// The others are there from series 2 on. Blocks of two from series 2 on bound the turns, those from series 1 on do not see them:
	// one turn before, one in each of two blocks, one after.
	avail = []Window{{0, 5}, {1, 4}, {1, 4}, {1, 4}}
	require.Equal(t, 4, most(avail, []int{1, 2, 2, 2, 2, 1}))
	require.Zero(t, most([]Window{{3, 2}}, []int{1, 1}))
}

// TestStretchedByAShortStay: ten kids for five spots, and one who leaves after series 6 with six turns due: the others rest as
// usual, and the game is planned at any length, within the reach of the exact method and past it.
func TestStretchedByAShortStay(t *testing.T) {
	for _, series := range []int{14, exactSeries, exactSeries + 1, 40} {
		g := smallGame(10, 5, series)
		g.Kids[4].Last = 5
		out, err := g.Arrange(context.Background(), Settings{Limit: 500 * time.Millisecond}, true)
		require.NoError(t, err)
		require.NotNil(t, out.Result, series)
		require.NotNil(t, out.Result.Plan, series)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		require.Equal(t, 3, out.Problem.MaxOn)
		for k, kid := range out.Problem.Kids {
			require.Equal(t, map[bool]int{true: 6}[k == 4], kid.MaxOn)
		}
	}
}

// TestKeptRest: the default limits leave room for the plan that is to be changed; limits that were asked for do not.
func TestKeptRest(t *testing.T) {
	g := smallGame(10, 5, 8)
	out, err := g.Arrange(context.Background(), Settings{}, true)
	require.NoError(t, err)
	g.Kept = slices.Clone(out.Result.Plan)
	for s := range g.Kept {
		g.Kept[s] = slices.DeleteFunc(slices.Clone(g.Kept[s]), func(c Cell) bool { return c.Kid == 3 || c.Kid == 6 || c.Kid == 9 })
		if s < 5 {
			g.Kept[s] = append(g.Kept[s], Cell{3, 0})
		}
		if s < 2 || s > 4 {
			g.Kept[s] = append(g.Kept[s], Cell{6, 0})
		}
		g.Kept[s] = append(g.Kept[s], Cell{-1, 0})
	}
	p, _, err := g.Problem()
	require.NoError(t, err)
	require.Equal(t, [2]int{3, 3}, [2]int{p.MaxOn, p.MaxOff}, "kid 3 is off in series 6 to 8, kid 6 in 3 to 5, kid 9 is not in the plan at all")
	for k, kid := range p.Kids {
		require.Equal(t, map[int]int{3: 5}[k], kid.MaxOn)
	}
	g.KeptThere = slices.Repeat([]Presence{{Last: 7}}, 10)
	g.KeptThere[3].Last = 6 // away in series 8
	g.KeptThere[6] = Presence{Last: 3}
	p, _, err = g.Problem()
	require.NoError(t, err)
	require.Equal(t, 2, p.MaxOff, "who was away was not on the bench")
	g.MaxOn, g.MaxOff = 2, 1
	p, _, err = g.Problem()
	require.NoError(t, err)
	require.Equal(t, [3]int{2, 1, 0}, [3]int{p.MaxOn, p.MaxOff, p.Kids[3].MaxOn})
}

// TestUnchangedPlanStays: a plan made for kids who come and go, rebuilt with nothing new from any series on, stays as it is,
// whatever limits it took.
func TestUnchangedPlanStays(t *testing.T) {
	stretched := 0
	for seed := range uint64(240) {
		rng := newRand(seed)
		g := smallGame(7+rng.IntN(5), 3+rng.IntN(3), 6+rng.IntN(5))
		for range 1 + rng.IntN(2) {
			k := rng.IntN(len(g.Kids))
			g.Kids[k].First = rng.IntN(3)
			g.Kids[k].Last = g.Kids[k].First + rng.IntN(len(g.Series)-3)
		}
		if k := rng.IntN(len(g.Kids)); seed >= 120 {
			g.Kids[k].Away = randomGap(rng, g.Kids[k].Presence()).Away
		}
		out, err := g.Arrange(context.Background(), Settings{}, false)
		require.NoError(t, err)
		if out.Result == nil || len(out.Loosened) > 0 {
			continue
		}
		for _, kid := range out.Problem.Kids {
			if kid.MaxOn > out.Problem.MaxOn {
				stretched++
			}
		}
		plan := out.Result.Plan
		g.Kept = plan
		g.Played = append([][]Cell(nil), plan[:rng.IntN(len(plan))]...)
		again, err := g.Rearrange(context.Background(), plan, Settings{}, false, func(*Problem) int64 { return 0 })
		require.NoError(t, err)
		require.Equal(t, plan, again.Result.Plan, "seed %d", seed)
		require.Zero(t, again.Rebuilt.Changes.Value)
	}
	require.Greater(t, stretched, 10)
}

// TestRestAheadIsLeast: in the middle of a game only what is ahead counts, and a limit that a kid gets by counting has to be so long.
func TestRestAheadIsLeast(t *testing.T) {
	raised := 0
	for seed := range uint64(250) {
		rng := newRand(seed)
		g := smallGame(9+rng.IntN(3), 5, 12)
		for range 1 + rng.IntN(2) {
			g.Kids[rng.IntN(len(g.Kids))].Last = 4 + rng.IntN(4)
		}
		if k := rng.IntN(len(g.Kids)); seed >= 150 {
			g.Kids[k].Away = randomGap(rng, g.Kids[k].Presence()).Away
		}
		out, err := g.Arrange(context.Background(), Settings{}, false)
		require.NoError(t, err)
		if out.Result == nil {
			continue
		}
		g.Played = append([][]Cell(nil), out.Result.Plan[:1+rng.IntN(3)]...)
		leaver := &g.Kids[rng.IntN(len(g.Kids))]
		if len(leaver.Away) == 0 {
			leaver.Last = len(g.Played) + 2 + rng.IntN(4) // leaves earlier than was thought, or later
		}
		p, _, err := g.Problem()
		require.NoError(t, err)
		for k, kid := range p.Kids {
			if kid.MaxOn > p.MaxOn {
				raised++
				q := *p
				q.Kids, q.MaxOff = slices.Clone(p.Kids), 0
				q.Kids[k].MaxOn--
				require.Equal(t, No, Feasible(context.Background(), &q), "seed %d, kid %d", seed, k)
			}
		}
	}
	require.Greater(t, raised, 20)
}

// TestDefaultsFollowShares: kid 3, there for the last two of five series, is to play both, which keeps kid 0 to 2 from half of the
// series. When that gives way, the limits that it forced do too.
func TestDefaultsFollowShares(t *testing.T) {
	g := smallGame(4, 2, 5)
	g.Kids[3].First = 3
	g.MinShare = 0.5
	out, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.Equal(t, RuleShare, out.Loosened[len(out.Loosened)-1].Rule.Kind)
	require.Equal(t, [2]int{3, 1}, [2]int{out.Problem.MaxOn, out.Problem.MaxOff})
	for _, kid := range out.Problem.Kids {
		require.Zero(t, kid.MaxOn)
	}
}

// TestOneKidPlaysOnAlone: the limit on the field gives way for a kid alone only where that is enough.
func TestOneKidPlaysOnAlone(t *testing.T) {
	for _, c := range []struct {
		name  string
		set   func(*Game)
		all   int
		alone map[int]int
	}{
		{"a kid pinned to five series in a row", func(g *Game) { g.MaxOn = 3; pinned(g, 0, 2, 6) }, 3, map[int]int{0: 5}},
		{"two of them", func(g *Game) { g.MaxOn = 3; pinned(g, 0, 2, 6); pinned(g, 1, 0, 3) }, 3, map[int]int{0: 5, 1: 4}},
		{"a partner who comes along", func(g *Game) { g.Together = [][2]int{{0, 1}}; pinned(g, 0, 2, 6) }, 5, nil},
		{"a partner who is let go first", func(g *Game) { g.MaxOn, g.Together = 3, [][2]int{{0, 1}}; pinned(g, 0, 2, 6) }, 3, map[int]int{0: 5}},
		{"others who fill in for a kid kept out", func(g *Game) {
			g.MaxOn, g.Kids = 1, g.Kids[:4]
			g.Pins = []Pin{{0, -1, 2, false}, {0, -1, 3, false}}
		}, 2, nil},
		{"not said, the same", func(g *Game) { pinned(g, 0, 2, 6) }, 3, map[int]int{0: 5}},
	} {
		g := smallGame(8, 2, 8)
		c.set(g)
		out, err := g.Arrange(context.Background(), Settings{}, false)
		require.NoError(t, err)
		require.NotNil(t, out.Result, c.name)
		require.Equal(t, c.all, out.Problem.MaxOn, c.name)
		listed := 0
		for _, l := range out.Loosened {
			if l.Rule.Kind == RuleMaxOn && len(l.Rule.Kids) == 1 {
				require.Equal(t, c.alone[l.Rule.Kids[0]], l.To, c.name)
				listed++
			}
		}
		require.Equal(t, listed > 0, g.MaxOn > 0 && len(c.alone) > 0, c.name)
		for k, kid := range out.Problem.Kids {
			require.Equal(t, max(c.all, c.alone[k]), max(out.Problem.MaxOn, kid.MaxOn), "%s: kid %d", c.name, k)
		}
	}
}

// pinned pins a kid to series from and up to.
func pinned(g *Game, kid, from, to int) {
	for s := from; s <= to; s++ {
		g.Pins = append(g.Pins, Pin{kid, -1, s, true})
	}
}

// TestWithoutNothing: with every rule kept a problem allows the same plans as it stands.
func TestWithoutNothing(t *testing.T) {
	legal := 0
	for seed := range uint64(300) {
		p := randomProblem(newRand(seed), micro())
		if seed%5 == 0 {
			p.MaxOn, p.Kids[0].MaxOn = 1, 2
		}
		rules := p.rules()
		keep := slices.Repeat([]bool{true}, len(rules))
		q := p.without(rules, keep)
		everyPlan(p, func(plan Plan) {
			was := len(Check(p, plan)) == 0
			require.Equal(t, was, len(Check(q, plan)) == 0, "seed %d", seed)
			if was {
				legal++
			}
		})
	}
	require.Greater(t, legal, 500)
}
