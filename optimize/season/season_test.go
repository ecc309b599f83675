package season

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/optimize/rotation"
)

// there is a kid who was there from series first to series last.
func there(kid, first, last int) Attendance { return Attendance{Kid: kid, First: first, Last: last} }

// TestSummarizeByHand: two games of three kids and one role worked out on paper. In the first all are there for two series of two spots:
// 4/3 each; kids 0, 1 and 0, 2 play. In the second kid 2 is away and kid 1 comes for series 2 of three with one spot: kid 0
// and kid 1 share three series, 3/2 each; kid 0 plays all.
func TestSummarizeByHand(t *testing.T) {
	games := []Game{
		{[]Attendance{there(0, 0, 1), there(1, 0, 1), there(2, 0, 99)}, [][]Spot{{{0, 0}, {1, 1}}, {{2, 0}, {0, 1}}}},
		{[]Attendance{there(0, 0, 2), there(1, 1, 2)}, [][]Spot{{{0, 1}}, {{0, 1}}, {{0, 0}}}},
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
	all := []Attendance{there(0, 0, 1), there(1, 1, 1)}
	for name, g := range map[string]Game{
		"twice there":      {append(all, there(0, 0, 0)), nil},
		"unknown kid":      {append(all, there(2, 0, 0)), nil},
		"negative kid":     {all, [][]Spot{{{-1, 0}}}},
		"unknown on field": {all, [][]Spot{{{2, 0}}}},
		"unknown role":     {all, [][]Spot{{{0, 1}}}},
		"twice on field":   {all, [][]Spot{{{0, 0}, {0, 0}}}},
		"not there yet":    {all, [][]Spot{{{1, 0}}, {}}},
		"away just then":   {[]Attendance{{Kid: 0, First: 0, Last: 2, Away: []rotation.Window{{First: 1, Last: 1}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {}}},
		"away to the end":  {[]Attendance{{Kid: 0, First: 0, Last: 2, Away: []rotation.Window{{First: 1, Last: 2}}}}, [][]Spot{{}, {}, {}}},
		"crooked stretch":  {[]Attendance{{Kid: 0, First: 0, Last: 5, Away: []rotation.Window{{First: 3, Last: 2}}}}, [][]Spot{{}, {}}},
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
		[]Attendance{{Kid: 0, First: 0, Last: 6}, {Kid: 1, First: 0, Last: 6, Away: away}},
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
		{[]Attendance{{Kid: 0, First: 0, Last: 2}, {Kid: 1, First: -1, Last: 2, Away: []rotation.Window{{First: 0, Last: 1}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {{1, 0}}}},
		{[]Attendance{{Kid: 0, First: 0, Last: 2}, {Kid: 1, First: -1, Last: 3, Away: []rotation.Window{{First: 0, Last: 2}}}}, [][]Spot{{{0, 0}}, {{0, 0}}, {{0, 0}}}},
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
		a := there(k, rng.IntN(4), rng.IntN(12))
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
			anyHurt(rng, &games[len(games)-1])
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

// anyHurt marks kids of a game by chance as hurt: those who were there.
func anyHurt(rng *rand.Rand, g *Game) {
	for i := range g.There {
		g.There[i].Hurt = rng.IntN(4) == 0
	}
}

// TestSharesOfAHurtKid, on paper: four kids, two spots, four series. Kid 3 is hurt in series 3, after two turns; the
// other three share the other six turns, two each, whenever they had them. Without the hurt all would be due two of eight; had kid 3 just
// left, it and the others would be due two each as well, and kid 0, who was on four times, would owe two all the same.
func TestSharesOfAHurtKid(t *testing.T) {
	g := Game{[]Attendance{there(0, 0, 3), there(1, 0, 3), there(2, 0, 3), {Kid: 3, Last: 1, Hurt: true}},
		[][]Spot{{{0, 0}, {3, 0}}, {{0, 0}, {3, 0}}, {{0, 0}, {1, 0}}, {{0, 0}, {2, 0}}}}
	table, err := Summarize(4, 1, []Game{g})
	require.NoError(t, err)
	for k, want := range []float64{-2, 1, 1, 0} {
		require.InDelta(t, want, table.Lines[k].Balance, 1e-12, k)
	}
	// Hurt before its first turn: nothing is due to it, and the others share all eight turns.
	g.Series[0][1].Kid, g.Series[1][1].Kid = 1, 2
	shares, err := Shares(4, &g)
	require.NoError(t, err)
	require.Equal(t, []rotation.Share{{Num: 8, Den: 3}, {Num: 8, Den: 3}, {Num: 8, Den: 3}, {Num: 0, Den: 1}}, shares)
	require.True(t, mustTable(t, 4, g).Lines[3].Parts[0].Hurt)
	g.There[3].Hurt = false
	shares, err = Shares(4, &g)
	require.NoError(t, err)
	require.Equal(t, rotation.Share{Num: 2, Den: 1}, shares[3], "who just leaves is measured by its time")
	_, err = Shares(3, &g)
	require.ErrorIs(t, err, ErrBadSeason)
}

func mustTable(t require.TestingT, kids int, games ...Game) *Table {
	table, err := Summarize(kids, 4, games)
	require.NoError(t, err)
	return table
}

// TestHurtKidsAreOwedNothing: in any game, whatever was played, a hurt kid's balance stays, the shares are of all turns, and the others'
// are those of the game without the hurt kids and their turns, exactly.
func TestHurtKidsAreOwedNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		kids := 1 + rng.IntN(12)
		g := anyGame(rng, kids, 4)
		anyHurt(rng, &g)
		shares, err := Shares(kids, &g)
		require.NoError(t, err)
		rest := Game{Series: make([][]Spot, len(g.Series))}
		hurt := make([]bool, kids)
		for _, a := range g.There {
			if hurt[a.Kid] = a.Hurt; !a.Hurt {
				rest.There = append(rest.There, a)
			}
		}
		turns, sum := 0, new(big.Rat)
		for s, cells := range g.Series {
			for _, c := range cells {
				if turns++; !hurt[c.Kid] {
					rest.Series[s] = append(rest.Series[s], c)
				}
			}
		}
		others, err := Shares(kids, &rest)
		require.NoError(t, err)
		table := mustTable(t, kids, g)
		for k, sh := range shares {
			sum.Add(sum, big.NewRat(sh.Num, sh.Den))
			if hurt[k] {
				require.Zero(t, table.Lines[k].Balance)
				require.Equal(t, rotation.Share{Num: int64(table.Lines[k].Series), Den: 1}, sh)
			} else {
				require.Equal(t, others[k], sh)
			}
		}
		require.Zero(t, sum.Cmp(big.NewRat(int64(turns), 1)), "shares sum to the turns, exactly")
	})
}
