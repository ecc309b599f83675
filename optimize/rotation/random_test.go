package rotation

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// randomOptions bound a random problem. The zero value asks for 6 to 13 kids, 4 to 12 series, 3 to
// 7 spots in up to 4 roles, and every rule.
type randomOptions struct {
	Kids, Series, Spots [2]int // least and most
	Roles               int    // most
	Base                bool   // only shares, rest, windows and never-roles
	Gaps                bool   // somebody leaves and comes back, where there is room for it, in every game, not only in some
	Free                bool   // no cap and no variety, so that no rule ties a kid's roles together across series
}

func (o randomOptions) withDefaults() randomOptions {
	set := func(at *[2]int, least, most int) {
		if *at == [2]int{} {
			*at = [2]int{least, most}
		}
	}
	set(&o.Kids, 6, 13)
	set(&o.Series, 4, 12)
	set(&o.Spots, 3, 7)
	if o.Roles == 0 {
		o.Roles = 4
	}
	return o
}

// tiny are problems that can be solved by going through all plans series by series. Every other seed has the
// rules that tie a kid's roles together across series, and is smaller, since plans then fall together less.
func tiny(seed uint64) randomOptions {
	o := randomOptions{Kids: [2]int{2, 6}, Series: [2]int{2, 5}, Spots: [2]int{1, 4}, Roles: 3, Free: true}
	if seed%2 == 1 {
		o.Kids[1], o.Series[1], o.Free = 5, 4, false
	}
	return o
}

// micro are problems of which every plan can be written down.
func micro() randomOptions {
	return randomOptions{Kids: [2]int{2, 4}, Series: [2]int{1, 3}, Spots: [2]int{1, 3}, Roles: 3}
}

// newRand is a source of random numbers that depends on the seed alone.
func newRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x5eed)) }

func randomIn(rng *rand.Rand, b [2]int) int { return b[0] + rng.IntN(b[1]-b[0]+1) }

func chance(rng *rand.Rand, percent int) bool { return rng.IntN(100) < percent }

// randomProblem makes a game by chance. Shares and rest are mostly those of the defaults, so that most
// games have a plan; about a third have none, by rules that contradict each other.
func randomProblem(rng *rand.Rand, o randomOptions) *Problem {
	o = o.withDefaults()
	n, series := randomIn(rng, o.Kids), randomIn(rng, o.Series)
	p := &Problem{Scale: 10}
	for r := range min(1+rng.IntN(o.Roles+1), o.Roles) {
		p.Roles = append(p.Roles, fmt.Sprintf("role%d", r))
	}
	randomShapes(rng, p, n, o)
	for range series {
		p.Series = append(p.Series, rng.IntN(len(p.Shapes)))
	}
	for k := range n {
		p.Kids = append(p.Kids, Kid{Label: fmt.Sprintf("kid%d", k), Last: series - 1})
	}
	randomWindows(rng, p)
	// Chance of its own, so that it moves no other.
	if own := newRand(uint64(fingerprint(p))); chance(own, 25) || o.Gaps {
		randomGaps(own, p)
	}
	randomShares(rng, p)
	if chance(rng, 50) {
		for range 1 + rng.IntN(1+n/3) {
			k := rng.IntN(n)
			if p.Kids[k].Never == nil {
				p.Kids[k].Never = make([]bool, len(p.Roles))
			}
			p.Kids[k].Never[rng.IntN(len(p.Roles))] = true
		}
	}
	if !o.Base {
		randomWishes(rng, p, o)
	}
	return p
}

