package drills

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestHeatRowsHaveBorders: each number of a heat table may be its least and its most, and nothing beyond.
func TestHeatRowsHaveBorders(t *testing.T) {
	for _, c := range []struct {
		key         string
		least, most string
		bad         []string
	}{
		{"from", "20", "130", []string{"19.9", "130.1"}}, {"above", "20", "130", []string{"19.9", "130.1"}}, {"from = 80\nmax_on", "1", "9", []string{"0", "10"}},
		{"from = 80\nbreak_every", "1", "9", []string{"0", "10"}}, {"from = 80\nbreak_minutes", "1", "60", []string{"0", "61"}}, {"from = 80\nmin_on", "", "", []string{"1"}},
	} {
		text := func(value string) []byte { return fmt.Appendf(nil, "[[heat]]\n[[heat.rows]]\n%s = %s\n", c.key, value) }
		for _, good := range []string{c.least, c.most} {
			if good != "" {
				tables, err := readHeat(text(good))
				require.NoError(t, err, "%s", text(good))
				require.Len(t, tables[0].Rows, 1)
			}
		}
		for _, bad := range c.bad {
			_, err := readHeat(text(bad))
			require.Error(t, err, "%s", text(bad))
		}
	}
	for text, good := range map[string]bool{
		"[[heat.rows]]\n[[heat.rows]]\nabove = 80\n":            true, // the first may begin nowhere
		"[[heat.rows]]\nabove = 80\n[[heat.rows]]\n":            false,
		"[[heat.rows]]\nfrom = 80\n[[heat.rows]]\nabove = 80\n": false,
		"[[heat.rows]]\nfrom = 80\n[[heat.rows]]\nfrom = 81\n":  true,
		"[[heat.rows]]\nfrom = 80\nabove = 80\n":                false,
	} {
		_, err := readHeat([]byte("[[heat]]\n" + text))
		require.Equal(t, good, err == nil, text)
	}
	for reading, good := range map[string]bool{"20F": true, "130F": true, "19.9F": false, "130.1F": false} {
		_, err := ParseWBGT(reading)
		require.Equal(t, good, err == nil, reading)
	}
	require.Equal(t, []int{1}, Heat{BreakEvery: 1}.Breaks(2))
	require.Empty(t, Heat{BreakEvery: 2}.Breaks(2))
	require.Empty(t, Heat{}.Breaks(9))
}

// TestHeatTablesAreCopies that nobody can change another's.
func TestHeatTablesAreCopies(t *testing.T) {
	own := HeatTables()
	own[0].Rows[0].Words, own[0].Name = "x", "x"
	require.NotEqual(t, "x", HeatTables()[0].Rows[0].Words)
	require.NotEqual(t, "x", HeatTables()[0].Name)
}
