package season

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/optimize/rotation"
)

// TestSummarizeByHand: two games of three kids and one role worked out on paper. In the first all are there for two series of two spots:
// 4/3 each; kids 0, 1 and 0, 2 play. In the second kid 2 is away and kid 1 comes for series 2 of three with one spot: kid 0
// and kid 1 share three series, 3/2 each; kid 0 plays all.
func TestSummarizeByHand(t *testing.T) {
	games := []Game{
		{[]Attendance{{0, 0, 1, nil}, {1, 0, 1, nil}, {2, 0, 99, nil}}, [][]Spot{{{0, 0}, {1, 1}}, {{2, 0}, {0, 1}}}},
		{[]Attendance{{0, 0, 2, nil}, {1, 1, 2, nil}}, [][]Spot{{{0, 1}}, {{0, 1}}, {{0, 0}}}},
	}
	table, err := Summarize(3, 2, games)
	require.NoError(t, err)
	for k, want := range []struct {
		games, there, series, off int
		share                     float64
		roles                     []int
	}{
		{2, 5, 5, 0, 4./3 + 3./2, []int{2, 3}},
		{2, 4, 1, 2, 4./3 + 3./2, []int{0, 1}},
		{1, 2, 1, 1, 4. / 3, []int{1, 0}},
	} {
		l := table.Lines[k]
		require.Equal(t, [4]int{want.games, want.there, want.series, want.off}, [4]int{l.Games, l.There, l.Series, l.LongestOff}, k)
		require.InDelta(t, want.share, l.Share, 1e-12)
		require.InDelta(t, want.share-float64(want.series), l.Balance, 1e-12)
		require.Equal(t, want.roles, l.ByRole)
		require.Len(t, l.Parts, 2)
	}
	require.Equal(t, Part{Balance: 1. / 3, ByRole: []int{0, 0}}, table.Lines[2].Parts[1], "a missed game owes nothing")
	require.Equal(t, Part{There: true, First: 1, Last: 2, Share: 1.5, Balance: 4./3 + 3./2 - 1, ByRole: []int{0, 0}, LongestOff: 2}, table.Lines[1].Parts[1])
	even := []float64{5 / (17. / 6), 1 / (17. / 6), 3. / 4}
	require.InDeltaSlice(t, even, table.Evenness(), 1e-12)
	require.InDelta(t, Jain(even), table.Jain, 1e-12)
}

