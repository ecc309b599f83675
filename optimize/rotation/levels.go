package rotation

import "math"

// ceiling lowers the certified bound on the weakest series by prices alone, between a level that is reached
// and a bound, for plans with a total of at least total. At any level the bound on the total of plans that keep it also
// bounds their weakest series.
func (v *solver) ceiling(lo, hi, total int64) int64 {
	d := v.base.clone()
	n := v.m.open[0]
	for lo < hi && !v.expired() {
		mid := (lo + hi + 1) / 2
		d.level(mid)
		if !newDescent(d).run(60, max(n*mid, total)*priceScale, func() { d.reduce(mid, total) }) {
			hi = mid - 1
			continue
		}
		hi = min(hi, floorDiv(d.z, n*priceScale))
		lo = mid
	}
	return hi
}

// weakestFirst raises the weakest series to its optimum, then the total with it kept.
func (v *solver) weakestFirst() {
	v.raiseWeakest()
	if v.bestW < v.topW {
		return
	}
	v.climbTotal(15_000)
	if v.set.Favor == Even {
		return // the total comes last, and follows from the levels
	}
	if v.bestT < v.topT && !v.over() {
		v.settleTotal(v.ask(v.bestW, v.bestT+1, v.topT, true))
	}
}

// raiseWeakest closes the gap between the best weakest series and its bound. The next higher level is asked for with
// whatever effort it takes, since its refusal is the proof in the end; now and then a level half-way to the bound gets a fifth
// of the effort, for a refusal there comes cheaper and narrows the gap. What a search has exhausted at a level stays
// exhausted at every higher one, so its memo goes on to the next question.
func (v *solver) raiseWeakest() {
	var next, half *question
	for budget := int64(firstBudget); v.bestW < v.topW && !v.over(); {
		if next == nil || next.w != v.bestW+1 {
			q := v.ask(v.bestW+1, noGoal, 0, false)
			q.inherit(next)
			next = q
		}
		switch v.pursue(next, budget) {
		case found:
			v.climb(10_000)
			budget = max(budget/2, firstBudget)
			continue
		case exhausted:
			v.topW = v.bestW
			return
		}
		if w := v.bestW + 1 + (v.topW-v.bestW)/2; w > next.w {
			if half == nil || half.w <= v.bestW || half.w > v.topW {
				half = v.ask(w, noGoal, 0, false)
			}
			switch v.pursue(half, budget/5) {
			case found:
				v.climb(10_000)
			case exhausted:
				v.topW = min(v.topW, half.w-1)
			}
		}
		budget *= 2
	}
}

// firstBudget is the effort, in nodes, of the first try at a level.
const firstBudget = 30_000

// settleTotal walks a search for greater totals to its end, which makes the best total the bound.
func (v *solver) settleTotal(qu *question) {
	if v.pursue(qu, math.MaxInt64) != searching {
		v.topT = v.bestT
	}
}

// totalFirst raises the total to its optimum, then the weakest series with the total kept.
func (v *solver) totalFirst() {
	if v.bestT < v.topT {
		v.settleTotal(v.ask(noLevel, v.bestT+1, v.topT, true))
	}
	if v.bestT < v.topT {
		return
	}
	v.topW = v.ceiling(v.bestW, v.topW, v.bestT)
	var last *question
	for v.bestW < v.topW && !v.over() {
		qu := v.ask(v.bestW+1, v.bestT, 0, false)
		qu.inherit(last)
		if last = qu; v.pursue(qu, math.MaxInt64) == exhausted {
			v.topW = v.bestW
		}
	}
}
