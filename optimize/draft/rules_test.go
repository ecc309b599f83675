package draft

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// bruteFeasible tells by trying everything, kid by kid, whether a split keeps the rules given.
func bruteFeasible(p *Pool, rules []Rule) bool {
	n, teams := len(p.Kids), len(p.Teams)
	lo, larger := n/teams, n%teams
	s := slices.Repeat(Split{Unplaced}, n)
	count := make([]int, teams)
	broken := func(k int) bool {
		for _, r := range rules {
			switch r.Kind {
			case Siblings:
				if slices.Contains(r.Kids, k) && slices.ContainsFunc(r.Kids, func(l int) bool { return s[l] != Unplaced && s[l] != s[k] }) {
					return true
				}
			case Settled, Nights:
				if r.Kids[0] == k && !slices.Contains(r.Teams, s[k]) {
					return true
				}
			case Apart:
				if slices.Contains(r.Kids, k) && s[r.Kids[0]] == s[r.Kids[1]] {
					return true
				}
			case Returning:
				same := 0
				for _, l := range r.Kids {
					same += int(truth(s[l] == s[k]))
				}
				if slices.Contains(r.Kids, k) && same > r.Most {
					return true
				}
			}
		}
		return false
	}
	var put func(k, larger int) bool
	put = func(k, larger int) bool {
		if k == n {
			return true
		}
		for t := range teams {
			over := int(truth(count[t] >= lo))
			if count[t] > lo || over > larger {
				continue
			}
			s[k] = t
			if !broken(k) {
				count[t]++
				if put(k+1, larger-over) {
					return true
				}
				count[t]--
			}
			s[k] = Unplaced
		}
		return false
	}
	return put(0, larger)
}

// TestThousandPools drafts random pools of all kinds: rules kept (mustDraft checks), or a conflict that brute force confirms, and of which no
// rule can be left out.
func TestThousandPools(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	feasible, refused, crowds, pools := 0, 0, 0, repeats(1000, 1000)
	for i := range pools {
		teams := 2 + rng.IntN(3)
		p := anyPool(rng, teams+2+rng.IntN(13-teams), teams, 0.3+0.9*rng.Float64())
		if i%2 == 0 {
			p.Measures, p.Roles, p.Carpools = p.Measures[:1], nil, nil // more rules than numbers: quicker
			for k := range p.Kids {
				p.Kids[k].Scores, p.Kids[k].Errors, p.Kids[k].Plays = p.Kids[k].Scores[:1], nil, nil
			}
		}
		possible := bruteFeasible(p, p.rules())
		y := p.newLayout(nil)
		_, a := y.complete(background, slices.Repeat([]int32{Unplaced}, len(y.units)))
		require.Equal(t, possible, a == yes, "pool %d", i)
		require.NotEqual(t, maybe, a, "pool %d", i)
		if possible {
			feasible++
			if i%5 == 0 {
				require.Equal(t, Done, mustDraft(t, p, Settings{}).Status)
			} else {
				s, _, err := Snake(background, p)
				require.NoError(t, err)
				require.Empty(t, Check(p, s), "pool %d", i)
			}
			require.Nil(t, Explain(background, p))
			continue
		}
		refused++
		r := mustDraft(t, p, Settings{})
		require.Equal(t, Infeasible, r.Status, "pool %d", i)
		c := r.Conflict
		require.NotNil(t, c, "pool %d", i)
		require.True(t, c.Smallest, "pool %d", i)
		require.False(t, bruteFeasible(p, c.Rules), "pool %d: %v", i, c.Rules)
		for j := range c.Rules {
			require.True(t, bruteFeasible(p, slices.Delete(slices.Clone(c.Rules), j, j+1)), "pool %d without rule %d: %v", i, j, c.Rules)
		}
		if c.Crowd != nil {
			crowds++
			checkCrowd(t, p, c)
		}
	}
	t.Logf("%d possible, %d refused, %d of them with a count", feasible, refused, crowds)
	require.Greater(t, feasible, pools/10)
	require.Greater(t, refused, pools/10)
	require.Positive(t, crowds)
}

// checkCrowd counts again, with the rules of the conflict only.
func checkCrowd(t *testing.T, p *Pool, c *Conflict) {
	t.Helper()
	if c.Crowd.TooMany {
		require.Greater(t, len(c.Crowd.Kids), c.Crowd.Room)
	} else {
		require.Less(t, len(c.Crowd.Kids), c.Crowd.Room)
	}
	lo, larger := len(p.Kids)/len(p.Teams), len(p.Kids)%len(p.Teams)
	n := len(c.Crowd.Teams)
	if c.Crowd.TooMany {
		require.Equal(t, n*lo+min(n, larger), c.Crowd.Room)
	} else {
		require.Equal(t, n*lo+max(0, larger-(len(p.Teams)-n)), c.Crowd.Room)
	}
	y := p.newLayout(c.Rules)
	for _, u := range y.units {
		for _, i := range u.kids {
			inside, outside := false, false
			each(u.teams, func(t int) {
				inside = inside || slices.Contains(c.Crowd.Teams, t)
				outside = outside || !slices.Contains(c.Crowd.Teams, t)
			})
			if c.Crowd.TooMany {
				require.Equal(t, inside && !outside, slices.Contains(c.Crowd.Kids, y.kids[i]))
			} else {
				require.Equal(t, inside, slices.Contains(c.Crowd.Kids, y.kids[i]))
			}
		}
	}
}

