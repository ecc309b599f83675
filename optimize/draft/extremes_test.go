package draft

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestBruteExtremes compares with all splits where weights are as small and as large as they may be.
func TestBruteExtremes(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	weights := []int{0, 1, 100, maxWeight}
	weight := func() int { return weights[rng.IntN(len(weights))] }
	for i := range repeats(40, 400) {
		p := anyPool(rng, 6+rng.IntN(4), 2+rng.IntN(2), 0.2)
		p.Weights = Weights{weight(), weight(), weight(), weight(), weight()}
		for j := range p.Measures {
			p.Measures[j].Weight = weight()
		}
		if i%4 == 0 {
			for j := range p.Measures {
				p.Measures[j].Weight = 0 // carpools alone
			}
			p.Weights = Weights{Carpool: maxWeight}
		}
		best, short, feasible := oracle(p)
		if !feasible {
			continue
		}
		r := mustDraft(t, p, Settings{})
		require.True(t, r.Proven, "pool %d", i)
		require.Equal(t, short, r.Balance.Shortage, "pool %d", i)
		require.InDelta(t, best, r.Balance.Objective, 1e-6*(1+best), "pool %d: %v", i, p.Weights)
		prices, err := Prices(background, p, r.Split, Settings{})
		require.NoError(t, err)
		require.Len(t, prices, len(p.Carpools))
	}
}

// TestFarScores: scores so far apart, on steps so fine, that costs do not fit into 64 bits are compared more coarsely, and then nothing is called proven.
func TestFarScores(t *testing.T) {
	p := plain(14, 2)
	p.Measures[0].Step = 1e-6
	p.Measures = append(p.Measures, Measure{Label: "other", Weight: 1, Step: 1e-6})
	for k := range p.Kids {
		p.Kids[k].Scores = []float64{float64(k*k) / 25, float64((k*5)%14) / 2}
	}
	m := p.newModel(Squares)
	require.True(t, m.coarse)
	r := mustDraft(t, p, Settings{})
	require.False(t, r.Proven)
	require.Zero(t, r.Bound)
	require.Less(t, r.Balance.Objective, r.SnakeBalance.Objective)
}

// TestSwapTornSiblings: of three siblings two are named for different teams. The trade is priced and called broken; the third goes with the first.
func TestSwapTornSiblings(t *testing.T) {
	p := plain(12, 3)
	p.Siblings = [][]int{{0, 1}, {1, 2}}
	now := Split{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}
	tr, err := Swap(background, p, now, []Move{{0, 1}, {1, 2}})
	require.NoError(t, err)
	require.Contains(t, kinds(tr.Broken), Siblings)
	require.Equal(t, []Move{{0, 1}, {1, 2}, {2, 1}}, tr.Moves)
	require.Equal(t, []int{2}, tr.Along)
	require.Empty(t, tr.Counters)
}

// TestCheckReturning counts as the rule is said: over the limit on one team breaks it once for the old team, whoever else there is.
func TestCheckReturning(t *testing.T) {
	p := plain(8, 2)
	p.MaxReturning = 2
	for k, old := range []string{"x", "x", "x", "y", "y", "", "y", ""} {
		p.Kids[k].Returning = old
	}
	s := Split{0, 0, 0, 1, 1, 0, 1, 1}
	require.Equal(t, []Rule{
		{Kind: Returning, Kids: []int{0, 1, 2}, Old: "x", Most: 2},
		{Kind: Returning, Kids: []int{3, 4, 6}, Old: "y", Most: 2},
	}, Check(p, s))
	s[2], s[7] = 1, 0
	require.Equal(t, []Rule{{Kind: Returning, Kids: []int{3, 4, 6}, Old: "y", Most: 2}}, Check(p, s))
	s[6] = Unplaced
	require.Equal(t, []RuleKind{Sizes}, kinds(Check(p, s)))
}

// TestUnfilled compares the matching of kids and role spots with all ways to fill them.
func TestUnfilled(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 13))
	some := false
	for range 300 {
		p := plain(2+rng.IntN(7), 2)
		for range 1 + rng.IntN(3) {
			p.Roles = append(p.Roles, Role{Need: rng.IntN(4)})
		}
		s := make(Split, len(p.Kids))
		for k := range p.Kids {
			s[k] = rng.IntN(2)
			for range p.Roles {
				p.Kids[k].Plays = append(p.Kids[k].Plays, rng.IntN(3) > 0)
			}
		}
		b := p.Measure(s)
		for team := range p.Teams {
			want := bruteShortage(p, s, team)
			require.Equal(t, want, b.Teams[team].Shortage)
			some = some || want > 0 && slices.Contains(s, team)
		}
	}
	require.True(t, some)
}

// TestValidateLists: lists so long that they can only be a mistake are refused before anything is made of them.
func TestValidateLists(t *testing.T) {
	for name, spoil := range map[string]func(p *Pool){
		"families":     func(p *Pool) { p.Siblings = make([][]int, MaxKids+1) },
		"carpools":     func(p *Pool) { p.Carpools = make([][]int, MaxKids+1) },
		"long family":  func(p *Pool) { p.Siblings = [][]int{make([]int, maxEntries+1)} },
		"long carpool": func(p *Pool) { p.Carpools = [][]int{make([]int, maxEntries+1)} },
		"settled":      func(p *Pool) { p.Fixed = make([]Fixed, maxEntries+1) },
		"apart":        func(p *Pool) { p.Apart = slices.Repeat([][2]int{{0, 1}}, MaxApart+1) },
	} {
		p := plain(6, 2)
		require.NoError(t, p.Validate())
		spoil(p)
		require.Error(t, p.Validate(), name)
	}
}

// TestCounterTrades: counter-trades take more kids from one to the next, each better, and leave everybody who was named alone, also who was named for the
// team that the kid is on.
func TestCounterTrades(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 14))
	several := 0
	for range repeats(6, 100) {
		p := anyPool(rng, 30+rng.IntN(8), 3, 0.2) // too many for a proof, which takes longer than all the rest
		r := mustDraft(t, p, Settings{})
		if r.Split == nil {
			continue
		}
		moves := []Move{}
		for _, k := range rng.Perm(len(p.Kids))[:4] {
			moves = append(moves, Move{k, rng.IntN(3)})
		}
		tr, err := Swap(background, p, r.Split, moves)
		require.NoError(t, err)
		for i, o := range tr.Counters {
			require.Empty(t, Check(p, o.Split))
			for _, m := range moves {
				require.Equal(t, m.Team, o.Split[m.Kid])
			}
			if i > 0 {
				several++
				before := tr.Counters[i-1]
				require.Greater(t, len(o.Moves), len(before.Moves))
				require.True(t, o.Balance.Shortage < before.Balance.Shortage || o.Balance.Shortage == before.Balance.Shortage && o.Balance.Objective < before.Balance.Objective)
			}
		}
	}
	require.Positive(t, several)
}
