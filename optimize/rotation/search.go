package rotation

import (
	"math"
	"slices"

	"sevenyard/optimize/rotation/internal/memo"
)

// searchState is how far a resumable search has come.
type searchState int

const (
	searching searchState = iota
	found                 // a plan that meets the demand
	exhausted             // there is none
	givenUp               // ended without an answer
)

// noGoal asks for no objective, only for the level. It lies below every objective there can be (a total is above -2^33,
// and changes at the greatest price cost less than 2^41), and far enough from the end of the range to be scaled and added to.
const noGoal = -1 << 44

// noLevel asks for no level: it lies below that of every lineup.
const noLevel = math.MinInt32

// search walks the game series by series: is there a plan with every series at least at
// level w and an objective of at least goal? It can be stopped after any node and resumed.
//
// At a node the kids' automaton states are known. The dual's tables bound what the rest of the
// game can bring for each candidate lineup; because every remaining series must reach w too, that bound is compared
// with w times the series left, and what their lineups give away at the least (the excess budget), not only with what is left of the goal.
type search struct {
	m       *model
	d       *dual
	w, goal int64
	deep    bool // keep searching above each plan found, up to ceiling
	ceiling int64
	alike   []int   // nil, or by kid the one before with the very same rules, -1: none (only when nothing but legality counts)
	floors  *floors // nil: w is the only floor
	forced  *forced // nil, or a look a series ahead
	ends    *ends   // nil, or ends of games to meet half-way
	met     int     // the series that an end goes on from, and completes the plan so far; 0: none does
	key     *memo.Keyer
	memo    *memo.Memo
	room    *headroom
	frames  []frame
	depth   int
	later   []int64    // sum of the series' tops after s
	lags    []int64    // by series, see dual.lag
	lag     []int64    // sum of the lags after s
	having  [][]uint64 // by series: a bit set of its columns for every kid, those that have the kid on
	set     []uint64   // scratch
	view    [][]glance // by kid*series+s and state, if kids have one action
	gain    []int64    // by item: rest if on minus rest if benched
	least   []uint64   // by item: change of the least turns still to come if on instead of benched, in headroom's bytes
	most    []uint64
	plan    []chosen
	value   int64
	nodes   int64
	state   searchState
	starts  uint64 // how often it has begun anew
}

// chosen is a column of a plan.
type chosen struct {
	mask uint32
	code uint64
	turn int8 // rebuild: how many of its roles are not in the plan to keep
}

type frame struct {
	acc   int64
	key   memo.Situation
	below []int32 // levels under the top floor so far, ascending (floors only)
	state []int16
	cand  []candidate
	pos   int
}

type candidate struct {
	score int64 // bound on this series and all after it, in price units
	col   int32
}

// newSearch starts a search on an evaluated dual; the dual must not change while it runs.
func newSearch(d *dual, room *headroom, w, goal int64, fl *floors) *search {
	m := d.m
	q := &search{m: m, d: d, w: w, goal: goal, floors: fl, key: newKeyer(m), memo: memo.New(), room: room,
		later: make([]int64, m.series+1), lags: make([]int64, m.series), lag: make([]int64, m.series+1),
		gain: make([]int64, m.items()), least: make([]uint64, m.items()), most: make([]uint64, m.items())}
	for s := m.series - 1; s >= 0; s-- {
		q.lags[s] = d.lag(s, w)
		if s > 0 {
			q.later[s-1] = q.later[s] + d.top[s]
			q.lag[s-1] = q.lag[s] + q.lags[s]
		}
	}
	q.frames = make([]frame, m.series+1)
	for i := range q.frames {
		q.frames[i].state = make([]int16, m.kids)
	}
	if m.actions == 1 {
		q.view = make([][]glance, m.kids*m.series)
		for k, a := range m.auto {
			for s, next := range a.next {
				q.view[k*m.series+s] = q.glances(k, s, next)
			}
		}
	}
	q.index()
	q.open(0)
	return q
}

// run walks at most the given number of nodes more. It stops where an end was met, for finish.
func (q *search) run(nodes int64) searchState {
	end := q.nodes + min(nodes, math.MaxInt64-q.nodes)
	for q.state == searching && q.met == 0 && q.nodes < end {
		f := &q.frames[q.depth]
		if f.pos >= len(f.cand) || f.acc*priceScale+f.cand[f.pos].score < q.goal*priceScale {
			q.close(f)
			continue
		}
		c := f.cand[f.pos]
		f.pos++
		q.enter(f, c)
	}
	return q.state
}

// restart begins anew, in another order: what was exhausted is in the memo, and a plan that the first order puts last may come early in
// another. (Gomes, Selman and Kautz 1998, AAAI.)
func (q *search) restart() {
	if q.state != searching || q.goal != noGoal || q.deep || slices.Contains(q.key.Fits, false) {
		return // without a memo it would begin at nothing; and where the goal can rise, candidates have to stand in the order of their scores
	}
	q.starts++
	q.depth = 0
	q.open(0)
}

func (q *search) effort() int64 { return q.nodes }

func (q *search) outcome() ([]chosen, searchState) { return q.plan, q.state }

func (q *search) settled() bool {
	return q.state == found && (!q.deep || q.value >= q.ceiling)
}

func (q *search) aim() int64 { return q.goal }

func (q *search) raise(goal int64) { q.goal = max(q.goal, goal) }

