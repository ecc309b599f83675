package rotation

import "slices"

// large rebuilds past the reach of the exact method: the old plan where it is legal, else one made from it by local search.
// Unless only few changes are asked for, it then climbs, by the rank of the plans.
func (b *rebuilder) large(fewest bool) {
	v := b.v
	if !v.openLarge() {
		b.done = &Rebuilt{Result: Result{Status: Infeasible}}
		return
	}
	if old := b.kept(); len(Check(v.p, old)) == 0 {
		v.adopt(old)
	} else if !v.firstPlan(b.old) {
		b.done = &Rebuilt{Result: Result{Status: Unknown}}
		return
	}
	if !fewest {
		v.climbLarge()
	}
	n, low := b.count(v.best), b.least()
	b.changes = Bounded{Value: n, Bound: low, Proven: n <= low}
	b.weakest = Bounded{v.bestW, v.topW, v.bestW >= v.topW}
	b.sum = Bounded{v.bestT, v.topT, v.bestT >= v.topT && b.weakest.Proven}
	if fewest && n == 0 { // no other plan has no change
		b.weakest, b.sum = Bounded{v.bestW, v.bestW, true}, Bounded{v.bestT, v.bestT, true}
	}
}

// kept is the old plan, with what was played as it was.
func (b *rebuilder) kept() Plan {
	p, out := b.v.p, make(Plan, len(b.old))
	for s, row := range b.old {
		if p.over(s) {
			out[s] = slices.Clone(p.Played[s])
			continue
		}
		for k, r := range row {
			if r >= 0 {
				out[s] = append(out[s], Cell{k, int(r)})
			}
		}
		orderCells(out[s])
	}
	return out
}
