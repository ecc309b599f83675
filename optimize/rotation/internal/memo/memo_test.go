package memo

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNothingFalse: a memo may forget, but what it says was put in; and it forgets little before it is as large as it may be.
func TestNothingFalse(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	m, told := New(), map[Situation]int64{}
	for range 50_000 {
		k := Situation{Hi: rng.Uint64N(4), Lo: rng.Uint64N(20_000)<<1 | 1, Extra: rng.Uint64N(2)}
		acc := rng.Int64N(9)
		m.Put(k, acc)
		if before, there := told[k]; !there || acc > before {
			told[k] = acc
		}
	}
	known := 0
	for k, best := range told {
		require.False(t, m.Seen(k, best+1))
		if m.Seen(k, best) {
			known++
		}
		k.Hi += 4
		require.False(t, m.Seen(k, 0))
	}
	require.Greater(t, known*100, len(told)*99)
}

// TestKeysOfLayers: situations of different layers have different keys, also where their states are the same numbers, and states that
// take more bits than a key has are said not to fit.
func TestKeysOfLayers(t *testing.T) {
	kids := 10
	states := make([][]int, LastLayer+1)
	for s := range states {
		for range kids {
			states[s] = append(states[s], 1+s*9)
		}
	}
	q := NewKeyer(states)
	seen := map[[2]uint64]int{}
	for s := range states {
		require.True(t, q.Fits[s])
		hi, lo := q.Key(s, make([]int16, kids))
		require.NotContains(t, seen, [2]uint64{hi, lo})
		seen[[2]uint64{hi, lo}] = s
	}
	wide := make([]int, 16)
	for k := range wide {
		wide[k] = 1 << 8
	}
	require.Equal(t, []bool{false}, NewKeyer([][]int{wide}).Fits)
}
