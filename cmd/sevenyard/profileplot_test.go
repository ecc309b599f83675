package main

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
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

// The plot says what the table and the JSON say, fits any width, and does with plain signs where the terminal has no others.
func TestPlotOfTheProfile(t *testing.T) {
	p := decode[report.Profile](t, done(t, "profile", "--demo", "--format", "json"))
	for _, width := range []string{"40", "57", "80", "120"} {
		out := done(t, "profile", "--demo", "--plot", "--width", width)
		for _, l := range strings.Split(out, "\n") {
			require.LessOrEqual(t, texttab.Width(l), map[string]int{"40": 40, "57": 57, "80": 80, "120": 120}[width], l)
		}
		require.Equal(t, out, done(t, "profile", "--demo", "--plot", "--width", width, "--format", "text"))
		dots := strings.Count(out, "●") - 1 // one in the words
		tested := 0
		for _, k := range p.Kids {
			for _, x := range k.Traits {
				if x.Tested {
					tested++
				}
			}
		}
		require.Equal(t, tested, dots)
	}
	require.NotContains(t, done(t, "profile", "--demo", "--plot", "--ids-only"), "Viggo")
}
