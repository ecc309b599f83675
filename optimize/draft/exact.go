package draft

import (
	"context"
	"math/bits"
	"slices"
)

// Bounds on the exhaustive search: sets that are tried for a team in all. It is begun only where there is hope to end.
const (
	exactSets  = 2_000_000
	exactFirst = 400_000 // ways to fill the first team, at most, for a beginning
)

// exact goes through all splits, team by team, and leaves out what cannot be better than the best so far: of full teams the cost is known,
// and the kids left cost at least what they would cost if they were all alike (convexity). Teams that the rules do not tell apart are filled in the order of
// their first units.
type exact struct {
	*model
	ctx   context.Context
	sets  int // still allowed
	order []int32
	alike []bool // team t is like team t-1 and nobody is settled on either
	team  []int32
	first []int32 // by team: its first unit
	best  outcome
	sums  [][]int64 // by full team and column of ranges: mean times lcm
}

// prove searches for a better split than the best known. It tells whether the search ended, and then the outcome is the best there is.
func (m *model) prove(ctx context.Context, best outcome) (outcome, bool) {
	if !m.hopeful() {
		return best, false
	}
	e := &exact{model: m, ctx: ctx, sets: exactSets, best: best, team: slices.Repeat([]int32{Unplaced}, len(m.units)), first: make([]int32, m.teams)}
	for range m.teams {
		e.sums = append(e.sums, make([]int64, len(m.ranges)))
	}
	for u := range m.units {
		e.order = append(e.order, int32(u))
	}
	e.alike = make([]bool, m.teams)
	for t := 1; t < m.teams; t++ {
		e.alike[t] = true
		for u := range m.units {
			mask := m.units[u].teams
			if mask>>t&1 != mask>>(t-1)&1 {
				e.alike[t] = false
			}
		}
	}
	done := e.fill(0, value{}, m.larger)
	if m.better(best, e.best) { // by a trifle that whole numbers do not see
		e.best = best
	}
	return e.best, done
}

// hopeful guesses from the number of teams and of ways to fill the first.
func (m *model) hopeful() bool {
	if m.coarse || m.teams > 3 && len(m.layout.kids) > 16 {
		return false
	}
	ways := 1.0
	n := len(m.units)
	for i := range m.lo - 1 {
		ways *= float64(n-1-i) / float64(i+1)
		if ways > exactFirst {
			return false
		}
	}
	return true
}

// fill fills team t and those after it; larger is how many teams of hi kids are left to make. False: the effort is spent.
func (e *exact) fill(t int, so value, larger int) bool {
	if t == e.teams {
		e.finish()
		return true
	}
	f := &filler{exact: e, t: int32(t), so: so, larger: larger}
	sizes := []int{e.lo}
	switch left := e.teams - t; {
	case larger == left && larger > 0:
		sizes = []int{e.hi}
	case larger > 0:
		sizes = []int{e.hi, e.lo}
	}
	f.x = make([]int64, len(e.cols))
	for _, f.size = range sizes {
		if !f.grow(0, 0, 0) {
			return false
		}
	}
	return true
}

// filler chooses the units of one team.
type filler struct {
	*exact
	t      int32
	so     value
	larger int
	size   int
	units  []int32
	x      []int64 // sums of the columns
}

// grow goes on with the units from i on; squares are those of the units chosen.
func (f *filler) grow(i, kids int, squares int64) bool {
	if kids == f.size {
		return f.close(squares)
	}
	for ; i < len(f.order); i++ {
		u := f.order[i]
		if f.team[u] != Unplaced || f.cannot(u, kids) {
			continue
		}
		if len(f.units) == 0 {
			if f.alike[f.t] && u < f.first[f.t-1] {
				continue
			}
			f.first[f.t] = u
		}
		if f.sets--; f.sets < 0 || f.sets&1023 == 0 && f.ctx.Err() != nil {
			return false
		}
		gain := f.gram[int(u)*len(f.model.units)+int(u)]
		for _, v := range f.units {
			gain += 2 * f.gram[int(u)*len(f.model.units)+int(v)]
		}
		f.add(u, 1)
		ok := f.grow(i+1, kids+f.model.units[u].size(), squares+gain)
		f.add(u, -1)
		if !ok {
			return false
		}
		// A unit that can be nowhere else from here on must not be left out.
		if f.model.units[u].teams>>f.t == 1 {
			break
		}
	}
	return true
}

