package rotation

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"
)

// Rebuilt is a plan made from another one.
type Rebuilt struct {
	Result
	// Changes is the number of cells of the series still to plan that the old plan does not have: a kid in a
	// role in a series. Here Bound is a lower bound: no legal plan changes fewer.
	Changes Bounded
}

// ErrNoOldPlan says that there is nothing to rebuild from.
var ErrNoOldPlan = errors.New("rotation: the plan to keep has another number of series")

// Rebuild makes a legal plan with the fewest cells changed from old, then the weakest series as strong as
// possible, then the total. Cells of old that name no kid of the problem count as none.
//
// With a price, in the problem's units for one change, it makes the plan whose total less the price of its changes is
// greatest, then the weakest series.
func Rebuild(ctx context.Context, p *Problem, old Plan, set Settings, price int64) (*Rebuilt, error) {
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || b.done != nil {
		return b.done, err
	}
	if price > 0 {
		b.priced(price)
	} else {
		b.fewest()
		b.strongest(b.changes.Value)
		b.total(b.changes.Value)
	}
	return b.result()
}

// rebuilder is a rebuild in progress.
type rebuilder struct {
	v       *solver
	old     [][]int8 // by series and kid
	changes Bounded
	weakest Bounded
	sum     Bounded
	done    *Rebuilt // the answer, when there is nothing to search
}

func newRebuilder(ctx context.Context, p *Problem, old Plan, set Settings) (*rebuilder, error) {
	if err := p.Validate(); err != nil {
		return &rebuilder{}, err
	}
	if len(old) != len(p.Series) {
		return &rebuilder{}, ErrNoOldPlan
	}
	b := &rebuilder{v: &solver{ctx: ctx, p: p.normal(), set: set, began: time.Now()}, old: make([][]int8, len(p.Series))}
	if set.Limit > 0 {
		b.v.deadline = b.v.began.Add(set.Limit)
	}
	for s := range b.old {
		b.old[s] = make([]int8, len(p.Kids))
		for k := range b.old[s] {
			b.old[s][k] = -1
		}
		for _, c := range old[s] {
			if c.Kid >= 0 && c.Kid < len(p.Kids) && c.Role >= 0 && c.Role < len(p.Roles) {
				b.old[s][c.Kid] = int8(c.Role)
			}
		}
	}
	if p.ended() {
		r, err := Solve(ctx, p, set)
		if err != nil {
			return b, err
		}
		b.done = &Rebuilt{Result: *r, Changes: Bounded{Proven: true}}
		return b, nil
	}
	p = b.v.p
	m, ok := newModel(p, p.linksRoles(), b.old)
	if !ok {
		return b, b.large(ctx)
	}
	if m.infeasible() || !p.relax(m.class).feasible {
		b.done = &Rebuilt{Result: Result{Status: Infeasible}}
		return b, nil
	}
	b.v.m, b.v.room = m, newHeadroom(m)
	b.v.rank = func(plan Plan, levels []int64) []int64 {
		return []int64{-b.count(plan), levels[0], sumOf(levels)}
	}
	return b, nil
}

func sumOf(levels []int64) int64 {
	sum := int64(0)
	for _, x := range levels {
		sum += x
	}
	return sum
}

// count is the number of changed cells of a plan.
func (b *rebuilder) count(plan Plan) int64 {
	n := int64(0)
	for s, cells := range plan {
		for _, c := range cells {
			if !b.v.p.over(s) && b.old[s][c.Kid] != int8(c.Role) {
				n++
			}
		}
	}
	return n
}

// objective is a dual on columns valued by f of their level and changes.
func (b *rebuilder) objective(f func(level, changes int64) int64) *dual {
	m := *b.v.m
	m.linked = false
	m.tables = make([]*table, m.series)
	for s, t := range b.v.m.tables {
		if c := m.class[s]; c != s {
			m.tables[s] = m.tables[c]
			continue
		}
		u := *t
		u.obj = make([]int64, t.len())
		for i := range u.obj {
			if !b.v.p.over(s) {
				u.obj[i] = f(int64(t.level[i]), int64(t.turn[i]))
			}
		}
		m.tables[s] = &u
	}
	return newDual(&m)
}

