package gameday

import (
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
)

func TestWhySaysWhatIsNotProven(t *testing.T) {
	open := report.Why{Wishes: []report.Wish{{Role: "deep"}}}
	s := &whyScreen{w: &open}
	require.Equal(t, "Deep at least once: no such plan was found in the time given.", s.wish(report.Wish{Role: "deep"}))
	require.Equal(t, "Deep at least once: no plan under the rules has that (proven).", s.wish(report.Wish{Role: "deep", Proven: true}))
	require.Contains(t, s.wish(report.Wish{Role: "deep", Possible: true, Weakest: -1}), "as far as was found in the time given")
	require.NotContains(t, s.wish(report.Wish{Role: "deep", Possible: true, Weakest: -1, Proven: true}), "time given")
	require.NotContains(t, s.closing(), "Every figure")
	require.Contains(t, (&whyScreen{w: &report.Why{}}).closing(), "Every figure")
	require.NotContains(t, (&whyScreen{w: &report.Why{Rules: []report.Price{{}}}}).closing(), "Every figure")
}
