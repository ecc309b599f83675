package tty

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTenthsAreWhatTheScreenShows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-2000, 2000).Draw(t, "x")
		sign := ""
		n := Tenths(x)
		if n < 0 || Point(x)[0] == '-' {
			sign, n = "-", -n
		}
		require.Equal(t, Point(x), fmt.Sprintf("%s%d.%d", sign, n/10, n%10))
	})
	require.NotPanics(t, func() { Tenths(math.Inf(1)); Tenths(math.NaN()) })
}

// What is shown adds up, and a difference is never shown as none.
func TestRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(0, 100).Draw(t, "from")
		to := from + rapid.Float64Range(-0.5, 0.5).Draw(t, "more")
		switch got := Rise(from, to); {
		case from == to:
			require.Equal(t, "nothing", got)
		case got == "less than 0.1":
			require.Equal(t, Point(from), Point(to))
		default:
			var d float64
			_, err := fmt.Sscan(got, &d)
			require.NoError(t, err)
			require.Positive(t, d)
			require.InDelta(t, math.Abs(float64(Tenths(to)-Tenths(from)))/10, d, 1e-9)
		}
	})
	require.Equal(t, "0.1", Rise(52.64, 52.66))
	require.Equal(t, "less than 0.1", Rise(52.66, 52.74))
}
