package rotation

import (
	"context"
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ratOf(s Share) *big.Rat { return big.NewRat(s.Num, s.Den) }

func shareSum(shares []Share) *big.Rat {
	sum := new(big.Rat)
	for _, s := range shares {
		sum.Add(sum, ratOf(s))
	}
	return sum
}

// TestFairSharesByHand works progressive filling (Bertsekas and Gallager 1992, Data Networks, section 6.5.2) out by hand. Series 0 has
// one spot, series 1 to 3 two each. Kids A and B are there for series 0 only, C for 0 and 1, D for 1 to 3, E and F for 2 and 3.
//
//  1. All shares rise together. At 1/2 A and B fill the only spot of series 0: 2 t = 1. No other group is full there (all
//     six ask for 3 of 7 spots). A = B = 1/2.
//  2. C to F rise on. Series 0 is full, so C has series 1 alone, one series, and stops at 1.
//     D, E and F ask for 3 then, of the 5 they can reach (series 1 has one spot left, series 2 and 3 two each). C = 1.
//  3. D, E and F rise on. Together they reach 5 spots: 3 t = 5. E and F ask for 10/3 of the 4 spots of series 2
//     and 3, which is less. D = E = F = 5/3.
//
// All 7 spots are filled: 1/2 + 1/2 + 1 + 3 * 5/3 = 7.
func TestFairSharesByHand(t *testing.T) {
	avail := []Window{{0, 0}, {0, 0}, {0, 1}, {1, 3}, {2, 3}, {2, 3}}
	want := []Share{{1, 2}, {1, 2}, {1, 1}, {5, 3}, {5, 3}, {5, 3}}
	assert.Equal(t, want, FairShares(avail, []int{1, 2, 2, 2}))
}

func TestFairSharesPlainCases(t *testing.T) {
	all := func(n, series int) []Window { return slices.Repeat([]Window{{0, series - 1}}, n) }
	for name, c := range map[string]struct {
		avail []Window
		spots []int
		want  []Share
	}{
		"all there: spots over kids":       {all(7, 6), slices.Repeat([]int{5}, 6), slices.Repeat([]Share{{30, 7}}, 7)},
		"spots for all":                    {all(5, 4), slices.Repeat([]int{5}, 4), slices.Repeat([]Share{{4, 1}}, 5)},
		"more spots than kids":             {all(2, 3), []int{5, 5, 5}, []Share{{3, 1}, {3, 1}}},
		"two sizes":                        {all(4, 3), []int{3, 2, 3}, slices.Repeat([]Share{{2, 1}}, 4)},
		"one comes for the last series":    {[]Window{{0, 3}, {0, 3}, {3, 3}}, []int{1, 1, 1, 1}, []Share{{3, 2}, {3, 2}, {1, 1}}},
		"one is never there":               {[]Window{{0, 1}, {1, 0}}, []int{1, 1}, []Share{{2, 1}, {0, 1}}},
		"windows reach beyond the game":    {[]Window{{-3, 9}, {0, 99}}, []int{1, 1}, []Share{{1, 1}, {1, 1}}},
		"a window outside the game":        {[]Window{{5, 9}, {0, 1}}, []int{1, 1}, []Share{{0, 1}, {2, 1}}},
		"nobody":                           {nil, []int{5}, []Share{}},
		"no series":                        {[]Window{{0, 3}}, nil, []Share{{0, 1}}},
		"a series without spots":           {all(2, 2), []int{0, 1}, []Share{{1, 2}, {1, 2}}},
		"no spots at all":                  {all(2, 2), []int{0, 0}, []Share{{0, 1}, {0, 1}}},
		"two who never meet, one with few": {[]Window{{0, 0}, {1, 3}}, []int{2, 2, 2, 2}, []Share{{1, 1}, {3, 1}}},
	} {
		assert.Equal(t, c.want, FairShares(c.avail, c.spots), name)
	}
}

// reach is how many spots a group of kids can fill at most, everybody once a series at most.
func reach[P Present](avail []P, spots []int, group uint) int64 {
	sum := 0
	for s, n := range spots {
		here := 0
		for k, w := range avail {
			if group>>k&1 == 1 && w.There(s) {
				here++
			}
		}
		sum += min(n, here)
	}
	return int64(sum)
}

// maxMinFair tells what is wrong with shares; "": nothing. Shares can be met if and only if no group of kids asks for more than it
// can reach (maximum flow equals minimum cut). They are max-min fair if nobody's can rise without
// lowering one that is not larger: everybody is in a group that asks for all it can reach, and in which nobody has more.
func maxMinFair[P Present](avail []P, spots []int, shares []Share) string {
	n := len(avail)
	blocked := make([]bool, n)
	for group := uint(1); group < 1<<n; group++ {
		sum, top := new(big.Rat), new(big.Rat)
		for k, s := range shares {
			if group>>k&1 == 1 {
				sum.Add(sum, ratOf(s))
				if ratOf(s).Cmp(top) > 0 {
					top = ratOf(s)
				}
			}
		}
		switch sum.Cmp(big.NewRat(reach(avail, spots, group), 1)) {
		case 1:
			return "a group has more than it can reach"
		case 0:
			for k, s := range shares {
				blocked[k] = blocked[k] || group>>k&1 == 1 && ratOf(s).Cmp(top) == 0
			}
		}
	}
	if slices.Contains(blocked, false) {
		return "a share can rise"
	}
	return ""
}

func TestMaxMinFairCanFail(t *testing.T) {
	avail, spots := []Window{{0, 1}, {0, 1}, {0, 0}}, []int{1, 1}
	assert.Empty(t, maxMinFair(avail, spots, []Share{{2, 3}, {2, 3}, {2, 3}}))
	assert.Equal(t, "a share can rise", maxMinFair(avail, spots, []Share{{3, 4}, {3, 4}, {1, 2}}))
	assert.Equal(t, "a share can rise", maxMinFair(avail, spots, []Share{{1, 2}, {1, 2}, {1, 2}}))
	assert.Equal(t, "a group has more than it can reach", maxMinFair(avail, spots, []Share{{1, 1}, {1, 1}, {1, 2}}))
}

// TestFairSharesAreMaxMinFair checks random games against every group of kids, and that the order of kids does not matter, nor that of
// series when presence is turned round.
func TestFairSharesAreMaxMinFair(t *testing.T) {
	levels := map[int]int{}
	for seed := range uint64(2_000) {
		rng := newRand(seed)
		n, series := 1+rng.IntN(7), 1+rng.IntN(7)
		avail, spots := make([]Presence, n), make([]int, series)
		for k := range avail {
			avail[k].Last = series - 1
			if chance(rng, 60) {
				avail[k].First = rng.IntN(series)
				avail[k].Last = rng.IntN(series)
			}
		}
		for s := range spots {
			spots[s] = rng.IntN(5)
		}
		order := rng.Perm(n)
		for k := range avail {
			if seed%2 == 1 && chance(rng, 50) {
				avail[k] = randomGap(rng, avail[k])
			}
		}
		shares := FairShares(avail, spots)
		require.Empty(t, maxMinFair(avail, spots, shares), "seed %d: %v %v: %v", seed, avail, spots, shares)
		require.Zero(t, shareSum(shares).Cmp(big.NewRat(reach(avail, spots, 1<<n-1), 1)), "seed %d: all spots that can be filled", seed)
		seen := map[Share]bool{}
		for _, s := range shares {
			seen[s] = true
			require.Equal(t, int64(1), gcd(s.Num, s.Den), "seed %d", seed)
			require.LessOrEqual(t, s.Floor(), s.Ceil())
			require.LessOrEqual(t, s.Ceil()-s.Floor(), 1)
		}
		levels[len(seen)]++

		mixed, turned := make([]Presence, n), make([]Presence, n)
		for i, k := range order {
			mixed[i] = avail[k]
			here := grid(avail, series)[k]
			slices.Reverse(here)
			turned[k] = PresenceOf(here)
		}
		for i, s := range FairShares(mixed, spots) {
			require.Equal(t, shares[order[i]], s, "seed %d: order of kids", seed)
		}
		back := slices.Clone(spots)
		slices.Reverse(back)
		require.Equal(t, shares, FairShares(turned, back), "seed %d: backwards", seed)
	}
	for n := 1; n <= 4; n++ {
		require.Greater(t, levels[n], 50, "games with %d different shares", n)
	}
}

// plainGame has one role and one shape a number of spots; nothing is asked but who is there.
func plainGame[P Present](avail []P, spots []int) *Problem {
	p := &Problem{Roles: []string{"any"}, Scale: 10}
	for _, here := range grid(avail, len(spots)) {
		there := PresenceOf(here)
		p.Kids = append(p.Kids, Kid{Label: "kid", First: there.First, Last: there.Last, Away: there.Away, Hi: len(spots)})
	}
	for i, n := range spots {
		p.Shapes = append(p.Shapes, Shape{Count: []int{n}, Value: make([][]int32, len(avail))})
		for k := range avail {
			p.Shapes[i].Value[k] = []int32{0}
		}
		p.Series = append(p.Series, i)
	}
	return p
}

// TestWholeSharesExist: between the floors and the ceilings of fair shares there is a game in whole series, as long as every
// spot can be filled (the shares are a flow, and flows round to whole ones).
func TestWholeSharesExist(t *testing.T) {
	tried := 0
	for seed := range uint64(600) {
		rng := newRand(seed)
		n, series := 2+rng.IntN(8), 1+rng.IntN(8)
		avail, spots := make([]Presence, n), make([]int, series)
		for k := range avail {
			avail[k] = Presence{First: rng.IntN(1 + series/3), Last: series - 1 - rng.IntN(1+series/3)}
		}
		full := true
		for s := range spots {
			spots[s] = 1 + rng.IntN(5)
		}
		for k := range avail {
			if seed >= 300 && chance(rng, 20) {
				avail[k] = randomGap(rng, avail[k])
			}
		}
		for s, n := range spots {
			full = full && countHere(grid(avail, series), s) >= n
		}
		if !full {
			continue
		}
		tried++
		p := plainGame(avail, spots)
		for k, share := range FairShares(avail, spots) {
			p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
		}
		require.Equal(t, Yes, Feasible(context.Background(), p), "seed %d: %v %v", seed, avail, spots)
	}
	require.Greater(t, tried, 150)
}
