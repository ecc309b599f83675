package rotation

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// evenGame is a game in which ten kids share eight series of five spots: four each.
func evenGame(rng *rand.Rand) *Game {
	g := smallGame(10, 5, 8)
	for k := range g.Kids {
		g.Kids[k].Fit = []float64{float64(45 + rng.IntN(11)), float64(45 + rng.IntN(11))}
	}
	g.PayBack = 1
	return g
}

// TestPayBack: whole shares pay one series back to a kid who is owed more than one, at the expense of the kid who has had most, and
// of nobody else; nothing to one who is owed just one, nothing where nobody has had more, and nothing with 0.
func TestPayBack(t *testing.T) {
	for _, x := range []struct {
		owed map[int]float64
		most int
		back []Back
	}{
		{map[int]float64{7: 2.4, 3: -1.3, 5: -1.1}, 1, []Back{{7, 3}}},
		{map[int]float64{7: 2.4, 3: -1.3, 5: -1.1}, 2, []Back{{7, 3}, {7, 5}}},
		{map[int]float64{7: 2.4, 3: -1.3, 5: -1.1}, 5, []Back{{7, 3}, {7, 5}}}, // 0.4 is left
		{map[int]float64{7: 2.4, 3: -1.3, 5: -1.1}, 0, nil},
		{map[int]float64{7: 1.2, 2: 1.9, 3: -0.4, 5: -2.7}, 1, []Back{{2, 5}, {7, 3}}},
		{map[int]float64{7: 3.1, 3: -3.1}, 4, []Back{{7, 3}}}, // a kid gives one at most
		{map[int]float64{7: 1, 3: -1}, 1, nil},
		{map[int]float64{7: 1.5, 2: 0.2}, 1, nil},
	} {
		g := evenGame(newRand(1))
		g.PayBack = x.most
		for k, owed := range x.owed {
			g.Kids[k].Owed = owed
		}
		out := arrange(t, g, Weakest)
		require.Empty(t, out.Loosened)
		want := slices.Repeat([]int{4}, 10)
		for _, b := range x.back {
			want[b.To]++
			want[b.From]--
		}
		require.Equal(t, want, turns(out.Result.Plan, 10), "%v", x)
		if x.back == nil {
			require.Nil(t, out.Owed)
			continue
		}
		require.Equal(t, x.back, out.Owed.Back, "%v", x)
		require.Empty(t, out.Owed.Unpaid)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		for k := range g.Kids { // only who gives a series is off for longer than before
			require.True(t, out.Problem.Kids[k].MaxOff == 0 || slices.ContainsFunc(x.back, func(b Back) bool { return b.From == k }), k)
		}
	}
}

// TestPayBackGivesWay: rules that were asked for come first, and are not loosened for it; the kid that it can be had from gives it.
func TestPayBackGivesWay(t *testing.T) {
	g := evenGame(newRand(2))
	g.Kids[7].Owed, g.Kids[3].Owed, g.Kids[5].Owed = 1.4, -1.4, -0.5
	g.MaxOff = 1 // then all ten take turns, strictly
	for _, strict := range []bool{false, true} {
		out, err := g.Arrange(context.Background(), Settings{}, strict)
		require.NoError(t, err)
		require.Empty(t, out.Loosened)
		require.Equal(t, &OwedShares{Unpaid: []int{7}}, out.Owed)
		require.Equal(t, slices.Repeat([]int{4}, 10), turns(out.Result.Plan, 10))
	}
	g.MaxOff = 0
	for s := range 4 { // kid 3 has to play where it is pinned
		g.Pins = append(g.Pins, Pin{Kid: 3, Role: -1, Series: 2 * s, Must: true})
	}
	out := arrange(t, g, Weakest)
	require.Equal(t, []Back{{7, 5}}, out.Owed.Back)
	g.Kids[3].Owed, g.Kids[5].Owed = 0, 0
	g.MinShare = 0.5
	g.Kids[1].Owed = -3
	out = arrange(t, g, Weakest)
	require.Empty(t, out.Loosened)
	require.Equal(t, &OwedShares{Unpaid: []int{7}}, out.Owed, "kid 1 may not have less than half of the game")
}

// TestPayBackInARebuild: of a plan that pays back, the rest of the game changes nothing as long as nobody leaves, however many series are over; and what
// has been paid back is not paid back again.
func TestPayBackInARebuild(t *testing.T) {
	for seed := range uint64(4) {
		rng := newRand(seed)
		g := evenGame(rng)
		g.Kids[7].Owed, g.Kids[3].Owed, g.Kids[2].Owed, g.Kids[5].Owed = 2.4, -1.3, 3.2, -4.3
		old := arrange(t, g, Weakest).Result.Plan
		plays := turns(old, 10)
		require.Equal(t, [4]int{5, 3, 5, 3}, [4]int{plays[7], plays[3], plays[2], plays[5]})
		for over := range 8 {
			h := *g
			h.Kept = old
			h.Played = make([][]Cell, 8)
			copy(h.Played, old[:over])
			out, err := h.Rearrange(context.Background(), old, Settings{}, false, func(*Problem) int64 { return 0 })
			require.NoError(t, err)
			require.Zero(t, out.Rebuilt.Changes.Value, "seed %d, %d over", seed, over)
			require.Empty(t, out.Loosened)
			if out.Owed != nil {
				require.Empty(t, out.Owed.Unpaid, "seed %d, %d over", seed, over)
			}
		}
	}
}

