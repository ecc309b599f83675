package season

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSummarizeSaysWhere: what is refused is named with its game, series, kid and role, counted as people do.
func TestSummarizeSaysWhere(t *testing.T) {
	all := []Attendance{{Kid: 0, First: 0, Last: 1}, {Kid: 1, First: 0, Last: 0}, {Kid: 2, First: 1, Last: 1}}
	for says, g := range map[string]Game{
		"game 3: kid 1 stands twice":         {append(all, Attendance{Kid: 1, First: 1, Last: 1}), nil},
		"game 3: kid -1 stands twice or":     {[]Attendance{{Kid: -1, First: 0, Last: 1}}, nil},
		"game 3: kid 3 stands twice or":      {[]Attendance{{Kid: 3, First: 0, Last: 1}}, nil},
		"game 3: series 2: kid 1 in role 0":  {all, [][]Spot{{{1, 0}}, {{1, 0}}}}, // has left
		"game 3: series 1: kid 2 in role 1":  {all, [][]Spot{{{2, 1}}, {{2, 1}}}}, // is not there yet
		"game 3: series 2: kid 0 in role -1": {all, [][]Spot{{}, {{0, -1}}}},
		"game 3: series 2: kid 0 in role 2":  {all, [][]Spot{{}, {{0, 2}}}},
		"game 3: series 1: kid -1 in role 0": {all, [][]Spot{{{-1, 0}}}},
		"game 3: series 1: kid 3 in role 0":  {all, [][]Spot{{{3, 0}}}},
	} {
		table, err := Summarize(3, 2, []Game{{}, {all, [][]Spot{{{0, 1}}, {{2, 0}}}}, g})
		require.ErrorIs(t, err, ErrBadSeason)
		require.ErrorContains(t, err, says)
		require.Nil(t, table)
	}
}

// TestAttendanceOutsideTheGame: who is there from before the first series to after the last is there for all of it; who comes after the
// last or leaves before coming is not there, and a game with nothing in it owes nobody anything.
func TestAttendanceOutsideTheGame(t *testing.T) {
	table, err := Summarize(5, 1, []Game{
		{[]Attendance{{Kid: 0, First: -3, Last: 99}, {Kid: 1, First: 2, Last: 2}, {Kid: 2, First: 0, Last: -1}, {Kid: 3, First: 1, Last: 1}, {Kid: 4, First: 1, Last: 0}}, [][]Spot{{{0, 0}}, {}}},
		{[]Attendance{{Kid: 0, First: 0, Last: 9}}, nil},
	})
	require.NoError(t, err)
	// One spot in series 1, where only kid 0 was: all of it is its share.
	require.Equal(t, Part{There: true, First: 0, Last: 1, Series: 1, Share: 1, ByRole: []int{1}, LongestOff: 1}, table.Lines[0].Parts[0])
	require.Equal(t, Part{There: true, First: 1, Last: 1, ByRole: []int{0}, LongestOff: 1}, table.Lines[3].Parts[0])
	for _, k := range []int{1, 2, 4} {
		require.Equal(t, Part{ByRole: []int{0}}, table.Lines[k].Parts[0], k)
		require.Zero(t, table.Lines[k].Games)
	}
	require.Equal(t, []int{1, 0, 0, 1, 0}, []int{table.Lines[0].Games, table.Lines[1].Games, table.Lines[2].Games, table.Lines[3].Games, table.Lines[4].Games})
	require.Equal(t, []int{2, 1}, []int{table.Lines[0].There, table.Lines[3].There})
	require.Equal(t, Part{ByRole: []int{0}}, table.Lines[0].Parts[1])
	require.Equal(t, []float64{1}, table.Evenness(), "who has no share is left out")
	require.Equal(t, []float64{1, 0}, []float64{table.Jain, table.Gini})
}

// TestLongestOffIsOfOneGame: a row of series on the bench ends with a turn, with the kid's leaving, and with the game.
func TestLongestOffIsOfOneGame(t *testing.T) {
	table, err := Summarize(2, 1, []Game{
		{[]Attendance{{Kid: 0, First: 0, Last: 5}, {Kid: 1, First: 1, Last: 4}}, [][]Spot{{{0, 0}}, {{1, 0}}, {{0, 0}}, {{0, 0}}, {{0, 0}}, {}}},
		{[]Attendance{{Kid: 0, First: 0, Last: 5}, {Kid: 1, First: 0, Last: 5}}, [][]Spot{{{1, 0}}, {{1, 0}}, {{0, 0}}, {{0, 0}}, {}, {}}},
	})
	require.NoError(t, err)
	require.Equal(t, []int{1, 2, 2}, []int{table.Lines[0].Parts[0].LongestOff, table.Lines[0].Parts[1].LongestOff, table.Lines[0].LongestOff})
	require.Equal(t, []int{3, 4, 4}, []int{table.Lines[1].Parts[0].LongestOff, table.Lines[1].Parts[1].LongestOff, table.Lines[1].LongestOff})
	require.Equal(t, []int{6, 3}, []int{table.Lines[0].Series, table.Lines[1].Series})
}
