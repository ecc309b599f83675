package rotation

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestSeasonRolesByHand: what is asked of a kid, by what it has played and can play.
func TestSeasonRolesByHand(t *testing.T) {
	all := []bool{true, true, true}
	for name, c := range map[string]struct {
		asked         int
		played, never []bool
		first, last   int
		want          int
	}{
		"no demand":                       {1, nil, nil, 0, 3, 0},
		"first game: any role will do":    {3, nil, nil, 0, 3, 0},
		"one role so far":                 {3, []bool{true, false, false}, nil, 0, 3, 2},
		"as many as asked for":            {2, []bool{true, true, false}, nil, 0, 3, 0},
		"all there are":                   {3, all, nil, 0, 3, 0},
		"the others are never-roles":      {3, []bool{true, false, false}, []bool{false, true, true}, 0, 3, 0},
		"not there":                       {3, []bool{true, false, false}, nil, 1, 0, 0},
		"there for the short series only": {3, []bool{true, false, true}, nil, 3, 3, 0},
	} {
		g := smallGame(4, 2, 4)
		g.Roles, g.Importance = []string{"front", "deep", "corner"}, []float64{1, 1, 1}
		g.Forms = []Form{{"three", []int{0, 2, 1}}, {"two", []int{0, 2}}}
		g.Series = []int{0, 0, 0, 1} // nobody plays deep in the last series
		for k := range g.Kids {
			g.Kids[k].Fit = []float64{50, 50, 50}
		}
		g.SeasonRoles = c.asked
		g.Kids[1].Played, g.Kids[1].Never, g.Kids[1].First, g.Kids[1].Last = c.played, c.never, c.first, c.last
		p, _, err := g.Problem()
		require.NoError(t, err, name)
		require.Equal(t, c.want, p.Kids[1].Different, name)
	}
	g := smallGame(3, 2, 2)
	g.Kids[0].Played = []bool{true}
	_, _, err := g.Problem()
	require.ErrorIs(t, err, ErrBadGame)
	g.Kids[0].Played, g.SeasonRoles = nil, -1
	_, _, err = g.Problem()
	require.ErrorIs(t, err, ErrBadGame)
}

// TestSeasonRolesOverASeason plays games one after another: in each, every kid who plays has a role it has not yet played, until it
// has played all three, which is after three games.
func TestSeasonRolesOverASeason(t *testing.T) {
	g := smallGame(6, 3, 4)
	g.Roles, g.Importance = []string{"front", "deep", "corner"}, []float64{1, 1, 1}
	g.Forms[0].Spots = []int{0, 1, 2}
	for k := range g.Kids {
		g.Kids[k].Fit = []float64{float64(60 - k), float64(40 + k), 50}
		g.Kids[k].Played = make([]bool, 3)
	}
	g.SeasonRoles = 3
	for game := 1; game <= 4; game++ {
		out, err := g.Arrange(context.Background(), Settings{Limit: time.Minute}, true)
		require.NoError(t, err)
		require.NotNil(t, out.Result, game)
		require.Equal(t, Proven, out.Result.Status)
		for _, cells := range out.Result.Plan {
			for _, c := range cells {
				g.Kids[c.Kid].Played[c.Role] = true
			}
		}
		for _, kid := range g.Kids {
			require.GreaterOrEqual(t, (&Kid{Before: kid.Played}).known(), min(game, 3))
		}
	}
}

// TestSeasonRolesAreLoosenedKidByKid: with one series, only one of two kids who have both played front can play deep. The other one's demand is
// given up, and no more; strict refuses, and giving up either demand is a remedy.
func TestSeasonRolesAreLoosenedKidByKid(t *testing.T) {
	g := smallGame(2, 2, 1)
	g.SeasonRoles = 2
	for k := range g.Kids {
		g.Kids[k].Played = []bool{true, false}
	}
	out, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.Len(t, out.Loosened, 1)
	require.Equal(t, RuleSeasonRoles, out.Loosened[0].Rule.Kind)
	require.Equal(t, -1, out.Loosened[0].To)
	require.NotNil(t, out.Result)
	out, err = g.Arrange(context.Background(), Settings{}, true)
	require.NoError(t, err)
	require.Nil(t, out.Result)
	require.Len(t, out.Conflict.Rules, 2)
	require.Len(t, out.Remedies, 2)
}
