package draft

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNoisePublished compares with the factors d2 of control charts (expected range of n standard normal numbers; Tippett 1925, Biometrika 17,
// as in Montgomery, Introduction to Statistical Quality Control, appendix VI) and with the upper 5 % points of the studentised range with
// infinitely many degrees of freedom (Pearson and Hartley, Biometrika Tables for Statisticians, table 29). Both from memory.
func TestNoisePublished(t *testing.T) {
	for _, c := range []struct {
		teams  int
		d2     float64
		upper5 float64
	}{{2, 1.128, 2.77}, {3, 1.693, 3.31}, {4, 2.059, 3.63}, {5, 2.326, 3.86}, {10, 3.078, 4.47}, {20, 3.735, 5.01}} {
		sds := slices.Repeat([]float64{1}, c.teams)
		require.InDelta(t, c.d2, expectedRange(sds), 0.0006, "%d teams", c.teams)
		require.InDelta(t, c.upper5, rangeQuantile(sds, 0.95), 0.006, "%d teams", c.teams)
	}
}

// TestNoiseSimulated compares unequal teams with draws.
func TestNoiseSimulated(t *testing.T) {
	sds := []float64{0.5, 1, 1.5, 3}
	rng := rand.New(rand.NewPCG(1, 2))
	const draws = 200_000
	var sum float64
	ranges := make([]float64, draws)
	for i := range ranges {
		low, high := 1e9, -1e9
		for _, s := range sds {
			x := s * rng.NormFloat64()
			low, high = min(low, x), max(high, x)
		}
		ranges[i] = high - low
		sum += ranges[i]
	}
	slices.Sort(ranges)
	require.InDelta(t, sum/draws, expectedRange(sds), 0.02)
	require.InDelta(t, ranges[draws*95/100], rangeQuantile(sds, 0.95), 0.05)
}

// TestNoiseOfPool works the error of a team mean out by hand: four kids with errors 3, 4, 0 and 12 have a mean with error 13/4.
func TestNoiseOfPool(t *testing.T) {
	p := &Pool{Teams: []string{"a", "b"}, Measures: []Measure{{Label: "overall", Weight: 100}}}
	for i, e := range []float64{3, 4, 0, 12, 3, 4, 0, 12} {
		p.Kids = append(p.Kids, Kid{Label: string(rune('a' + i)), Scores: []float64{50}, Errors: []float64{e}})
	}
	n := p.Noise(Split{0, 0, 0, 0, 1, 1, 1, 1})
	require.InDelta(t, 13.0/4, n[0].SD, 1e-12)
	require.InDelta(t, 13.0/4*1.128379, n[0].Range, 1e-4) // 2/sqrt(pi)
	require.Equal(t, []float64{n[0].Range}, p.NoiseRanges(Split{0, 0, 0, 0, 1, 1, 1, 1}))
	for k := range p.Kids {
		p.Kids[k].Errors = nil
	}
	require.Equal(t, []float64{0}, p.NoiseRanges(Split{0, 0, 0, 0, 1, 1, 1, 1}))
}
