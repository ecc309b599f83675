package rotation

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// owedGame is a small game by chance in which kids are owed something.
func owedGame(rng *rand.Rand) *Game {
	g := smallGame(4+rng.IntN(4), 3, 3+rng.IntN(4))
	for k := range g.Kids {
		kid := &g.Kids[k]
		kid.Fit = []float64{float64(45 + rng.IntN(11)), float64(45 + rng.IntN(11))}
		kid.Owed = float64(rng.IntN(5)-2) / 4
		if chance(rng, 20) {
			kid.First = rng.IntN(len(g.Series))
		}
	}
	g.Kids[0].First = 0
	if k := 1 + rng.IntN(len(g.Kids)-1); chance(rng, 20) {
		g.Kids[k].Away = randomGap(rng, g.Kids[k].Presence()).Away
	}
	return g
}

func arrange(t *testing.T, g *Game, favor Favor) *Outcome {
	t.Helper()
	out, err := g.Arrange(context.Background(), Settings{Favor: favor, Limit: time.Minute}, false)
	require.NoError(t, err)
	return out
}

func turns(plan Plan, kids int) []int {
	out := make([]int, kids)
	for _, cells := range plan {
		for _, c := range cells {
			out[c.Kid]++
		}
	}
	return out
}

// TestLargerSharesGoToThoseOwed: where the rules allow it, no kid with the larger share is owed less than one with the smaller
// share who could have had it in its place; and the preference never costs a rule.
func TestLargerSharesGoToThoseOwed(t *testing.T) {
	led, passed, crossed := 0, 0, 0
	for seed := range uint64(150) {
		rng := newRand(seed)
		g := owedGame(rng)
		fair := *g
		fair.Kids = slices.Clone(g.Kids)
		for k := range fair.Kids {
			fair.Kids[k].Owed = 0
		}
		out, without := arrange(t, g, favors[seed%3]), arrange(t, &fair, favors[seed%3])
		require.Equal(t, without.Loosened, out.Loosened, seed)
		require.Equal(t, without.Result == nil, out.Result == nil)
		require.Nil(t, without.Owed)
		if out.Result == nil || out.Owed == nil {
			continue
		}
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		require.Empty(t, Check(without.Problem, out.Result.Plan), "it obeys the rules without the preference too")
		x := g.split(out.Problem)
		lo, hi := LargerShares(x.avail, x.spots, x.played, x.shares, x.owed)
		plays := turns(out.Result.Plan, len(g.Kids))
		if len(out.Owed.Passed) > 0 {
			passed++
			continue
		}
		led++
		asked := *without.Problem
		asked.Kids = slices.Clone(asked.Kids)
		met := true
		for k, n := range plays {
			met = met && lo[k] <= n && n <= hi[k]
			asked.Kids[k].Lo, asked.Kids[k].Hi = max(asked.Kids[k].Lo, lo[k]), min(asked.Kids[k].Hi, hi[k])
		}
		if len(out.Loosened) == 0 && !met { // kids who are owed the same, and none of whom can have it, count as nobody passed
			crossed++
			require.Equal(t, No, Feasible(context.Background(), &asked), "seed %d: %v, not %v to %v", seed, plays, lo, hi)
		}
	}
	require.Greater(t, led, 60)
	require.LessOrEqual(t, crossed, 1)
	t.Logf("%d games by what is owed, %d where rules were in the way", led, passed)
}

// TestOwedGivesWay: kid 0 is owed most, but may not play often enough for the larger share. The game is planned all the same, no
// rule is loosened for it, and the outcome says so. The next in line has the larger share then.
func TestOwedGivesWay(t *testing.T) {
	g := smallGame(4, 3, 2) // 6 turns for 4 kids: two of them play twice
	g.Kids[0].Owed, g.Kids[1].Owed, g.Kids[2].Owed = 0.9, 0.5, 0.2
	out := arrange(t, g, Weakest)
	require.Equal(t, &OwedShares{Larger: []int{0, 1}, Ranked: true}, out.Owed)
	require.Equal(t, []int{2, 2, 1, 1}, turns(out.Result.Plan, 4))
	g.Pins = []Pin{{Kid: 0, Role: -1, Series: 1}}
	for _, strict := range []bool{false, true} {
		out, err := g.Arrange(context.Background(), Settings{}, strict)
		require.NoError(t, err)
		require.Empty(t, out.Loosened)
		require.Equal(t, &OwedShares{Larger: []int{1}, Passed: []int{0}, Ranked: true}, out.Owed)
		require.Equal(t, []int{1, 2, 2, 1}, turns(out.Result.Plan, 4))
	}
}

// TestOwedInARebuild: the extra turns of a kid who has left go to those owed most.
func TestOwedInARebuild(t *testing.T) {
	g := smallGame(4, 2, 4) // 8 turns, two each
	g.MaxOff = 3
	old := Plan{{{0, 0}, {1, 1}}, {{2, 0}, {3, 1}}, {{0, 0}, {1, 1}}, {{2, 0}, {3, 1}}}
	g.Played = [][]Cell{old[0], old[1]}
	g.Kids[3].Last = 1 // played once; the other three share four turns: one gets two more
	for k := range 3 {
		g.Kids[0].Owed, g.Kids[1].Owed, g.Kids[2].Owed = 0, 0, 0
		g.Kids[k].Owed = 0.5
		out, err := g.Rearrange(context.Background(), old, Settings{}, false, func(*Problem) int64 { return 0 })
		require.NoError(t, err)
		require.Equal(t, 3, turns(out.Result.Plan, 4)[k])
		require.Equal(t, []int{k}, out.Owed.Larger)
		require.True(t, out.Rebuilt.Changes.Proven)
		require.Equal(t, out.Rebuilt.Changes.Value, int64(countChanges(out.Problem, old, out.Result.Plan)))
	}
}

