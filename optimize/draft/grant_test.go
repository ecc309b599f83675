package draft

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestGrant: whatever the pool, granting wishes keeps every rule and makes nothing worse, and the same again gives the same.
func TestGrant(t *testing.T) {
	ctx := context.Background()
	better := 0
	for seed := range uint64(repeats(2, 5)) {
		p := randomPool(seed, 40, 4)
		for i := 0; i < 36; i += 3 {
			p.Carpools = append(p.Carpools, []int{i, i + 1 + int(seed%2)})
		}
		p.Weights.Carpool = 10
		s := Settings{Seed: seed}
		r, err := Draft(ctx, p, s)
		require.NoError(t, err)
		got, err := Grant(ctx, p, r.Split, s)
		require.NoError(t, err)
		require.Empty(t, Check(p, got))
		b := p.Measure(got)
		require.LessOrEqual(t, b.Shortage, r.Balance.Shortage)
		require.LessOrEqual(t, b.Objective, r.Balance.Objective)
		if b.Objective < r.Balance.Objective {
			better++
		}
		again, err := Grant(ctx, p, r.Split, s)
		require.NoError(t, err)
		require.Equal(t, got, again)
	}
	require.Positive(t, better, "the test sees no gain at all")
}
