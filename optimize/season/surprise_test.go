package season

import (
	"cmp"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/optimize/rotation"
)

// evening is one game with surprises, lived through series by series with a plain planner: turns as equal shares and what is
// owed give them, whoever has most turns left for its time next. What it leaves out is rest, roles and strength.
type evening struct {
	rng, luck     *rand.Rand
	owed          []float64
	avail         []rotation.Presence
	spots, played []int
	hurt          []bool
	most          int     // series paid back to a kid
	swaps         float64 // how often somebody from the bench takes a spot, in a series
	game          Game
}

// told are the turns of the whole game as they are planned after s series: the rest of what they were planned as.
func (e *evening) told(s int) []int {
	n := len(e.avail)
	ahead := slices.Clone(e.spots)
	clear(ahead[:s])
	order := make([]float64, n) // no two kids are owed the same, so that the larger shares leave no choice
	for i, k := range e.rng.Perm(n) {
		order[k] = e.owed[k] + 1e-7*float64(i)
	}
	shares := rotation.FairSharesAfter(e.avail, ahead, e.played)
	lo, hi := rotation.LargerShares(e.avail, ahead, e.played, shares, order)
	now := rotation.Turns{Lo: lo, Hi: hi}
	fair, whole := e.whole(order)
	for _, b := range rotation.PayBack(e.owed, fair, whole, now, e.most, func(t rotation.Turns) bool { return t.Fits(e.avail, ahead, e.played) }) {
		lo[b.To]++
		lo[b.From]--
	}
	return lo
}

// whole are the shares of the whole game and the turns they give, as far as is known by now.
func (e *evening) whole(order []float64) ([]rotation.Share, rotation.Turns) {
	had := map[int][]int{}
	avail, spots := slices.Clone(e.avail), slices.Clone(e.spots)
	for k, hurt := range e.hurt {
		if !hurt {
			continue
		}
		had[k], avail[k] = nil, rotation.Presence{Last: -1}
		for s, cells := range e.game.Series {
			if slices.ContainsFunc(cells, func(c Spot) bool { return c.Kid == k }) {
				had[k] = append(had[k], s)
				spots[s]--
			}
		}
	}
	fair := rotation.FairSharesHurt(e.avail, e.spots, had)
	lo, hi := rotation.LargerShares(avail, spots, make([]int, len(avail)), rotation.FairShares(avail, spots), order)
	for k, on := range had {
		lo[k], hi[k] = len(on), len(on)
	}
	return fair, rotation.Turns{Lo: lo, Hi: hi}
}

// fill sets the spots of the series from s on by who is there.
func (e *evening) fill(s int) {
	for ; s < len(e.spots); s++ {
		n := 0
		for _, p := range e.avail {
			if p.There(s) {
				n++
			}
		}
		e.spots[s] = min(5, n)
	}
}

// play lives through the game; at each of the series in gone some kid who is there goes home, hurt or not.
func (e *evening) play(gone map[int]bool) Game {
	e.fill(0)
	turns := e.told(0)
	for s := range e.spots {
		if hurt, ok := gone[s]; ok {
			var there []int
			for k, p := range e.avail {
				if p.There(s) {
					there = append(there, k)
				}
			}
			if len(there) > 6 {
				k := there[e.luck.IntN(len(there))]
				here := make([]bool, s)
				for before := range here {
					here[before] = e.avail[k].There(before)
				}
				e.avail[k], e.hurt[k] = rotation.PresenceOf(here), hurt
				e.fill(s)
				turns = e.told(s)
			}
		}
		e.series(s, turns)
	}
	for k, p := range e.avail {
		e.game.There = append(e.game.There, Attendance{Kid: k, First: p.First, Last: p.Last, Away: p.Away, Hurt: e.hurt[k]})
	}
	return e.game
}

// series has those play who have most turns left for the series that are left to them.
func (e *evening) series(s int, turns []int) {
	var there []int
	press := make([]float64, len(e.avail))
	for k, p := range e.avail {
		if p.There(s) {
			there = append(there, k)
			left := 0 // of the series that the kid is there for
			for later := s; later < len(e.spots); later++ {
				if p.There(later) {
					left++
				}
			}
			press[k] = float64(turns[k]-e.played[k])/float64(left) + 1e-6*e.rng.Float64()
		}
	}
	slices.SortFunc(there, func(a, b int) int { return cmp.Compare(press[b], press[a]) })
	if on := e.spots[s]; len(there) > on && e.luck.Float64() < e.swaps {
		in, out := on+e.luck.IntN(len(there)-on), e.luck.IntN(on)
		there[in], there[out] = there[out], there[in]
	}
	var line []Spot
	for _, k := range there[:e.spots[s]] {
		line = append(line, Spot{Kid: k})
		e.played[k]++
	}
	e.game.Series = append(e.game.Series, line)
}

