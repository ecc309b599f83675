package rotation

import "slices"

// rotate makes an assignment that fills every spot with kids who can play there, those who are pinned first, then those with the
// fewest turns; it looks at no other rule. False: some series cannot be filled with its pins, so no plan exists. With old (by
// series and kid the role, -1: none) kids stay in their spots where they can.
func (p *Problem) rotate(old [][]int8) (Plan, bool) {
	plan := make(Plan, len(p.Series))
	turns := make([]int, len(p.Kids))
	last := make([]int, len(p.Kids))
	for s := range p.Series {
		if p.over(s) {
			plan[s] = append([]Cell(nil), p.Played[s]...)
		} else if old == nil || !p.fill(s, turns, last, old[s], &plan[s]) {
			if !p.fill(s, turns, last, nil, &plan[s]) {
				return nil, false
			}
		}
		for _, c := range plan[s] {
			turns[c.Kid]++
			last[c.Kid] = s + 1
		}
		orderCells(plan[s])
	}
	return plan, true
}

// fill matches kids to the spots of series s: those in their old spots, then by pins, turns, and the longest rest. False: a
// spot, or a kid pinned there, is left over.
func (p *Problem) fill(s int, turns, last []int, old []int8, out *[]Cell) bool {
	order := make([]int, 0, len(p.Kids))
	for k := range p.Kids {
		order = append(order, k)
	}
	rank := make([]int, len(p.Kids))
	for k := range rank {
		if rank[k] = turns[k]*(MaxSeries+1) + last[k]; p.mustPlay(k, s) {
			rank[k] = -1
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank[a] - rank[b] })
	holder := []int{} // kid by spot
	var spots []int
	for r, n := range p.Shapes[p.Series[s]].Count {
		for ; n > 0; n-- {
			spots = append(spots, r)
			holder = append(holder, -1)
		}
	}
	filled := 0
	for k, r := range old {
		if i := freeSpot(spots, holder, int(r)); r >= 0 && i >= 0 && p.allowed(k, s, int(r)) {
			holder[i] = k
			filled++
		}
	}
	for _, k := range order {
		if slices.Contains(holder, k) {
			continue
		}
		switch {
		case filled < len(spots) && p.place(s, k, spots, holder, make([]bool, len(spots))):
			filled++
		case rank[k] < 0: // whoever has a place keeps one, so there is none for all who are pinned
			return false
		}
	}
	if filled < len(spots) {
		return false
	}
	for i, k := range holder {
		*out = append(*out, Cell{k, spots[i]})
	}
	return true
}

// freeSpot is the first spot of a role that nobody holds; -1: none.
func freeSpot(spots, holder []int, role int) int {
	for i, r := range spots {
		if r == role && holder[i] < 0 {
			return i
		}
	}
	return -1
}

// place finds kid k a spot, moving others along (augmenting path).
func (p *Problem) place(s, k int, spots, holder []int, seen []bool) bool {
	for i, r := range spots {
		if seen[i] || !p.allowed(k, s, r) {
			continue
		}
		seen[i] = true
		if holder[i] < 0 || p.place(s, holder[i], spots, holder, seen) {
			holder[i] = k
			return true
		}
	}
	return false
}

// mended is a legal plan by local search, as near to old as may be (nil: no matter); false: none was found within the moves and the time.
func (v *solver) mended(old [][]int8, moves int, stop func() bool) (Plan, bool) {
	plan, ok := v.p.rotate(old)
	if !ok {
		return nil, false
	}
	if v.trade == nil {
		v.trade = newTrader(v.p, v.set.Seed)
	}
	v.trade.load(plan)
	if !v.trade.mend(moves, stop) {
		return nil, false
	}
	return v.trade.plan(), true
}

// mend adopts a first plan by local search where there is none yet: the search finds its way badly when roles are counted.
func (v *solver) mend(old [][]int8) {
	if v.best != nil {
		return
	}
	if plan, ok := v.mended(old, 20_000, v.over); ok {
		v.adopt(plan)
	}
}

// mostMoves bounds the local search for a first plan.
const mostMoves = 10_000_000

// firstPlan adopts a first plan by local search, as near to old as may be (nil: no matter); false: none was found. It may take a little
// longer than the limit, for a plan of any kind is better than none.
func (v *solver) firstPlan(old [][]int8) bool {
	plan, ok := v.p.rotate(old)
	if ok && v.trade == nil {
		v.trade = newTrader(v.p, v.set.Seed)
	}
	for moves := 50_000; ok && moves <= mostMoves && !v.late(); moves *= 2 {
		v.trade.load(plan)
		if v.trade.mend(moves, v.late) {
			v.adopt(v.trade.plan())
			return true
		}
	}
	return false
}