// progress is an estimate of the share of the tree that is done, from the first levels.
func (q *search) progress() float64 {
	part, sum := 1.0, 0.0
	for d := 0; d <= min(q.depth, 3) && len(q.frames[d].cand) > 0; d++ {
		f := &q.frames[d]
		part /= float64(len(f.cand))
		sum += float64(part * float64(max(f.pos-1, 0)))
	}
	return sum
}

// split hands every second lineup of the first series that is not yet tried to a new search. From then on
// either speaks for its own half.
func (q *search) split() *search {
	t := newSearch(q.d, q.room, q.w, q.goal, q.floors)
	t.deep, t.ceiling, t.ends, t.forced = q.deep, q.ceiling, q.ends, q.forced
	mine, other := &q.frames[0], &t.frames[0]
	other.cand = other.cand[:0]
	n := mine.pos
	for i := mine.pos; i < len(mine.cand); i++ {
		if (i-mine.pos)%2 == 0 {
			other.cand = append(other.cand, mine.cand[i])
		} else {
			mine.cand[n] = mine.cand[i]
			n++
		}
	}
	mine.cand = mine.cand[:n]
	return t
}

// worth is what a memo compares: the objective so far, or nothing where only the level is asked for and all ways into a
// situation are the same.
func (q *search) worth(acc int64) int64 {
	if q.goal == noGoal {
		return 0
	}
	return acc
}

// close gives up an exhausted node.
func (q *search) close(f *frame) {
	// A node without candidates is as quickly opened again as found in the memo.
	if len(f.cand) > 0 && q.key.Fits[q.depth] {
		q.memo.Put(f.key, q.worth(f.acc))
	}
	if q.depth == 0 {
		q.state = exhausted
		if q.plan != nil {
			q.state = found
		}
		return
	}
	q.depth--
}

// enter plays a candidate in the series of the present depth.
func (q *search) enter(f *frame, c candidate) {
	s, m, col := q.depth, q.m, int(c.col)
	t := q.d.active[s]
	to := &q.frames[s+1]
	to.acc = f.acc + t.obj[col]
	if q.view != nil {
		mask := t.mask[col]
		for k, st := range f.state {
			to.state[k] = q.view[k*m.series+s][st].next[mask>>k&1]
		}
	} else {
		width := m.actions + 1
		for k, a := range m.auto {
			to.state[k] = a.next[s][int(f.state[k])*width]
		}
		for _, it := range t.item[col*t.width : (col+1)*t.width] {
			k, x := int(it)/m.actions, int(it)%m.actions
			to.state[k] = m.auto[k].next[s][int(f.state[k])*width+x+1]
		}
	}
	if s+1 == m.series {
		q.report(to.acc)
		return
	}
	if q.ends != nil && q.endsAt(s+1, to, c, t.obj[col], f.acc) {
		return
	}
	to.below = q.floors.add(to.below, f.below, t.level[col])
	q.open(s + 1)
	if len(to.cand) == 0 {
		return
	}
	if q.key.Fits[s+1] {
		to.key.Hi, to.key.Lo = q.situation(s+1, to.state)
		to.key.Extra = q.floors.extra(to.below)
		if q.memo.Seen(to.key, q.worth(to.acc)) {
			return
		}
	}
	q.depth++
}

// situation is the memo key of the states before series s.
func (q *search) situation(s int, state []int16) (hi, lo uint64) {
	if q.alike == nil {
		return q.key.Key(s, state)
	}
	sorted := append([]int16(nil), state...)
	for k := range sorted { // like kids in order of their states
		for j := k; ; {
			i := q.alike[j]
			if i < 0 || sorted[i] <= sorted[j] {
				break
			}
			sorted[i], sorted[j] = sorted[j], sorted[i]
			j = i
		}
	}
	return q.key.Key(s, sorted)
}

// endsAt tells whether the ends answer for the situation before series s, after a candidate with its objective.
func (q *search) endsAt(s int, to *frame, c candidate, obj, before int64) bool {
	e := q.ends
	f := &e.front[s]
	if b := e.bucketOf(e.budget(c, obj, q.m.open[s], q.lag[s-1], before, q.goal)); b >= f.border {
		if b < e.listed {
			f.asked++
		}
		return false
	}
	q.nodes++ // it takes about as long
	if e.follow(s, to.state, q.goal-to.acc) {
		q.met = s
	}
	return true
}

// finish completes the plan for which run has stopped, if it has. It must not run while ends are being listed.
func (q *search) finish() {
	if q.met == 0 {
		return
	}
	f := &q.frames[q.met]
	end := q.ends.rest(q.met, f.state)
	q.played(q.met)
	q.plan = append(q.plan, q.ends.way(end)...)
	q.met = 0
	q.settle(f.acc + q.ends.at(end).acc)
}

// report keeps a complete plan.
func (q *search) report(acc int64) {
	q.played(q.m.series)
	q.settle(acc)
}

// settle takes note of the plan's objective: it answers the question, or better ones are searched for.
func (q *search) settle(acc int64) {
	q.value = acc
	if !q.deep || acc >= q.ceiling {
		q.state = found
		return
	}
	q.goal = acc + 1
}

// played makes the first n series the plan.
func (q *search) played(n int) {
	q.plan = q.plan[:0]
	for s := 0; s < n; s++ {
		f, t := &q.frames[s], q.d.active[s]
		col := f.cand[f.pos-1].col
		c := chosen{mask: t.mask[col]}
		if len(t.turn) > 0 {
			c.turn = t.turn[col]
		}
		if len(t.code) > 0 {
			c.code = t.code[col]
		}
		q.plan = append(q.plan, c)
	}
}