func minusChanges(_, changes int64) int64 { return -changes }

// fewest finds the least number of changes.
func (b *rebuilder) fewest() {
	v := b.v
	d := b.objective(minusChanges)
	// Old cells that cannot stay have to be changed, spot by spot.
	least := int64(0)
	for s := range v.p.Series {
		if v.p.over(s) {
			continue
		}
		stay := 0
		for k, r := range b.old[s] {
			if r >= 0 && v.p.allowed(k, s, int(r)) {
				stay++
			}
		}
		least += int64(max(0, v.m.spots[s]-stay))
	}
	if v.m.coupled { // the search finds its way badly when roles are counted; mending finds some plan at once
		v.trade = newTrader(v.p, v.set.Seed)
		if plan, ok := v.p.rotate(); ok {
			v.trade.load(plan)
			if v.trade.mend(20_000, v.over) {
				v.adopt(v.trade.plan())
			}
		}
	}
	goal := int64(math.MinInt32)
	if v.best != nil {
		goal = -b.count(v.best) + 1
	}
	newDescent(d).run(60, -least*priceScale, nil)
	bound := max(least, -floorDiv(d.z, priceScale))
	qu := v.askOn(d, math.MinInt32, goal, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, -bound
	}
	st := v.pursue(qu, math.MaxInt64)
	if v.best == nil {
		b.changes = Bounded{Bound: bound}
		if st == exhausted {
			b.done = &Rebuilt{Result: Result{Status: Infeasible}}
		} else {
			b.done = &Rebuilt{Result: Result{Status: Unknown}}
		}
		return
	}
	n := b.count(v.best)
	b.changes = Bounded{Value: n, Bound: bound, Proven: n <= bound}
	if st != searching {
		b.changes = Bounded{Value: n, Bound: n, Proven: true}
	}
}

// bestLevel bounds the weakest series of any plan: the best lineup of every series.
func (b *rebuilder) bestLevel() int64 {
	hi := int64(math.MaxInt32)
	for s, t := range b.v.m.tables {
		if !b.v.p.over(s) {
			hi = min(hi, int64(t.level[0]))
		}
	}
	return hi
}

// strongest raises the weakest series with at most so many changes.
func (b *rebuilder) strongest(changes int64) {
	v := b.v
	if b.done != nil {
		return
	}
	hi := b.bestLevel()
	base := b.objective(minusChanges)
	newDescent(base).run(60, -changes*priceScale, nil)
	for v.bestW < hi && !v.over() {
		mid := v.bestW + (hi-v.bestW+1)/2
		st := v.pursue(v.askOn(base.clone(), mid, -changes, nil), math.MaxInt64)
		if st == exhausted {
			hi = mid - 1
		} else if st != found {
			break
		}
	}
	b.weakest = Bounded{v.bestW, hi, v.bestW >= hi}
}

// total raises the total with the changes and the weakest series kept.
func (b *rebuilder) total(changes int64) {
	v := b.v
	if b.done != nil {
		return
	}
	big := int64(1)
	for s, t := range v.m.tables {
		if !v.p.over(s) {
			big += int64(t.level[0]) - int64(t.level[t.len()-1])
		}
	}
	d := b.objective(func(level, changes int64) int64 { return level - big*changes })
	goal := v.bestT + 1 - big*changes
	newDescent(d).run(60, goal*priceScale, nil)
	b.sum = Bounded{Value: v.bestT, Bound: max(v.bestT, floorDiv(d.z, priceScale)+big*changes)}
	qu := v.askOn(d, v.bestW, goal, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, math.MaxInt64
	}
	if st := v.pursue(qu, math.MaxInt64); st != searching && b.weakest.Proven && b.changes.Proven {
		b.sum = Bounded{v.bestT, v.bestT, true}
	}
	b.sum.Value = v.bestT
}

