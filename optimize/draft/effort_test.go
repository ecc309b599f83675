package draft

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// noWorse asserts that a result is no worse than another of the same pool, and of the same teams where it is not better.
func noWorse(t *testing.T, was, is *Result, what string, args ...any) (better bool) {
	t.Helper()
	require.Equal(t, was.Split == nil, is.Split == nil)
	if was.Split == nil {
		return false
	}
	args = append([]any{what}, args...)
	require.LessOrEqual(t, is.Balance.Shortage, was.Balance.Shortage, args...)
	better = is.Balance.Shortage < was.Balance.Shortage
	if !better {
		require.LessOrEqual(t, is.Balance.Objective, was.Balance.Objective, args...)
		better = is.Balance.Objective < was.Balance.Objective
	}
	if !better && !is.Proven {
		require.Equal(t, was.Split, is.Split, args...)
	}
	if was.Proven {
		require.True(t, is.Proven, args...)
		require.False(t, better && is.Balance.Objective < was.Balance.Objective*(1-1e-6), "what was proven is beaten")
	}
	return better
}

// wishing is a pool of some kind with carpools in it.
func wishing(rng *rand.Rand, i int) *Pool {
	switch teams := 4 + rng.IntN(3); i % 3 {
	case 0:
		return anyPool(rng, teams*(4+rng.IntN(4))+rng.IntN(teams), teams, 0.3)
	case 1:
		return fullPool(rng.Uint64(), teams*7+rng.IntN(teams), teams)
	default:
		p := randomPool(rng.Uint64(), teams*7+rng.IntN(teams), teams)
		for range 3 + rng.IntN(6) {
			p.Carpools = append(p.Carpools, rng.Perm(len(p.Kids))[:2])
		}
		p.Weights.Carpool = 1 + rng.IntN(200)
		return p
	}
}

// TestEffortIsAPrefix: more effort never gives a worse split, with any seed and with carpools granted, and the same teams where it finds nothing better. Nor does
// another seed give a worse split than the usual one, so nobody who tries again finds that they were handed less even teams.
func TestEffortIsAPrefix(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 7))
	efforts, seeds := 0, 0
	for i := range repeats(6, 400) {
		p := wishing(rng, i)
		seed := 2 + rng.Uint64N(1<<20)
		var was, wasOther *Result
		for _, effort := range []int{1, 2, 3 + rng.IntN(2)} {
			is := mustDraft(t, p, Settings{Effort: effort, Grant: true})
			other := mustDraft(t, p, Settings{Seed: seed, Effort: effort, Grant: true})
			if noWorse(t, is, other, "pool %d, effort %d, seed %d", i, effort, seed) {
				seeds++
			}
			if was != nil && noWorse(t, was, is, "pool %d, effort %d", i, effort) {
				efforts++
			}
			if wasOther != nil {
				noWorse(t, wasOther, other, "pool %d, effort %d, seed %d", i, effort, seed)
			}
			was, wasOther = is, other
		}
	}
	if runtime.GOOS == "js" {
		return // too few pools to find anything in
	}
	require.Positive(t, efforts, "more effort never found anything")
	require.Positive(t, seeds, "another seed never found anything")
}