// TestPayBackMovesTogether: whatever is owed, every series paid back goes from a kid who has had more after the game to one who is still owed more
// than a whole one after it, so that the two come nearer to each other; nobody gives two, nobody gets more than the most, and who gets one is owed.
func TestPayBackMovesTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, most := rapid.IntRange(2, 12).Draw(t, "kids"), rapid.IntRange(0, 3).Draw(t, "most")
		owed := make([]float64, n)
		avail, series := make([]Presence, n), rapid.IntRange(1, 8).Draw(t, "series")
		spots, none := slices.Repeat([]int{rapid.IntRange(1, n).Draw(t, "spots")}, series), make([]int, n)
		for k := range owed {
			owed[k] = float64(rapid.IntRange(-40, 40).Draw(t, "owed")) / 10
			avail[k] = Presence{Last: series - 1}
		}
		fair := FairShares(avail, spots)
		lo, hi := LargerShares(avail, spots, none, fair, owed)
		whole := Turns{lo, hi}
		back := PayBack(owed, fair, whole, whole, most, func(x Turns) bool { return x.Fits(avail, spots, none) })
		after := func(k, turns int) float64 {
			return owed[k] + float64(fair[k].Num)/float64(fair[k].Den) - float64(turns)
		}
		to, from := make([]int, n), make([]int, n)
		now := whole
		for _, b := range back {
			require.Greater(t, owed[b.To], 1.0)
			require.Greater(t, after(b.To, hi[b.To]+to[b.To]), 1.0)
			require.Less(t, after(b.From, lo[b.From]), 0.0)
			to[b.To]++
			from[b.From]++
			now = now.paid(b)
		}
		require.LessOrEqual(t, slices.Max(to), most)
		require.LessOrEqual(t, slices.Max(from), 1)
		require.True(t, now.Fits(avail, spots, none))
		for k := range owed { // nothing is left that could be paid back
			if owed[k] > 1.001 && after(k, hi[k]+to[k]) > 1.001 && to[k] < most {
				for j := range owed {
					if j != k && from[j] == 0 && owed[j] < -0.001 && after(j, lo[j]) < -0.001 && lo[j] > 0 {
						require.False(t, now.paid(Back{k, j}).Fits(avail, spots, none), "kid %d is owed and kid %d has had more", k, j)
					}
				}
			}
		}
	})
}

// TestPayBackCostsNoRule: in games by chance, with rules, late kids and series that are over, paying back loosens nothing that is not loosened
// without it, keeps the rules that were asked for, and is the only reason for a share that is not rounded.
func TestPayBackCostsNoRule(t *testing.T) {
	paid, unpaid := 0, 0
	for seed := range uint64(150) {
		rng := newRand(seed)
		g := owedGame(rng)
		g.PayBack = 1 + rng.IntN(2)
		for k := range g.Kids {
			g.Kids[k].Owed = float64(rng.IntN(13)-6) / 2
		}
		if chance(rng, 40) {
			g.MaxOff, g.MaxOn = 2, 3
		}
		if chance(rng, 30) {
			g.Apart = [][2]int{{0, 1}}
		}
		if chance(rng, 30) {
			g.Pins = []Pin{{Kid: rng.IntN(len(g.Kids)), Role: -1, Series: rng.IntN(len(g.Series))}}
		}
		off := *g
		off.PayBack = 0
		out, without := arrange(t, g, favors[seed%3]), arrange(t, &off, favors[seed%3])
		require.Equal(t, without.Loosened, out.Loosened, seed)
		if out.Result == nil {
			require.Nil(t, without.Result)
			continue
		}
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		for _, v := range Check(without.Problem, out.Result.Plan) {
			require.True(t, out.paidBack(v.Kid) && (v.Rule == RuleShare || v.Rule == RuleMaxOff && g.MaxOff == 0 || v.Rule == RuleMaxOn && g.MaxOn == 0), "seed %d: %v", seed, v)
		}
		if out.Owed != nil {
			paid, unpaid = paid+len(out.Owed.Back), unpaid+len(out.Owed.Unpaid)
		}
	}
	require.Greater(t, paid, 20)
	t.Logf("%d series paid back, %d kids for whom rules were in the way", paid, unpaid)
}
