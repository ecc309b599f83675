package rotation

import (
	"math"
	"math/bits"
	"math/rand/v2"
)

// trader is a local search on who plays which role when: two kids exchange their cells (role
// or bench) in some series. It needs no tables, so it works at any size and with rules that link a
// kid's roles; it also mends plans that break rules, each fault costing faultCost.
type trader struct {
	p       *Problem
	rng     *rand.Rand
	can     [][][]bool // [kid][series][role]
	must    [][]bool   // [kid][series]
	role    [][]int8   // [kid][series], -1: not on
	mask    []uint64
	level   []int64
	total   int64
	faults  int
	kidBad  []int
	setBad  []int
	scratch [2][]int8
}

const faultCost = 1 << 22

func newTrader(p *Problem, seed uint64) *trader {
	n, ns := len(p.Kids), len(p.Series)
	q := &trader{p: p, rng: rand.New(rand.NewPCG(seed, 11)), mask: make([]uint64, ns), level: make([]int64, ns), kidBad: make([]int, n), setBad: make([]int, ns)}
	q.can, q.must, q.role = make([][][]bool, n), make([][]bool, n), make([][]int8, n)
	for k := range p.Kids {
		q.can[k], q.must[k], q.role[k] = make([][]bool, ns), make([]bool, ns), make([]int8, ns)
		for s := range p.Series {
			q.role[k][s] = -1
			q.must[k][s] = p.mustPlay(k, s)
			q.can[k][s] = make([]bool, len(p.Roles))
			for r := range p.Roles {
				q.can[k][s][r] = p.allowed(k, s, r)
			}
		}
	}
	q.scratch = [2][]int8{make([]int8, ns), make([]int8, ns)}
	return q
}

// load takes a plan.
func (q *trader) load(plan Plan) {
	for k := range q.role {
		for s := range q.role[k] {
			q.role[k][s] = -1
		}
	}
	q.total, q.faults = 0, 0
	for s, cells := range plan {
		q.mask[s], q.level[s] = 0, 0
		for _, c := range cells {
			q.role[c.Kid][s] = int8(c.Role)
			q.mask[s] |= 1 << c.Kid
			q.level[s] += q.value(c.Kid, s, c.Role)
		}
		if q.p.over(s) {
			q.level[s] = overLevel
		} else {
			q.total += q.level[s]
		}
		q.setBad[s] = q.setFaults(s, q.mask[s])
		q.faults += q.setBad[s]
	}
	for k := range q.role {
		q.kidBad[k] = q.kidFaults(k, q.role[k])
		q.faults += q.kidBad[k]
	}
}

func (q *trader) value(k, s, r int) int64 {
	return int64(q.p.Shapes[q.p.Series[s]].Value[k][r])
}

// plan is the present plan.
func (q *trader) plan() Plan {
	out := make(Plan, len(q.mask))
	for s := range out {
		for k := range q.role {
			if r := q.role[k][s]; r >= 0 {
				out[s] = append(out[s], Cell{k, int(r)})
			}
		}
		orderCells(out[s])
	}
	return out
}

// setFaults counts broken rules on who is on the field together.
func (q *trader) setFaults(s int, mask uint64) int {
	if q.p.over(s) {
		return 0
	}
	n := 0
	for _, pr := range q.p.Together {
		if mask>>pr[0]&1 != mask>>pr[1]&1 {
			n++
		}
	}
	for _, pr := range q.p.Apart {
		if mask>>pr[0]&1 == 1 && mask>>pr[1]&1 == 1 {
			n++
		}
	}
	for _, c := range q.p.Covers {
		group := uint64(0)
		for _, k := range c.Kids {
			group |= 1 << k
		}
		n += max(0, c.AtLeast-bits.OnesCount64(mask&group))
	}
	return n
}

// kidFaults counts how far a kid's game is from its rules.
func (q *trader) kidFaults(k int, game []int8) int {
	p, kid := q.p, &q.p.Kids[k]
	bad, count, past, on, off, maxOn, maxOff := 0, 0, 0, 0, 0, p.maxOn(k), p.maxOff(k)
	var perRole, pastRole [MaxRoles]int
	for s, r := range game {
		over := p.over(s)
		switch {
		case r >= 0:
			count++
			perRole[r]++
			on, off = on+1, 0
			if over {
				past++
				pastRole[r]++
			} else if maxOn > 0 && on > maxOn {
				bad++
			}
		case kid.There(s):
			on, off = 0, off+1
			if !over && maxOff > 0 && off > maxOff {
				bad++
			}
		case s >= kid.First && s <= kid.Last: // away for a while
			on, off = 0, 0
		}
		if r < 0 && q.must[k][s] {
			bad++
		}
	}
	bad += max(0, max(kid.Lo, kid.Least)-count) + max(0, count-max(kid.Hi, past))
	roles := 0
	for r := range p.Roles {
		if perRole[r] > 0 {
			roles++
		}
		if kid.Cap > 0 {
			bad += max(0, perRole[r]-max(kid.Cap, pastRole[r]))
		}
	}
	if count > 0 {
		bad += max(0, p.MinRoles-roles)
		if kid.Different > 0 {
			ever := 0
			for r := range p.Roles {
				if perRole[r] > 0 || kid.Before != nil && kid.Before[r] {
					ever++
				}
			}
			bad += max(0, kid.Different-ever)
		}
	}
	return bad
}

