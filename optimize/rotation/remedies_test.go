package rotation

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// widenedBy is the game with single changes made by hand.
func widenedBy(g *Game, changes []Loosened) *Game {
	h := *g
	h.Covers, h.Pins = slices.Clone(g.Covers), slices.Clone(g.Pins)
	h.Together, h.Apart = slices.Clone(g.Together), slices.Clone(g.Apart)
	changes = slices.Clone(changes)
	slices.SortStableFunc(changes, func(a, b Loosened) int { return b.Rule.Index - a.Rule.Index })
	for _, c := range changes {
		switch i := c.Rule.Index; c.Rule.Kind {
		case RuleMinRoles:
			h.MinRoles = c.To
		case RuleSameRole:
			h.MaxSameRole = c.To
		case RuleCover:
			h.Covers[i].AtLeast = c.To
		case RuleTogether:
			h.Together = slices.Delete(h.Together, i, i+1)
		case RuleApart:
			h.Apart = slices.Delete(h.Apart, i, i+1)
		case RuleMaxOn:
			h.MaxOn = c.To
		case RuleMaxOff:
			h.MaxOff = c.To
		case RuleMinShare:
			h.MinShare = float64(c.To) / float64(len(g.Series))
		case RulePin:
			h.Pins = slices.Delete(h.Pins, i, i+1)
		}
	}
	return &h
}

// possible tells whether the game has a plan without loosening anything that was asked for.
func possible(t *testing.T, g *Game) bool {
	t.Helper()
	out, err := g.Arrange(context.Background(), Settings{}, true)
	require.NoError(t, err)
	return out.Result != nil && out.Result.Plan != nil
}

// TestRemediesAreNearest: every change offered makes a plan possible, and one step less does not; pairs are offered only where no
// single change will do.
func TestRemediesAreNearest(t *testing.T) {
	games := map[string]func(*Game){
		"roles, share and rest": func(g *Game) { g.MinRoles, g.MinShare, g.MaxOn = 2, 0.8, 1 },
		"roles and a pair":      func(g *Game) { g.MinRoles, g.Apart, g.Covers = 3, [][2]int{{0, 1}}, []Cover{{[]int{0, 1}, 2}} },
		"two pairs at once":     func(g *Game) { g.Apart, g.Together = [][2]int{{0, 1}, {2, 3}}, [][2]int{{0, 1}, {2, 3}} },
		"two pins":              func(g *Game) { g.Pins = []Pin{{0, -1, 0, true}, {0, -1, 0, false}, {1, 0, 1, true}, {1, 0, 1, false}} },
		"one is enough":         func(g *Game) { g.MinShare = 0.8 },
	}
	pairs := 0
	for name, wish := range games {
		g := smallGame(4, 2, 6)
		wish(g)
		out, err := g.Arrange(context.Background(), Settings{}, true)
		require.NoError(t, err)
		require.NotNil(t, out.Conflict, name)
		require.True(t, len(out.Remedies) == 0 || len(out.Combined) == 0, name)
		require.NotEmpty(t, append(out.Combined, out.Remedies), name)
		offers := slices.Clone(out.Combined)
		for _, x := range out.Remedies {
			offers = append(offers, []Loosened{x})
		}
		for _, offer := range offers {
			if slices.ContainsFunc(offer, func(x Loosened) bool { return x.Rule.Kind == RuleShare }) {
				continue // a game has no number for it
			}
			assert.True(t, possible(t, widenedBy(g, offer)), "%s: %v will not do", name, offer)
			for i := range offer {
				less := slices.Clone(offer)
				switch x := &less[i]; x.Rule.Kind {
				case RuleMinRoles, RuleCover, RuleMinShare:
					x.To++
				case RuleMaxOn, RuleMaxOff, RuleSameRole:
					x.To--
				default:
					less = slices.Delete(less, i, i+1)
				}
				assert.False(t, possible(t, widenedBy(g, less)), "%s: %v is more than needed", name, offer)
			}
		}
		pairs += len(out.Combined)
	}
	require.Greater(t, pairs, 5)
}
