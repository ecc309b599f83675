package gameplan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The share that is shown must ask for no more series than the solver found possible, and for not many fewer.
func TestLeastShareAsksForNoMore(t *testing.T) {
	for series := 1; series <= 60; series++ {
		for least := range series + 1 {
			asked := int(math.Ceil(leastShare(least, series)*float64(series) - 1e-9))
			require.LessOrEqual(t, asked, least)
			require.GreaterOrEqual(t, asked, least-1)
		}
	}
	require.Equal(t, 0.37, leastShare(3, 8))
	require.Equal(t, 0.5, leastShare(4, 8))
}
