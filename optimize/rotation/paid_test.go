package rotation

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPaidIsHeldToTheShareItMakes: a plan that pays back is legal, and as good as it was when it was made, by the word for just those kids; without it, or with
// another's, its shares are broken, and nothing is proven. A plan that pays nothing back is as it was, whatever is said.
func TestPaidIsHeldToTheShareItMakes(t *testing.T) {
	ctx := context.Background()
	for seed := range uint64(6) {
		g := evenGame(newRand(seed))
		plain := arrange(t, g, Weakest)
		g.Kids[7].Owed, g.Kids[3].Owed = 2.4, -1.3
		made := arrange(t, g, Weakest)
		require.Equal(t, []Back{{7, 3}}, made.Owed.Back)
		plan := made.Result.Plan
		for _, owed := range []bool{true, false} {
			h := *g
			h.Kids = slices.Clone(g.Kids)
			if !owed {
				h.Kids[7].Owed, h.Kids[3].Owed = 0, 0
			}
			h.Paid = []Back{{7, 3}}
			out, bad, err := h.Appraise(ctx, plan, Settings{})
			require.NoError(t, err)
			require.Empty(t, bad)
			require.Equal(t, made.Result.Weakest, out.Result.Weakest, "seed %d", seed)
			require.Equal(t, made.Result.Total, out.Result.Total, "seed %d", seed)
			require.Equal(t, []Back{{7, 3}}, out.Owed.Back)
			for _, other := range [][]Back{nil, {{3, 7}}, {{8, 3}}, {{7, 2}}, {{-1, 3}}, {{7, 10}}, {{7, 7}}} {
				h.Paid = other
				out, bad, err = h.Appraise(ctx, plan, Settings{})
				require.NoError(t, err)
				require.NotEmpty(t, bad, "%v", other)
				require.False(t, out.Result.Weakest.Proven || out.Result.Total.Proven)
			}
			h.Paid = []Back{{7, 3}}
			out, bad, err = h.Inspect(plain.Result.Plan)
			require.NoError(t, err)
			require.Empty(t, bad)
			require.Equal(t, [2]int{4, 4}, [2]int{out.Problem.Kids[7].Lo, out.Problem.Kids[7].Hi})
		}
	}
}