func countChanges(p *Problem, old, plan Plan) int {
	n := 0
	for s, cells := range plan {
		for _, c := range cells {
			if !isOver(p, s) && !slices.Contains(old[s], c) {
				n++
			}
		}
	}
	return n
}

// TestFirstPick: two kids, two roles, and both ways round are worth the same. Whoever is owed more plays the role it
// fits best; with nobody owed the plan is that of the solver.
func TestFirstPick(t *testing.T) {
	for k := range 2 {
		g := smallGame(2, 2, 3)
		g.Importance = []float64{1, 1}
		g.Kids[0].Fit, g.Kids[1].Fit = []float64{55, 50}, []float64{50, 45}
		g.Kids[k].Owed = 0.25
		out := arrange(t, g, Weakest)
		for _, cells := range out.Result.Plan {
			require.Contains(t, cells, Cell{k, 0})
		}
	}
}

// TestFirstPickKeepsValues: it changes neither values nor legality, and never lets a kid owed most do worse.
func TestFirstPickKeepsValues(t *testing.T) {
	moved := 0
	for seed := range uint64(150) {
		g := owedGame(newRand(1000 + seed))
		g.Importance = []float64{1, 1}
		favor := favors[seed%3]
		out := arrange(t, g, favor)
		if out.Result == nil {
			continue
		}
		set := Settings{Favor: favor, Limit: time.Minute}
		before, err := Solve(context.Background(), out.Problem, set)
		require.NoError(t, err)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		require.Zero(t, compareLex(out.Problem, favor, before.Plan, out.Result.Plan), seed)
		require.Equal(t, out.Problem.Strengths(out.Result.Plan), out.Result.Strength)
		require.Equal(t, out.Result.Weakest, before.Weakest)
		require.Equal(t, slices.Index(out.Result.Strength, slices.Min(out.Result.Strength)), out.Result.WeakestSeries)
		k := &picker{p: out.Problem, plan: before.Plan}
		if !k.rankKids(g) {
			require.Equal(t, before.Plan, out.Result.Plan)
			continue
		}
		was := k.rate()
		k.plan = out.Result.Plan
		require.GreaterOrEqual(t, slices.Compare(k.rate(), was), 0)
		if slices.Compare(k.rate(), was) > 0 {
			moved++
		}
	}
	require.Greater(t, moved, 10)
}

func TestOwedRefuses(t *testing.T) {
	g := smallGame(3, 2, 2)
	for _, bad := range []float64{nan(), 2 * maxOwed, -2 * maxOwed} {
		g.Kids[1].Owed = bad
		_, err := g.Arrange(context.Background(), Settings{}, false)
		require.ErrorIs(t, err, ErrBadGame)
	}
}

func nan() float64 { x := 0.0; return x / x }

// TestFirstPickInARebuild: it changes neither the number of changed spots nor the values, and obeys the same rules.
func TestFirstPickInARebuild(t *testing.T) {
	moved := 0
	for seed := range uint64(80) {
		rng := newRand(3000 + seed)
		g := owedGame(rng)
		g.Importance = []float64{1, 1}
		for k := range g.Kids { // coarse fits, so that many plans have the same values
			g.Kids[k].Fit = []float64{50 + 5*float64(rng.IntN(2)), 50 + 5*float64(rng.IntN(2))}
		}
		fresh := arrange(t, g, Weakest)
		if fresh.Result == nil {
			continue
		}
		old := fresh.Result.Plan
		g.Played = [][]Cell{old[0]}
		for k := range g.Kids {
			g.Kids[k].Owed = float64(rng.IntN(5)-2) / 4
		}
		gone := rng.IntN(len(g.Kids)-1) + 1
		g.Kids[gone].Last, g.Kids[gone].Away = max(0, min(g.Kids[gone].First, len(g.Series)-1)), nil
		out, err := g.Rearrange(context.Background(), old, Settings{Limit: time.Minute}, false, func(*Problem) int64 { return 0 })
		require.NoError(t, err)
		if out.Result == nil {
			continue
		}
		plain, err := Rebuild(context.Background(), out.Problem, old, Settings{Limit: time.Minute}, 0)
		require.NoError(t, err)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		require.Equal(t, plain.Changes, out.Rebuilt.Changes)
		require.EqualValues(t, plain.Changes.Value, countChanges(out.Problem, old, out.Result.Plan), seed)
		require.Zero(t, compareLex(out.Problem, Weakest, plain.Plan, out.Result.Plan), seed)
		if !slices.EqualFunc(plain.Plan, out.Result.Plan, slices.Equal[[]Cell]) {
			moved++
		}
	}
	require.Positive(t, moved)
}