// upset is how a game comes out otherwise than planned: how often in a series a kid goes home, half of them hurt, and how often
// a kid takes another one's turn.
type upset struct{ gone, swaps float64 }

// surprises is a season of such games. It gives the farthest that a balance ever is from 0, and at the end.
func surprises(t testing.TB, seed uint64, c crowd, kids, series, games, most int, u upset) (ever, end float64) {
	luck, own := rand.New(rand.NewPCG(seed, 11)), rand.New(rand.NewPCG(seed, 12))
	missing := away(luck, c, kids)
	balance := make([]float64, kids)
	for range games {
		e := &evening{rng: own, luck: rand.New(rand.NewPCG(luck.Uint64(), 13)), swaps: u.swaps, owed: balance, played: make([]int, kids), hurt: make([]bool, kids), spots: make([]int, series), most: most}
		there := 0
		for _, w := range crowdOf(luck, c, missing, series) {
			e.avail = append(e.avail, w)
			if w.Count(series) == series {
				there++
			}
		}
		gone := map[int]bool{}
		for s := 1; s < series; s++ {
			if luck.Float64() < u.gone {
				gone[s] = luck.IntN(2) == 0
			}
		}
		if there < 5 {
			continue // no game
		}
		table, err := Summarize(kids, 1, []Game{e.play(gone)})
		require.NoError(t, err)
		for k, l := range table.Lines {
			balance[k] += l.Balance
			ever = max(ever, math.Abs(balance[k]))
			if e.hurt[k] {
				require.Zero(t, l.Balance, "a hurt kid is owed nothing, and owes nothing")
			}
		}
	}
	return ever, max(slices.Max(balance), -slices.Min(balance))
}

// TestPayBackKeepsBalancesBounded simulates seasons in which kids are hurt, go home in the middle of games or take each other's turns, which is what moves
// balances by more than rounding. Without paying back they drift where shares are whole, the further the more games there are; with it they do not.
func TestPayBackKeepsBalancesBounded(t *testing.T) {
	all, lengths := 0, []int{10, 100}
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		all, lengths = 24_000, []int{10, 100, 400} // 2400 seasons of ten games, 240 of a hundred, 60 of 400
	}
	for _, x := range []struct {
		name         string
		crowd        crowd
		kids, series int
		upset        upset
		worst        float64 // that a balance ever is with what is paid back, by simulation
	}{
		{"whole shares, turns taken", everyone, 10, 8, upset{0, 0.1}, 8},
		{"whole shares", everyone, 10, 8, upset{0.08, 0.05}, 7},
		{"fractions", everyone, 11, 8, upset{0.08, 0.05}, 7},
		{"whole games missed", wholeGames, 11, 8, upset{0.08, 0.05}, 7},
		{"coming and going", comingAndGoing, 11, 8, upset{0.08, 0.05}, 7},
	} {
		for _, games := range lengths {
			seasons := uint64(max(12, all/games))
			var ever, end [2]float64
			mean := [2]float64{}
			for seed := range seasons {
				for i, most := range []int{0, 1} {
					a, b := surprises(t, seed, x.crowd, x.kids, x.series, games, most, x.upset)
					ever[i], end[i] = max(ever[i], a), max(end[i], b)
					mean[i] += b / float64(seasons)
				}
			}
			t.Logf("%s, %d seasons of %d games: farthest ever without %.2f, with %.2f; at the end %.2f and %.2f, on the average %.2f and %.2f",
				x.name, seasons, games, ever[0], ever[1], end[0], end[1], mean[0], mean[1])
			require.LessOrEqual(t, ever[1], x.worst, "%s, %d games", x.name, games)
			require.LessOrEqual(t, mean[1], mean[0]+0.2, "%s, %d games", x.name, games)
			if x.kids == 10 && games > 10 {
				require.Less(t, ever[1], ever[0], "%s, %d games", x.name, games)
				require.Less(t, mean[1], mean[0]-0.2, "%s, %d games", x.name, games)
			}
		}
	}
}
