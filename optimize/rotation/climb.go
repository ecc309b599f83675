package rotation

// climb anneals from the best plan towards a higher weakest series, then a higher total.
func (v *solver) climb(moves int) {
	if v.set.Favor != Total {
		v.climbWeakest(moves)
	}
	v.climbTotal(moves / 2)
}

// climbWeakest anneals twice from the best plan towards a higher weakest series.
func (v *solver) climbWeakest(moves int) {
	for round := 0; round < 2 && v.bestW < v.topW; round++ {
		g := &goal{aim: v.bestW + 1, floor: noLevel}
		v.anneal(moves, 12*v.unit*deficitCost, v.unit*deficitCost, g)
	}
}

// climbTotal anneals towards a higher total; the weakest series stays unless the total comes first.
func (v *solver) climbTotal(moves int) {
	if v.bestT >= v.topT {
		return
	}
	g := &goal{aim: noLevel, floor: noLevel}
	if v.set.Favor != Total {
		g.floor = v.bestW
	}
	v.anneal(moves, 25*v.unit, v.unit, g)
}

// anneal runs the local search that fits the problem and adopts what it finds. It may run beside prices, and so only asks whether time is up.
func (v *solver) anneal(moves int, hot, cold int64, g *goal) {
	if v.swap != nil {
		q := v.swap
		q.load(v.best)
		q.anneal(moves, hot, cold, g, func() bool { return v.take(g, minLevel(q.level), q.total, q.plan) }, v.expired)
		return
	}
	q := v.trade
	q.load(v.best)
	q.anneal(moves, hot, cold, g, func() bool { return v.take(g, minLevel(q.level), q.total, q.plan) }, v.expired)
}

// take adopts a better plan and raises the aim; it says whether the aim rose.
func (v *solver) take(g *goal, w, t int64, plan func() Plan) bool {
	if !v.better(w, t) {
		return false
	}
	v.adopt(plan())
	if g.aim > noLevel && v.bestW >= g.aim {
		g.aim = v.bestW + 1
		return true
	}
	return false
}

func minLevel[T int32 | int64](levels []T) int64 {
	low := levels[0]
	for _, x := range levels[1:] {
		low = min(low, x)
	}
	return int64(low)
}

// largeRounds is how many annealing rounds in a row without gain end a solve past the reach of
// the exact method.
const largeRounds = 8

// solveLarge plans by local search, with the bound of the flow: past the reach of the exact method.
func (v *solver) solveLarge() *Result {
	v.adoptStart()
	if !v.openLarge() {
		return &Result{Status: Infeasible}
	}
	if v.best == nil && !v.firstPlan(nil) {
		return &Result{Status: Unknown}
	}
	v.climbLarge()
	return v.result()
}

// openLarge bounds the weakest series and the total; false: there is no plan.
func (v *solver) openLarge() bool {
	if _, ok := v.p.rotate(nil); !ok {
		return false
	}
	class := v.p.classes()
	flow := v.p.relax(class, v.expired)
	v.topT = flow.total - v.p.behind()
	ahead := int64(0)
	for s := range class {
		if !v.p.over(s) {
			ahead++
		}
	}
	v.topW = floorDiv(v.topT, ahead)
	v.trade = newTrader(v.p, v.set.Seed)
	return flow.feasible
}

// climbLarge climbs until several rounds have gained nothing.
func (v *solver) climbLarge() {
	for idle := 0; idle < largeRounds && !v.over() && (v.bestW < v.topW || v.bestT < v.topT); idle++ {
		w, t := v.bestW, v.bestT
		v.climb(100_000)
		if v.bestW > w || v.bestT > t {
			idle = 0
		}
	}
}

// firstMoves is how many moves a kid the first climb gets; it runs beside the bound by prices, which takes as long.
const firstMoves = 3_500

// besideMoves is how many moves a kid a climb gets beside the prices for a question, which take as long.
const besideMoves = 2_000

// effort is how many moves a climb gets at so many a kid: more in long games, where a search rarely ends in time.
func (m *model) effort(moves int) int {
	moves *= m.kids
	if m.series > 20 {
		moves *= 4
	}
	return moves
}
