package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
)

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
