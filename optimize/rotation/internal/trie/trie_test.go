package trie

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTrieFits compares with going through all words.
func TestTrieFits(t *testing.T) {
	var old *Trie
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		kids, states := 1+rng.IntN(12), 1+rng.IntN(5)
		var words []Ending
		for range rng.IntN(60) {
			var w Word
			for k := range kids {
				x := Place(k, uint64(rng.IntN(states)*12))
				w.Hi, w.Lo = w.Hi+x.Hi, w.Lo+x.Lo
			}
			words = append(words, Ending{w, int64(rng.IntN(6))})
		}
		cut, counts := rng.IntN(len(words)+1), seed%2 == 0
		if old != nil && len(old.level) != kids {
			old = nil
		}
		tr := New(old, Merge(nil, Merge(nil, nil, slices.Clone(words[:cut])), slices.Clone(words[cut:])), kids, counts)
		for range 50 {
			fit := make([]uint64, kids)
			for k := range fit {
				fit[k] = rng.Uint64() | rng.Uint64()
			}
			least := int64(rng.IntN(7))
			want := slices.ContainsFunc(words, func(w Ending) bool {
				for k, set := range fit {
					if set>>w.At(k)&1 == 0 {
						return false
					}
				}
				return !counts || w.Acc >= least
			})
			require.Equal(t, want, tr.Fits(fit, least))
		}
		old = tr
	}
}
