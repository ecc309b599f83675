package main

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
		n := tenths(x)
		if n < 0 || point(x)[0] == '-' {
			sign, n = "-", -n
		}
		require.Equal(t, point(x), fmt.Sprintf("%s%d.%d", sign, n/10, n%10))
	})
	require.NotPanics(t, func() { tenths(math.Inf(1)); tenths(math.NaN()) })
}

// What is shown adds up, and a difference is never shown as none.
func TestRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(0, 100).Draw(t, "from")
		to := from + rapid.Float64Range(-0.5, 0.5).Draw(t, "more")
		switch got := rise(from, to); {
		case from == to:
			require.Equal(t, "nothing", got)
		case got == "less than 0.1":
			require.Equal(t, point(from), point(to))
		default:
			var d float64
			_, err := fmt.Sscan(got, &d)
			require.NoError(t, err)
			require.Positive(t, d)
			require.InDelta(t, math.Abs(float64(tenths(to)-tenths(from)))/10, d, 1e-9)
		}
	})
	require.Equal(t, "0.1", rise(52.64, 52.66))
	require.Equal(t, "less than 0.1", rise(52.66, 52.74))
}
