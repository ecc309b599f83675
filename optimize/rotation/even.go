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

// extra is what the future depends on besides the kids' states: how many levels lie under each rank. A bit set for every
// level, one not set for every rank above it, lowest first, and one at the end: at most 2*exactSeries bits.
func (f *floors) extra(below []int32) uint64 {
	if f == nil {
		return 0
	}
	key, at := uint64(1), 0
	for _, r := range f.rank {
		for ; at < len(below) && below[at] < r; at++ {
			key = key<<1 | 1
		}
		key <<= 1
	}
	for ; at < len(below); at++ {
		key = key<<1 | 1
	}
	return key
}

// evenOut raises the second weakest series with the weakest kept, then the third, and so on (leximin).
func (v *solver) evenOut() {
	if v.bestW < v.topW || v.over() {
		return
	}
	v.rank = func(_ Plan, levels []int64) []int64 { return levels }
	for v.even = 1; v.even < len(v.sorted); {
		if v.over() {
			return
		}
		switch v.pursue(v.askEven(v.even), math.MaxInt64) {
		case found:
		case exhausted:
			v.even++
		default:
			return
		}
	}
}

// askEven asks for a plan whose j smallest levels are as good as the best plan's and the next one better.
// The objective is the level up to the floor asked for: a plan that meets the floors has at least their
// sum, whatever else its series are worth.
func (v *solver) askEven(j int) *question {
	fl := &floors{top: int32(v.sorted[j]) + 1}
	goal := int64(0)
	for _, x := range v.sorted[:j] {
		fl.rank = append(fl.rank, int32(x))
		goal += x
	}
	goal += int64(len(v.sorted)-j) * int64(fl.top)
	d := newDual(v.m.valued(func(level, _ int64) int64 { return min(level, int64(fl.top)) }))
	copy(d.pi, v.base.pi)
	return v.askOn(d, v.bestW, goal, fl)
}
