package draft

import (
	"math"
	"slices"
)

// resplitter shares the kids of two teams between them anew, in the best way there is. Where teams have more than 2 * halfUnits units that can be on either, the others stay
// where they are. The sets of each half of the units are sorted by their sum in the first column (Horowitz and Sahni 1974), so that for each set
// of one half only those of the other are looked at that can balance the first column well enough.
type resplitter struct {
	*state
	dice
	cols    []int // columns of the squares
	free    []int32
	half    [2]half
	rates   []int64 // weights of cols
	mean    []int64 // by column: v of the empty set
	v       []int64
	two     [][2]int64 // by column: its two values; equal: it has more
	floors  []int64    // by column: the least it costs
	limits  []int64    // by column: what it and those before it may cost
	side    []int32    // by free unit: the team it is tried on; Unplaced: not free
	touched []int32    // wishes of free units
}

func (s *state) newResplitter(seed uint64) *resplitter {
	r := &resplitter{state: s, dice: dice(seed), side: slices.Repeat([]int32{Unplaced}, len(s.units))}
	for j := range s.cols {
		if !slices.Contains(s.ranges, j) {
			r.cols, r.rates = append(r.cols, j), append(r.rates, s.weight[j])
			low, high, ok := s.twoValues(j)
			if !ok {
				low, high = 0, 0
			}
			r.two = append(r.two, [2]int64{low, high})
		}
	}
	n := len(r.cols)
	r.mean, r.v, r.floors, r.limits = make([]int64, n), make([]int64, n), make([]int64, n), make([]int64, n)
	return r
}

// resplit improves teams a and b if it can, and tells whether it did.
func (r *resplitter) resplit(a, b int32) bool {
	r.choose(a, b)
	if len(r.free) < 2 || len(r.cols) == 0 {
		return false
	}
	improved := r.attempt(a, b, r.kids[a])
	if r.kids[a] != r.kids[b] {
		improved = r.attempt(a, b, r.kids[b]) || improved
	}
	for _, u := range r.free {
		r.side[u] = Unplaced
	}
	return improved
}

// choose takes the units of both teams that can be on either.
func (r *resplitter) choose(a, b int32) {
	r.free = r.free[:0]
	for _, t := range [2]int32{a, b} {
		for _, u := range r.on[t] {
			if mask := r.units[u].teams; (mask>>a)&(mask>>b)&1 == 1 {
				r.free = append(r.free, u)
			}
		}
	}
	shuffle(&r.dice, r.free)
	if len(r.free) > 2*halfUnits {
		r.free = r.free[:2*halfUnits]
	}
	n := len(r.free) / 2
	r.half[0].units, r.half[1].units = r.free[:n], r.free[n:]
}

// metric is how attempt counts: squares of v, so that only what depends on the choice is left.
type metric struct {
	now  int64 // the two teams as they are
	car  int64 // a car
	cars int64 // the most that wishes can save, not positive
}

// attempt looks for the best way in which team a has na kids.
//
// With sums S of a and D of both, and factors f and g, the cost of the two teams is f S^2 + g (D - S)^2 = (v^2 + f g D^2) / (f + g), where
// v = (f + g) S - g D. Dividing f and g by their greatest common divisor keeps v small.
func (r *resplitter) attempt(a, b, na int32) bool {
	f, g := r.factors[na], r.factors[r.kids[a]+r.kids[b]-na]
	d := gcd(f, g)
	f, g = f/d, g/d
	cost := r.factors[r.kids[a]]*r.squares[a] + r.factors[r.kids[b]]*r.squares[b]
	if (float64(cost)+float64(r.car)*float64(1+2*len(r.wishes)))*float64(f+g)/float64(d) > 1<<60 {
		return false // only on the way down from a very uneven split, or where carpools count for more than all the rest
	}
	m := metric{now: cost / d * (f + g), car: r.car / d * (f + g)}
	for i, j := range r.cols {
		var stay, all int64
		for _, t := range [2]int32{a, b} {
			for _, u := range r.on[t] {
				all += r.xs[j][u]
			}
		}
		for _, u := range r.on[a] {
			stay += r.xs[j][u]
		}
		for _, u := range r.free {
			if r.team[u] == a {
				stay -= r.xs[j][u]
			}
		}
		r.mean[i] = (f+g)*stay - g*all
		m.now -= f * g * r.rates[i] * all * all
		r.floors[i] = r.floor(i, na, r.kids[a]+r.kids[b], all, f, g)
	}
	need := na - r.kids[a]
	for _, u := range r.free {
		if r.team[u] == a {
			need += int32(r.units[u].size())
		}
	}
	if need < 0 {
		return false
	}
	m.cars = -m.car * r.saveable(a, b)
	for h := range r.half {
		r.half[h].open(r.state, r.cols, f+g)
	}
	return r.scan(a, b, int(need), m)
}

