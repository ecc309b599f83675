package rotation

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// flatProblem has n kids in c spots of one role for so many series, everybody worth about the same.
func flatProblem(n, c, series int, worth int32) *Problem {
	p := &Problem{Roles: []string{"any"}, Scale: 10, Shapes: []Shape{{Count: []int{c}}}, Series: make([]int, series)}
	for k := range n {
		p.Kids = append(p.Kids, Kid{Label: fmt.Sprint(k), Last: series - 1, Lo: series * c / n, Hi: (series*c + n - 1) / n})
		p.Shapes[0].Value = append(p.Shapes[0].Value, []int32{worth + int32(k)})
	}
	return p
}

// TestGreatestValues: at the ends of the range of values, totals are far outside the range of an int32.
func TestGreatestValues(t *testing.T) {
	for _, worth := range []int32{-maxValue, maxValue - 13} {
		p := flatProblem(13, 12, 13, worth)
		want := int64(0) // in every series one kid rests, in all each of them once
		for k := range int64(13) {
			want += 12 * (int64(worth) + k)
		}
		if worth < 0 {
			require.Less(t, want, int64(math.MinInt32))
		}
		for _, favor := range favors {
			r := mustSolve(t, p, Settings{Favor: favor})
			require.Equal(t, Proven, r.Status, "worth %d, favor %v", worth, favor)
			require.Equal(t, want, r.Total.Value)
		}
		require.Equal(t, Yes, Feasible(context.Background(), p))
		old := mustSolve(t, p, Settings{}).Plan
		slices.Reverse(old)
		got, err := Rebuild(context.Background(), p, old, Settings{}, 0)
		require.NoError(t, err)
		require.Equal(t, Proven, got.Status)
		require.Zero(t, got.Changes.Value)
	}
}

// TestGreatestPrice compares rebuilds at the ends of the range of prices with the list of all plans.
func TestGreatestPrice(t *testing.T) {
	for seed := range uint64(150) {
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		old := oldPlan(rng, p)
		plans := naivePlans(p)
		for _, price := range []int64{1, 1 << 26, MaxPrice} {
			got, err := Rebuild(context.Background(), p, old, Settings{}, price)
			require.NoError(t, err)
			if len(plans) == 0 {
				require.Equal(t, Infeasible, got.Status, "seed %d", seed)
				continue
			}
			best := slices.MaxFunc(plans, func(a, b Plan) int {
				return slices.Compare(rebuildRank(p, a, old, price), rebuildRank(p, b, old, price))
			})
			require.Equal(t, rebuildRank(p, best, old, price), rebuildRank(p, got.Plan, old, price), "seed %d, price %d", seed, price)
			require.Equal(t, Proven, got.Status, "seed %d", seed)
		}
	}
	p := flatProblem(6, 5, 6, 100)
	for _, price := range []int64{-1, MaxPrice + 1, math.MaxInt64} {
		_, err := Rebuild(context.Background(), p, make(Plan, 6), Settings{}, price)
		require.ErrorIs(t, err, ErrBadProblem)
	}
}

