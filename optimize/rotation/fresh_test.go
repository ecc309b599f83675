package rotation

import (
	"context"

	"testing"

	"github.com/stretchr/testify/require"
)

// TestFreshAgainstAllPlans: a fresh plan is one of the best there are, and of those one with the fewest changes.
func TestFreshAgainstAllPlans(t *testing.T) {
	saved := 0
	for seed := range uint64(300) {
		pace := everySecondGame(seed)
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		old := oldPlan(rng, p)
		plans := naivePlans(p)
		for _, favor := range favors {
			got, err := Fresh(context.Background(), p, old, Settings{Favor: favor, pace: pace})
			require.NoError(t, err)
			if len(plans) == 0 {
				require.Equal(t, Infeasible, got.Status, "seed %d", seed)
				continue
			}
			require.Equal(t, Proven, got.Status, "seed %d", seed)
			require.True(t, got.Changes.Proven, "seed %d", seed)
			require.Empty(t, Check(p, got.Plan))
			honest(t, p, &got.Result)
			want := int64(1 << 40)
			for _, plan := range plans {
				switch cmp := compareLex(p, favor, plan, got.Plan); {
				case cmp > 0:
					require.Fail(t, "not the best", "seed %d", seed)
				case cmp == 0:
					want = min(want, changedCells(p, plan, old))
				}
			}
			require.Equal(t, want, got.Changes.Value, "seed %d, favor %v", seed, favor)
			require.Equal(t, changedCells(p, got.Plan, old), got.Changes.Value)
			plain := mustSolve(t, p, Settings{Favor: favor, pace: pace})
			if changedCells(p, plain.Plan, old) > want {
				saved++
			}
		}
	}
	require.Greater(t, saved, 20, "the plan of Solve alone has the fewest changes anyhow")
}

// TestTradeoffsAndFresh: no plan of the list is as good as the fresh one with fewer changes.
func TestTradeoffsAndFresh(t *testing.T) {
	met := 0
	for seed := range uint64(40) {
		rng := newRand(seed)
		p := randomProblem(rng, randomOptions{Base: true, Kids: [2]int{7, 9}, Series: [2]int{4, 6}})
		old := oldPlan(rng, p)
		set := Settings{}
		fresh, err := Fresh(context.Background(), p, old, set)
		require.NoError(t, err)
		trade, err := Tradeoffs(context.Background(), p, old, set)
		require.NoError(t, err)
		for _, x := range trade {
			if x.Weakest.Value == fresh.Weakest.Value && x.Total == fresh.Total.Value && fresh.Changes.Proven {
				met++
				require.GreaterOrEqual(t, x.Changes, fresh.Changes.Value, "seed %d", seed)
			}
		}
	}
	require.Greater(t, met, 3)
}
