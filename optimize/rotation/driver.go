package rotation

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"runtime"
	"slices"
	"time"
)

// Solve plans the game. It checks the plan with Check before it returns it. An error means that
// the problem is not well formed or that the solver caught itself in a wrong plan; infeasible and limited are statuses.
func Solve(ctx context.Context, p *Problem, set Settings) (*Result, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	began := time.Now()
	v := &solver{ctx: ctx, p: p, set: set, began: began}
	if set.Limit > 0 {
		v.deadline = began.Add(set.Limit)
	}
	res := v.solve()
	res.Stats.Elapsed = time.Since(began)
	res.Stats.Nodes = v.nodes
	res.Stats.First = v.first
	if res.Plan != nil {
		if bad := Check(p, res.Plan); len(bad) > 0 {
			return nil, fmt.Errorf("rotation: the solver made a plan that breaks a rule: %s", bad[0])
		}
	}
	return res, nil
}

// solver is one solve in progress.
type solver struct {
	ctx       context.Context
	p         *Problem
	set       Settings
	m         *model // nil past the reach of the exact method
	room      *headroom
	base      *dual // prices for the whole set of lineups
	swap      *swapper
	trade     *trader
	unit      int64 // a tenth of a T point at one spot
	began     time.Time
	deadline  time.Time
	first     time.Duration
	nodes     int64
	nodeLimit int64 // 0: none
	stopped   bool

	best         Plan
	bestW, bestT int64
	sorted       []int64 // its levels, ascending
	leveling     bool    // plans are compared by these, first to last
	topW, topT   int64   // certified upper bounds
	even         bool    // every level down the line is proven (Even only)
}

// expired tells whether the time is up or the caller has had enough.
func (v *solver) expired() bool {
	return v.ctx.Err() != nil || !v.deadline.IsZero() && time.Now().After(v.deadline)
}

// over remembers that the time is up, the caller has had enough, or the nodes are spent.
func (v *solver) over() bool {
	v.stopped = v.stopped || v.expired() || v.nodeLimit > 0 && v.nodes > v.nodeLimit
	return v.stopped
}

func (v *solver) solve() *Result {
	v.unit = max(1, v.p.Scale/(10*int64(slices.Max(v.p.spots()))))
	coupled := v.p.linksRoles()
	m, ok := newModel(v.p, coupled)
	if !ok {
		return v.solveLarge()
	}
	if m.infeasible() {
		return &Result{Status: Infeasible}
	}
	flow := v.p.relax(m.class)
	if !flow.feasible {
		return &Result{Status: Infeasible}
	}
	v.m = m
	v.room = newHeadroom(m)
	v.topT, v.topW = flow.total, math.MaxInt64
	if coupled && !v.solveRelaxed() {
		return &Result{Status: Infeasible}
	}
	v.openPrices(flow)
	if st := v.start(); st != found {
		if st == exhausted {
			return &Result{Status: Infeasible}
		}
		return &Result{Status: Unknown}
	}
	switch v.set.Favor {
	case Total:
		v.totalFirst()
	case Even:
		v.weakestFirst()
		v.evenOut()
	default:
		v.weakestFirst()
	}
	return v.result()
}

// solveRelaxed bounds the weakest series by the problem without limits on roles across series; false: even
// that has no plan.
func (v *solver) solveRelaxed() bool {
	p := *v.p
	p.MinRoles = 0
	p.Kids = append([]Kid(nil), p.Kids...)
	for k := range p.Kids {
		p.Kids[k].Cap = 0
	}
	sub := &solver{ctx: v.ctx, p: &p, set: v.set, began: v.began, deadline: v.deadline, nodeLimit: 100_000}
	sub.set.Favor = Weakest
	r := sub.solve()
	v.nodes += sub.nodes
	if r.Status == Infeasible {
		return false
	}
	if r.Status != Unknown {
		v.topW = r.Weakest.Bound
	}
	return true
}