// scan goes through the pairs of sets that give team a need kids of the free ones.
func (r *resplitter) scan(a, b int32, need int, m metric) bool {
	x, y := &r.half[0], &r.half[1]
	w := len(r.cols)
	best := m.now // of squares and cars
	var bestX, bestY int32
	w0 := r.rates[0]
	radius := r.allow(best - m.cars)
	for n, sets := range x.sets {
		if need-n < 0 || need-n >= len(y.sets) {
			continue
		}
		others := y.sets[need-n]
		top := len(others)
		for _, p := range sets {
			base := r.v
			for c := range base {
				base[c] = r.mean[c] + x.sums[int(p)*w+c]
			}
			for top > 0 && base[0]+y.sums[int(others[top-1])*w] > radius {
				top--
			}
			for i := top - 1; i >= 0; i-- {
				q := int(others[i]) * w
				v := base[0] + y.sums[q]
				if v < -radius {
					break
				}
				cost := w0 * v * v
				c := 1
				for ; c < w && cost < r.limits[c-1]; c++ {
					v = base[c] + y.sums[q+c]
					cost += r.rates[c] * v * v
				}
				if cost >= r.limits[c-1] {
					continue
				}
				if total := cost + r.judge(a, b, p, others[i], m); total < best {
					best, bestX, bestY = total, p, others[i]
					radius = r.allow(best - m.cars)
				}
			}
		}
	}
	if best == m.now {
		return false
	}
	r.sides(a, b, bestX, bestY)
	r.carryOut(a, b)
	return true
}

// allow sets how much the columns up to each may cost together, so that with the least that the others cost it stays below the total. It gives how far the
// first column may be from 0.
func (r *resplitter) allow(total int64) int64 {
	for c := len(r.cols) - 1; c >= 0; c-- {
		r.limits[c] = total
		total -= r.floors[c]
	}
	return root(max(0, r.limits[0]) / r.rates[0])
}

// floor is the least that a column of two values costs: kids of a kind are shared out whole. Of other columns 0.
func (r *resplitter) floor(i int, na, n int32, all, f, g int64) int64 {
	two := r.two[i]
	if two[0] == two[1] {
		return 0
	}
	high := (all - int64(n)*two[0]) / (two[1] - two[0]) // how many of both teams have the higher value
	least := int64(math.MaxInt64)
	for count := max(0, high-int64(n-na)); count <= min(high, int64(na)); count++ {
		v := (f+g)*(int64(na)*two[0]+count*(two[1]-two[0])) - g*all
		least = min(least, r.rates[i]*v*v)
	}
	if least == math.MaxInt64 {
		return 0
	}
	return least
}

// carryOut moves the free units to their sides.
func (r *resplitter) carryOut(a, b int32) {
	for _, u := range r.free {
		if from, to := r.team[u], r.side[u]; from != to {
			r.leave(u, from)
			r.enter(u, to)
		}
	}
	n := len(r.units)
	for _, t := range [2]int32{a, b} {
		r.squares[t] = 0
		for _, u := range r.on[t] {
			r.squares[t] += r.pull[int(t)*n+int(u)]
		}
		if r.short != nil {
			r.short[t] = r.shortage(r.coverOf(t))
		}
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// root is the whole root of a number that is not negative, or a little more.
func root(x int64) int64 {
	return int64(math.Sqrt(float64(x))) + 1
}
