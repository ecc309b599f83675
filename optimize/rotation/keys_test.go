package rotation

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestKeysAreExact: no two situations have the same key, whether they are before the same series or not. Layers whose states take different numbers of
// bits once had keys in common, so that a situation was taken for exhausted that was another one.
func TestKeysAreExact(t *testing.T) {
	across := 0
	for seed := range uint64(400) {
		o := tiny(seed)
		if seed >= 300 {
			o.Series = [2]int{21, exactSeries}
		}
		p := randomProblem(newRand(seed), o).normal()
		if p.Validate() != nil || p.ended() {
			continue
		}
		m, ok := newModel(p, p.linksRoles(), nil, never0)
		if !ok || m.infeasible() {
			continue
		}
		rng, key := newRand(seed), newKeyer(m)
		owner := map[[2]uint64]string{}
		for range 2_000 {
			s, state := rng.IntN(m.series+1), make([]int16, m.kids)
			for k, a := range m.auto {
				state[k] = int16(rng.IntN(a.count[s]))
			}
			require.True(t, key.Fits[s])
			hi, lo := key.Key(s, state)
			require.Equal(t, uint64(1), lo&1)
			at, who := [2]uint64{hi, lo}, fmt.Sprint(s, state)
			if before, seen := owner[at]; seen {
				require.Equal(t, before, who, "seed %d", seed)
			}
			owner[at] = who
		}
		across += len(owner)
	}
	require.Greater(t, across, 1_000)
}

// TestLevelKeysAreExact: with as many levels as the longest game has, keys are the same only where as many levels lie under each rank.
func TestLevelKeysAreExact(t *testing.T) {
	rng := newRand(1)
	owner := map[uint64]string{}
	for range 50 {
		f := &floors{top: 100}
		for range exactSeries - 1 {
			f.rank = append(f.rank, rng.Int32N(100))
		}
		slices.Sort(f.rank)
		clear(owner)
		for range 1_000 {
			below := make([]int32, rng.IntN(exactSeries))
			for i := range below {
				below[i] = rng.Int32N(100)
			}
			slices.Sort(below)
			under := []int{len(below)}
			for _, r := range f.rank {
				n, _ := slices.BinarySearch(below, r)
				under = append(under, n)
			}
			key, who := f.extra(below), fmt.Sprint(under)
			if before, seen := owner[key]; seen {
				require.Equal(t, before, who)
			}
			owner[key] = who
		}
		require.Greater(t, len(owner), 900)
	}
}