// cannot tells whether a unit cannot join the team.
func (f *filler) cannot(u int32, kids int) bool {
	un := &f.model.units[u]
	if un.teams>>f.t&1 == 0 || kids+un.size() > f.size {
		return true
	}
	for _, v := range f.units {
		if _, enemy := slices.BinarySearch(un.enemies, v); enemy {
			return true
		}
	}
	for o, c := range un.old {
		n := c
		for _, v := range f.units {
			if old := f.model.units[v].old; o < len(old) {
				n += old[o]
			}
		}
		if c > 0 && int(n) > f.most {
			return true
		}
	}
	return false
}

func (f *filler) add(u int32, sign int64) {
	if sign > 0 {
		f.units = append(f.units, u)
		f.team[u] = f.t
	} else {
		f.units = f.units[:len(f.units)-1]
		f.team[u] = Unplaced
	}
	for _, j := range f.ranges {
		f.x[j] += sign * f.xs[j][u]
	}
}

// close goes on with the next team if this one, full now, leaves room for something better.
func (f *filler) close(squares int64) bool {
	so := value{f.so.short, f.so.cost + f.factor(int32(f.size))*squares}
	if f.need != nil {
		var worst int32
		for set := range f.need {
			n := int32(f.need[set])
			for _, u := range f.units {
				n -= f.plays[u][set]
			}
			worst = max(worst, n)
		}
		so.short += worst
	}
	for i, j := range f.ranges {
		f.sums[f.t][i] = f.x[j] * f.factor(int32(f.size))
	}
	if !f.possibleFrom(so) {
		return true
	}
	larger := f.larger
	if f.size > f.lo {
		larger--
	}
	first := slices.Clone(f.first)
	ok := f.fill(int(f.t)+1, so, larger)
	copy(f.first, first)
	return ok
}

// possibleFrom tells whether something better than the best is possible with the full teams as they are.
func (f *filler) possibleFrom(so value) bool {
	left := 0
	for u, t := range f.team {
		if t == Unplaced {
			left += f.model.units[u].size()
		}
	}
	if left > 0 {
		so.cost += f.rest(left)
	}
	so.cost += f.leastRanges(left)
	return so.less(f.best.value)
}

// rest is what the kids left cost at least: their squares are no less than those of their sum spread evenly over them. Rounded down.
func (f *filler) rest(left int) int64 {
	n := len(f.model.units)
	var squares int64
	for u, t := range f.team {
		if t != Unplaced {
			continue
		}
		for v, w := range f.team {
			if w == Unplaced {
				squares += f.gram[u*n+v]
			}
		}
	}
	hi, lo := bits.Mul64(uint64(squares), uint64(f.lcm))
	q, _ := bits.Div64(hi, lo, uint64(left))
	return int64(q)
}

// leastRanges is what ranges cost at least: the kids left have a team with no less than their mean, and one with no more.
func (f *filler) leastRanges(left int) int64 {
	var cost int64
	for i, j := range f.ranges {
		low, high := int64(1<<62), int64(-1<<62)
		for t := range f.t + 1 {
			low, high = min(low, f.sums[t][i]), max(high, f.sums[t][i])
		}
		if left > 0 {
			var sum int64
			for u, t := range f.team {
				if t == Unplaced {
					sum += f.xs[j][u]
				}
			}
			mean := sum * f.lcm / int64(left) // cut off towards 0
			low, high = min(low, mean+1), max(high, mean-1)
		}
		cost += f.rate[j] * max(0, high-low)
	}
	return cost
}

// finish compares a whole split with the best.
func (e *exact) finish() {
	if v := e.newState(e.team).value(); v.less(e.best.value) {
		e.best = e.outcome(slices.Clone(e.team), v)
	}
}
