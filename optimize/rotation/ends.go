package rotation

import (
	"math"
	"math/bits"

	"sevenyard/optimize/rotation/internal/trie"
)

// ends lists ends of games, so that a search from the front need not go where they begin: it meets the ends half-way, and
// sees far less than half of what it would see alone.
//
// Asked for a level w, with a goal or none: what the bound on the rest of a game exceeds w and the lag by, over its series, is the rest's budget.
// It is Z - series*w - lags at the beginning and nothing at the end, and no step of a plan raises it: every step costs what its lineup and the
// kids' turns give away at the prices, and what the lineup has above w, less the lag of the series, which is no more than that. Asked for a
// goal alone, the budget is what the objective so far and the bound on the rest exceed the goal by: Z - goal at the beginning, and a step costs
// what is given away.
// Ends are walked backward, those first that leave the least budget to the situations that they could follow (the least over all of
// them, whatever comes before). When all ends below a border are listed, a situation whose budget is below the border has a rest that
// answers the question if and only if it fits one of them, with enough of the objective: the rest's own ends have budgets no greater, the whole way.
// An end with the same states as another, and no more of the objective, is left out.
// (Shortest paths from both ends: Pohl 1971, Machine Intelligence 6; with reduced costs as lengths: Ikeda et al. 1994, VNIS.)
type ends struct {
	q      *search     // on the mirror, for its columns and tables; it is never run
	room   int64       // the whole budget, in price units; below 0: there is no plan
	goal   int64       // noGoal: only the level counts, and an end's objective is not looked at
	byGoal bool        // the budget is that of the goal, not that of the level
	seen   [][]reached // in pieces, since they grow to be many
	count  int32
	slot   []uint64 // hash table: half of the hash, and an index into seen, from 1; 0: free
	bucket [][]int32
	next   []int // how many of each bucket were walked
	border int   // all ends in buckets below it were walked
	whole  int32 // an end that is a whole plan, -1: none
	full   bool  // no more ends are listed
	work   int64
	state  []int16
	step   [exactKids]trie.Word // what a kid changes in the word if on instead of benched
	// By kid*(series+1)+layer and state, the least bound on the rest of a game from any situation that fits.
	least  [][]int64
	lift   [exactKids]int64 // what a kid changes in that if on
	fits   [][][]uint64     // by kid, layer from the front and state: the states of ends that it fits
	front  []ahead          // what the search knows of the ends, by layer from the front
	listed int              // the border as the search knows it
	due    []int            // layers whose tries are to be made anew
	made   []known          // these
	space  *space
}

// reached is a situation and the way it was reached.
type reached struct {
	trie.Word
	acc    int64 // its objective
	from   int32
	col    int32
	layer  int8
	walked bool
}

const (
	endBuckets = 64
	endTop     = 36 // ends beyond this bucket are not listed: the search from the front is better off there
	endPiece   = 1 << 12
	endLimit   = 1 << 19 // ends: with their tries, and those made beside them, about 250 MiB at most
)

// newEnds belongs to a search on the dual d, for level w and for goal, or noGoal. It takes space that others have given back.
func newEnds(v *mirror, d *dual, w, goal int64, space *space) *ends {
	n := d.m.series
	q := newSearch(v.dual(d), v.room, w, noGoal, nil)
	byGoal := w == noLevel
	room := d.z - goal*priceScale
	if !byGoal {
		room = d.z - d.m.open[0]*w*priceScale - q.lag[0] - q.lags[0]
	}
	e := &ends{q: q, room: room, goal: goal, byGoal: byGoal, slot: space.slots.Take(1 << 16), bucket: space.bucket, next: make([]int, endTop),
		state: make([]int16, q.m.kids), whole: -1, least: v.leastTails(d), fits: v.fits(d.m), front: space.front, space: space}
	if space.bucket, space.front = nil, nil; e.bucket == nil {
		e.bucket, e.front = make([][]int32, endTop), make([]ahead, n+1)
	}
	if !byGoal {
		q.foresee(space.rows)
	}
	e.add(reached{from: -1, col: -1}, 0)
	return e
}

func hashAt(w trie.Word, layer int) uint64 {
	h := (w.Hi*0x9e3779b97f4a7c15 ^ bits.RotateLeft64(w.Lo*0xc2b2ae3d27d4eb4f, 31) ^ uint64(layer)) * 0xd6e8feb86659fd93
	return h ^ h>>32
}

// at is an end by its number.
func (e *ends) at(id int32) *reached { return &e.seen[id/endPiece][id%endPiece] }

// bucketOf is the bucket of a budget.
func (e *ends) bucketOf(budget int64) int { return int(budget * endBuckets / (e.room + 1)) }

// add takes an end in, once, or again when it has more of the objective than before.
func (e *ends) add(x reached, bucket int) {
	mask := uint64(len(e.slot) - 1)
	h := hashAt(x.Word, int(x.layer))
	i := h & mask
	for ; e.slot[i] != 0; i = (i + 1) & mask {
		if (e.slot[i]^h)>>32 != 0 {
			continue
		}
		id := int32(uint32(e.slot[i]) - 1)
		if old := e.at(id); old.Word == x.Word && old.layer == x.layer {
			if x.acc > old.acc {
				*old = x
				e.list(id, bucket)
			}
			return
		}
	}
	id := e.count
	if e.count++; int(id) == len(e.seen)*endPiece {
		e.seen = append(e.seen, e.space.pieces.Take(endPiece))
	}
	*e.at(id) = x
	e.front[e.q.m.series-int(x.layer)].count++
	e.slot[i] = h>>32<<32 | uint64(id+1)
	e.list(id, bucket)
	if int(e.count)*2 > len(e.slot) {
		e.grow()
	}
}

