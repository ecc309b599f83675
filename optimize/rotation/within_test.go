package rotation

import (
	"context"
	"encoding/binary"
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestRebuildWithinAgainstAllPlans: of all plans with few enough changes, the strongest weakest series, then the fewest changes, then the total.
func TestRebuildWithinAgainstAllPlans(t *testing.T) {
	between, none := 0, 0
	for seed := range uint64(400) {
		pace := everySecondGame(seed)
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		if p.ended() {
			continue
		}
		old, plans := oldPlan(rng, p), naivePlans(p)
		if len(plans) == 0 {
			continue
		}
		least := changedCells(p, slices.MinFunc(plans, func(a, b Plan) int { return int(changedCells(p, a, old) - changedCells(p, b, old)) }), old)
		for _, most := range []int64{max(0, least-1), least, least + 1, least + 3} {
			got, err := RebuildWithin(context.Background(), p, old, Settings{pace: pace}, most)
			require.NoError(t, err)
			require.Equal(t, Proven, got.Status)
			require.Empty(t, Check(p, got.Plan))
			if most < least {
				none++
				require.Equal(t, least, got.Changes.Value)
				continue
			}
			rank := func(plan Plan) []int64 {
				values := valuesOf(p, plan)
				return []int64{slices.Min(values), -changedCells(p, plan, old), sumOf(values)}
			}
			var want []int64
			for _, plan := range plans {
				if r := rank(plan); changedCells(p, plan, old) <= most && (want == nil || slices.Compare(r, want) > 0) {
					want = r
				}
			}
			require.Equal(t, want, rank(got.Plan), "seed %d, at most %d changes", seed, most)
			require.True(t, got.Changes.Proven)
			require.Equal(t, -want[1], got.Changes.Value)
			if -want[1] > least {
				between++
			}
		}
	}
	require.Greater(t, between, 50)
	require.Greater(t, none, 20)
}

// A row of the list of trade-offs is the plan that so many changes give.
func TestTradeoffsAreRebuildsWithin(t *testing.T) {
	rows := 0
	for seed := range uint64(200) {
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		old := oldPlan(rng, p)
		list, err := Tradeoffs(context.Background(), p, old, Settings{})
		require.NoError(t, err)
		for _, x := range list {
			got, err := RebuildWithin(context.Background(), p, old, Settings{}, x.Changes)
			require.NoError(t, err)
			require.Equal(t, []int64{x.Changes, x.Weakest.Value, x.Total}, []int64{got.Changes.Value, got.Weakest.Value, got.Total.Value}, "seed %d", seed)
			rows++
		}
	}
	require.Greater(t, rows, 100)
}

// Kids kept apart cannot share the series that are left: games in the middle of which that decides, and which took the
// search by series more than its effort to settle. The answer is held to a walk over all situations, without any bound.
func TestApartIsSettledMidGame(t *testing.T) {
	t.Parallel()
	most := 200_000
	if sweepOn() {
		most = math.MaxInt
	}
	walked := map[bool]int{}
	for _, seed := range []uint64{10, 21, 30, 67, 103, 123, 138, 177, 185, 192} {
		g, plan, _ := midGame(seed)
		p, _, err := g.Problem()
		require.NoError(t, err)
		got := Feasible(context.Background(), p)
		require.NotEqual(t, Maybe, got, "seed %d", seed)
		if want, ok := hasPlan(p, most); ok {
			walked[want]++
			require.Equal(t, want, got == Yes, "seed %d", seed)
		}
		out, err := g.Rearrange(context.Background(), plan, Settings{}, false, func(*Problem) int64 { return 0 })
		require.NoError(t, err)
		require.Equal(t, Proven, out.Result.Status)
		require.Equal(t, got == Yes, out.Conflict == nil && len(out.Loosened) == 0 && p.MaxOff == out.Problem.MaxOff && p.MaxOn == out.Problem.MaxOn, "seed %d", seed)
	}
	require.GreaterOrEqual(t, walked[true], 2)
	require.GreaterOrEqual(t, walked[false], 4)
}

// hasPlan goes through all situations of a game, series by series; not ok: before some series there are more than so many.
func hasPlan(p *Problem, most int) (has, ok bool) {
	p = p.normal()
	m, ok := newModel(p, p.linksRoles(), nil, never0)
	if !ok || m.infeasible() {
		return false, ok
	}
	state, to := make([]int16, m.kids), make([]int16, m.kids)
	key := make([]byte, 2*m.kids)
	layer := map[string]bool{string(key): true}
	for s := range m.series {
		next := map[string]bool{}
		for from := range layer {
			for k := range state {
				state[k] = int16(binary.LittleEndian.Uint16([]byte(from[2*k:])))
			}
			for c := range m.tables[s].len() {
				if !after(m, s, c, state, to) {
					continue
				}
				for k, x := range to {
					binary.LittleEndian.PutUint16(key[2*k:], uint16(x))
				}
				if !next[string(key)] {
					next[string(key)] = true
				}
			}
			if len(next) > most {
				return false, false
			}
			// Nothing else would let the collector go on under WebAssembly, where all goroutines share a thread.
			runtime.Gosched()
		}
		layer = next
	}
	return len(layer) > 0, true
}