// TestBadNumbers: what no problem can mean is refused by everything that takes one, and nothing panics on it.
func TestBadNumbers(t *testing.T) {
	good := flatProblem(6, 4, 3, 100)
	r := mustSolve(t, good, Settings{})
	ctx := context.Background()
	for name, spoil := range map[string]func(*Problem){
		"no scale":            func(p *Problem) { p.Scale = 0 },
		"a negative scale":    func(p *Problem) { p.Scale = -10 },
		"an enormous scale":   func(p *Problem) { p.Scale = math.MaxInt64 },
		"an enormous value":   func(p *Problem) { p.Shapes = []Shape{{Count: []int{4}, Value: slices.Repeat([][]int32{{1 << 24}}, 6)}} },
		"a kid covered twice": func(p *Problem) { p.Covers = []Cover{{[]int{1, 2, 1}, 2}} },
		"a cover of nobody":   func(p *Problem) { p.Covers = []Cover{{[]int{6}, 1}} },
		"a pin of nobody":     func(p *Problem) { p.Pins = []Pin{{6, 0, 0, true}} },
		"no series":           func(p *Problem) { p.Series = nil },
		"too many kids":       func(p *Problem) { p.Kids = make([]Kid, MaxKids+1) },
	} {
		p := *good
		spoil(&p)
		require.ErrorIs(t, p.Validate(), ErrBadProblem, name)
		_, err := Solve(ctx, &p, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = Rebuild(ctx, &p, r.Plan, Settings{}, 0)
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = RebuildWithin(ctx, &p, r.Plan, Settings{}, 2)
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = Fresh(ctx, &p, r.Plan, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = Tradeoffs(ctx, &p, r.Plan, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = Grant(ctx, &p, r, Wish{Kid: 0, Role: 0, Series: 0}, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		_, err = Prices(ctx, &p, r, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		require.Equal(t, No, Feasible(ctx, &p), name)
		require.NotNil(t, Explain(ctx, &p), name)
		require.NotEmpty(t, Check(&p, r.Plan), name)
	}
	for _, w := range []Wish{{-1, 0, 0, false}, {6, 0, 0, false}, {0, -2, 0, false}, {0, 1, 0, true}, {0, 0, -2, false}, {0, 0, 3, false}} {
		_, err := Grant(ctx, good, r, w, Settings{})
		require.ErrorIs(t, err, ErrBadWish, "%v", w)
	}
	for _, none := range []*Result{nil, {Status: Infeasible}} {
		_, err := Grant(ctx, good, none, Wish{}, Settings{})
		require.ErrorIs(t, err, ErrBadProblem)
		_, err = Prices(ctx, good, none, Settings{})
		require.ErrorIs(t, err, ErrBadProblem)
	}
	begun := *good
	begun.Played = [][]Cell{r.Plan[0], nil, nil}
	_, err := Grant(ctx, &begun, mustSolve(t, &begun, Settings{}), Wish{Kid: 0, Role: 0, Series: 0}, Settings{})
	require.ErrorIs(t, err, ErrBadWish)
	require.ErrorContains(t, err, "series 1 is over")
}

// TestManySpotCounts: formations of every size at once have no small common multiple.
func TestManySpotCounts(t *testing.T) {
	g := smallGame(40, 2, 40)
	for n := 1; n <= 40; n++ {
		g.Forms = append(g.Forms, Form{Label: fmt.Sprint(n), Spots: make([]int, n)})
		g.Series[n-1] = n
	}
	_, _, err := g.Problem()
	require.ErrorIs(t, err, ErrBadGame)
	for s := range g.Series {
		g.Series[s] = 1 + s%12 // 1 to 12 spots: lcm 27,720
	}
	p, _, err := g.Problem()
	require.NoError(t, err)
	require.Equal(t, int64(277_200), p.Scale)
	g.Kids[3].Fit[0] = 5_000 // worth 277,200 times 10 times as much at the only spot there is
	_, _, err = g.Problem()
	require.ErrorIs(t, err, ErrBadGame)
}

func TestGameSizes(t *testing.T) {
	for name, spoil := range map[string]func(*Game){
		"kids":   func(g *Game) { g.Kids = slices.Repeat(g.Kids, 20_000) },
		"series": func(g *Game) { g.Series = make([]int, 100_000) },
		"spots":  func(g *Game) { g.Forms[0].Spots = make([]int, MaxKids+1) },
		"played": func(g *Game) { g.Played = make([][]Cell, 7) },
		"roles":  func(g *Game) { g.MinRoles = math.MaxInt },
		"season": func(g *Game) { g.SeasonRoles = math.MaxInt },
		"cover":  func(g *Game) { g.Covers = []Cover{{[]int{0}, 1 << 31}} },
	} {
		g := smallGame(4, 2, 6)
		spoil(g)
		_, _, err := g.Problem()
		require.ErrorIs(t, err, ErrBadGame, name)
	}
}

// TestNobodyThereAnyMore: in a series that is over it does not matter who is left.
func TestNobodyThereAnyMore(t *testing.T) {
	g := smallGame(5, 3, 4)
	g.Played = [][]Cell{{{0, 0}, {1, 0}, {2, 1}}, {{2, 0}, {3, 1}}}
	for k := range g.Kids {
		g.Kids[k].First = 2
	}
	g.Kids[4].First = 3
	out, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.NotNil(t, out.Result)
	require.Equal(t, Proven, out.Result.Status)
	assert.Empty(t, out.Short, "what is over was as long as it was")
	assert.Equal(t, g.Played[:2], [][]Cell(out.Result.Plan[:2]))
	g.Kids[0].Last, g.Kids[1].Last = 2, 2
	g.Kids[2].Last, g.Kids[3].Last = 2, 2
	out, err = g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	assert.Equal(t, []Short{{Series: 3, Dropped: []int{0, 1}}}, out.Short)
	g.Kids[4].Last = 2
	_, _, err = g.Problem()
	require.ErrorIs(t, err, ErrNobody)
	require.ErrorContains(t, err, "series 4")
}

// TestPinsPastTheReach: a kid pinned where it is not, cannot play or stands elsewhere leaves no plan; past the reach of the exact
// method as within.
func TestPinsPastTheReach(t *testing.T) {
	for _, n := range []int{9, 20} {
		for name, pins := range map[string][]Pin{
			"away":            {{0, 0, 1, true}},
			"away, any role":  {{0, -1, 1, true}},
			"twice":           {{1, 0, 2, true}, {1, 1, 2, true}},
			"more than spots": {{1, 1, 3, true}, {2, 1, 3, true}},
			"never":           {{3, 1, 3, true}},
		} {
			p := flatProblem(n, 4, 6, 100)
			p.Roles = []string{"a", "b"}
			p.Shapes[0].Count = []int{3, 1}
			for k := range p.Kids {
				p.Kids[k].Lo, p.Kids[k].Hi = 0, 6
				p.Shapes[0].Value[k] = []int32{100, int32(100 + k)}
			}
			p.Kids[0].First = 3
			p.Kids[3].Never = []bool{false, true}
			require.NotEqual(t, No, Feasible(context.Background(), p), name)
			p.Pins = pins
			require.Equal(t, No, Feasible(context.Background(), p), "%s, %d kids", name, n)
			require.Equal(t, Infeasible, mustSolve(t, p, Settings{Limit: time.Second}).Status, "%s, %d kids", name, n)
		}
	}
}

// TestCapAfterAway: a role played before a kid was marked as away counts.
func TestCapAfterAway(t *testing.T) {
	p := flatProblem(3, 2, 2, 100)
	p.Roles = []string{"a", "b"}
	p.Shapes[0].Count = []int{1, 1}
	for k := range p.Kids {
		p.Kids[k].Lo, p.Kids[k].Hi = 0, 2
		p.Shapes[0].Value[k] = []int32{100, 100}
	}
	p.Shapes[0].Value[0] = []int32{900, 500}
	p.Kids[0].First, p.Kids[0].Cap = 1, 1
	p.Played = [][]Cell{{{0, 0}, {1, 1}}, nil}
	r := mustSolve(t, p, Settings{})
	require.Equal(t, Proven, r.Status)
	require.NotContains(t, r.Plan[1], Cell{0, 0}, "a second time in the role")
	require.Contains(t, r.Plan[1], Cell{0, 1})
}

// TestRebuildPastTheReach: a plan that still holds stays as it is; one that does not is changed little.
func TestRebuildPastTheReach(t *testing.T) {
	p := flatProblem(20, 6, 10, 100)
	set := Settings{Limit: 300 * time.Millisecond}
	old := mustSolve(t, p, set).Plan
	require.NotNil(t, old)
	got, err := Rebuild(context.Background(), p, old, set, 0)
	require.NoError(t, err)
	require.Equal(t, Proven, got.Status)
	require.Equal(t, Bounded{Proven: true}, got.Changes)
	require.Equal(t, old, got.Plan)
	got, err = RebuildWithin(context.Background(), p, old, set, 3)
	require.NoError(t, err)
	require.LessOrEqual(t, got.Changes.Value, int64(3))

	// Who leaves is on in the last series, whatever plan the limit of time has let come of it: the old plan does not hold.
	gone, leaver := *p, old[len(old)-1][0].Kid
	gone.Kids = slices.Clone(p.Kids)
	gone.Kids[leaver].Last = 4
	gone.Kids[leaver].Lo = 0
	for k := range gone.Kids {
		gone.Kids[k].Hi++
	}
	for _, price := range []int64{0, 7} {
		got, err = Rebuild(context.Background(), &gone, old, set, price)
		require.NoError(t, err)
		require.NotNil(t, got.Plan)
		require.Empty(t, Check(&gone, got.Plan))
		require.Positive(t, got.Changes.Value)
		require.NotEqual(t, Proven, got.Status, "nothing is proven but by a count")
		require.LessOrEqual(t, got.Changes.Bound, got.Changes.Value)
		require.Equal(t, changedCells(&gone, got.Plan, old), got.Changes.Value)
		if price == 0 {
			require.LessOrEqual(t, got.Changes.Value, int64(15), "most of the old plan can stay")
		}
	}
}

// TestManyRoles: with sixteen roles of several spots each, kids change roles as it comes; a plan is made all the same.
func TestManyRoles(t *testing.T) {
	p := flatProblem(64, 48, 3, 100)
	p.Roles, p.Shapes[0].Count = nil, nil
	for r := range MaxRoles {
		p.Roles = append(p.Roles, fmt.Sprint(r))
		p.Shapes[0].Count = append(p.Shapes[0].Count, 3)
	}
	for k := range p.Kids {
		p.Shapes[0].Value[k] = slices.Repeat([]int32{int32(100 + k)}, MaxRoles)
		p.Kids[k].Lo, p.Kids[k].Hi = 0, 3
	}
	r := mustSolve(t, p, Settings{Limit: 200 * time.Millisecond})
	require.NotNil(t, r.Plan)
	require.False(t, p.assignable(0, 48))
}

// TestPlayedCells: a plan has what was played, cell by cell.
func TestPlayedCells(t *testing.T) {
	x, y := Cell{0, 0}, Cell{1, 0}
	require.True(t, sameCells([]Cell{x, y}, []Cell{y, x}))
	require.False(t, sameCells([]Cell{x, y}, []Cell{x, x}))
	require.False(t, sameCells([]Cell{x, x}, []Cell{x, y}))
}

// TestEvenManyLevels: every level of a long game is proven, however many different ones there are; stopped early, as many as
// are proven are counted.
func TestEvenManyLevels(t *testing.T) {
	n := 18
	p := flatProblem(2, 1, n, 0)
	p.Shapes, p.Kids[0].Never = nil, nil
	for s := range p.Series {
		p.Series[s] = s
		p.Shapes = append(p.Shapes, Shape{Count: []int{1}, Value: [][]int32{{int32(100 + 7*s)}, {int32(100 + 5*s)}}})
	}
	for k := range p.Kids {
		p.Kids[k].Lo, p.Kids[k].Hi = n/2, n/2
	}
	r := mustSolve(t, p, Settings{Favor: Even})
	require.Equal(t, Proven, r.Status)
	require.Equal(t, n, r.Levels)
	want := make([]int64, 0, n) // the weaker kid where it costs least: in the first half
	for s := range int64(n) {
		if s < int64(n)/2 {
			want = append(want, 100+5*s)
		} else {
			want = append(want, 100+7*s)
		}
	}
	slices.Sort(r.Strength)
	slices.Sort(want)
	require.GreaterOrEqual(t, slices.Compare(r.Strength, want), 0)
	short := mustSolve(t, p, Settings{Favor: Even, Limit: 1})
	require.Less(t, short.Levels, n)
	require.NotEqual(t, Proven, short.Status)
}

// TestLoosensAfterSolve: when only the solve finds that there is no plan, rules are loosened all the same. Here time is up, so that
// every question of feasibility is left open.
func TestLoosensAfterSolve(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	open := 0
	for _, c := range loosenings() {
		g := c.game()
		p, _, err := g.Problem()
		require.NoError(t, err)
		require.Equal(t, Maybe, Feasible(ctx, p))
		r, err := Solve(ctx, p, Settings{})
		require.NoError(t, err)
		if r.Status != Infeasible {
			continue
		}
		open++
		out, err := g.Arrange(ctx, Settings{}, false)
		require.NoError(t, err)
		require.Nil(t, out.Conflict, c.name)
		require.NotEqual(t, Infeasible, out.Result.Status, c.name)
		require.NotEmpty(t, out.Loosened, c.name)
		out, err = g.Arrange(ctx, Settings{}, true)
		require.NoError(t, err)
		require.Nil(t, out.Result, c.name)
		require.NotNil(t, out.Conflict, c.name)
		require.False(t, out.Conflict.Smallest, c.name)
	}
	require.Greater(t, open, 1)
}
