package rotation

import (
	"slices"

	"sevenyard/optimize/rotation/internal/memo"
)

// ordering finds an order of chosen lineups that obeys the kids' rules.
type ordering struct {
	m     *model
	calls int
	nodes int
	most  int // nodes for one order
	state [][]int16
	dead  map[orderKey]bool
}

type orderKey struct {
	hi, lo uint64
	used   uint64
}

// newOrdering is a search for orders that spends at most so many nodes on one.
func newOrdering(m *model, most int) *ordering {
	o := &ordering{m: m, most: most, state: make([][]int16, m.series+1)}
	for s := range o.state {
		o.state[s] = make([]int16, m.kids)
	}
	return o
}

func (o *ordering) try(q *multiset, pool [][]int32) ([]chosen, searchState) {
	o.nodes = 0
	o.calls++
	o.dead = map[orderKey]bool{}
	for i := range pool {
		slices.Sort(pool[i])
	}
	of := make([]int, o.m.series)
	for s, c := range o.m.class {
		of[s] = slices.Index(q.classes, c)
	}
	plan := make([]chosen, o.m.series)
	key := newKeyer(o.m)
	for k := range o.state[0] {
		o.state[0][k] = 0
	}
	st := o.walk(q, pool, of, key, plan, 0)
	return plan, st
}

func (o *ordering) walk(q *multiset, pool [][]int32, of []int, key *memo.Keyer, plan []chosen, s int) searchState {
	if s == o.m.series {
		return found
	}
	if o.nodes++; o.nodes > o.most {
		return givenUp
	}
	list, t := pool[of[s]], q.table(of[s])
	last := int32(-1)
	for i, c := range list {
		if c < 0 || c == last {
			continue
		}
		last = c
		if !o.enter(t.mask[c], s) {
			continue
		}
		list[i] = -1
		k := orderKey{used: unplayed(pool)}
		if key.Fits[s+1] {
			k.hi, k.lo = key.Key(s+1, o.state[s+1])
		}
		if !key.Fits[s+1] || !o.dead[k] {
			plan[s] = chosen{mask: t.mask[c]}
			if st := o.walk(q, pool, of, key, plan, s+1); st != exhausted {
				list[i] = c
				return st
			}
			o.dead[k] = true
		}
		list[i] = c
	}
	return exhausted
}

// unplayed is a bit set of the lineups not yet placed.
func unplayed(pool [][]int32) uint64 {
	set, bit := uint64(0), 0
	for _, list := range pool {
		for _, c := range list {
			if c >= 0 {
				set |= 1 << bit
			}
			bit++
		}
	}
	return set
}

func (o *ordering) enter(mask uint32, s int) bool {
	for k, a := range o.m.auto {
		to := a.next[s][int(o.state[s][k])*2+int(mask>>k&1)]
		if to < 0 {
			return false
		}
		o.state[s+1][k] = to
	}
	return true
}
