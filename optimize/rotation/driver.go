package rotation

import (
	"context"
	"fmt"
	"math"
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
	if p.ended() {
		if len(Check(p, p.Played)) > 0 {
			return &Result{Status: Infeasible}, nil
		}
		return &Result{Status: Proven, Plan: p.Played, Strength: p.Strengths(p.Played), WeakestSeries: -1,
			Weakest: Bounded{Proven: true}, Total: Bounded{Proven: true}}, nil
	}
	v := &solver{ctx: ctx, p: p.normal(), set: set, began: began}
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
	mirror    *mirror
	mirrored  bool  // the mirror was made, or does not apply
	base      *dual // prices for the whole set of lineups
	space     space
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
	// rank, if not nil, is what plans are compared by, first to last; levels are ascending.
	rank       func(plan Plan, levels []int64) []int64
	topW, topT int64 // certified upper bounds
	even       int   // how many levels are proven, from the weakest up (Even only)
}

// expired tells whether the time is up or the caller has had enough.
func (v *solver) expired() bool {
	return v.ctx.Err() != nil || !v.deadline.IsZero() && time.Now().After(v.deadline)
}

// firstGrace is how much longer than the limit the search for a first plan may take.
const firstGrace = 150 * time.Millisecond

// late tells whether even the time for a first plan is up.
func (v *solver) late() bool {
	return v.ctx.Err() != nil || !v.deadline.IsZero() && time.Now().After(v.deadline.Add(firstGrace))
}

// tell reports how far the solve has come.
func (v *solver) tell() {
	if v.set.Progress != nil && v.best != nil {
		v.set.Progress(Progress{Bounded{v.bestW, v.topW, v.bestW >= v.topW}, Bounded{v.bestT, v.topT, v.bestT >= v.topT}})
	}
}

// over remembers that the time is up, the caller has had enough, or the nodes are spent.
func (v *solver) over() bool {
	v.stopped = v.stopped || v.expired() || v.nodeLimit > 0 && v.nodes > v.nodeLimit
	return v.stopped
}

func (v *solver) solve() *Result {
	v.unit = max(1, v.p.Scale/(10*int64(max(1, slices.Max(v.p.spots())))))
	coupled := v.p.linksRoles()
	m, ok := newModel(v.p, coupled, nil, v.expired)
	if !ok {
		return v.solveLarge()
	}
	if m.infeasible() {
		return &Result{Status: Infeasible}
	}
	flow := v.p.relax(m.class, v.expired)
	if !flow.feasible {
		return &Result{Status: Infeasible}
	}
	v.m = m
	v.space = newSpace()
	v.room = newHeadroom(m)
	v.topT, v.topW = flow.total-v.p.behind(), math.MaxInt64
	if coupled {
		v.adoptStart()
		v.trade = newTrader(v.p, v.set.Seed)
		v.mend(nil) // before anything that takes long
		if !v.solveRelaxed() {
			return &Result{Status: Infeasible}
		}
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
	sub := &solver{ctx: v.ctx, p: v.p.free(), set: v.set, began: v.began, deadline: v.deadline, nodeLimit: 100_000}
	sub.set.Favor, sub.set.Progress = Weakest, nil
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
	down := newDescent(v.base)
	down.averaged = 1 // these prices are a start only
	down.run(30, v.topT*priceScale*98/100, nil)
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
	top := floorDiv(total, v.m.open[0])
	for s, t := range v.m.tables {
		if !v.p.over(s) {
			top = min(top, int64(t.level[0]))
		}
	}
	return top
}

// adoptStart begins with the caller's plan, if it is legal.
func (v *solver) adoptStart() {
	if len(v.set.Start) > 0 && len(Check(v.p, v.set.Start)) == 0 {
		v.adopt(v.set.Start)
	}
}

// start finds a first legal plan and improves it, or finds that there is none.
func (v *solver) start() searchState {
	if !v.m.coupled {
		v.adoptStart()
	}
	if v.best == nil {
		q := newSearch(v.base, v.room, noLevel, noGoal, nil)
		q.alike = v.m.alike()
		switch st := v.walk(q, math.MaxInt64); st {
		case found:
			v.adopt(v.m.cells(q.plan))
		case exhausted:
			return st
		default: // time is up
			if !v.firstPlan(nil) {
				return st
			}
		}
	}
	if !v.m.coupled {
		v.swap = newSwapper(v.m, v.set.Seed)
	}
	low, top, moves := v.bestW, v.topW, v.m.effort(firstMoves)
	if v.m.coupled {
		moves *= 2 // there are no climbs beside the prices later on
	}
	v.both(func() { v.climb(moves) }, func() {
		if v.set.Favor != Total {
			top = v.ceiling(low, top, noGoal)
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
	levels := v.p.ahead(v.p.Strengths(plan))
	w, t := slices.Min(levels), int64(0)
	for _, x := range levels {
		t += x
	}
	slices.Sort(levels)
	if v.best == nil {
		v.first = time.Since(v.began)
	} else if v.rank != nil {
		if slices.Compare(v.rank(plan, levels), v.rank(v.best, v.sorted)) <= 0 {
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

// result builds the answer from the best plan.
func (v *solver) result() *Result {
	plan := v.p.steady(v.best)
	strength := v.p.Strengths(plan)
	ahead := v.p.ahead(strength)
	// A plan from the cells of a local search may gain from its roles being assigned anew.
	v.bestW, v.bestT = slices.Min(ahead), sumOf(ahead)
	r := &Result{Status: Proven, Plan: plan, Strength: strength, Weakest: Bounded{v.bestW, v.topW, v.bestW >= v.topW}, Total: Bounded{v.bestT, v.topT, v.bestT >= v.topT}}
	if v.set.Favor == Total {
		r.Weakest.Proven = r.Weakest.Proven && r.Total.Proven
	} else {
		r.Total.Proven = r.Total.Proven && r.Weakest.Proven
	}
	if v.set.Favor == Even {
		r.Levels = v.even
		if v.even == 0 && r.Weakest.Proven {
			r.Levels = 1
		}
		if r.Total.Proven = r.Levels == len(ahead); r.Total.Proven {
			r.Total.Bound = v.bestT
		}
	}
	if !r.Weakest.Proven || !r.Total.Proven {
		r.Status = Limited
	}
	r.WeakestSeries = v.p.weakestSeries(r.Strength, v.bestW)
	return r
}
