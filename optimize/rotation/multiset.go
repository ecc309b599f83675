package rotation

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// multiset is the order-free search for the same question as search: it chooses how often
// each lineup is played, and only then an order. Plans that differ by the order of like series are one
// here, which pays when rest is loose. Choosing lineups ignores the rest rules, so that no choice left is a proof,
// and a choice that cannot be ordered is passed over.
//
// A node holds what every kid still needs and the candidate lineups of every class of like series.
// Kids' prices are improved at every node; lineups that the bound excludes are dropped there.
// It branches on the kid with the fewest candidates for a turn: one of them is played once more, or never again.
type multiset struct {
	m       *model
	w, goal int64
	deep    bool
	ceiling int64
	order   *ordering
	classes []int // representative series
	frames  []setFrame
	depth   int
	best    []int // scratch: best candidate by class
	plan    []chosen
	value   int64
	scans   int64 // candidates looked at, see scansPerNode
	state   searchState
	unsure  bool // an ordering was given up: exhaustion proves nothing
}

type setFrame struct {
	lo, hi  [exactKids]int16 // turns still needed and allowed
	left    []int            // series of each class still open
	cand    [][]int32        // candidates by class, columns of the class's table
	price   [exactKids]int64
	acc     int64
	z       int64
	branch  []setMove // candidates to play once more
	pos     int
	started bool
	played  setMove // what led here
}

// setMove plays a column of a class once more.
type setMove struct {
	loss  int64
	class int32
	col   int32
}

// setSteps is how many price steps a node gets.
const setSteps = 24

func newMultiset(m *model, w, goal int64, orderNodes int) *multiset {
	q := &multiset{m: m, w: w, goal: goal}
	for s, c := range m.class {
		if c == s {
			q.classes = append(q.classes, s)
		}
	}
	q.best = make([]int, len(q.classes))
	q.frames = make([]setFrame, m.series+1)
	for i := range q.frames {
		q.frames[i].left = make([]int, len(q.classes))
		q.frames[i].cand = make([][]int32, len(q.classes))
	}
	f := &q.frames[0]
	for k := range m.auto {
		least, most := m.turns(k)
		f.lo[k], f.hi[k] = int16(least), int16(most)
	}
	for i, c := range q.classes {
		for _, x := range m.class {
			if x == c {
				f.left[i]++
			}
		}
		for col := 0; col < m.tables[c].prefix(w); col++ {
			f.cand[i] = append(f.cand[i], int32(col))
		}
	}
	q.order = newOrdering(m, orderNodes)
	return q
}

// turns is the least and the most series a legal game of kid k has.
func (m *model) turns(k int) (least, most int) {
	a := m.auto[k]
	width := m.actions + 1
	lo, hi := []int{0}, []int{0}
	for s := m.series - 1; s >= 0; s-- {
		l, h := make([]int, a.count[s]), make([]int, a.count[s])
		for i := range l {
			l[i], h[i] = math.MaxInt, 0
			for x := 0; x < width; x++ {
				if to := a.next[s][i*width+x]; to >= 0 {
					l[i], h[i] = min(l[i], lo[to]+min(x, 1)), max(h[i], hi[to]+min(x, 1))
				}
			}
		}
		lo, hi = l, h
	}
	return lo[0], hi[0]
}

func (q *multiset) table(class int) *table { return q.m.tables[q.classes[class]] }

// scansPerNode is how many candidates are looked at in the time of one node of search, about.
const scansPerNode = 60

func (q *multiset) effort() int64 { return q.scans / scansPerNode }

func (q *multiset) outcome() ([]chosen, searchState) { return q.plan, q.state }

func (q *multiset) settled() bool {
	return q.state == found && (!q.deep || q.value >= q.ceiling)
}

func (q *multiset) aim() int64 { return q.goal }

func (q *multiset) raise(goal int64) { q.goal = max(q.goal, goal) }

// progress is an estimate of the share of the tree that is done, from the first levels.
func (q *multiset) progress() float64 {
	part, sum := 1.0, 0.0
	for d := 0; d <= min(q.depth, 3) && q.frames[d].started && len(q.frames[d].branch) > 0; d++ {
		f := &q.frames[d]
		part /= float64(len(f.branch))
		sum += float64(part * float64(max(f.pos-1, 0)))
	}
	return sum
}

// Limits within which the order-free search stays the companion of the search by series.
const (
	setPatience = 150_000 // effort before progress is compared
	setOrders   = 200     // choices that cannot be ordered: rest is too tight for it
)

