package rotation

import (
	"math"
	"slices"
)

// ceiling lowers the certified bound on the weakest series by prices alone, to within ceilingSlack, between a level that is reached
// and a bound, for plans with a total of at least total. At any level the bound on the total of plans that keep it also
// bounds their weakest series.
func (v *solver) ceiling(lo, hi, total int64) int64 {
	d := v.base.clone()
	n := v.m.open[0]
	// High levels have few lineups and are cheap to refuse, so it goes down from the bound in growing steps before it halves what is left.
	down := max((hi-lo)/32, 1)
	for lo+ceilingSlack < hi && !v.expired() {
		mid := max(hi-down, (lo+hi+1)/2)
		d.level(mid)
		if !newDescent(d).run(60, max(n*mid, total)*priceScale, func() { d.reduce(mid, total) }) {
			hi, down = mid-1, 2*down
			continue
		}
		hi = min(hi, floorDiv(d.z, n*priceScale))
		lo = mid
	}
	return hi
}

// ceilingSlack is what is left to the questions, which have better prices for a single level.
const ceilingSlack = 2

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

// raiseWeakest closes the gap between the best weakest series and its bound. Where closeIn does not apply, it goes like this: the next higher
// level is asked for with whatever effort it takes, since its refusal is the proof in the end; now and then a level half-way to the bound
// gets a fifth of the effort, for a refusal there comes cheaper and narrows the gap. What a search has exhausted at a level stays
// exhausted at every higher one, so its memo goes on to the next question.
func (v *solver) raiseWeakest() {
	v.closeIn()
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

// mostOpen is how many levels closeIn puts off at once: each keeps its memo and its ends.
const mostOpen = 2

// closeIn closes the gap between the best weakest series and its bound by asking for levels in between: the higher one is, the
// less is its budget, and the cheaper the answer. A level that takes long is put off, since a lucky plan at a higher level can settle it; when
// only such levels are left, or as many as may be, they go on in turn, each with twice the effort of before.
func (v *solver) closeIn() {
	if v.backward() == nil {
		return // without listed ends, low levels cost little more than high ones
	}
	var open []*question // put off, in ascending order of their levels
	z, n := v.base.z/priceScale, v.m.open[0]
	for !v.over() {
		for len(open) > 0 && open[0].w <= v.bestW {
			v.release(open[0])
			open = open[1:]
		}
		low := v.bestW
		if len(open) > 0 {
			low = open[len(open)-1].w
		}
		rungs := v.rungs(low)
		if v.topW = low; len(rungs) > 0 {
			v.topW = rungs[len(rungs)-1]
		} else if len(open) == 0 {
			return
		}
		var qu *question
		budget := v.set.pace.closeNodes()
		if len(rungs) == 0 || len(open) == mostOpen {
			qu = open[0]
			for _, x := range open {
				if x.spent <= qu.spent {
					qu = x
				}
			}
			budget = qu.spent
		} else {
			w := rungs[cheapest(rungs, func(w int64) int64 { return max(z-n*w, 1) })]
			v.both(func() { qu = v.ask(w, noGoal, 0, false) }, func() { v.climbWeakest(v.m.effort(besideMoves)) })
			if v.bestW >= w {
				v.release(qu)
				continue
			}
			if qu.answer == searching {
				z = qu.search.d.z / priceScale
			}
			open = append(open, qu)
		}
		switch v.pursue(qu, budget) {
		case found:
			v.climb(10_000)
		case exhausted:
			for v.topW = qu.w - 1; len(open) > 0 && open[len(open)-1].w >= qu.w; open = open[:len(open)-1] {
				v.release(open[len(open)-1])
			}
		}
	}
}

// rungs are the levels above low that the weakest series can have, in ascending order.
func (v *solver) rungs(low int64) []int64 {
	var out []int64
	if low >= v.topW {
		return nil
	}
	for s, t := range v.m.tables {
		if v.m.class[s] != s || v.p.over(s) {
			continue
		}
		for _, x := range t.level[t.prefix(v.topW+1):t.prefix(low+1)] {
			out = append(out, int64(x))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// cheapest is the index of the rung to ask for next: the one that leaves the least effort to expect. What is expected of the best level
// comes from random games: in two of five it is below all rungs, or else it is the likelier to be a rung the lower that is, down in a straight line to
// nothing above the last. The effort of a question goes with the cube of its budget, about.
func cheapest(rungs []int64, room func(int64) int64) int {
	const most = 40
	step := (len(rungs) + most - 1) / most
	n := (len(rungs) + step - 1) / step
	at := func(i int) int { return len(rungs) - 1 - (n-1-i)*step } // the last rung counts
	cost, sum := make([]float64, n), make([]float64, n+2)          // sum[i]: chances of the first i of below, rung 0, rung 1, ...
	sum[1] = 2
	for i := range cost {
		x := float64(room(rungs[at(i)])) / float64(room(rungs[at(n-1)]))
		cost[i] = float64(x*x) * x
		sum[i+2] = sum[i+1] + 6*float64(n-i)/float64(n*(n+1))
	}
	// expect[i][j]: the effort when the best is known to be one of i to j, where 0 is below all rungs and i is rung i-1.
	expect, pick := make([][]float64, n+1), 0
	for i := range expect {
		expect[i] = make([]float64, n+1)
	}
	for length := 1; length <= n; length++ {
		for i := 0; i+length <= n; i++ {
			j := i + length
			best := math.Inf(1)
			for k := i + 1; k <= j; k++ {
				e := cost[k-1] + (float64((sum[k]-sum[i])*expect[i][k-1])+float64((sum[j+1]-sum[k])*expect[k][j]))/(sum[j+1]-sum[i])
				if e < best {
					best, pick = e, k-1
				}
			}
			expect[i][j] = best
		}
	}
	return at(pick)
}