// priced finds the plan whose total less the price of its changes is greatest.
func (b *rebuilder) priced(price int64) {
	v := b.v
	v.rank = func(plan Plan, levels []int64) []int64 {
		return []int64{sumOf(levels) - price*b.count(plan), levels[0]}
	}
	d := b.objective(func(level, changes int64) int64 { return level - price*changes })
	d.evaluate()
	newDescent(d).run(60, d.z-d.z/50, nil)
	bound := floorDiv(d.z, priceScale)
	qu := v.askOn(d, math.MinInt32, math.MinInt32, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, bound
	}
	st := v.pursue(qu, math.MaxInt64)
	if v.best == nil {
		b.done = &Rebuilt{Result: Result{Status: Unknown}}
		if st == exhausted {
			b.done.Status = Infeasible
		}
		return
	}
	n := b.count(v.best)
	b.changes = Bounded{Value: n, Bound: 0}
	b.weakest = Bounded{Value: v.bestW, Bound: b.bestLevel()}
	b.sum = Bounded{Value: v.bestT, Bound: bound + price*n}
	if st != searching { // proven for the total less the price: with so many changes no total is greater
		b.sum = Bounded{v.bestT, v.bestT, true}
	}
}

func (b *rebuilder) result() (*Rebuilt, error) {
	v := b.v
	if b.done != nil {
		return b.done, nil
	}
	r := &Rebuilt{Result: Result{Status: Limited, Plan: v.best, Strength: v.p.Strengths(v.best), Weakest: b.weakest, Total: b.sum}, Changes: b.changes}
	if b.sum.Proven {
		r.Status = Proven
	}
	r.WeakestSeries = v.p.weakestSeries(r.Strength, v.bestW)
	r.Stats = Stats{Nodes: v.nodes, Elapsed: time.Since(v.began), First: v.first}
	if bad := Check(v.p, r.Plan); len(bad) > 0 {
		return nil, fmt.Errorf("rotation: the rebuilt plan breaks a rule: %s", bad[0])
	}
	return r, nil
}

// large rebuilds past the reach of the exact method: a fresh plan, with its changes counted.
func (b *rebuilder) large(ctx context.Context) error {
	r, err := Solve(ctx, b.v.p, b.v.set)
	if err != nil {
		return err
	}
	b.done = &Rebuilt{Result: *r}
	if r.Plan != nil {
		b.done.Changes = Bounded{Value: b.count(r.Plan)}
	}
	return nil
}

// Tradeoff is one point between few changes and a strong plan.
type Tradeoff struct {
	Changes int64 // at most so many cells changed
	Weakest Bounded
	Total   int64
	Plan    Plan
}

// maxTradeoffs bounds the points of a list.
const maxTradeoffs = 12

// Tradeoffs lists, from the fewest changes on, the plans whose weakest series only more changes make
// possible; the last one has the weakest series of a fresh plan, unless the list is cut by the limit or its length.
func Tradeoffs(ctx context.Context, p *Problem, old Plan, set Settings) ([]Tradeoff, error) {
	fresh, err := Solve(ctx, p, set)
	if err != nil || fresh.Plan == nil {
		return nil, err
	}
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || b.done != nil {
		return nil, err
	}
	b.fewest()
	if b.done != nil {
		return nil, nil
	}
	v := b.v
	// From here on the changes are a limit, and the weakest series is what counts.
	v.rank = func(plan Plan, levels []int64) []int64 { return []int64{levels[0], -b.count(plan), sumOf(levels)} }
	var out []Tradeoff
	for n := b.changes.Value; len(out) < maxTradeoffs && !v.over(); n++ {
		b.strongest(n)
		if len(out) == 0 || v.bestW > out[len(out)-1].Weakest.Value {
			out = append(out, Tradeoff{Changes: b.count(v.best), Weakest: b.weakest, Total: v.bestT, Plan: v.best})
		}
		if v.bestW >= fresh.Weakest.Value {
			break
		}
	}
	for i := range out {
		if bad := Check(p, out[i].Plan); len(bad) > 0 {
			return nil, fmt.Errorf("rotation: the rebuilt plan breaks a rule: %s", bad[0])
		}
	}
	return out, nil
}
