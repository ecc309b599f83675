package draft

import "math"

// annealer holds what a search with falling temperature needs.
type annealer struct {
	*state
	dice
	heat int64 // temperature, in cost, over 2^16
	x    exchange
	// heavy is what a missing role spot counts while annealing; in the end shortage goes first anyway.
	heavy int64
	same  []int32 // by unit: size
	self  []int64 // by unit: gram with itself
	plain uint64  // of 16 moves, how many are not one for one
	floor bool    // squares are all there is
}

func (m *model) newAnnealer(start []int32, seed uint64) *annealer {
	a := &annealer{state: m.newState(start), dice: dice(seed), heavy: int64(min(m.scale, 1<<50)), plain: plainMoves}
	a.floor = a.simple()
	for u := range m.units {
		a.same = append(a.same, int32(m.units[u].size()))
		a.self = append(a.self, m.gram[u*len(m.units)+u])
	}
	return a
}

// Temperatures in units of the objective, as measured on random pools.
const (
	hot   = 0.1
	cool  = 0.02  // where resplits follow
	cold  = 0.006 // where none do
	steps = 64    // temperatures between the two
	// plainMoves is how many of 16 moves are something else than one for one.
	plainMoves = 5
)

// anneal tries moves at temperatures that fall from start to end (units of the objective) by equal factors.
func (a *annealer) anneal(moves int, start, end float64, stop func() bool) {
	// Whole numbers, so that the last digit of a power cannot matter.
	ratio := int64(math.Round(math.Pow(end/start, 1/float64(steps-1)) * (1 << 20)))
	temperature := int64(math.Round(start * (1 << 30)))
	unit := int64(min(a.scale, 1<<60) / (1 << 30))
	for range steps {
		if stop() {
			return
		}
		a.heat = temperature * unit >> 16
		for range moves / steps {
			a.step()
		}
		temperature = temperature * ratio >> 20
	}
}

// step tries one random move. One number from the generator serves all four draws: 14 bits are plenty for each.
func (a *annealer) step() {
	r := a.next()
	n := uint64(len(a.movable))
	u := a.movable[r>>50*n>>14]
	v := a.movable[r>>36&(1<<14-1)*n>>14]
	tu, tv := a.team[u], a.team[v]
	if tu == tv {
		return
	}
	bound := patience[r&1023] * a.heat
	roll := r >> 10 & 15
	if a.same[u] == a.same[v] && roll >= a.plain && a.least(u, v, tu, tv) > bound {
		return // one for one: most moves are, and most are not taken
	}
	a.try(u, v, tu, tv, roll, bound)
}

// least is the least that exchanging two units of the same size can add to the cost.
func (a *annealer) least(u, v, tu, tv int32) int64 {
	n := len(a.units)
	pa, pb := a.pull[int(tu)*n:][:n], a.pull[int(tv)*n:][:n]
	both := a.self[u] + a.self[v] - 2*a.gram[int(u)*n+int(v)]
	d := a.factors[a.kids[tu]]*(both+2*(pa[v]-pa[u])) + a.factors[a.kids[tv]]*(both+2*(pb[u]-pb[v]))
	if a.floor {
		return d
	}
	if len(a.ranges) > 0 || a.short != nil && a.short[tu]+a.short[tv] > 0 {
		return math.MinInt64
	}
	return d - a.car*int64(len(a.wishOf[u])+len(a.wishOf[v]))
}

// try is the long way of step.
func (a *annealer) try(u, v, tu, tv int32, roll uint64, bound int64) {
	x := &a.x
	x.a, x.b, x.out[0], x.in[0], x.nOut, x.nI = tu, tv, u, v, 1, 1
	if d := a.units[u].size() - a.units[v].size(); d != 0 {
		a.even(x, d)
	} else if roll < a.plain {
		if roll < 2 && a.larger > 0 {
			x.nI = 0 // u alone goes to v's team
		} else {
			a.double(x)
		}
	}
	a.consider(x, bound)
}

// double makes it two for two.
func (a *annealer) double(x *exchange) {
	u, v := a.other(x.a, x.out[0]), a.other(x.b, x.in[0])
	if u >= 0 && v >= 0 && a.units[u].size() == a.units[v].size() {
		x.out[1], x.in[1], x.nOut, x.nI = u, v, 2, 2
	}
}

// even takes a second unit along on the lighter side; out is heavier by d kids, or lighter if negative.
func (a *annealer) even(x *exchange, d int) {
	if d > 0 {
		if v := a.other(x.b, x.in[0]); v >= 0 {
			x.in[1], x.nI = v, 2
		}
	} else if u := a.other(x.a, x.out[0]); u >= 0 {
		x.out[1], x.nOut = u, 2
	}
}

// other is another unit of a team that may move; -1: the one drawn may not.
func (a *annealer) other(t, not int32) int32 {
	u := a.on[t][a.below(len(a.on[t]))]
	if u == not || a.units[u].fixed() {
		return -1
	}
	return u
}

// consider makes the move if it is legal and no worse than the bound.
func (a *annealer) consider(x *exchange, bound int64) {
	d := a.squaresDelta(x)
	if a.simple() {
		if d <= bound && a.legal(x) {
			a.apply(x)
		}
		return
	}
	if !a.legal(x) {
		return
	}
	v := a.delta(x)
	if v.cost+int64(v.short)*a.heavy <= bound {
		a.apply(x)
	}
}
