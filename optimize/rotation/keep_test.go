package rotation

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func noPrice(*Problem) int64 { return 0 }

// shortGame is a game with a coach's own limits and wishes, and three kids who are missing at first, so that not all of it can hold.
func shortGame(rng *rand.Rand) *Game {
	g := gameOf(rng, 8, 4+rng.IntN(2))
	g.MaxOff, g.MaxOn = rng.IntN(2), rng.IntN(4)
	g.MinRoles, g.MaxSameRole = rng.IntN(3), rng.IntN(4)
	if chance(rng, 50) {
		g.Covers = []Cover{{Kids: []int{1, 5, 7}, AtLeast: 1 + rng.IntN(2)}}
	}
	if chance(rng, 50) {
		g.Together = [][2]int{{0, 4}, {2, 3}}
	}
	if chance(rng, 50) {
		g.Apart = [][2]int{{1, 2}, {3, 7}}
	}
	for _, k := range []int{0, 4} {
		g.Kids[k].Never = []bool{false, chance(rng, 50), true}
	}
	for _, k := range []int{6, 7} {
		g.Kids[k].Last = -1
		if chance(rng, 40) {
			g.Kids[k].Last = 1
		}
	}
	return g
}

// TestRebuildKeepsWhatWasLoosened: kids who come after all make room for the rules again, but whoever has the plan in hand wants few
// changes. No more is kept loose than the new plan makes use of, and what is never loosened holds.
func TestRebuildKeepsWhatWasLoosened(t *testing.T) {
	kept, fewer, games := 0, 0, uint64(30)
	if sweepOn() {
		games = 1500
	}
	for seed := range games {
		rng := newRand(seed)
		g := shortGame(rng)
		first, err := g.Arrange(context.Background(), Settings{}, false)
		if err != nil || first.Result == nil || first.Result.Plan == nil || len(first.Loosened) == 0 {
			continue
		}
		plan := first.Result.Plan
		there := []Presence{}
		for k := range g.Kids {
			there = append(there, g.Kids[k].Presence())
			g.Kids[k].Last = len(g.Series) - 1
		}
		g.Kept, g.KeptThere = plan, there
		tight, err := g.Rearrange(context.Background(), plan, Settings{}, false, noPrice)
		require.NoError(t, err)
		strict := g.strictly(t, plan)
		g.Loose = first.Loosened
		out, err := g.Rearrange(context.Background(), plan, Settings{}, false, noPrice)
		require.NoError(t, err)
		require.Equal(t, strict, g.strictly(t, plan), "strict loosens nothing")
		require.NotNil(t, out.Result, "seed %d", seed)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		if tight.Rebuilt != nil && len(tight.Loosened) == 0 && tight.Rebuilt.Changes.Proven && out.Rebuilt.Changes.Proven {
			require.LessOrEqual(t, out.Rebuilt.Changes.Value, tight.Rebuilt.Changes.Value, "seed %d", seed)
			if out.Rebuilt.Changes.Value < tight.Rebuilt.Changes.Value {
				fewer++
			}
		}
		lo := &loosener{g: g, p: out.Problem}
		p, _, err := g.Problem()
		require.NoError(t, err)
		lo.asked = *p
		for _, x := range out.Loosened {
			if x.Kept {
				kept++
				q, _ := lo.tighter(out.Problem, x)
				require.NotEmpty(t, Check(q, out.Result.Plan), "seed %d: %v is kept and not needed", seed, x)
			}
		}
	}
	t.Logf("%d rules kept loose, %d rebuilds with fewer changes", kept, fewer)
	require.Greater(t, kept, 5)
	require.Positive(t, fewer)
}

// strictly rebuilds without loosening, and says how many changes that takes; -1: there is no plan.
func (g *Game) strictly(t *testing.T, plan Plan) int64 {
	out, err := g.Rearrange(context.Background(), plan, Settings{}, true, noPrice)
	require.NoError(t, err)
	if out.Rebuilt == nil || out.Rebuilt.Plan == nil {
		return -1
	}
	require.Empty(t, out.Loosened)
	return out.Rebuilt.Changes.Value
}

// TestKeepTakesOverOnlyWhatMayGiveWay: a rule that is never loosened, another number than the coach's of today, a kid, pair or cover that there
// is not, and more in the heat than health allows, all count for nothing.
func TestKeepTakesOverOnlyWhatMayGiveWay(t *testing.T) {
	g := gameOf(newRand(3), 9, 6)
	g.MaxOn, g.MaxOff, g.SafeOn = 2, 2, 3
	g.Kids[1].Never = []bool{false, false, true}
	g.Together = [][2]int{{0, 4}}
	g.Pins = []Pin{{Kid: 0, Role: 1, Series: 0, Must: true}}
	g.MinShare = 0.2
	want, _, err := g.Problem()
	require.NoError(t, err)
	rule := func(kind RuleKind, index, value, to int, kids ...int) Loosened {
		return Loosened{Rule: RuleRef{Kind: kind, Index: index, Kids: kids, Value: value, Lo: -1, Hi: -1}, To: to}
	}
	kept := func(list ...Loosened) (*Problem, []Loosened) {
		g.Loose = list
		p, _, err := g.Problem()
		require.NoError(t, err)
		lo := &loosener{g: g, p: p, asked: *p}
		lo.keep()
		require.NoError(t, lo.p.Validate())
		return lo.p, lo.mark(lo.list())
	}
	for kind := RuleMinShare; kind <= RuleWindow+3; kind++ {
		p, list := kept(rule(kind, 0, 1, -1, 1), rule(-kind, 0, 1, -1))
		require.Equal(t, want, p)
		require.Empty(t, list)
	}
	for _, x := range []Loosened{
		rule(RuleMaxOff, -1, 1, 4), rule(RuleMaxOn, -1, 3, 5), rule(RuleMaxOn, -1, 2, 5, 77), rule(RuleMaxOn, -1, 2, 5, -1), rule(RuleTogether, 0, 0, -1, 0, 5),
		rule(RuleTogether, 0, 0, -1), rule(RuleApart, 0, 0, -1, 0, 4), rule(RuleCover, 0, 1, 0), rule(RuleCover, -1, 1, 0), rule(RuleSeasonRoles, -1, 2, -1, 3),
		rule(RuleSeasonRoles, -1, 2, -1), rule(RuleMinRoles, -1, 2, 1), rule(RuleSameRole, -1, 2, 3), rule(RuleShare, -1, 0, 0), rule(RuleMaxOff, -1, 2, 1),
	} {
		p, list := kept(x)
		require.Equal(t, want, p, "%v", x)
		require.Empty(t, list)
	}
	p, list := kept(rule(RuleMaxOn, -1, 2, 6), rule(RuleMaxOff, -1, 2, 999), rule(RuleShare, -1, 0, 999))
	require.Equal(t, 3, p.MaxOn, "no longer than the heat allows")
	require.LessOrEqual(t, p.MaxOff, len(p.Series))
	require.Len(t, list, 3)
	require.True(t, !slices.ContainsFunc(list, func(x Loosened) bool { return !x.Kept }))
	require.Equal(t, want.Kids[1].Never, p.Kids[1].Never)
	p, list = kept(rule(RuleMaxOn, -1, 2, 9, 5))
	require.Equal(t, 3, p.Kids[5].MaxOn)
	require.Equal(t, []int{5}, list[0].Rule.Kids)
}
