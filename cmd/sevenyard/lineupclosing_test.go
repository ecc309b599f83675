package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// What the table shows adds up to the total that stands below it, or it is said that it does not.
func TestShownStrengthsAddUpOrItIsSaid(t *testing.T) {
	spoke := 0
	for _, away := range []string{"2", "3", "4", "5", "7", "8", "9", "11", "14", "17"} {
		l := decode[report.Lineup](t, done(t, "lineup", "--demo", "--absent", away, "--format", "json"))
		text := done(t, "lineup", "--demo", "--absent", away)
		sum := int64(0)
		for _, s := range l.Series {
			require.Contains(t, text, fmt.Sprintf("%d  %s       %s", s.Number, s.Formation, tty.Point(s.Strength)))
			sum += tty.Tenths(s.Strength)
		}
		if sum == tty.Tenths(l.Total.Value) {
			require.NotContains(t, text, "rounded by itself")
			continue
		}
		spoke++
		require.Contains(t, strings.Join(strings.Fields(text), " "), "the strengths as shown add up to "+tty.Point(float64(sum)/10)+".")
	}
	require.Positive(t, spoke)
}
