package rotation

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestGapsInAGame: twelve spots for four kids of whom one is away for two of six series, 3 each; a minimum share of a half is 2 of its four
// series. A series that leaves one kid for two spots is played short.
func TestGapsInAGame(t *testing.T) {
	g := smallGame(4, 2, 6)
	g.Kids[3].Away, g.MinShare = []Window{{2, 3}}, 0.5
	p, short, err := g.Problem()
	require.NoError(t, err)
	require.Empty(t, short)
	require.Equal(t, Kid{Label: "kid", Last: 5, Away: []Window{{2, 3}}, Lo: 3, Hi: 3, Least: 2}, p.Kids[3])
	require.Equal(t, 3, p.Kids[0].Least)

	g = smallGame(2, 2, 3)
	g.Kids[1].Away = []Window{{1, 1}}
	_, short, err = g.Problem()
	require.NoError(t, err)
	require.Equal(t, []Short{{1, []int{1}}}, short)

	// Windows that reach beyond a game are cut to it, and so are the stretches away.
	g = smallGame(4, 2, 6)
	g.Kids[0].First, g.Kids[0].Last, g.Kids[0].Away = -3, 9, []Window{{-2, 1}, {3, 3}, {5, 7}}
	p, _, err = g.Problem()
	require.NoError(t, err)
	require.Equal(t, Presence{2, 4, []Window{{3, 3}}}, p.Kids[0].Presence())
}

// TestRestWithGapsByHand works out what a stay in parts forces. Two stays of two series, all played, are two in a row; of two stays of
// three series four can be played one at a time, the first and the last of each, and five only with one stay played through.
func TestRestWithGapsByHand(t *testing.T) {
	require.Equal(t, 2, onForShare([]Window{{0, 1}, {4, 5}}, 4))
	require.Equal(t, 4, onForShare([]Window{{0, 3}}, 4))
	require.Equal(t, 1, onForShare([]Window{{0, 2}, {5, 7}}, 4))
	require.Equal(t, 3, onForShare([]Window{{0, 2}, {5, 7}}, 5))
	require.Equal(t, 3, onForShare([]Window{{0, 2}, {5, 5}}, 9), "as long as it is there")
	require.Zero(t, onForShare(nil, 1))

	// Four kids, two spots, at most one series off in a row: the other three play in every two series, so that one spot is left of the
	// first two series and one of the last two.
	avail := []Presence{{0, 5, []Window{{2, 3}}}, {Last: 5}, {Last: 5}, {Last: 5}}
	require.Equal(t, 2, mostTurns(grid(avail, 6), []int{2, 2, 2, 2, 2, 2}, 0, 1))

	// Whoever is there for two series one at a time plays both without being on twice in a row.
	g := smallGame(5, 2, 6)
	g.Kids[4].Last, g.Kids[4].Away, g.MaxOn = 2, []Window{{1, 1}}, 1
	out, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.Empty(t, out.Loosened)
	require.Equal(t, 2, turns(out.Result.Plan, 5)[4])
	g.Kids[4].Away = nil
	g.Kids[4].Last = 1
	out, err = g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.NotEmpty(t, out.Loosened, "two series in a row take two in a row")
}

// TestRaisedByGaps: five of two stays of three series take one stay played through, though of eight series in a row five need no more than two in a row.
func TestRaisedByGaps(t *testing.T) {
	g := smallGame(4, 2, 8)
	g.Kids[0].Away, g.MaxOn = []Window{{3, 4}}, 1
	p, _, err := g.Problem()
	require.NoError(t, err)
	p.Kids[0].Lo = 5
	l := &loosener{g: g, p: p}
	require.True(t, l.raiseCounted(&Conflict{Rules: []RuleRef{{Kind: RuleMaxOn}}}))
	require.Equal(t, 3, l.p.Kids[0].MaxOn)
}

// TestKeptRunsWithGaps: what a kid had in the plan to be changed is counted by the stretches that it is there for in both games.
func TestKeptRunsWithGaps(t *testing.T) {
	g := &Game{Kept: make(Plan, 9)}
	for s, x := range "xxx.x...x" {
		if x == 'x' {
			g.Kept[s] = []Cell{{0, 0}}
		}
	}
	there, gap := Presence{Last: 8}, Presence{0, 8, []Window{{1, 1}, {6, 6}}}
	runs := func(there Presence) [2]int {
		on, off := g.keptRuns(0, there)
		return [2]int{on, off}
	}
	require.Equal(t, [2]int{3, 3}, runs(there))
	require.Equal(t, [2]int{1, 1}, runs(gap))
	g.KeptThere = []Presence{gap}
	require.Equal(t, [2]int{1, 1}, runs(there), "away in that plan")
	g.KeptThere[0].Away = []Window{{5, 6}}
	require.Equal(t, [2]int{3, 1}, runs(there))
}

// TestRolesWithGaps: a role that is played only while a kid is away is none that it can be asked for, and a cap that its series there cannot reach
// links nothing.
func TestRolesWithGaps(t *testing.T) {
	g := smallGame(4, 2, 4)
	g.Forms = []Form{{"both", []int{0, 1}}, {"front", []int{0, 0}}}
	g.Series = []int{1, 0, 0, 1} // deep is played in series 2 and 3
	g.SeasonRoles, g.Kids[1].Played = 2, []bool{true, false}
	for away, want := range map[*Window]int{{1, 1}: 2, {1, 2}: 0} {
		g.Kids[1].Away = []Window{*away}
		p, _, err := g.Problem()
		require.NoError(t, err)
		require.Equal(t, want, p.Kids[1].Different, "away %v", *away)
	}

	p := twoKids()
	p.Series = make([]int, 5)
	p.Kids[0] = Kid{Last: 4, Away: []Window{{1, 2}}, Hi: 5, Cap: 3}
	require.False(t, p.linksRoles())
	p.Kids[0].Cap = 2
	require.True(t, p.linksRoles())
}

// TestLowerShareWithGaps: a half of four series there is two.
func TestLowerShareWithGaps(t *testing.T) {
	p := &Problem{Series: make([]int, 6), Kids: []Kid{{Last: 5, Least: 6}, {Last: 5, Least: 4, Away: []Window{{2, 3}}}}}
	(&adviser{}).lowerShare(p, 3)
	require.Equal(t, [2]int{3, 2}, [2]int{p.Kids[0].Least, p.Kids[1].Least})
}

// TestRebuildWithAGap: a kid goes after series 2 and is said to be back for series 6. The rebuilt plan keeps what was played, has the kid on again, and equal
// series count the series that it is there for.
func TestRebuildWithAGap(t *testing.T) {
	g := smallGame(7, 5, 8)
	before, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	plan := before.Result.Plan
	g.Kept, g.Played = plan, plan[:2]
	g.Kids[2].Away = []Window{{2, 4}}
	out, err := g.Rearrange(context.Background(), plan, Settings{}, false, func(*Problem) int64 { return 0 })
	require.NoError(t, err)
	require.Empty(t, out.Loosened)
	require.Empty(t, Check(out.Problem, out.Result.Plan))
	require.Equal(t, plan[:2], out.Result.Plan[:2])
	later := 0
	for s := range 8 {
		for _, c := range out.Result.Plan[s] {
			require.False(t, c.Kid == 2 && s >= 2 && s <= 4, "series %d", s+1)
			if c.Kid == 2 && s > 4 {
				later++
			}
		}
	}
	require.Positive(t, later)
	require.Equal(t, 5, out.Problem.Kids[2].Lo, "all five that are left: 40 spots for seven kids are more than it can reach")
}