func TestSummarizeRefuses(t *testing.T) {
	all := []Attendance{{0, 0, 1, nil}, {1, 1, 1, nil}}
	for name, g := range map[string]Game{
		"twice there":      {append(all, Attendance{0, 0, 0, nil}), nil},
		"unknown kid":      {append(all, Attendance{2, 0, 0, nil}), nil},
		"negative kid":     {all, [][]Spot{{{-1, 0}}}},
		"unknown on field": {all, [][]Spot{{{2, 0}}}},
		"unknown role":     {all, [][]Spot{{{0, 1}}}},
		"twice on field":   {all, [][]Spot{{{0, 0}, {0, 0}}}},
		"not there yet":    {all, [][]Spot{{{1, 0}}, {}}},
		"away just then":   {[]Attendance{{0, 0, 2, []rotation.Window{{First: 1, Last: 1}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {}}},
		"away to the end":  {[]Attendance{{0, 0, 2, []rotation.Window{{First: 1, Last: 2}}}}, [][]Spot{{}, {}, {}}},
		"crooked stretch":  {[]Attendance{{0, 0, 5, []rotation.Window{{First: 3, Last: 2}}}}, [][]Spot{{}, {}}},
	} {
		_, err := Summarize(2, 1, []Game{{all, [][]Spot{{{0, 0}}, {{1, 0}}}}, g})
		require.ErrorIs(t, err, ErrBadSeason, name)
		require.ErrorContains(t, err, "game 2", name)
	}
	empty, err := Summarize(2, 1, nil)
	require.NoError(t, err)
	require.Len(t, empty.Lines, 2)
	require.True(t, math.IsNaN(empty.Jain))
}

// TestSummarizeGaps: a game of seven series with one spot and two kids, worked out on paper. Kid 1 is away for series 3 to 5, so that it can
// play four series; kid 0 can play all. Both reach half of the seven spots, which is the share of each. Kid 1 plays the first series and is off in
// the second, then in the last two: two in a row, not three.
func TestSummarizeGaps(t *testing.T) {
	away := []rotation.Window{{First: 2, Last: 4}}
	table, err := Summarize(2, 1, []Game{{
		[]Attendance{{0, 0, 6, nil}, {1, 0, 6, away}},
		[][]Spot{{{1, 0}}, {{0, 0}}, {{0, 0}}, {{0, 0}}, {{0, 0}}, {{0, 0}}, {{0, 0}}},
	}})
	require.NoError(t, err)
	l := table.Lines[1]
	require.Equal(t, [4]int{1, 4, 1, 2}, [4]int{l.Games, l.There, l.Series, l.LongestOff}, "there for four series, on for one")
	require.InDelta(t, 3.5, l.Share, 1e-12)
	require.Equal(t, Part{There: true, First: 0, Last: 6, Away: away, Series: 1, Share: 3.5, Balance: 2.5, ByRole: []int{1}, LongestOff: 2}, l.Parts[0])
	require.Equal(t, 7, table.Lines[0].There)

	// A second game of three series, in which kid 1 comes for the last, and one that it is away from all the way it is played.
	table, err = Summarize(2, 1, []Game{
		{[]Attendance{{0, 0, 2, nil}, {1, -1, 2, []rotation.Window{{First: 0, Last: 1}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {{1, 0}}}},
		{[]Attendance{{0, 0, 2, nil}, {1, -1, 3, []rotation.Window{{First: 0, Last: 2}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {{0, 0}}}},
	})
	require.NoError(t, err)
	require.Equal(t, [3]int{1, 1, 1}, [3]int{table.Lines[1].Games, table.Lines[1].There, table.Lines[1].Series})
	require.Equal(t, Part{There: true, First: 2, Last: 2, Series: 1, Share: 1, ByRole: []int{1}}, table.Lines[1].Parts[0])
	require.False(t, table.Lines[1].Parts[1].There, "a game missed altogether")
}

// anyGame is a game played by chance, fair or not.
func anyGame(rng *rand.Rand, kids, roles int) Game {
	g := Game{Series: make([][]Spot, rng.IntN(9))}
	for k := range kids {
		a := Attendance{Kid: k, First: rng.IntN(4), Last: rng.IntN(12)}
		for from := a.First; a.Last-from > 2 && rng.IntN(3) == 0; {
			w := rotation.Window{First: from + 1, Last: from + 1 + rng.IntN(a.Last-from-1)}
			a.Away, from = append(a.Away, w), w.Last+1
		}
		if rng.IntN(5) > 0 {
			g.There = append(g.There, a)
		}
	}
	for s := range g.Series {
		for _, a := range g.There {
			if a.There(s) && rng.IntN(2) == 0 {
				g.Series[s] = append(g.Series[s], Spot{a.Kid, rng.IntN(roles)})
			}
		}
	}
	return g
}

// TestBalancesSumToZero whatever is played, and every count of a line is that of its parts.
func TestBalancesSumToZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		kids, roles := 1+rng.IntN(14), 1+rng.IntN(4)
		var games []Game
		for range rng.IntN(12) {
			games = append(games, anyGame(rng, kids, roles))
		}
		table, err := Summarize(kids, roles, games)
		require.NoError(t, err)
		sum, played := 0.0, 0
		for _, l := range table.Lines {
			sum += l.Balance
			played += l.Series
			require.InDelta(t, l.Share-float64(l.Series), l.Balance, 1e-9)
			series, share, byRole, there, present := 0, 0.0, 0, 0, 0
			for _, p := range l.Parts {
				series, share = series+p.Series, share+p.Share
				if p.There {
					there++
					series := rotation.Presence{First: p.First, Last: p.Last, Away: p.Away}
					require.NoError(t, series.Validate())
					present += series.Count(99)
				} else {
					require.Zero(t, p.Series+p.LongestOff)
				}
			}
			for _, n := range l.ByRole {
				byRole += n
			}
			require.Equal(t, [3]int{l.Series, l.Series, l.Games}, [3]int{series, byRole, there})
			require.InDelta(t, l.Share, share, 1e-9)
			require.Equal(t, present, l.There)
			require.LessOrEqual(t, l.Series, l.There)
		}
		require.InDelta(t, 0, sum, 1e-9)
		spots := 0
		for _, g := range games {
			for _, cells := range g.Series {
				spots += len(cells)
			}
		}
		require.Equal(t, spots, played)
	})
}