// randomShapes makes one to three formations and a team of one kind: even, with a star or two, of specialists, on a
// coarse scale, flat, all equal, or with values on both sides of 0.
func randomShapes(rng *rand.Rand, p *Problem, n int, o randomOptions) {
	roles, kind := len(p.Roles), rng.IntN(8)
	fit := make([][]float64, n)
	for k := range fit {
		fit[k] = make([]float64, roles)
		for r := range fit[k] {
			x := 500 + 90*rng.NormFloat64()
			switch kind {
			case 0, 1:
				if k <= kind {
					x += 250
				}
			case 2:
				x += 200 * float64(1-min(1, (k+r)%roles))
			case 3:
				x = 50 * math.Round(x/50)
			case 4:
				x = 500 + 5*rng.NormFloat64()
			case 5:
				x = 500
			case 6:
				x -= 500
			}
			fit[k][r] = x
		}
	}
	spots := min(randomIn(rng, o.Spots), n)
	for i := range 1 + rng.IntN(3) {
		sh := Shape{Label: fmt.Sprintf("shape%d", i), Count: make([]int, roles), Value: make([][]int32, n)}
		for range max(1, spots-rng.IntN(2)*min(i, 1)) {
			sh.Count[rng.IntN(roles)]++
		}
		weight := make([]float64, roles)
		for r := range weight {
			weight[r] = 0.7 + 0.6*rng.Float64()*float64(i)
		}
		for k := range sh.Value {
			sh.Value[k] = make([]int32, roles)
			for r := range roles {
				sh.Value[k][r] = int32(math.Round(weight[r] * fit[k][r]))
			}
		}
		p.Shapes = append(p.Shapes, sh)
	}
}

// spotsOf lists the number of spots by series.
func spotsOf(p *Problem) []int {
	var out []int
	for _, sh := range p.Series {
		sum := 0
		for _, c := range p.Shapes[sh].Count {
			sum += c
		}
		out = append(out, sum)
	}
	return out
}

// randomWindows lets some kids come late or leave early, as long as every spot can be filled.
func randomWindows(rng *rand.Rand, p *Problem) {
	series := len(p.Series)
	for k := range p.Kids {
		if !chance(rng, 20) || series < 2 {
			continue
		}
		old := p.Kids[k]
		switch rng.IntN(5) {
		case 0, 1:
			p.Kids[k].First = 1 + rng.IntN(series-1)
		case 2, 3:
			p.Kids[k].Last = rng.IntN(series - 1)
		default:
			p.Kids[k].First, p.Kids[k].Last = 1, 0
		}
		for s, need := range spotsOf(p) {
			here := 0
			for _, kid := range p.Kids {
				if kid.First <= s && s <= kid.Last {
					here++
				}
			}
			if here < need {
				p.Kids[k] = old
			}
		}
	}
}

// randomShares sets shares and rest: the fair ones, sometimes a little wider, rarely by chance.
func randomShares(rng *rand.Rand, p *Problem) {
	spots := spotsOf(p)
	avail := p.presences()
	wide := 0
	if chance(rng, 30) {
		wide = 1
	}
	for k, share := range FairShares(avail, spots) {
		p.Kids[k].Lo, p.Kids[k].Hi = max(0, share.Floor()-wide), share.Ceil()+wide
	}
	p.MaxOn, p.MaxOff = DefaultRest(avail, spots)
	switch rng.IntN(8) {
	case 0:
		p.MaxOn, p.MaxOff = 1+rng.IntN(4), 1+rng.IntN(3)
	case 1:
		p.MaxOn = 0
	case 2:
		p.MaxOff = 0
	}
	// Sometimes a kid may stay on longer; chance of its own, so that it moves no other.
	if own := newRand(uint64(uint32(p.Shapes[0].Value[0][0]))); chance(own, 25) {
		p.Kids[own.IntN(len(p.Kids))].MaxOn = 1 + own.IntN(5)
	}
	if own := newRand(uint64(uint32(p.Shapes[0].Value[0][0])) + 1); chance(own, 25) { // and another one off
		p.Kids[own.IntN(len(p.Kids))].MaxOff = 1 + own.IntN(4)
	}
}