// list has an end walked in its turn, if it is not a whole plan.
func (e *ends) list(id int32, bucket int) {
	if int(e.at(id).layer) == e.q.m.series {
		e.whole = id
		return
	}
	e.bucket[bucket] = append(e.bucket[bucket], id)
}

func (e *ends) grow() {
	old := e.slot
	e.slot = e.space.slots.Take(4 * len(old))
	mask := uint64(len(e.slot) - 1)
	for id := range e.count {
		x := e.at(id)
		h := hashAt(x.Word, int(x.layer))
		i := h & mask
		for e.slot[i] != 0 {
			i = (i + 1) & mask
		}
		e.slot[i] = h>>32<<32 | uint64(id+1)
	}
}

// run walks ends for about the time of the given number of nodes of search.
func (e *ends) run(nodes int64) {
	for end := e.work + nodes; !e.full; e.border++ {
		if e.border == endTop {
			e.full = true
			return
		}
		for b := e.border; e.next[b] < len(e.bucket[b]); {
			if e.full = e.count > endLimit; e.full || e.whole >= 0 || e.work >= end {
				return
			}
			e.next[b]++
			if id := e.bucket[b][e.next[b]-1]; !e.at(id).walked {
				e.at(id).walked = true
				e.walk(id)
			}
		}
	}
}

// walk adds what can come before an end.
func (e *ends) walk(id int32) {
	q, m, d := e.q, e.q.m, e.q.d
	layer, acc := int(e.at(id).layer), e.at(id).acc
	e.work++
	for k := range e.state {
		e.state[k] = int16(e.at(id).At(k))
	}
	o, ok := q.outlook(layer, e.state)
	if !ok {
		return
	}
	base, least := e.benched(layer)
	floor, counted := m.open[layer+1]*q.w*priceScale+q.lag[layer], int64(0)
	if !e.byGoal {
		least -= (m.open[0] - m.open[layer+1]) * q.w * priceScale
	} else {
		least -= acc * priceScale
		counted = priceScale
	}
	row := q.forced.next(layer)
	t, width := d.active[layer], d.active[layer].width
	added := int64(0)
	for i, set := range q.matching(layer, o.must, o.cannot) {
		for ; set != 0; set &= set - 1 {
			c := i*64 + bits.TrailingZeros64(set)
			item := t.item[c*width : c*width+width]
			rest, budget := o.base, least-t.obj[c]*counted
			for _, it := range item {
				rest += q.gain[it]
				budget += e.lift[it]
			}
			if rest < floor || budget > e.room { // no situation has as much
				continue
			}
			if row != nil && q.forced.cut(row, o, t.mask[c], rest-floor, math.MaxInt64) { // ends look ahead by level only
				continue
			}
			to := reached{Word: base, from: id, col: int32(c), layer: int8(layer + 1)}
			if e.goal != noGoal {
				if to.acc = acc + t.obj[c]; rest < (e.goal-to.acc)*priceScale {
					continue
				}
			}
			bucket := e.bucketOf(budget)
			if bucket >= endTop {
				continue
			}
			leastTurns, mostTurns := o.least, o.most
			for _, it := range item {
				leastTurns += q.least[it]
				mostTurns += q.most[it]
				to.Hi += e.step[it].Hi
				to.Lo += e.step[it].Lo
			}
			if q.room.enough(layer+1, leastTurns, mostTurns) {
				added++
				e.add(to, bucket)
			}
		}
	}
	e.work += 3 * added / 4
}

// benched is the word, and the least bound on the rest from the series on, if every kid who may is benched.
func (e *ends) benched(layer int) (base trie.Word, least int64) {
	m := e.q.m
	for k, a := range m.auto {
		off, on := a.next[layer][2*e.state[k]], a.next[layer][2*e.state[k]+1]
		tails := e.least[k*(m.series+1)+layer+1]
		e.lift[k] = 0
		if off < 0 {
			off = 0 // the kid is on, and the step makes up for it
		} else {
			w := trie.Place(k, uint64(off))
			base.Hi, base.Lo = base.Hi+w.Hi, base.Lo+w.Lo
			e.lift[k] = -tails[off]
			least += tails[off]
		}
		if on >= 0 {
			e.step[k] = trie.Place(k, uint64(on)-uint64(off))
			e.lift[k] += tails[on]
		}
	}
	for s := 0; s <= layer; s++ {
		least += e.q.d.top[s] - e.q.lags[s]
	}
	return base, least
}

// budget is that of the situation after a candidate with its objective, of a search with the goal, after so much of the objective, before so
// many series that are open, with the sum of their lags.
func (e *ends) budget(c candidate, obj, open, lag, acc, goal int64) int64 {
	if !e.byGoal {
		return c.score - (obj+open*e.q.w)*priceScale - lag
	}
	return c.score - (goal-acc)*priceScale
}

// rest is the end with most of the objective that follows the situation before series s.
func (e *ends) rest(s int, state []int16) int32 {
	best := int32(-1)
	for id := range e.count {
		x := e.at(id)
		if int(x.layer) == e.q.m.series-s && (best < 0 || x.acc > e.at(best).acc) && e.fit(id, s, state) {
			best = id
		}
	}
	return best
}

func (e *ends) fit(id int32, s int, state []int16) bool {
	for k, st := range state {
		if e.fits[k][s][st]>>e.at(id).At(k)&1 == 0 {
			return false
		}
	}
	return true
}

// way is an end of a game, in the order it is played.
func (e *ends) way(id int32) []chosen {
	var plan []chosen
	for ; e.at(id).layer > 0; id = e.at(id).from {
		x := e.at(id)
		plan = append(plan, chosen{mask: e.q.d.active[x.layer-1].mask[x.col]})
	}
	return plan
}
