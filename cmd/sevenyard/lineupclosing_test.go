package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/optimize/rotation"
)

// What the table shows adds up to the total that stands below it, or it is said that it does not.
func TestShownStrengthsAddUpOrItIsSaid(t *testing.T) {
	spoke := 0
	for _, away := range []string{"2", "3", "4", "5", "7", "8", "9", "11", "14", "17"} {
		l := decode[report.Lineup](t, done(t, "lineup", "--demo", "--absent", away, "--format", "json"))
		text := done(t, "lineup", "--demo", "--absent", away)
		sum := int64(0)
		for _, s := range l.Series {
			require.Contains(t, text, fmt.Sprintf("%d  %s       %s", s.Number, s.Formation, point(s.Strength)))
			sum += tenths(s.Strength)
		}
		if sum == tenths(l.Total.Value) {
			require.NotContains(t, text, "rounded by itself")
			continue
		}
		spoke++
		require.Contains(t, strings.Join(strings.Fields(text), " "), "the strengths as shown add up to "+point(float64(sum)/10)+".")
	}
	require.Positive(t, spoke)
}

// With even strength and too little time, the screen says how many series are proven.
func TestProvenLevelsAreCounted(t *testing.T) {
	l := &report.Lineup{Weakest: report.Weakest{Bounded: report.Bounded{Value: 50, Bound: 50, Proven: true}}}
	for _, x := range []float64{50, 51, 52, 53} {
		l.Series = append(l.Series, report.LineupSeries{Strength: x})
	}
	result := &rotation.Result{Status: rotation.Limited, Levels: 3}
	s := &lineupScreen{view: view{Style: screen.Style{Width: 400}}, l: l, pl: &gameplan.Plan{Outcome: &rotation.Outcome{Result: result}}, set: rotation.Settings{Favor: rotation.Even}}
	require.Contains(t, s.levels(), "the first 3 of 4 are each as strong as they can be")
	require.Contains(t, s.verdict(), "up to the 3 weakest (proven)")
	result.Levels = 1
	require.Contains(t, s.levels(), "the first is the best possible (proven), for the others that is not proven")
}

// Levels that read alike are counted together.
func TestLevelsAsShown(t *testing.T) {
	l := &report.Lineup{}
	for _, x := range []float64{53.72, 54, 53.68, 54.1} {
		l.Series = append(l.Series, report.LineupSeries{Strength: x})
	}
	s := &lineupScreen{view: view{Style: screen.Style{Width: 400}}, l: l, pl: &gameplan.Plan{Outcome: &rotation.Outcome{Result: &rotation.Result{}}}, set: rotation.Settings{Favor: rotation.Even}}
	require.Contains(t, s.levels(), "53.7 (2 times), 54.0, 54.1;")
}
