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
// With a price, in the problem's units for one change and at most MaxPrice, it makes the plan whose total less the price of its
// changes is greatest, then the one with fewer changes, then the weakest series as strong as possible.
//
// Past the reach of the exact method it keeps old if it is legal, and else makes some plan near to it, proven only by what
// the count of cells that cannot stay proves.
func Rebuild(ctx context.Context, p *Problem, old Plan, set Settings, price int64) (*Rebuilt, error) {
	if price < 0 || price > MaxPrice {
		return nil, fmt.Errorf("%w: a change costs %d, and at most %d", ErrBadProblem, price, int64(MaxPrice))
	}
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || b.done != nil {
		return b.done, err
	}
	switch {
	case b.v.m == nil && price > 0:
		b.v.rank = b.worth(price)
		b.large(false)
	case b.v.m == nil:
		b.large(true)
	case price > 0:
		b.priced(price)
	default:
		b.fewest()
		b.strongest(b.changes.Value)
		b.total(b.changes.Value)
	}
	return b.result()
}

// MaxPrice is the greatest price of a change, in the problem's units: far more than all strength there can be is worth.
const MaxPrice = 1 << 32

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
	b.v.rank = func(plan Plan, levels []int64) []int64 {
		return []int64{-b.count(plan), levels[0], sumOf(levels)}
	}
	m, ok := newModel(p, p.linksRoles(), b.old, b.v.expired)
	if !ok {
		return b, nil // past its reach
	}
	if m.infeasible() || !p.relax(m.class, b.v.expired).feasible {
		b.done = &Rebuilt{Result: Result{Status: Infeasible}}
		return b, nil
	}
	b.v.m, b.v.room = m, newHeadroom(m)
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
	return newDual(b.v.m.valued(f))
}

func minusChanges(_, changes int64) int64 { return -changes }

// least is a number of changes that every plan needs: old cells that cannot stay have to be changed, spot by spot.
func (b *rebuilder) least() int64 {
	p, n := b.v.p, int64(0)
	for s, spots := range p.spots() {
		if p.over(s) {
			continue
		}
		stay := 0
		for k, r := range b.old[s] {
			if r >= 0 && p.allowed(k, s, int(r)) {
				stay++
			}
		}
		n += int64(max(0, spots-stay))
	}
	return n
}

// fewest finds the least number of changes.
func (b *rebuilder) fewest() {
	v := b.v
	d := b.objective(minusChanges)
	least := b.least()
	if v.m.coupled {
		v.mend(b.old)
	}
	goal := int64(noGoal)
	if v.best != nil {
		goal = -b.count(v.best) + 1
	}
	newDescent(d).run(60, -least*priceScale, nil)
	bound := max(least, -floorDiv(d.z, priceScale))
	qu := v.askOn(d, noLevel, goal, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, -bound
	}
	st := v.pursue(qu, math.MaxInt64)
	if b.stuck(st) {
		return
	}
	n := b.count(v.best)
	b.changes = Bounded{Value: n, Bound: bound, Proven: n <= bound}
	if st != searching {
		b.changes = Bounded{Value: n, Bound: n, Proven: true}
	}
}

// stuck tells whether a search has left no plan at all; when it was only short of time, local search makes one.
func (b *rebuilder) stuck(st searchState) bool {
	switch {
	case b.v.best != nil || st == searching && b.v.firstPlan(b.old):
		return false
	case st == exhausted:
		b.done = &Rebuilt{Result: Result{Status: Infeasible}}
	default:
		b.done = &Rebuilt{Result: Result{Status: Unknown}}
	}
	return true
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
	if b.done != nil {
		return
	}
	base := b.objective(minusChanges)
	newDescent(base).run(60, -changes*priceScale, nil)
	b.raise(base, -changes)
}

// raise raises the weakest series of plans whose objective is at least goal.
func (b *rebuilder) raise(base *dual, goal int64) {
	v, hi := b.v, b.bestLevel()
	for v.bestW < hi && !v.over() {
		mid := v.bestW + (hi-v.bestW+1)/2
		st := v.pursue(v.askOn(base.clone(), mid, goal, nil), math.MaxInt64)
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
	big := b.spread()
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

func (b *rebuilder) result() (*Rebuilt, error) {
	v := b.v
	if b.done != nil {
		return b.done, nil
	}
	r := &Rebuilt{Result: Result{Status: Limited, Plan: v.best, Strength: v.p.Strengths(v.best), Weakest: b.weakest, Total: b.sum}, Changes: b.changes}
	if b.sum.Proven && b.weakest.Proven {
		r.Status = Proven
	}
	r.WeakestSeries = v.p.weakestSeries(r.Strength, v.bestW)
	r.Stats = Stats{Nodes: v.nodes, Elapsed: time.Since(v.began), First: v.first}
	if bad := Check(v.p, r.Plan); len(bad) > 0 {
		return nil, wrong(bad)
	}
	return r, nil
}

// wrong is the error of a rebuild that caught itself in a wrong plan.
func wrong(bad []Violation) error {
	return fmt.Errorf("rotation: the rebuilt plan breaks a rule: %s", bad[0])
}