// exchange is a proposed move.
type exchange struct {
	a, b   int
	series []int
	delta  int64
	faults int
	kid    [2]int
}

// propose draws two kids and the series in which they exchange cells; false: nothing legal to try.
func (q *trader) propose(x *exchange, g *goal) bool {
	n, ns := len(q.role), len(q.mask)
	if n < 2 {
		return false
	}
	x.a = q.rng.IntN(n)
	if x.b = q.rng.IntN(n - 1); x.b >= x.a {
		x.b++
	}
	x.series = x.series[:0]
	add := func(s int) {
		if q.role[x.a][s] != q.role[x.b][s] && !q.p.over(s) {
			x.series = append(x.series, s)
		}
	}
	switch i, j := q.rng.IntN(ns), q.rng.IntN(ns); q.rng.IntN(16) {
	case 0:
		for s := 0; s < ns; s++ {
			add(s)
		}
	case 1, 2, 3:
		for s := min(i, j); s <= max(i, j); s++ {
			add(s)
		}
	case 4, 5, 6, 7:
		add(i)
	default:
		add(i)
		if i != j {
			add(j)
		}
	}
	return len(x.series) > 0 && q.price(x, g)
}

// price fills in what a move changes; false: a kid would stand where it cannot.
func (q *trader) price(x *exchange, g *goal) bool {
	x.delta, x.faults = 0, 0
	ga, gb := q.scratch[0], q.scratch[1]
	copy(ga, q.role[x.a])
	copy(gb, q.role[x.b])
	for _, s := range x.series {
		ga[s], gb[s] = gb[s], ga[s]
		if r := ga[s]; r >= 0 && !q.can[x.a][s][r] {
			return false
		}
		if r := gb[s]; r >= 0 && !q.can[x.b][s][r] {
			return false
		}
		v := q.level[s] + q.change(x, s)
		if v < g.floor {
			return false
		}
		x.delta += deficitCost*(max(0, g.aim-v)-max(0, g.aim-q.level[s])) - (v - q.level[s])
		if (ga[s] < 0) != (gb[s] < 0) {
			x.faults += q.setFaults(s, q.mask[s]^(1<<x.a|1<<x.b)) - q.setBad[s]
		}
	}
	x.kid = [2]int{q.kidFaults(x.a, ga), q.kidFaults(x.b, gb)}
	x.faults += x.kid[0] + x.kid[1] - q.kidBad[x.a] - q.kidBad[x.b]
	return true
}

// change is what the level of series s gains if a and b exchange cells.
func (q *trader) change(x *exchange, s int) int64 {
	d := int64(0)
	if r := int(q.role[x.a][s]); r >= 0 {
		d += q.value(x.b, s, r) - q.value(x.a, s, r)
	}
	if r := int(q.role[x.b][s]); r >= 0 {
		d += q.value(x.a, s, r) - q.value(x.b, s, r)
	}
	return d
}

func (q *trader) do(x *exchange) {
	for _, s := range x.series {
		v := q.change(x, s)
		q.level[s] += v
		q.total += v
		ra, rb := q.role[x.a][s], q.role[x.b][s]
		q.role[x.a][s], q.role[x.b][s] = rb, ra
		if (ra < 0) != (rb < 0) {
			q.mask[s] ^= 1<<x.a | 1<<x.b
			q.setBad[s] = q.setFaults(s, q.mask[s])
		}
	}
	q.kidBad[x.a], q.kidBad[x.b] = x.kid[0], x.kid[1]
	q.faults += x.faults
}

// anneal makes moves from temperature hot to cold; from a legal plan it stays legal. better is called after
// improving moves and says whether the aim rises; stop ends the run early.
func (q *trader) anneal(moves int, hot, cold int64, g *goal, better func() bool, stop func() bool) {
	var x exchange
	temperature := hot
	for i := 0; i < moves; i++ {
		if i%512 == 0 {
			temperature = max(1, hot-(hot-cold)*int64(i)/int64(moves))
			if stop() {
				return
			}
		}
		if !q.propose(&x, g) {
			continue
		}
		if q.faults == 0 && x.faults > 0 || !metropolis(q.rng, x.delta+int64(x.faults)*faultCost, temperature) {
			continue
		}
		q.do(&x)
		if q.faults == 0 && x.delta < 0 && better() {
			temperature = max(temperature, (hot+cold)/2)
		}
	}
}

// mend looks for a legal plan from any assignment, by fewest faults; one fault weighs like the
// temperature, values do not count. False: none found within the moves.
func (q *trader) mend(moves int, stop func() bool) bool {
	var x exchange
	g := &goal{aim: noLevel, floor: math.MinInt64}
	for i := 0; i < moves && q.faults > 0; i++ {
		if i%512 == 0 && stop() {
			break
		}
		if q.propose(&x, g) && metropolis(q.rng, int64(x.faults)*64, 1+int64(96*(moves-i)/moves)) {
			q.do(&x)
		}
	}
	return q.faults == 0
}