// TestTightLargePools has pools of the real size with rules to the limit, made around a hidden split.
func TestTightLargePools(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for i := range repeats(6, 200) {
		teams := 4 + rng.IntN(16)
		kids := teams*(7+rng.IntN(4)) + rng.IntN(teams)
		p := anyPool(rng, kids, teams, 0)
		hidden := make(Split, kids)
		for k, at := range rng.Perm(kids) {
			hidden[at] = k % teams
		}
		p.Siblings, p.Fixed, p.Apart, p.MaxReturning = nil, nil, nil, 0
		for range 2 {
			addRules(p, hidden, rng)
		}
		for k := range p.Kids {
			p.Kids[k].Returning = []string{"", "old 1", "old 2"}[rng.IntN(3)]
		}
		most := 0
		for tm := range teams {
			for _, old := range []string{"old 1", "old 2"} {
				n := 0
				for k, at := range hidden {
					n += int(truth(at == tm && p.Kids[k].Returning == old))
				}
				most = max(most, n)
			}
		}
		p.MaxReturning = most
		require.Empty(t, Check(p, hidden))
		require.Equal(t, Done, mustDraft(t, p, Settings{Seed: uint64(i)}).Status, "pool %d", i)
	}
}

// TestConflictInWords is the example of two siblings who can only practise on one night, when all teams of that night are full with settled kids.
func TestConflictInWords(t *testing.T) {
	p := plain(12, 3)
	p.Siblings = [][]int{{0, 1}}
	p.Kids[0].Teams = []bool{true, false, false}
	for k := range 3 {
		p.Fixed = append(p.Fixed, Fixed{Kid: 2 + k, Team: 0})
	}
	c := Explain(background, p)
	require.True(t, c.Smallest)
	require.Len(t, c.Rules, 5)
	require.Equal(t, []RuleKind{Siblings, Settled, Settled, Settled, Nights}, kinds(c.Rules))
	require.Equal(t, &Crowd{Kids: []int{0, 1, 2, 3, 4}, Teams: []int{0}, Room: 4, TooMany: true}, c.Crowd)
}

func kinds(rules []Rule) []RuleKind {
	var k []RuleKind
	for _, r := range rules {
		k = append(k, r.Kind)
	}
	return k
}

// plain is a pool without rules; scores go down from kid to kid.
func plain(kids, teams int) *Pool {
	p := &Pool{Measures: []Measure{{Label: "overall", Weight: 100}}}
	for t := range teams {
		p.Teams = append(p.Teams, string(rune('A'+t)))
	}
	for k := range kids {
		p.Kids = append(p.Kids, Kid{Label: string(rune('a' + k)), Scores: []float64{float64(70 - k)}})
	}
	return p
}

// TestCheck breaks every rule of a good split once: Check has to see it.
func TestCheck(t *testing.T) {
	p := plain(9, 3)
	good := Split{0, 0, 0, 1, 1, 1, 2, 2, 2}
	p.Siblings = [][]int{{0, 1}}
	p.Fixed = []Fixed{{Kid: 3, Team: 1}}
	p.Apart = [][2]int{{4, 7}}
	p.Kids[8].Teams = []bool{true, false, true}
	p.MaxReturning = 1
	p.Kids[5].Returning, p.Kids[6].Returning = "old", "old"
	require.Empty(t, Check(p, good))
	for _, c := range []struct {
		kind RuleKind
		swap [2]int
	}{{Siblings, [2]int{1, 5}}, {Settled, [2]int{3, 2}}, {Apart, [2]int{4, 6}}, {Nights, [2]int{8, 4}}, {Returning, [2]int{6, 4}}} {
		s := slices.Clone(good)
		s[c.swap[0]], s[c.swap[1]] = s[c.swap[1]], s[c.swap[0]]
		require.Contains(t, kinds(Check(p, s)), c.kind)
	}
	require.Equal(t, []RuleKind{Sizes}, kinds(Check(p, Split{0, 0, 0, 1, 1, 1, 2, 2, 0})[:1]))
	require.Equal(t, []RuleKind{Sizes}, kinds(Check(p, Split{0, 0, 0, 1, 1, 1, 2, 2, Unplaced})))
	require.Equal(t, []RuleKind{Sizes}, kinds(Check(p, good[:8])))
}