// randomWishes adds the rules that a coach may ask for.
func randomWishes(rng *rand.Rand, p *Problem, o randomOptions) {
	n := len(p.Kids)
	pair := func() [2]int {
		a := rng.IntN(n)
		return [2]int{a, (a + 1 + rng.IntN(n-1)) % n}
	}
	if n > 1 && chance(rng, 20) {
		p.Together = append(p.Together, pair())
	}
	for range 2 {
		if n > 1 && chance(rng, 12) {
			p.Apart = append(p.Apart, pair())
		}
	}
	if chance(rng, 20) {
		group := rng.Perm(n)[:min(n, 2+rng.IntN(3))]
		p.Covers = append(p.Covers, Cover{Kids: group, AtLeast: 1 + rng.IntN(4)/3})
	}
	for range 3 {
		if chance(rng, 15) {
			p.Pins = append(p.Pins, Pin{rng.IntN(n), rng.IntN(len(p.Roles)+1) - 1, rng.IntN(len(p.Series)), chance(rng, 50)})
		}
	}
	if chance(rng, 10) {
		k := rng.IntN(n)
		p.Kids[k].Least = min(p.Kids[k].Hi, 1+rng.IntN(len(p.Series)))
	}
	if chance(rng, 15) {
		p.Played = make([][]Cell, len(p.Series))
		for s := range 1 + rng.IntN(min(2, len(p.Series))) {
			if p.Played[s] = randomLineup(rng, p, s); p.Played[s] == nil {
				break
			}
		}
	}
	if o.Free {
		return
	}
	if chance(rng, 25) {
		limit := 2 + rng.IntN(3)
		for k := range p.Kids {
			if chance(rng, 80) {
				p.Kids[k].Cap = limit
			}
		}
	}
	if chance(rng, min(20, 10*(len(p.Roles)-1))) {
		p.MinRoles = 2
	}
	if chance(rng, 15) {
		for k := range p.Kids {
			if chance(rng, 70) {
				kid := &p.Kids[k]
				kid.Before = make([]bool, len(p.Roles))
				for r := range kid.Before {
					kid.Before[r] = chance(rng, 40)
				}
				kid.Different = 1 + rng.IntN(min(3, len(p.Roles)))
			}
		}
	}
}

// randomLineup fills the spots of a series, mostly with kids who are there and may, since even that a coach may have done
// otherwise; nil if chance finds none.
func randomLineup(rng *rand.Rand, p *Problem, s int) []Cell {
	loose := chance(rng, 30)
	order := rng.Perm(len(p.Kids))
	var cells []Cell
	for r, count := range p.Shapes[p.Series[s]].Count {
		for range count {
			i := slices.IndexFunc(order, func(k int) bool { return loose || p.Kids[k].There(s) && !p.never(k, r) })
			if i < 0 {
				return nil
			}
			cells = append(cells, Cell{order[i], r})
			order = slices.Delete(order, i, i+1)
		}
	}
	inPlanOrder(cells)
	return cells
}

// TestRandomProblems checks that the sources do what the tests rely on: problems are well formed, the same for the
// same seed, and every rule occurs.
func TestRandomProblems(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(400) {
		p := randomProblem(newRand(seed), randomOptions{})
		require.NoError(t, p.Validate(), seed)
		require.Equal(t, p, randomProblem(newRand(seed), randomOptions{}))
		for name, has := range map[string]bool{
			"together": p.Together != nil, "apart": p.Apart != nil, "cover": p.Covers != nil, "pin": p.Pins != nil, "played": p.Played != nil,
			"variety": p.MinRoles > 1, "several shapes": len(p.Shapes) > 1, "no rest": p.MaxOn == 0, "no bench limit": p.MaxOff == 0,
			"cap":    slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Cap > 0 }),
			"late":   slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.First > 0 && k.First <= k.Last }),
			"back":   slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Away != nil }),
			"twice":  slices.ContainsFunc(p.Kids, func(k Kid) bool { return len(k.Away) > 1 }),
			"gone":   slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.First > k.Last }),
			"season": slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Different > 0 }),
			"longer": slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.MaxOn > p.MaxOn && p.MaxOn > 0 }),
			"rests":  slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.MaxOff > p.MaxOff && p.MaxOff > 0 }),
			"never":  slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Never != nil }),
			"least":  slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Least > 0 }),
			"signed": slices.ContainsFunc(p.Shapes[0].Value, func(v []int32) bool { return v[0] < 0 }),
		} {
			if has {
				seen[name]++
			}
		}
		base := randomProblem(newRand(seed), randomOptions{Base: true})
		require.Empty(t, base.Pins)
		require.Zero(t, base.MinRoles)
		free := randomProblem(newRand(seed), randomOptions{Free: true})
		require.False(t, slices.ContainsFunc(free.Kids, func(k Kid) bool { return k.Cap > 0 || k.Different > 0 }))
	}
	require.Len(t, seen, 20)
	for name, n := range seen {
		require.Greater(t, n, 3, name)
	}
}
