package draft

import (
	"math/bits"
	"slices"
)

// layout is a pool's rules in the form that searches use: kids who stay together are one unit. Kids are numbered by
// label here, so that the order of the pool cannot matter.
type layout struct {
	kids   []int // the pool's kid behind each number here
	teams  int
	lo, hi int // team sizes
	larger int // how many teams have hi kids; hi = lo if none
	unit   []int32
	units  []unit
	olds   int // old teams that are limited
	most   int // the limit
	dead   bool
}

// unit is kids who stay together.
type unit struct {
	kids    []int  // numbers of the layout
	teams   uint64 // where it can be
	enemies []int32
	old     []int32 // by limited old team, how many of its kids come from there; nil: none
}

func (u *unit) size() int { return len(u.kids) }

// fixed tells that the unit has only one team to go to.
func (u *unit) fixed() bool { return u.teams&(u.teams-1) == 0 }

// newLayout builds the layout of a set of rules; nil means all rules of the pool.
func (p *Pool) newLayout(rules []Rule) *layout {
	if rules == nil {
		rules = p.rules()
	}
	n := len(p.Kids)
	y := &layout{kids: p.byLabel(), teams: len(p.Teams), unit: make([]int32, n)}
	y.lo, y.larger = n/y.teams, n%y.teams
	y.hi = y.lo
	if y.larger > 0 {
		y.hi++
	}
	number := make([]int, n)
	for i, k := range y.kids {
		number[k] = i
	}
	y.unite(rules, number)
	for _, r := range rules {
		y.confine(r, number)
	}
	for _, u := range y.units {
		y.dead = y.dead || u.teams == 0 || u.size() > y.hi
		for _, c := range u.old {
			y.dead = y.dead || int(c) > y.most
		}
	}
	return y
}

// unite makes units of the kids who stay together, numbered by their first kid.
func (y *layout) unite(rules []Rule, number []int) {
	root := make([]int, len(number))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for _, r := range rules {
		if r.Kind != Siblings {
			continue
		}
		for _, k := range r.Kids[1:] {
			a, b := find(number[r.Kids[0]]), find(number[k])
			root[max(a, b)] = min(a, b)
		}
	}
	for i := range root {
		f := find(i)
		if f == i {
			y.unit[i] = int32(len(y.units))
			y.units = append(y.units, unit{teams: 1<<y.teams - 1})
		}
		y.unit[i] = y.unit[f]
		y.units[y.unit[i]].kids = append(y.units[y.unit[i]].kids, i)
	}
}

// confine takes one rule into the units.
func (y *layout) confine(r Rule, number []int) {
	of := func(k int) int32 { return y.unit[number[k]] }
	switch r.Kind {
	case Settled, Nights:
		var mask uint64
		for _, t := range r.Teams {
			mask |= 1 << t
		}
		y.units[of(r.Kids[0])].teams &= mask
	case Apart:
		a, b := of(r.Kids[0]), of(r.Kids[1])
		if a == b {
			y.dead = true
			return
		}
		for _, e := range [][2]int32{{a, b}, {b, a}} {
			u := &y.units[e[0]]
			if at, found := slices.BinarySearch(u.enemies, e[1]); !found {
				u.enemies = slices.Insert(u.enemies, at, e[1])
			}
		}
	case Returning:
		y.most = r.Most
		for _, k := range r.Kids {
			u := &y.units[of(k)]
			for len(u.old) <= y.olds {
				u.old = append(u.old, 0)
			}
			u.old[y.olds]++
		}
		y.olds++
	}
}

// split gives the pool's split for teams of units; -1: none.
func (y *layout) split(team []int32) Split {
	s := make(Split, len(y.kids))
	for i, k := range y.kids {
		s[k] = int(team[y.unit[i]])
	}
	return s
}

// assign gives the teams of units for a split; a unit that is torn counts as without a team.
func (y *layout) assign(s Split) []int32 {
	team := make([]int32, len(y.units))
	for u := range y.units {
		team[u] = int32(s[y.kids[y.units[u].kids[0]]])
		for _, i := range y.units[u].kids {
			if int32(s[y.kids[i]]) != team[u] {
				team[u] = Unplaced
			}
		}
	}
	return team
}

// each calls f with the numbers of the set bits.
func each(mask uint64, f func(t int)) {
	for ; mask != 0; mask &= mask - 1 {
		f(bits.TrailingZeros64(mask))
	}
}
