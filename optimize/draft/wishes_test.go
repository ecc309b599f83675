package draft

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestBruteWishes compares with all splits there are: a wish costs what the best split with it is worse than the best without, its own cost aside.
func TestBruteWishes(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 11))
	granted, broken, impossible := 0, 0, 0
	for i := range repeats(40, 400) {
		p := anyPool(rng, 8+rng.IntN(2), 2, 0.3)
		p.Roles = nil
		for k := range p.Kids {
			p.Kids[k].Plays = nil
		}
		p.Carpools = [][]int{rng.Perm(len(p.Kids))[:2]}
		r := mustDraft(t, p, Settings{})
		if r.Split == nil {
			continue
		}
		prices, err := Prices(background, p, r.Split, Settings{})
		require.NoError(t, err)
		free := *p
		free.Carpools = nil
		without, _, _ := oracle(&free)
		tied := free
		tied.Siblings = append(append([][]int{}, p.Siblings...), p.Carpools[0])
		with, _, possible := oracle(&tied)
		w := prices[0]
		require.Equal(t, possible, w.Possible, "pool %d", i)
		switch {
		case !possible:
			impossible++
		case w.Granted:
			granted++
			require.InDelta(t, with-without, w.Price, 1e-6, "pool %d", i)
		default:
			broken++
			require.InDelta(t, with-without, w.Price, 1e-6, "pool %d", i)
			require.GreaterOrEqual(t, w.Price, float64(p.Weights.Carpool)/100-1e-6, "it would have been granted")
		}
	}
	require.Positive(t, granted)
	require.Positive(t, broken)
	t.Logf("%d granted, %d broken, %d impossible", granted, broken, impossible)

	p := plain(6, 2)
	_, err := Prices(background, p, Split{0, 0, 0, 0, 1, 1}, Settings{})
	require.Error(t, err)
}
