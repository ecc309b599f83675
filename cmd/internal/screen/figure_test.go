package screen

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestFigure: one rule for every number that is shown, halves away from zero, also where floating point leaves a half a little short.
func TestFigure(t *testing.T) {
	for _, x := range []struct {
		x      float64
		digits int
		want   string
	}{{2.5, 0, "3"}, {3.5, 0, "4"}, {-2.5, 0, "-3"}, {0.5, 0, "1"}, {54.25, 1, "54.3"}, {0.35, 1, "0.4"}, {1.005, 2, "1.01"}, {-0.04, 1, "0.0"}, {-0.05, 1, "-0.1"},
		{2.4999, 0, "2"}, {0.1 + 0.2, 1, "0.3"}, {9.95, 1, "10.0"}, {1e18, 1, "1000000000000000000.0"}} {
		require.Equal(t, x.want, Figure(x.x, x.digits), "%v", x.x)
	}
	for _, x := range []float64{math.Inf(1), math.Inf(-1), math.NaN(), math.MaxFloat64} {
		require.NotPanics(t, func() { Figure(x, 1) })
	}
}

// A number written down to one digit more than is shown rounds by that digit alone.
func TestFigureHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, digits := rapid.Int64Range(-1e7, 1e7).Draw(t, "n"), rapid.IntRange(0, 3).Draw(t, "digits")
		x := float64(n) / math.Pow10(digits+1)
		up := (max(n, -n) + 5) / 10 // halves away from zero
		want := new(big.Rat).SetFrac64(up, int64(math.Pow10(digits))).FloatString(digits)
		if n < 0 && up > 0 {
			want = "-" + want
		}
		require.Equal(t, want, Figure(x, digits), "%v", x)
		require.False(t, strings.HasPrefix(Figure(x, digits), "-0") && strings.Trim(Figure(x, digits), "-0.") == "")
	})
}
