package gameday

import (
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// With even strength and too little time, the screen says how many series are proven.
func TestProvenLevelsAreCounted(t *testing.T) {
	l := &report.Lineup{Weakest: report.Weakest{Bounded: report.Bounded{Value: 50, Bound: 50, Proven: true}}}
	for _, x := range []float64{50, 51, 52, 53} {
		l.Series = append(l.Series, report.LineupSeries{Strength: x})
	}
	l.Favor, l.Levels = "even", 3
	s := &lineupScreen{View: tty.View{Style: screen.Style{Width: 400}}, l: l, sh: &report.Shown{Ended: report.EndTime}}
	require.Contains(t, s.levels(), "the first 3 of 4 are each as strong as they can be")
	require.Contains(t, s.verdict(), "up to the 3 weakest (proven)")
	l.Levels = 1
	require.Contains(t, s.levels(), "the first is the best possible (proven), for the others that is not proven")
}

// Levels that read alike are counted together.
func TestLevelsAsShown(t *testing.T) {
	l := &report.Lineup{}
	for _, x := range []float64{53.72, 54, 53.68, 54.1} {
		l.Series = append(l.Series, report.LineupSeries{Strength: x})
	}
	s := &lineupScreen{View: tty.View{Style: screen.Style{Width: 400}}, l: l, sh: &report.Shown{}}
	require.Contains(t, s.levels(), "53.7 (2 times), 54.0, 54.1;")
}
