package rotation

import (
	"runtime"

	"sevenyard/optimize/rotation/internal/memo"
)

// question is a decision in progress: is there a plan with every series at least at w and a total of at least goal?
type question struct {
	w      int64
	search *search
	sets   *multiset // nil when it does not apply or gave up
	noSets bool
	twin   *search    // the other half of the search by series, once it was split
	spare  *memo.Memo // inherited, for the twin
	spent  int64      // nodes that pursue was given for it
	answer searchState
}

// ask prepares a question on the whole problem; deep asks for the best above goal, up to ceiling.
func (v *solver) ask(w, goal, ceiling int64, deep bool) *question {
	qu := v.askOn(v.base.clone(), w, goal, nil)
	qu.noSets = v.m.coupled || v.p.Played != nil
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = deep, ceiling
		qu.search.memo.Spare = v.space.memos
	}
	return qu
}

// askOn prepares a question on a dual of its own: prices for the lineups of its level, lineups that cannot matter
// dropped.
func (v *solver) askOn(d *dual, w, goal int64, fl *floors) *question {
	qu := &question{w: w, noSets: true}
	d.level(w)
	target := goal
	if d.m.linked {
		target = max(goal, d.m.open[0]*w)
	}
	if target == noGoal { // nothing to come below: the prices stay as they are
		if qu.answer = exhausted; d.evaluate() {
			qu.answer, qu.search = searching, newSearch(d, v.room, w, goal, fl)
		}
		return qu
	}
	target *= priceScale
	if !d.lower(w, goal, target) || !d.reduce(w, goal) || !d.evaluate() || d.z < target {
		qu.answer = exhausted
		return qu
	}
	qu.search = newSearch(d, v.room, w, goal, fl)
	return qu
}

// lower lowers the bound for plans with every series at least at w and a total of at least goal, dropping lineups that cannot matter; false: it
// falls below target, or no lineup is left.
func (d *dual) lower(w, goal, target int64) bool {
	if !d.evaluate() {
		return false
	}
	z, shrink := d.z, func() { d.reduce(w, goal) }
	if !newDescent(d).run(120, target, shrink) {
		return false
	}
	if (z-d.z)*20 >= z-target {
		return true
	}
	short := newDescent(d) // the steps were too long to find a way down from where the prices are
	short.theta = 0.4
	return short.run(40, target, shrink)
}

// inherit takes over what an earlier question at a lower level has exhausted.
func (qu *question) inherit(from *question) {
	if from == nil || from.search == nil || qu.search == nil {
		return
	}
	qu.search.memo = from.search.memo
	if from.twin != nil {
		qu.spare = from.twin.memo
	} else {
		qu.spare = from.spare
	}
}

// pursue runs a question's searches for about the given number of nodes. After a start alone the search by series gets ends to meet
// half-way, where that applies. When these are listed, or have become too many, it has a companion: first the order-free search, and when that turns out the slower one, a second search by series with
// half of the open lineups of the first series. The two run in rounds whose size in nodes depends on nothing but the search, side by side when there are two
// processors; answers count at the end of a round only, so that the outcome is the same at any speed.
func (v *solver) pursue(qu *question, nodes int64) searchState {
	qu.spent += nodes
	solo := v.set.pace.soloNodes()
	for qu.answer == searching && nodes > 0 && !v.over() {
		v.tell()
		if qu.search.nodes < solo {
			nodes -= solo
			qu.answer = v.walk(qu.search, solo)
			v.collect(qu.search.plan)
			continue
		}
		qu.search.foresee(v.space.rows)
		if qu.dismissed() && v.listEnds(qu.search) {
			round := min(nodes, max(solo, qu.search.nodes/2))
			nodes -= round
			v.meet(qu, round)
			continue
		}
		v.companion(qu)
		round := min(nodes, max(solo, qu.search.nodes/4))
		nodes -= round
		v.round(qu, round)
	}
	return qu.answer
}

// dismissed tells whether ends go before the order-free search: at once when only the level is asked for, and else when it has
// turned out the slower one, since ends in the order of the level tell plans with a high total badly from others.
func (qu *question) dismissed() bool {
	if qu.search.goal != noGoal && qu.sets != nil && !qu.sets.worthwhile(qu.search) {
		qu.sets, qu.noSets = nil, true
	}
	return qu.search.goal == noGoal || qu.noSets
}

// backward is the mirror of the problem, made when it is first asked for; nil: it does not apply.
func (v *solver) backward() *mirror {
	if !v.mirrored {
		v.mirror, v.mirrored = newMirror(v.m), true
	}
	return v.mirror
}

// listEnds tells whether ends of games are to be listed for a question; it begins with that.
func (v *solver) listEnds(q *search) bool {
	if q.m != v.m || q.floors != nil || v.backward() == nil {
		return false
	}
	if q.ends == nil {
		q.ends = newEnds(v.mirror, q.d, q.w, q.goal, &v.space)
	}
	return !q.ends.full
}

// meet lets the search and the listing of ends go on once, with the same effort.
func (v *solver) meet(qu *question, nodes int64) {
	q, e := qu.search, qu.search.ends
	before := q.nodes + e.work
	v.both(func() { v.slices(q.run, nodes) }, func() {
		e.made = e.makeTries(e.due, v.expired)
		for i, made := range e.made {
			if made.trie != e.front[e.due[i]].trie {
				e.work += int64(len(made.words) / trieWork)
			}
		}
		v.slices(func(n int64) searchState {
			if e.run(n); e.full {
				return exhausted
			}
			return searching
		}, nodes)
	})
	v.nodes += q.nodes + e.work - before
	q.finish()
	v.collect(q.plan)
	qu.answer = q.state
	if e.whole >= 0 && q.state == searching {
		if acc := e.at(e.whole).acc; acc >= q.goal {
			q.plan = e.way(e.whole)
			v.collect(q.plan)
			q.settle(acc)
			qu.answer = q.state
		}
		e.whole = -1
	}
	q.restart()
	if e.handOver(); e.full && qu.answer == searching {
		e.finish(v.both, v.expired)
	}
}

// companion sees to it that the question has the second search that suits it.
func (v *solver) companion(qu *question) {
	switch {
	case qu.twin != nil:
	case qu.sets == nil && !qu.noSets:
		qu.sets = newMultiset(v.m, qu.w, qu.search.goal, v.set.pace.orderNodes())
		qu.sets.deep, qu.sets.ceiling = qu.search.deep, qu.search.ceiling
	case qu.sets != nil && qu.sets.worthwhile(qu.search):
	default:
		qu.sets, qu.noSets = nil, true
		qu.twin = qu.search.split()
		if qu.spare != nil {
			qu.twin.memo = qu.spare
		}
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
	a.finish()
	if qu.twin != nil {
		qu.twin.finish()
	}
	v.collect(a.plan)
	plan, st := b.outcome()
	v.collect(plan)
	switch {
	case a.settled() || b.settled():
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
	settled() bool // found what answers the question, whatever the other search does
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
