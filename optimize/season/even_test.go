package season

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestJainPublished: 10, 20, 30 give 60^2/(3*1400) = 3600/4200; k of n with the same and the rest with nothing give k/n
// (Jain, Chiu and Hawe 1984, DEC-TR-301).
func TestJainPublished(t *testing.T) {
	require.InDelta(t, 3600./4200, Jain([]float64{10, 20, 30}), 1e-12)
	for k := 1; k <= 10; k++ {
		x := make([]float64, 10)
		for i := range k {
			x[i] = 7.5
		}
		require.InDelta(t, float64(k)/10, Jain(x), 1e-12)
	}
	require.True(t, math.IsNaN(Jain(nil)))
	require.True(t, math.IsNaN(Jain([]float64{0, 0})))
}

// TestGiniPublished: 1, 3, 2, 1, 1, 1, 4 give 0.3076923 (example in the help of the R package phylotools); the twenty incomes give 0.38625
// (a worked example of incomes in thousands; where it was printed was not kept); one of n with all gives (n-1)/n, the greatest value (Damgaard and Weiner 2000).
func TestGiniPublished(t *testing.T) {
	require.InDelta(t, 0.3076923, Gini([]float64{1, 3, 2, 1, 1, 1, 4}), 5e-8)
	require.InDelta(t, 0.38625, Gini([]float64{38, 3, 4, 5, 6, 8, 8, 9, 11, 12, 14, 17, 19, 21, 23, 27, 29, 32, 33, 1}), 5e-8)
	require.InDelta(t, 0.75, Gini([]float64{0, 4, 0, 0}), 1e-12)
	require.Zero(t, Gini([]float64{4, 4, 4, 4}))
	require.True(t, math.IsNaN(Gini(nil)))
	require.True(t, math.IsNaN(Gini([]float64{0, 0})))
}

// TestIndexIdentities: Jain's index is 1/(1+CV^2) with the population's coefficient of variation (Jain, Chiu and Hawe 1984); Gini's is half of the mean
// absolute difference over the mean; neither depends on the order or the unit.
func TestIndexIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(0.01, 50), 1, 20).Draw(t, "x")
		n, mean, variance, apart := float64(len(x)), 0.0, 0.0, 0.0
		for _, v := range x {
			mean += v / n
		}
		for _, v := range x {
			variance += (v - mean) * (v - mean) / n
			for _, w := range x {
				apart += math.Abs(v-w) / (n * n)
			}
		}
		require.InDelta(t, 1/(1+variance/(mean*mean)), Jain(x), 1e-9)
		require.InDelta(t, apart/(2*mean), Gini(x), 1e-9)
		y := rapid.Permutation(x).Draw(t, "y")
		for i := range y {
			y[i] *= 8
		}
		require.InDelta(t, Jain(x), Jain(y), 1e-9)
		require.InDelta(t, Gini(x), Gini(y), 1e-9)
	})
}