// worthwhile tells whether the order-free search should go on beside the search by series.
func (q *multiset) worthwhile(by *search) bool {
	return q.order.calls < setOrders && (q.effort() < setPatience || q.progress() >= by.progress()/2)
}

// run takes about the time of the given number of nodes of search.
func (q *multiset) run(nodes int64) searchState {
	end := q.scans + nodes*scansPerNode
	for q.state == searching && q.scans < end {
		f := &q.frames[q.depth]
		if !f.started {
			f.started = true
			if !q.open(f) {
				q.back()
				continue
			}
		}
		if f.pos >= len(f.branch) {
			q.back()
			continue
		}
		mv := f.branch[f.pos]
		f.pos++
		q.child(f, mv)
		// From here on this node plays the lineup no more.
		list := f.cand[mv.class]
		i := slices.Index(list, mv.col)
		f.cand[mv.class] = slices.Delete(list, i, i+1)
	}
	return q.state
}

func (q *multiset) back() {
	if q.depth > 0 {
		q.depth--
		return
	}
	q.state = exhausted
	switch {
	case q.unsure: // whatever was found, more may have been passed over
		q.state = givenUp
	case q.plan != nil:
		q.state = found
	}
}

// child is the node after a move.
func (q *multiset) child(f *setFrame, mv setMove) {
	t, col := q.table(int(mv.class)), mv.col
	to := &q.frames[q.depth+1]
	to.lo, to.hi, to.price = f.lo, f.hi, f.price
	for x := t.mask[col]; x != 0; x &= x - 1 {
		k := bits.TrailingZeros32(x)
		to.lo[k], to.hi[k] = max(0, to.lo[k]-1), to.hi[k]-1
	}
	copy(to.left, f.left)
	to.left[mv.class]--
	for i := range to.cand {
		to.cand[i] = append(to.cand[i][:0], f.cand[i]...)
	}
	to.acc = f.acc + t.obj[col]
	to.played = mv
	to.started, to.pos, to.branch = false, 0, to.branch[:0]
	q.depth++
}

// open bounds a node and chooses its branch; false: nothing below it.
func (q *multiset) open(f *setFrame) bool {
	rest := 0
	for _, n := range f.left {
		rest += n
	}
	if rest == 0 {
		q.leaf(f)
		return false
	}
	full, must := uint32(0), uint32(0)
	for k := range q.m.auto {
		if f.hi[k] == 0 {
			full |= 1 << k
		}
		if int(f.lo[k]) > rest {
			return false
		}
		if int(f.lo[k]) == rest {
			must |= 1 << k
		}
	}
	need := max(q.goal-f.acc, int64(rest)*q.w) * priceScale
	if !q.filter(f, func(_ int, t *table, c int32) bool { return t.mask[c]&full == 0 && t.mask[c]&must == must }) {
		return false
	}
	if !q.improve(f, need) {
		return false
	}
	room, roomW := f.z-need, f.z-int64(rest)*q.w*priceScale
	if !q.filter(f, func(i int, t *table, c int32) bool {
		v := t.obj[c]*priceScale - q.cost(f, t, c)
		loss := q.top(f, i) - v
		return loss <= room && loss+(int64(t.level[c])-q.w)*priceScale <= roomW
	}) {
		return false
	}
	return q.choose(f)
}

func (q *multiset) cost(f *setFrame, t *table, c int32) int64 {
	sum := int64(0)
	for _, it := range t.item[int(c)*t.width : (int(c)+1)*t.width] {
		sum += f.price[it]
	}
	return sum
}

// top is the best value of class i at the node's prices, as left by bound.
func (q *multiset) top(f *setFrame, i int) int64 {
	t, c := q.table(i), int32(q.best[i])
	return t.obj[c]*priceScale - q.cost(f, t, c)
}

// filter keeps the candidates that pass; false: an open class has none left.
func (q *multiset) filter(f *setFrame, pass func(i int, t *table, c int32) bool) bool {
	for i, list := range f.cand {
		if f.left[i] == 0 {
			continue
		}
		t, n := q.table(i), 0
		for _, c := range list {
			if pass(i, t, c) {
				list[n] = c
				n++
			}
		}
		f.cand[i] = list[:n]
		if n == 0 {
			return false
		}
	}
	return true
}

