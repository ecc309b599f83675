package rotation

import (
	"cmp"
	"math"
	"slices"
)

// picker lets the kids owed most play the roles they fit best, among plans of the same values: two kids exchange roles in a series, or
// their spots in two series. A plan it makes obeys the same rules and has the same weakest series and total (Even: the same
// strengths in order); for a rebuild it also has as many changes. It climbs to a plan that no such
// exchange betters, which need not be the best there is: nothing about it is claimed as proven.
type picker struct {
	p     *Problem
	favor Favor
	rank  []int     // of a kid among those owed; -1: owed nothing
	fit   [][]int64 // by kid and role, tenths of a T point
	ranks int
	old   Plan // rebuild only
	plan  Plan
	level []int64
	score []int64
}

// pickReach bounds the size of a game for which exchanges are tried, in spots.
const pickReach = 200

// pick lets the kids owed most have the first pick of roles. old is the plan that is rebuilt, nil for a fresh one.
func (g *Game) pick(p *Problem, r *Result, favor Favor, old Plan) {
	if r == nil || r.Plan == nil {
		return
	}
	spots := 0
	for _, n := range p.spots() {
		spots += n
	}
	k := &picker{p: p, favor: favor, old: old, plan: slices.Clone(r.Plan), level: p.Strengths(r.Plan)}
	if spots > pickReach || !k.rankKids(g) {
		return
	}
	for s := range k.plan {
		k.plan[s] = slices.Clone(k.plan[s])
	}
	k.score = k.rate()
	for k.improve() {
	}
	if len(Check(p, k.plan)) > 0 { // cannot be: every step was checked
		return
	}
	r.Plan, r.Strength = k.plan, k.level
	r.WeakestSeries = p.weakestSeries(r.Strength, r.Weakest.Value)
}

// rankKids puts the kids owed something into an order; false: there are none.
func (k *picker) rankKids(g *Game) bool {
	k.rank = make([]int, len(g.Kids))
	var owed []int
	for i, kid := range g.Kids {
		k.rank[i] = -1
		if kid.Owed > 0 {
			owed = append(owed, i)
		}
		row := make([]int64, len(kid.Fit))
		for r, f := range kid.Fit {
			row[r] = int64(math.Round(10 * f))
		}
		k.fit = append(k.fit, row)
	}
	slices.SortStableFunc(owed, func(a, b int) int { return cmp.Compare(g.Kids[b].Owed, g.Kids[a].Owed) })
	for i, kid := range owed {
		if i == 0 || g.Kids[kid].Owed != g.Kids[owed[i-1]].Owed {
			k.ranks++
		}
		k.rank[kid] = k.ranks - 1
	}
	return k.ranks > 0
}

// rate is what to make great, the first number first: the fits of the kids owed most in the roles they play, then those of the next, and so on;
// at last, the fewest changes of role.
func (k *picker) rate() []int64 {
	out := make([]int64, k.ranks+1)
	last := make([]int, len(k.rank))
	for i := range last {
		last[i] = -1
	}
	for s, cells := range k.plan {
		for _, c := range cells {
			if r := k.rank[c.Kid]; r >= 0 && !k.p.over(s) {
				out[r] += k.fit[c.Kid][c.Role]
			}
			if last[c.Kid] >= 0 && last[c.Kid] != c.Role {
				out[k.ranks]--
			}
			last[c.Kid] = c.Role
		}
	}
	return out
}

// improve makes the first exchange that betters the plan; false: there is none.
func (k *picker) improve() bool {
	for s, cells := range k.plan {
		if k.p.over(s) {
			continue
		}
		for i := range cells {
			for j := i + 1; j < len(cells); j++ {
				if cells[i].Role != cells[j].Role && k.try(s, s, i, j) {
					return true
				}
			}
			for t := s + 1; t < len(k.plan); t++ {
				for j := range k.plan[t] {
					if k.try(s, t, i, j) {
						return true
					}
				}
			}
		}
	}
	return false
}

// try lets the kids of spot i of series s and spot j of series t change places; it keeps that only if the values stay and the kids owed gain.
func (k *picker) try(s, t, i, j int) bool {
	a, b := k.plan[s][i], k.plan[t][j]
	if a.Kid == b.Kid || k.rank[a.Kid] < 0 && k.rank[b.Kid] < 0 {
		return false
	}
	if s != t && (standsIn(k.plan[s], b.Kid) || standsIn(k.plan[t], a.Kid)) {
		return false
	}
	ds := k.value(b.Kid, s, a.Role) - k.value(a.Kid, s, a.Role)
	dt := k.value(a.Kid, t, b.Role) - k.value(b.Kid, t, b.Role)
	if ds+dt != 0 || s != t && !k.keeps(s, t, ds, dt) {
		return false
	}
	if k.changed(s, b.Kid, a.Role)+k.changed(t, a.Kid, b.Role) != k.changed(s, a.Kid, a.Role)+k.changed(t, b.Kid, b.Role) {
		return false
	}
	was := [2][]Cell{slices.Clone(k.plan[s]), slices.Clone(k.plan[t])}
	k.plan[s][i].Kid, k.plan[t][j].Kid = b.Kid, a.Kid
	orderCells(k.plan[s])
	orderCells(k.plan[t])
	if score := k.rate(); slices.Compare(score, k.score) > 0 && len(Check(k.p, k.plan)) == 0 {
		k.score = score
		if s != t {
			k.level[s] += ds
			k.level[t] += dt
		}
		return true
	}
	k.plan[s], k.plan[t] = was[0], was[1]
	return false
}

// keeps tells whether the weakest series stays as strong when two series change so much; with Even, all in order.
func (k *picker) keeps(s, t int, ds, dt int64) bool {
	var before, after []int64
	for x, v := range k.level {
		if k.p.over(x) {
			continue
		}
		before = append(before, v)
		switch x {
		case s:
			v += ds
		case t:
			v += dt
		}
		after = append(after, v)
	}
	if k.favor != Even {
		return slices.Min(before) == slices.Min(after)
	}
	slices.Sort(before)
	slices.Sort(after)
	return slices.Equal(before, after)
}

// changed is 1 where a kid in a role of a series is not what the plan to rebuild has.
func (k *picker) changed(s, kid, role int) int {
	if k.old == nil || slices.Contains(k.old[s], Cell{kid, role}) {
		return 0
	}
	return 1
}

func (k *picker) value(kid, s, role int) int64 {
	return int64(k.p.Shapes[k.p.Series[s]].Value[kid][role])
}

func standsIn(cells []Cell, kid int) bool {
	return slices.ContainsFunc(cells, func(c Cell) bool { return c.Kid == kid })
}
