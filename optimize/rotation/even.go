package rotation

import (
	"math"
	"slices"
)

// floors asks that the levels of a plan, in ascending order, are at least rank[0], rank[1], ..., and then top.
type floors struct {
	rank []int32 // ascending, below top
	top  int32
}

// admit tells whether one more level fits, given those under top so far: of every i+1 smallest the largest must
// reach its rank. Any part of an admissible whole is admissible, so checking each step is enough.
func (f *floors) admit(below []int32, level int32) bool {
	if f == nil || level >= f.top {
		return true
	}
	if len(below) >= len(f.rank) {
		return false
	}
	at, _ := slices.BinarySearch(below, level)
	if level < f.rank[at] {
		return false
	}
	for i := at; i < len(below); i++ {
		if below[i] < f.rank[i+1] {
			return false
		}
	}
	return true
}

// add is below with one more level, in dst's memory.
func (f *floors) add(dst, below []int32, level int32) []int32 {
	if f == nil {
		return nil
	}
	dst = append(dst[:0], below...)
	if level < f.top {
		at, _ := slices.BinarySearch(dst, level)
		dst = slices.Insert(dst, at, level)
	}
	return dst
}

// extra is what the future depends on besides the kids' states: how many levels lie under each rank.
func (f *floors) extra(below []int32) uint64 {
	if f == nil {
		return 0
	}
	key := uint64(len(below))
	for i, r := range f.rank {
		if i > 0 && r == f.rank[i-1] {
			continue
		}
		n, _ := slices.BinarySearch(below, r)
		key = key*(exactSeries+1) + uint64(n)
	}
	return key
}

// evenRanks is the most different ranks whose counts fit a memo key.
const evenRanks = 13

// evenOut raises the second weakest series with the weakest kept, then the third, and so on (leximin).
func (v *solver) evenOut() {
	if v.bestW < v.topW || v.over() {
		return
	}
	v.rank = func(_ Plan, levels []int64) []int64 { return levels }
	for j := 1; j < len(v.sorted); {
		if v.over() {
			return
		}
		qu, ok := v.askEven(j)
		if !ok {
			return
		}
		switch v.pursue(qu, math.MaxInt64) {
		case found:
		case exhausted:
			j++
		default:
			return
		}
	}
	v.even = true
}

// askEven asks for a plan whose j smallest levels are as good as the best plan's and the next one better.
// The objective is the level up to the floor asked for: a plan that meets the floors has at least their
// sum, whatever else its series are worth.
func (v *solver) askEven(j int) (*question, bool) {
	fl := &floors{top: int32(v.sorted[j]) + 1}
	goal, ranks := int64(0), 0
	for i, x := range v.sorted[:j] {
		fl.rank = append(fl.rank, int32(x))
		goal += x
		if i == 0 || x != v.sorted[i-1] {
			ranks++
		}
	}
	if ranks > evenRanks {
		return nil, false
	}
	goal += int64(len(v.sorted)-j) * int64(fl.top)
	m := *v.m
	m.linked = false
	m.tables = make([]*table, m.series)
	for s, t := range v.m.tables {
		if c := m.class[s]; c != s {
			m.tables[s] = m.tables[c]
			continue
		}
		u := *t
		u.obj = make([]int64, len(t.level))
		for i, x := range t.level {
			if !v.p.over(s) {
				u.obj[i] = min(int64(x), int64(fl.top))
			}
		}
		m.tables[s] = &u
	}
	d := newDual(&m)
	copy(d.pi, v.base.pi)
	return v.askOn(d, v.bestW, goal, fl), true
}
