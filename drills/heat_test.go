package drills

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestHeatTables holds every threshold to the published row it comes from, on both sides of it.
func TestHeatTables(t *testing.T) {
	// The rows as printed, in degrees Fahrenheit. AAP 2000, Pediatrics 106:158, table 1: below 75; 75.0-78.6; 79-84; above 85.
	// ACSM 2007, J Athl Train 2016;51:593, table 3, not acclimatised: below 82.0; 82.1-86.0; 86.1-90.0; above 90.0. GHSA by-law
	// 2.67: below 82.0; 82.0-86.9; 87.0-89.9; 90.0-92.0; above 92.0. A row number per reading, gaps to the more cautious side.
	for _, x := range []struct {
		f               float64
		aap, acsm, ghsa int
	}{
		{60, 0, 1, 1}, {74.9, 0, 1, 1}, {75, 1, 1, 1}, {78.6, 1, 1, 1}, {78.7, 2, 1, 1}, {79, 2, 1, 1}, {81.9, 2, 1, 1},
		{82, 2, 2, 2}, {82.05, 2, 2, 2}, {82.1, 2, 2, 2}, {84, 2, 2, 2}, {84.1, 3, 2, 2}, {84.9, 3, 2, 2}, {85, 3, 2, 2}, {85.1, 3, 2, 2},
		{86, 3, 2, 2}, {86.05, 3, 3, 2}, {86.1, 3, 3, 2}, {86.9, 3, 3, 2}, {86.95, 3, 3, 3}, {87, 3, 3, 3}, {89.9, 3, 3, 3}, {89.95, 3, 3, 4},
		{90, 3, 3, 4}, {90.1, 3, 4, 4}, {92, 3, 4, 4}, {92.05, 3, 4, 5}, {92.1, 3, 4, 5}, {110, 3, 4, 5},
	} {
		want := map[string]int{"AAP 2000": x.aap, "ACSM 2007": x.acsm, "GHSA 2.67": x.ghsa}
		for _, table := range HeatTables() {
			row, ok := table.Row(WBGT{F: x.f})
			require.Equal(t, want[table.Name] > 0, ok, "%s at %v", table.Name, x.f)
			if ok {
				require.Equal(t, table.Rows[want[table.Name]-1], row, "%s at %v", table.Name, x.f)
			}
		}
	}
}

// TestHeatMostCautious: whatever one table asks for, all of them together ask for no less, and more heat never for less.
func TestHeatMostCautious(t *testing.T) {
	limit := func(n int) int { // 0 is no limit
		if n == 0 {
			return math.MaxInt
		}
		return n
	}
	before := HeatAt(WBGT{F: 40}, "")
	for f := 40.0; f < 120; f += 0.05 {
		h := HeatAt(WBGT{F: f}, "")
		for _, r := range h.Rules {
			require.True(t, h.Stop || !r.Row.Stop || r.Table.Superseded != nil)
			require.LessOrEqual(t, limit(h.MaxOn), limit(r.Row.MaxOn))
			require.LessOrEqual(t, limit(h.BreakEvery), limit(r.Row.BreakEvery))
			require.GreaterOrEqual(t, h.BreakMinutes, r.Row.BreakMinutes)
		}
		if h.Stop || before.Stop {
			require.True(t, h.Stop, "%v", f)
		} else {
			require.LessOrEqual(t, limit(h.MaxOn), limit(before.MaxOn))
			require.LessOrEqual(t, limit(h.BreakEvery), limit(before.BreakEvery))
			require.GreaterOrEqual(t, h.BreakMinutes, before.BreakMinutes)
		}
		before = h
	}
	require.True(t, HeatAt(WBGT{F: 86.01}, "").Stop, "the first current table to call it off")
	require.False(t, HeatAt(WBGT{F: 86}, "").Stop)
	require.Equal(t, 1, HeatAt(WBGT{F: 84.01}, "").MaxOn, "a superseded table that calls it off makes turns short")
	require.Equal(t, 1, HeatAt(WBGT{F: 82}, "").MaxOn, "as much rest as play")
}

// TestHeatOfTheLeague: the table that the league has named decides alone, and nothing that asks for more is kept back.
func TestHeatOfTheLeague(t *testing.T) {
	for _, table := range HeatTables() {
		for f := 40.0; f < 120; f += 0.05 {
			w := WBGT{F: f}
			h, row := HeatAt(w, table.ID), HeatRow{}
			if r, ok := table.Row(w); ok {
				row = r
			}
			require.Equal(t, table.ID, h.League.ID)
			require.Equal(t, row.Stop, h.Stop, "%s at %v", table.ID, f)
			require.Equal(t, []int{row.MaxOn, row.BreakEvery, row.BreakMinutes}, []int{h.MaxOn, h.BreakEvery, h.BreakMinutes}, "%s at %v", table.ID, f)
			for i, r := range h.Rules {
				require.Equal(t, r.Table.ID == table.ID, r.Counts)
				require.True(t, !r.Counts || i == 0, "the league's stands first")
			}
			for _, other := range HeatTables() {
				r, ok := other.Row(w)
				more := ok && (r.Stop && !row.Stop || r.BreakMinutes > row.BreakMinutes ||
					r.MaxOn > 0 && (row.MaxOn == 0 || r.MaxOn < row.MaxOn) || r.BreakEvery > 0 && (row.BreakEvery == 0 || r.BreakEvery < row.BreakEvery))
				told := slices.ContainsFunc(h.Rules, func(x HeatRule) bool { return x.Table.ID == other.ID })
				require.Equal(t, more || other.ID == table.ID && ok, told, "%s beside %s at %v", other.ID, table.ID, f)
			}
		}
	}
	require.True(t, HeatAt(WBGT{F: 84.01}, "aap").Stop, "named, a superseded table is the league's word")
	require.Nil(t, HeatAt(WBGT{F: 84.01}, "").League)
}

