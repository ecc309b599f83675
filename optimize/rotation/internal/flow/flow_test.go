package flow

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// assignAll is the least cost of giving every row from i on a column of its own, by trying all of them.
func assignAll(cost [][]int64, i int, used int) int64 {
	if i == len(cost) {
		return 0
	}
	best := int64(math.MaxInt32)
	for j, c := range cost[i] {
		if used>>j&1 == 0 {
			best = min(best, c+assignAll(cost, i+1, used|1<<j))
		}
	}
	return best
}

// TestAssignments: the flow costs what the best assignment costs, and at its potentials no arc with room left is worth using.
func TestAssignments(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 1 + rng.IntN(5)
		cost := make([][]int64, n)
		f := New(2*n + 2)
		for i := range cost {
			f.Arc(0, 1+i, 1, 0)
			f.Arc(1+n+i, 2*n+1, 1, 0)
			for j := range n {
				cost[i] = append(cost[i], rng.Int64N(41)-20)
				f.Arc(1+i, 1+n+j, 1, cost[i][j])
			}
		}
		amount, sum, ok := f.Run(0, 2*n+1, func() bool { return false })
		require.True(t, ok)
		require.Equal(t, n, amount)
		require.Equal(t, assignAll(cost, 0, 0), sum, "seed %d", seed)
		f.Potentials()
		for e, a := range f.arcs {
			if from := int(f.arcs[e^1].to); a.cap > 0 {
				require.GreaterOrEqual(t, a.cost+f.At(from)-f.At(int(a.to)), int64(0), "seed %d", seed)
			}
		}
	}
}

// TestStopped: a flow that is not to run on says so.
func TestStopped(t *testing.T) {
	f := New(2)
	f.Arc(0, 1, 1, 0)
	_, _, ok := f.Run(0, 1, func() bool { return true })
	require.False(t, ok)
}
