package rotation

import "math"

// worth ranks plans by their total less the price of their changes, then the fewest changes, then the weakest series.
func (b *rebuilder) worth(price int64) func(Plan, []int64) []int64 {
	return func(plan Plan, levels []int64) []int64 {
		n := b.count(plan)
		return []int64{sumOf(levels) - price*n, -n, levels[0]}
	}
}

// priced finds the plan whose total less the price of its changes is greatest, of those one with the fewest changes, and of these the one with the
// strongest weakest series. With the worth and the changes the total is settled too.
func (b *rebuilder) priced(price int64) {
	v := b.v
	price = min(price, b.spread()) // beyond it a change is worth more than any total, and fewer of them come first anyway
	v.rank = b.worth(price)
	d := b.objective(func(level, changes int64) int64 { return level - price*changes })
	d.evaluate()
	newDescent(d).run(60, d.z-d.z/50, nil)
	bound := floorDiv(d.z, priceScale)
	qu := v.askOn(d, noLevel, noGoal, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, bound
	}
	st := v.pursue(qu, math.MaxInt64)
	if b.stuck(st) {
		return
	}
	b.changes = Bounded{Value: b.count(v.best), Bound: b.least()}
	b.weakest = Bounded{Value: v.bestW, Bound: b.bestLevel()}
	if st == searching {
		b.sum = Bounded{Value: v.bestT, Bound: bound + price*b.changes.Value}
		return
	}
	b.sum = Bounded{v.bestT, v.bestT, true} // with so many changes no total is greater
	// One objective for both: what a plan is worth in steps larger than all changes together, less its changes.
	step := int64(1)
	for _, n := range v.p.spots() {
		step += int64(n)
	}
	if price > mostPrice/(step*step) { // values past all points there are: no sum may leave the range
		return
	}
	both := b.objective(func(level, changes int64) int64 { return (level-price*changes)*step - changes })
	goal := func() int64 { return (v.bestT-price*b.count(v.best))*step - b.count(v.best) }
	if b.changes.Value > b.changes.Bound {
		both.evaluate()
		newDescent(both).run(60, (goal()+1)*priceScale, nil)
		qu := v.askOn(both.clone(), noLevel, goal()+1, nil)
		if qu.search != nil {
			qu.search.deep, qu.search.ceiling = true, math.MaxInt64
		}
		st = v.pursue(qu, math.MaxInt64)
		b.changes.Value = b.count(v.best)
	}
	b.sum = Bounded{v.bestT, v.bestT, true}
	b.weakest.Value = v.bestW
	if st != searching {
		b.raise(both, goal())
	}
}

// spread is more than the totals of two plans can differ by.
func (b *rebuilder) spread() int64 {
	big := int64(1)
	for s, t := range b.v.m.tables {
		if !b.v.p.over(s) {
			big += int64(t.level[0]) - int64(t.level[t.len()-1])
		}
	}
	return big
}
