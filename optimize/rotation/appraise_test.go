package rotation

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestAppraiseAgainstAllPlans looks at plans of every kind, best and worst: values are theirs, bounds hold for all plans that are no weaker in the objectives
// before, and just the best plans are called that.
func TestAppraiseAgainstAllPlans(t *testing.T) {
	looked, proven := 0, 0
	for seed := range uint64(300) {
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		plans := naivePlans(p)
		if len(plans) == 0 || p.ended() {
			continue
		}
		for _, favor := range favors {
			best := slices.MaxFunc(plans, func(a, b Plan) int { return compareLex(p, favor, a, b) })
			for _, plan := range []Plan{best, plans[rng.IntN(len(plans))], plans[rng.IntN(len(plans))]} {
				for _, limit := range []time.Duration{0, 1} {
					r, err := Appraise(context.Background(), p, plan, Settings{Favor: favor, Limit: limit})
					require.NoError(t, err)
					require.Equal(t, plan, r.Plan)
					honest(t, p, r)
					appraisedRight(t, p, favor, r, plans, best, limit == 0)
					looked++
					if r.Status == Proven {
						proven++
					}
				}
			}
		}
	}
	require.Greater(t, looked, 2000)
	require.Greater(t, proven, 600)
}

func appraisedRight(t *testing.T, p *Problem, favor Favor, r *Result, plans []Plan, best Plan, whole bool) {
	t.Helper()
	is := compareLex(p, favor, r.Plan, best) == 0
	if whole {
		require.Equal(t, is, r.Status == Proven)
	}
	require.False(t, r.Status == Proven && !is)
	value := func(plan Plan) (first, second int64) {
		if w, s := lowestSum(p, plan, 1), lowestSum(p, plan, 0); favor != Total {
			return w, s
		} else {
			return s, w
		}
	}
	first, second := r.Weakest, r.Total
	if favor == Total {
		first, second = second, first
	}
	mine, _ := value(r.Plan)
	for _, plan := range plans {
		f, s := value(plan)
		require.LessOrEqual(t, f, first.Bound)
		require.False(t, first.Proven && f > mine)
		if favor == Even && r.Levels > 1 {
			continue // the total's bound is then that of plans as even
		}
		if f >= mine {
			require.LessOrEqual(t, s, second.Bound)
			require.False(t, second.Proven && s > second.Value)
		}
	}
	if whole {
		top, _ := value(best)
		require.Equal(t, mine == top, first.Proven)
	}
	if favor != Even {
		return
	}
	n := 0
	for n < len(p.Series) && n < r.Levels {
		n++
		require.Equal(t, lowestSum(p, best, n), lowestSum(p, r.Plan, n))
	}
}

func TestAppraiseRefusesWhatBreaksARule(t *testing.T) {
	g := gameOf(newRand(1), 8, 4)
	p, _, err := g.Problem()
	require.NoError(t, err)
	plan := mustSolve(t, p, Settings{}).Plan
	plan[0] = plan[0][1:]
	out, bad, err := g.Appraise(context.Background(), plan, Settings{})
	require.NoError(t, err)
	require.NotEmpty(t, bad)
	require.False(t, out.Result.Weakest.Proven || out.Result.Total.Proven)
	plan[0] = []Cell{{-1, 0}}
	out, bad, err = g.Appraise(context.Background(), plan, Settings{})
	require.NoError(t, err)
	require.NotEmpty(t, bad)
	require.Nil(t, out.Result, "nobody can be valued who is not in the game")
	_, err = Appraise(context.Background(), p, plan, Settings{})
	require.ErrorIs(t, err, ErrIllegal)
}