// TestHeatBreaksAnHour: a break every so many series is at least as often as the tables print, at eight series an hour.
func TestHeatBreaksAnHour(t *testing.T) {
	for _, x := range []struct {
		f       float64
		anHour  int // GHSA by-law 2.67
		minutes int
	}{{70, 3, 3}, {81.9, 3, 3}, {82, 3, 4}, {84, 3, 4}} {
		h := HeatAt(WBGT{F: x.f}, "")
		require.GreaterOrEqual(t, len(h.Breaks(8)), x.anHour, "%v", x.f)
		require.GreaterOrEqual(t, h.BreakMinutes, x.minutes, "%v", x.f)
	}
	require.Equal(t, []int{2, 4, 6}, HeatAt(WBGT{F: 76}, "").Breaks(8), "a drink every 15 minutes, and none after the last series")
	require.Equal(t, []int{1, 2}, HeatAt(WBGT{F: 80}, "").Breaks(3))
	require.Empty(t, HeatAt(WBGT{F: 80}, "").Breaks(1))
}

// TestParseWBGT: conversions as published side by side in ACSM 2007, table 3 (82.0 and 27.8, 86.0 and 30.0, 90.0 and
// 32.2) and AAP 2000, table 1 (75 and 24, 78.6 and 25.9): half a unit of the last printed digit.
func TestParseWBGT(t *testing.T) {
	for _, x := range []struct{ f, c, within float64 }{{82, 27.8, 0.05}, {86, 30, 0.05}, {90, 32.2, 0.05}, {78.6, 25.9, 0.05}, {75, 24, 0.5}} {
		require.InDelta(t, x.c, WBGT{F: x.f}.C(), x.within)
		back, err := ParseWBGT(number(x.c) + "C")
		require.NoError(t, err)
		require.InDelta(t, x.f, back.F, 9.0/5*x.within)
		require.InDelta(t, x.c, back.C(), 1e-9)
	}
	for text, f := range map[string]float64{"88F": 88, "88 f": 88, "87.5°F": 87.5, "87,5 °F": 87.5, "30C": 86, "30 °C": 86, "100f": 100} {
		w, err := ParseWBGT(text)
		require.NoError(t, err, text)
		require.Equal(t, f, w.F, text)
	}
	for text, says := range map[string]string{"": "no reading", "88": "no unit", "30": "30C", "88FC": "two units", "hot": "no reading", "880F": "likely",
		"-40C": "likely", "31C!": "no reading", "F": "no reading", "1e2F": "no reading", "99C": "likely"} {
		_, err := ParseWBGT(text)
		require.ErrorContains(t, err, says, text)
	}
}

// TestHeatRowsFit: no more than a reader's mistakes, and words for people in every row.
func TestHeatRowsFit(t *testing.T) {
	tables := HeatTables()
	require.Len(t, tables, 3)
	for _, x := range tables {
		require.Regexp(t, "^[a-z]+$", x.ID)
		require.NotEmpty(t, x.Source)
		require.NotEmpty(t, x.Column)
		require.NotEmpty(t, x.Title)
		require.True(t, x.Rows[len(x.Rows)-1].Stop)
		for i, r := range x.Rows {
			require.NotEmpty(t, r.Words)
			require.Equal(t, r.Stop && x.Superseded == nil, r.Stop && r.MaxOn+r.BreakEvery == 0, "only where a table cannot call it off does its hottest row ask for something else")
			require.True(t, !r.Stop || x.Superseded == nil || r.MaxOn == 1 && r.BreakEvery == 1)
			require.True(t, i == 0 || r.From > x.Rows[i-1].From)
		}
	}
	for _, bad := range []string{"[[heat]]\n[[heat.rows]]\nfrom=80.0\nabove=81.0\n", "[[heat]]\nrow=1", "[[heat]]\n[[heat.rows]]\nfrom=80.0\n[[heat.rows]]\nfrom=79.0\n",
		"[[heat]]\n[[heat.rows]]\nfrom=80.0\n[[heat.rows]]\n"} {
		_, err := readHeat([]byte(bad))
		require.Error(t, err, bad)
	}
}

func FuzzParseWBGT(f *testing.F) {
	for _, s := range []string{"88F", "31 °C", "F", "", "88", "1,5c", "°"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ParseWBGT(s)
		if err == nil && !(w.F >= leastWBGT && w.F <= mostWBGT) {
			t.Fatalf("%q gives %v", s, w.F)
		}
		HeatAt(w, "")
	})
}

// The shorter limit counts, whoever's it is; 0 is no limit.
func TestHeatLimit(t *testing.T) {
	n := func(x int) *int { return &x }
	for _, x := range []struct {
		heat      int
		own, want *int
	}{{0, nil, nil}, {0, n(3), n(3)}, {2, nil, n(2)}, {2, n(0), n(2)}, {2, n(3), n(2)}, {2, n(2), n(2)}, {2, n(1), n(1)}} {
		require.Equal(t, x.want, Heat{MaxOn: x.heat}.Limit(x.own))
	}
}