// bound is the Lagrangean bound of the node: every open series takes its best lineup at the prices, every
// kid the turns that bring most.
func (q *multiset) bound(f *setFrame) int64 {
	z := int64(0)
	for k := range q.m.auto {
		if p := f.price[k]; p > 0 {
			z += p * int64(f.hi[k])
		} else {
			z += p * int64(f.lo[k])
		}
	}
	for i, list := range f.cand {
		if f.left[i] == 0 {
			continue
		}
		t := q.table(i)
		top := int64(math.MinInt64)
		q.scans += int64(len(list)) + scansPerNode/8
		for _, c := range list {
			v := t.obj[c] * priceScale
			for _, it := range t.item[int(c)*t.width : (int(c)+1)*t.width] {
				v -= f.price[it]
			}
			if v > top {
				top, q.best[i] = v, int(c)
			}
		}
		z += top * int64(f.left[i])
	}
	return z
}

// improve lowers the node's bound by a few subgradient steps; false: it falls below need.
func (q *multiset) improve(f *setFrame, need int64) bool {
	f.z = q.bound(f)
	best := f.price
	var dir [exactKids]float64
	theta, stalls := 1.0, 0
	z := f.z
	for i := 0; i < setSteps && f.z >= need; i++ {
		var g [exactKids]float64
		for k := range q.m.auto {
			if f.price[k] > 0 {
				g[k] = float64(f.hi[k])
			} else {
				g[k] = float64(f.lo[k])
			}
		}
		for i := range f.cand {
			if f.left[i] == 0 {
				continue
			}
			t := q.table(i)
			for _, it := range t.item[q.best[i]*t.width : (q.best[i]+1)*t.width] {
				g[it] -= float64(f.left[i])
			}
		}
		norm := 0.0
		for k := range q.m.auto {
			dir[k] = g[k] + float64(0.6*dir[k])
			norm += float64(dir[k] * dir[k])
		}
		if norm < 1e-9 {
			break
		}
		step := theta * float64(max(z-need, priceScale)) / norm
		for k := range q.m.auto {
			f.price[k] -= int64(math.Round(step * dir[k]))
		}
		if z = q.bound(f); z < f.z {
			f.z, best, stalls = z, f.price, 0
		} else if stalls++; stalls >= 5 {
			stalls, theta = 0, theta*0.5
			f.price, z = best, f.z
			q.bound(f)
			dir = [exactKids]float64{}
		}
	}
	f.price = best
	f.z = q.bound(f)
	return f.z >= need
}

// choose picks the kid with the fewest candidates for a turn still needed, and lists them, cheapest first.
func (q *multiset) choose(f *setFrame) bool {
	var count [exactKids]int
	for i, list := range f.cand {
		if f.left[i] == 0 {
			continue
		}
		t := q.table(i)
		for _, c := range list {
			for x := t.mask[c]; x != 0; x &= x - 1 {
				count[bits.TrailingZeros32(x)]++
			}
		}
	}
	pick := -1
	for k := range q.m.auto {
		if f.lo[k] == 0 {
			continue
		}
		if count[k] == 0 {
			return false
		}
		if pick < 0 || count[k]*int(f.lo[pick]) < count[pick]*int(f.lo[k]) {
			pick = k
		}
	}
	// No kid needs a turn: any lineup of the first open class will do.
	open := slices.IndexFunc(f.left, func(n int) bool { return n > 0 })
	f.branch = f.branch[:0]
	for i, list := range f.cand {
		if f.left[i] == 0 || pick < 0 && i != open {
			continue
		}
		t, top := q.table(i), q.top(f, i)
		for _, c := range list {
			if pick < 0 || t.mask[c]>>pick&1 == 1 {
				loss := top - (t.obj[c]*priceScale - q.cost(f, t, c))
				f.branch = append(f.branch, setMove{loss, int32(i), c})
			}
		}
	}
	slices.SortFunc(f.branch, func(a, b setMove) int {
		return cmp.Or(cmp.Compare(a.loss, b.loss), cmp.Compare(a.class, b.class), cmp.Compare(a.col, b.col))
	})
	return true
}

// leaf tries to order a complete choice.
func (q *multiset) leaf(f *setFrame) {
	if f.acc < q.goal {
		return
	}
	for k := range q.m.auto {
		if f.lo[k] > 0 {
			return
		}
	}
	pool := make([][]int32, len(q.classes))
	for d := 1; d <= q.depth; d++ {
		g := &q.frames[d]
		pool[g.played.class] = append(pool[g.played.class], g.played.col)
	}
	plan, st := q.order.try(q, pool)
	q.scans += int64(q.order.nodes) * scansPerNode
	switch st {
	case givenUp:
		q.unsure = true
	case found:
		q.plan, q.value = plan, f.acc
		if !q.deep || f.acc >= q.ceiling {
			q.state = found
			return
		}
		q.goal = f.acc + 1
	}
}