// openPrices starts the dual from the marginal values of the flow.
func (v *solver) openPrices(flow *relaxation) {
	m := v.m
	v.base = newDual(m)
	for k := range flow.price {
		for s, x := range flow.price[k] {
			for a := 0; a < m.actions; a++ {
				v.base.pi[s*m.items()+k*m.actions+a] = x * priceScale
			}
		}
	}
	newDescent(v.base).run(30, flow.total*priceScale*98/100, nil)
	v.topT = min(v.topT, floorDiv(v.base.z, priceScale))
	v.topW = min(v.topW, v.levelCeiling(v.topT))
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// levelCeiling: the weakest series is at most the average, and at most the best lineup of every series.
func (v *solver) levelCeiling(total int64) int64 {
	top := floorDiv(total, int64(v.m.series))
	for _, t := range v.m.tables {
		top = min(top, int64(t.level[0]))
	}
	return top
}

// start finds a first legal plan and improves it, or finds that there is none.
func (v *solver) start() searchState {
	if v.m.coupled {
		v.trade = newTrader(v.p, v.set.Seed)
		if plan, ok := v.p.rotate(); ok {
			v.trade.load(plan)
			if v.trade.mend(20_000, v.over) {
				v.adopt(v.trade.plan())
			}
		}
	}
	if v.best == nil {
		q := newSearch(v.base, v.room, math.MinInt32, math.MinInt32, nil)
		q.alike = v.m.alike()
		if st := v.walk(q, math.MaxInt64); st != found {
			return st
		}
		v.adopt(v.m.cells(q.plan))
	}
	if !v.m.coupled {
		v.swap = newSwapper(v.m, v.set.Seed)
	}
	low, top := v.bestW, v.topW
	v.both(func() { v.climb(40_000) }, func() {
		if v.set.Favor != Total {
			top = v.ceiling(low, top)
		}
	})
	v.topW = top
	return found
}

// alike links each kid to the one before under the very same rules; nil when a rule names single kids.
func (m *model) alike() []int {
	p := m.p
	if len(p.Together)+len(p.Apart)+len(p.Covers) > 0 {
		return nil
	}
	last := map[string]int{}
	out := make([]int, m.kids)
	for k := range out {
		key := fmt.Sprint(m.kidType[k], p.Kids[k].Never)
		for _, pin := range p.Pins {
			if pin.Kid == k && pin.Role >= 0 {
				key = fmt.Sprint("alone", k)
			}
		}
		out[k] = -1
		if j, ok := last[key]; ok {
			out[k] = j
		}
		last[key] = k
	}
	return out
}

// walk runs a search in slices, up to the given number of nodes, until it ends or time is up.
func (v *solver) walk(q *search, nodes int64) searchState {
	const slice = 2048
	for q.state == searching && nodes > 0 && !v.over() {
		before := q.nodes
		q.run(min(slice, nodes))
		nodes -= q.nodes - before
		v.nodes += q.nodes - before
	}
	return q.state
}

// adopt takes a plan if it is better in the order of the objectives.
func (v *solver) adopt(plan Plan) bool {
	levels := v.p.Strengths(plan)
	w, t := slices.Min(levels), int64(0)
	for _, x := range levels {
		t += x
	}
	slices.Sort(levels)
	if v.best == nil {
		v.first = time.Since(v.began)
	} else if v.leveling {
		if slices.Compare(levels, v.sorted) <= 0 {
			return false
		}
	} else if !v.better(w, t) {
		return false
	}
	v.sorted = levels
	v.best, v.bestW, v.bestT = plan, w, t
	return true
}

// better compares with the best plan so far.
func (v *solver) better(w, t int64) bool {
	if v.set.Favor == Total {
		return t > v.bestT || t == v.bestT && w > v.bestW
	}
	return w > v.bestW || w == v.bestW && t > v.bestT
}

// question is a decision in progress: is there a plan with every series at least at w and a total of at least goal?
type question struct {
	w, goal int64
	search  *search
	sets    *multiset // nil when it does not apply or gave up
	noSets  bool
	twin    *search // the other half of the search by series, once it was split
	answer  searchState
}

// ask prepares a question: prices for its own lineups, lineups that cannot matter dropped.
func (v *solver) ask(w, goal, ceiling int64, deep bool) *question {
	qu := &question{w: w, goal: goal, noSets: v.m.coupled || !v.m.linked}
	d := v.base.clone()
	d.level(w)
	n := int64(v.m.series)
	target := max(goal, n*w) * priceScale
	if !newDescent(d).run(120, target, func() { d.reduce(w, goal) }) || !d.reduce(w, goal) || !d.evaluate() || d.z < target {
		qu.answer = exhausted
		return qu
	}
	qu.search = newSearch(d, v.room, w, goal, nil)
	qu.search.deep, qu.search.ceiling = deep, ceiling
	return qu
}

// soloNodes is how far the search by series goes alone; most questions end there.
const soloNodes = 3_000

// pursue runs a question's searches for about the given number of nodes. After a start alone the search by series has a
// companion: first the order-free search, and when that turns out the slower one, a second search by series with
// half of the open lineups of the first series. The two run in rounds of fixed size, side by side when there are two
// processors; answers count at the end of a round only, so that the outcome is the same at any speed.
func (v *solver) pursue(qu *question, nodes int64) searchState {
	for qu.answer == searching && nodes > 0 && !v.over() {
		if qu.search.nodes < soloNodes {
			nodes -= soloNodes
			qu.answer = v.walk(qu.search, soloNodes)
			v.collect(qu.search.plan)
			continue
		}
		v.companion(qu)
		round := min(nodes, max(soloNodes, qu.search.nodes/4))
		nodes -= round
		v.round(qu, round)
	}
	return qu.answer
}

// companion sees to it that the question has the second search that suits it.
func (v *solver) companion(qu *question) {
	switch {
	case qu.twin != nil:
	case qu.sets == nil && !qu.noSets:
		qu.sets = newMultiset(v.m, qu.w, qu.search.goal)
		qu.sets.deep, qu.sets.ceiling = qu.search.deep, qu.search.ceiling
	case qu.sets != nil && qu.sets.progress() >= qu.search.progress()/2:
	default:
		qu.sets, qu.noSets = nil, true
		qu.twin = qu.search.split()
	}
}

// round lets both searches go on once and settles what they found.
func (v *solver) round(qu *question, nodes int64) {
	a := qu.search
	var b companion = qu.twin
	if qu.sets != nil {
		b = qu.sets
	}
	before := a.effort() + b.effort()
	v.both(func() { v.slices(a.run, nodes) }, func() { v.slices(b.run, nodes) })
	v.nodes += a.effort() + b.effort() - before
	v.collect(a.plan)
	plan, st := b.outcome()
	v.collect(plan)
	ended := func(s searchState) bool { return s == found && !a.deep || s == found && v.bestT >= a.ceiling }
	switch {
	case ended(a.state) || ended(st):
		qu.answer = found
	case qu.twin != nil: // each has half of the lineups
		if a.state != searching && st != searching {
			qu.answer = exhausted
			if a.plan != nil || plan != nil {
				qu.answer = found
			}
		}
	case a.state != searching:
		qu.answer = a.state
	case st == found || st == exhausted:
		qu.answer = st
	case st == givenUp:
		qu.sets, qu.noSets = nil, true
	}
	goal := max(a.goal, b.aim())
	a.goal = goal
	b.raise(goal)
}

// companion is what the second search of a question can do.
type companion interface {
	run(nodes int64) searchState
	effort() int64
	outcome() ([]chosen, searchState)
	aim() int64
	raise(goal int64)
}

// slices runs a search in short slices, so that it stops soon after time is up.
func (v *solver) slices(run func(int64) searchState, nodes int64) {
	const slice = 1024
	for ; nodes > 0 && !v.expired(); nodes -= slice {
		if run(min(slice, nodes)) != searching {
			return
		}
	}
}

// both runs two pieces of work, side by side where there is more than one worker.
func (v *solver) both(a, b func()) {
	workers := v.set.Workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers < 2 {
		a()
		b()
		return
	}
	done := make(chan struct{})
	go func() {
		b()
		close(done)
	}()
	a()
	<-done
}

// collect adopts the plan of a search, if it has one.
func (v *solver) collect(plan []chosen) {
	if plan != nil {
		v.adopt(v.m.cells(plan))
	}
}

// ceiling lowers the certified bound on the weakest series by prices alone, between a level that is reached
// and a bound. At any level the bound on the total of plans that keep it also bounds their weakest series.
func (v *solver) ceiling(lo, hi int64) int64 {
	d := v.base.clone()
	n := int64(v.m.series)
	for lo < hi && !v.expired() {
		mid := (lo + hi + 1) / 2
		d.level(mid)
		if !newDescent(d).run(60, n*mid*priceScale, func() { d.reduce(mid, math.MinInt32) }) {
			hi = mid - 1
			continue
		}
		hi = min(hi, floorDiv(d.z, n*priceScale))
		lo = mid
	}
	return hi
}

func (v *solver) weakestFirst() {
	budget := int64(20_000)
	var qu *question
	for v.bestW < v.topW && !v.over() {
		if qu == nil || qu.w != v.bestW+1 {
			qu = v.ask(v.bestW+1, math.MinInt32, 0, false)
		}
		switch v.pursue(qu, budget) {
		case found:
			v.climb(15_000)
		case exhausted:
			v.topW = v.bestW
		default:
			v.tighten(budget)
			budget *= 2
		}
	}
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

// tighten tries to exclude a level half-way to the ceiling, which shrinks the gap.
func (v *solver) tighten(budget int64) {
	mid := (v.bestW + 1 + v.topW + 1) / 2
	if mid <= v.bestW+1 {
		return
	}
	switch v.pursue(v.ask(mid, math.MinInt32, 0, false), budget) {
	case exhausted:
		v.topW = mid - 1
	case found:
		v.climb(15_000)
	}
}

// settleTotal walks a search for greater totals to its end, which makes the best total the bound.
func (v *solver) settleTotal(qu *question) {
	if v.pursue(qu, math.MaxInt64) != searching {
		v.topT = v.bestT
	}
}

// totalFirst raises the total to its optimum, then the weakest series with the total kept.
func (v *solver) totalFirst() {
	if v.bestT < v.topT {
		v.settleTotal(v.ask(math.MinInt32, v.bestT+1, v.topT, true))
	}
	for v.bestT >= v.topT && v.bestW < v.topW && !v.over() {
		if v.pursue(v.ask(v.bestW+1, v.bestT, 0, false), math.MaxInt64) == exhausted {
			v.topW = v.bestW
		}
	}
}

// result builds the answer from the best plan.
func (v *solver) result() *Result {
	r := &Result{Status: Proven, Weakest: Bounded{v.bestW, v.topW, v.bestW >= v.topW}, Total: Bounded{v.bestT, v.topT, v.bestT >= v.topT}}
	if v.set.Favor == Total {
		r.Weakest.Proven = r.Weakest.Proven && r.Total.Proven
	} else {
		r.Total.Proven = r.Total.Proven && r.Weakest.Proven
	}
	if v.set.Favor == Even {
		r.Total.Proven = v.even
		if v.even {
			r.Total.Bound = v.bestT
		}
	}
	if !r.Weakest.Proven || !r.Total.Proven {
		r.Status = Limited
	}
	r.Plan = v.p.steady(v.best)
	r.Strength = v.p.Strengths(r.Plan)
	r.WeakestSeries = slices.Index(r.Strength, v.bestW)
	return r
}

// Strengths is the value of each series of a plan, in the problem's unit.
func (p *Problem) Strengths(plan Plan) []int64 {
	out := make([]int64, len(plan))
	for s, cells := range plan {
		for _, c := range cells {
			out[s] += int64(p.Shapes[p.Series[s]].Value[c.Kid][c.Role])
		}
	}
	return out
}

// cells gives every kid of a plan a role: the column's own when coupled, else a best assignment.
func (m *model) cells(plan []chosen) Plan {
	out := make(Plan, len(plan))
	for s, c := range plan {
		if m.coupled {
			for k := 0; k < m.kids; k++ {
				if r := int(c.code >> (4 * k) & 15); r > 0 {
					out[s] = append(out[s], Cell{k, r - 1})
				}
			}
		} else {
			var kids []int
			for x := c.mask; x != 0; x &= x - 1 {
				kids = append(kids, bits.TrailingZeros32(x))
			}
			out[s] = m.p.assign(s, kids, nil)
		}
		orderCells(out[s])
	}
	return out
}

// steady reassigns roles inside each series, at the same strength, so that kids change roles as
// little as one pass from the first series on can make them. Plans with rules on a kid's roles stay as they are.
func (p *Problem) steady(plan Plan) Plan {
	if p.linksRoles() {
		return plan
	}
	last := make([]int, len(p.Kids))
	for k := range last {
		last[k] = -1
	}
	out := make(Plan, len(plan))
	bonus := make([][]int64, len(p.Kids))
	for s, cells := range plan {
		out[s] = cells
		if !p.over(s) {
			kids := make([]int, len(cells))
			for i, c := range cells {
				kids[i] = c.Kid
				bonus[c.Kid] = make([]int64, len(p.Roles))
				if last[c.Kid] >= 0 {
					bonus[c.Kid][last[c.Kid]] = 1
				}
			}
			slices.Sort(kids)
			out[s] = p.assign(s, kids, bonus)
			orderCells(out[s])
		}
		for _, c := range out[s] {
			last[c.Kid] = c.Role
		}
	}
	return out
}
