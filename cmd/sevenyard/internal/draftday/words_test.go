package draftday

import (
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
)

// What is said of the error of measurement says no more than the numbers.
func TestErrorWords(t *testing.T) {
	s := &draftScreen{d: &report.Draft{Measures: []string{"overall", "speed", "hands"}}}
	for _, c := range []struct {
		spread [3]float64
		has    []string
		not    string
	}{
		{[3]float64{1, 1, 1}, []string{"In everything measured the teams differ by less"}, "more than"},
		{[3]float64{1, 2.5, 1}, []string{"In speed they differ by more than the error alone does on average", "In all else they are even"}, "one case of twenty"},
		{[3]float64{1, 2.5, 4}, []string{"In hands the teams differ by more than the error of measurement explains", "In speed they differ", "In all else"}, "everything"},
		{[3]float64{4, 4, 4}, []string{"In overall, speed and hands the teams differ by more"}, "even as far"},
	} {
		s.d.Spread, s.d.Error = map[string]float64{}, map[string]report.Noise{}
		for i, m := range s.d.Measures {
			s.d.Spread[m], s.d.Error[m] = c.spread[i], report.Noise{Range: 2, Range95: 3, Even: c.spread[i] < 2}
		}
		words := s.errorWords()
		for _, w := range c.has {
			require.Contains(t, words, w)
		}
		require.NotContains(t, words, c.not)
	}
}

// Spots that cannot be filled count before everything else, so the price of a trade says when there are more of them.
func TestPriceTellsOfUnfilledSpots(t *testing.T) {
	s := &changeScreen{}
	r := &report.Trade{Price: -1, Before: report.Evenness{Shortage: 0}, After: report.Evenness{Shortage: 1}}
	require.Contains(t, s.priceWords(r, nil), "0 before, 1 after")
	r.After.Shortage = 0
	require.NotContains(t, s.priceWords(r, nil), "Spots of the formation")
}
