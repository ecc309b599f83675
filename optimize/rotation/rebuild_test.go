package rotation

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// oldPlan draws cells to keep, legal or not, some for kids who are not there.
func oldPlan(rng *rand.Rand, p *Problem) Plan {
	out := make(Plan, len(p.Series))
	for s, shape := range p.Series {
		kids := rng.Perm(len(p.Kids) + 1)
		for r, n := range p.Shapes[shape].Count {
			for ; n > 0 && len(kids) > 0; n-- {
				out[s] = append(out[s], Cell{kids[0] - 1, r})
				kids = kids[1:]
			}
		}
	}
	return out
}

// changedCells counts the cells that are not in old, by the definition.
func changedCells(p *Problem, plan, old Plan) int64 {
	n := int64(0)
	for s, cells := range plan {
		for _, c := range cells {
			if !isOver(p, s) && !slices.Contains(old[s], c) {
				n++
			}
		}
	}
	return n
}

// rebuildRank is what a rebuild maximises, first to last.
func rebuildRank(p *Problem, plan, old Plan, price int64) []int64 {
	values := valuesOf(p, plan)
	if len(values) == 0 {
		return nil
	}
	n, total := changedCells(p, plan, old), sumOf(values)
	if price > 0 {
		return []int64{total - price*n, -n, slices.Min(values)}
	}
	return []int64{-n, slices.Min(values), total}
}

// TestRebuildAgainstAllPlans compares rebuilds with the list of all plans.
func TestRebuildAgainstAllPlans(t *testing.T) {
	feasible := 0
	for seed := range uint64(500) {
		pace := everySecondGame(seed)
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		old := oldPlan(rng, p)
		plans := naivePlans(p)
		for _, price := range []int64{0, 1, 1 + rng.Int64N(4), 1 + rng.Int64N(300), MaxPrice} {
			got, err := Rebuild(context.Background(), p, old, Settings{pace: pace}, price)
			require.NoError(t, err)
			if len(plans) == 0 {
				require.Equal(t, Infeasible, got.Status, "seed %d", seed)
				continue
			}
			feasible++
			require.Equal(t, Proven, got.Status, "seed %d", seed)
			require.Empty(t, Check(p, got.Plan))
			require.Equal(t, changedCells(p, got.Plan, old), got.Changes.Value)
			best := slices.MaxFunc(plans, func(a, b Plan) int {
				return slices.Compare(rebuildRank(p, a, old, price), rebuildRank(p, b, old, price))
			})
			require.Equal(t, rebuildRank(p, best, old, price), rebuildRank(p, got.Plan, old, price), "seed %d, price %d", seed, price)
		}
	}
	require.Greater(t, feasible, 300)
}

// TestRebuildOfItself changes nothing, and after a kid has left keeps what it can.
func TestRebuildOfItself(t *testing.T) {
	for _, in := range loadInstances(t) {
		if slowInstances[in.Name] || !in.Expected.Feasible || in.Name[0] != 'i' {
			continue
		}
		plan := mustSolve(t, in.Problem, Settings{}).Plan
		r, err := Rebuild(context.Background(), in.Problem, plan, Settings{}, 0)
		require.NoError(t, err)
		require.Zero(t, r.Changes.Value, in.Name)
		require.True(t, r.Changes.Proven)
		require.Equal(t, in.Expected.Weakest, r.Weakest.Value, in.Name)

		fresh, err := Tradeoffs(context.Background(), in.Problem, plan, Settings{})
		require.NoError(t, err)
		require.Len(t, fresh, 1, in.Name)
	}
}

// TestTradeoffsAgainstAllPlans: every point is the best weakest series that so many changes allow.
func TestTradeoffsAgainstAllPlans(t *testing.T) {
	points := 0
	for seed := range uint64(300) {
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		if p.ended() {
			continue
		}
		old, plans := oldPlan(rng, p), naivePlans(p)
		list, err := Tradeoffs(context.Background(), p, old, Settings{})
		require.NoError(t, err)
		if len(plans) == 0 {
			require.Empty(t, list)
			continue
		}
		var want [][2]int64 // changes, weakest
		best := make(map[int64]int64)
		most := int64(0)
		for _, plan := range plans {
			n, w := changedCells(p, plan, old), slices.Min(valuesOf(p, plan))
			if x, ok := best[n]; !ok || w > x {
				best[n] = w
			}
			most = max(most, n)
		}
		for n := int64(0); n <= most; n++ {
			if w, ok := best[n]; ok && (len(want) == 0 || w > want[len(want)-1][1]) {
				want = append(want, [2]int64{n, w})
			}
		}
		var got [][2]int64
		for _, x := range list {
			got = append(got, [2]int64{x.Changes, x.Weakest.Value})
			points++
		}
		require.Equal(t, want, got, "seed %d", seed)
	}
	require.Greater(t, points, 150)
}

// gameOf is a random game under the default rules, kids with normal fits.
func gameOf(rng *rand.Rand, kids, series int) *Game {
	g := &Game{Roles: []string{"front", "corner", "deep"}, Importance: []float64{0.7, 0.7, 0.8}, Forms: []Form{{"2-3", []int{2, 0, 0, 1, 1}}}, Series: make([]int, series)}
	for range kids {
		k := Player{Last: series - 1}
		base := 50 + 7*rng.NormFloat64()
		for range g.Roles {
			k.Fit = append(k.Fit, base+6*rng.NormFloat64())
		}
		g.Kids = append(g.Kids, k)
	}
	return g
}

// BenchmarkRebuild12x10: 12 kids by 10 series; two stay away and one is hurt after series 4.
func BenchmarkRebuild12x10(b *testing.B) {
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		g := gameOf(newRand(uint64(i%20)), 12, 10)
		p, _, err := g.Problem()
		require.NoError(b, err)
		fresh, err := Solve(context.Background(), p, Settings{})
		require.NoError(b, err)
		g.Kids[1].Last, g.Kids[2].Last, g.Kids[7].Last = 3, 3, 3
		g.Played = fresh.Plan[:4]
		b.StartTimer()
		out, err := g.Rearrange(context.Background(), fresh.Plan, Settings{}, false, func(*Problem) int64 { return 0 })
		require.NoError(b, err)
		require.Equal(b, Proven, out.Result.Status)
	}
}
