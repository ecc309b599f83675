package team

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
)

func TestStripDrawsScoreAndError(t *testing.T) {
	// 61 cells from 20 to 80: one cell a point.
	cell := func(line string, i int) string { return string([]rune(line)[i-20]) }
	line := plainStrokes.strip(assess.Score{T: 60, SE: 4, Tested: true}, 61)
	require.Len(t, line, 61)
	require.Equal(t, "o", cell(line, 60))
	for _, at := range []int{56, 59, 61, 64} {
		require.Equal(t, "=", cell(line, at))
	}
	for _, at := range []int{52, 55, 65, 68} {
		require.Equal(t, "-", cell(line, at))
	}
	for _, at := range []int{51, 69} {
		require.Equal(t, " ", cell(line, at))
	}
	require.Equal(t, "|", cell(line, 50))
	require.Equal(t, "+", cell(plainStrokes.strip(assess.Score{T: 52, SE: 4, Tested: true}, 61), 50))
	require.Equal(t, "o", cell(plainStrokes.strip(assess.Score{T: 95, SE: 1, Tested: true}, 61), 80), "off the axis: at its end")
	require.Equal(t, "|", strings.TrimSpace(plainStrokes.strip(assess.Score{T: math.NaN()}, 61)))
}
