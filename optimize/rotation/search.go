package rotation

import (
	"math"
	"slices"
)

// searchState is how far a resumable search has come.
type searchState int

const (
	searching searchState = iota
	found                 // a plan that meets the demand
	exhausted             // there is none
)

// search walks the game series by series: is there a plan with every series at least at
// level w and an objective of at least goal? It can be stopped after any node and resumed.
//
// At a node the kids' automaton states are known. The dual's tables bound what the rest of the
// game can bring for each candidate lineup; because every remaining series must reach w too, that bound is compared
// with w times the series left (the excess budget), not only with what is left of the goal.
type search struct {
	m       *model
	d       *dual
	w, goal int64
	deep    bool // keep searching above each plan found, up to ceiling
	ceiling int64
	alike   []int // nil, or by kid the one before with the very same rules, -1: none (only when nothing but legality counts)
	key     *keyer
	memo    *memo
	room    *headroom
	frames  []frame
	depth   int
	later   []int64 // sum of the series' tops after s
	bench   []int64
	gain    []int64 // by item: rest if on minus rest if benched
	plan    []chosen
	value   int64
	nodes   int64
	state   searchState
}

// chosen is a column of a plan.
type chosen struct {
	mask uint32
	code uint64
}

type frame struct {
	acc    int64
	hi, lo uint64
	state  []int16
	cand   []candidate
	pos    int
}

type candidate struct {
	score int64 // bound on this series and all after it, in price units
	col   int32
}

// newSearch starts a search on an evaluated dual; the dual must not change while it runs.
func newSearch(d *dual, room *headroom, w, goal int64) *search {
	m := d.m
	q := &search{m: m, d: d, w: w, goal: goal, key: newKeyer(m), memo: newMemo(), room: room,
		later: make([]int64, m.series+1), bench: make([]int64, m.kids), gain: make([]int64, m.items())}
	for s := m.series - 2; s >= 0; s-- {
		q.later[s] = q.later[s+1] + d.top[s+1]
	}
	q.frames = make([]frame, m.series+1)
	for i := range q.frames {
		q.frames[i].state = make([]int16, m.kids)
	}
	q.open(0)
	return q
}

// run walks at most the given number of nodes more.
func (q *search) run(nodes int64) searchState {
	end := q.nodes + nodes
	for q.state == searching && q.nodes < end {
		f := &q.frames[q.depth]
		if f.pos >= len(f.cand) || f.acc*priceScale+f.cand[f.pos].score < q.goal*priceScale {
			q.close(f)
			continue
		}
		c := f.cand[f.pos]
		f.pos++
		q.enter(f, int(c.col))
	}
	return q.state
}

// close gives up an exhausted node.
func (q *search) close(f *frame) {
	if q.key.fits[q.depth] {
		q.memo.put(f.hi, f.lo, f.acc)
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

// enter plays column col in the series of the present depth.
func (q *search) enter(f *frame, col int) {
	s, m := q.depth, q.m
	t := q.d.active[s]
	to := &q.frames[s+1]
	to.acc = f.acc + t.obj[col]
	width := m.actions + 1
	for k, a := range m.auto {
		to.state[k] = a.next[s][int(f.state[k])*width]
	}
	for _, it := range t.item[col*t.width : (col+1)*t.width] {
		k, x := int(it)/m.actions, int(it)%m.actions
		to.state[k] = m.auto[k].next[s][int(f.state[k])*width+x+1]
	}
	if s+1 == m.series {
		q.report(to.acc)
		return
	}
	if q.key.fits[s+1] {
		to.hi, to.lo = q.situation(s+1, to.state)
		if q.memo.seen(to.hi, to.lo, to.acc) {
			return
		}
	}
	q.depth++
	q.open(s + 1)
}

// situation is the memo key of the states before series s.
func (q *search) situation(s int, state []int16) (hi, lo uint64) {
	if q.alike == nil {
		return q.key.key(s, state)
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
	return q.key.key(s, sorted)
}

// report keeps a complete plan.
func (q *search) report(acc int64) {
	q.plan = q.plan[:0]
	for s := 0; s < q.m.series; s++ {
		f, t := &q.frames[s], q.d.active[s]
		c := chosen{mask: t.mask[f.cand[f.pos-1].col]}
		if len(t.code) > 0 {
			c.code = t.code[f.cand[f.pos-1].col]
		}
		q.plan = append(q.plan, c)
	}
	q.value = acc
	if !q.deep || acc >= q.ceiling {
		q.state = found
		return
	}
	q.goal = acc + 1
}

// open lists the candidates of the node at depth s, best bound first.
func (q *search) open(s int) {
	q.nodes++
	f, m, d := &q.frames[s], q.m, q.d
	f.pos, f.cand = 0, f.cand[:0]
	if !q.room.enough(s, f.state) {
		return
	}
	base, must, cannot, ok := q.rests(s, f.state)
	if !ok {
		return
	}
	left := int64(m.series - s - 1)
	floor := int64(math.MinInt64)
	if m.linked {
		floor = left * q.w * priceScale
	}
	need := (q.goal - f.acc) * priceScale
	t, w := d.active[s], d.active[s].width
	for c := 0; c < d.size[s]; c++ {
		if t.mask[c]&must != must || t.mask[c]&cannot != 0 {
			continue
		}
		rest := base
		for _, it := range t.item[c*w : c*w+w] {
			rest += q.gain[it]
		}
		score := rest + t.obj[c]*priceScale
		if rest < floor || score < need || rest < never/2 {
			continue
		}
		f.cand = append(f.cand, candidate{score, int32(c)})
	}
	slices.SortFunc(f.cand, func(a, b candidate) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return int(a.col - b.col)
	})
}

// rests fills gain for the node: base is the bound on the rest of the game if all kids who may are benched now.
func (q *search) rests(s int, state []int16) (base int64, must, cannot uint32, ok bool) {
	m, d := q.m, q.d
	base = q.later[s]
	width := m.actions + 1
	for k, a := range m.auto {
		next := a.next[s][int(state[k])*width : int(state[k])*width+width]
		tail := d.tail[k*(m.series+1)+s+1]
		benched := int64(0)
		if next[0] >= 0 {
			benched = tail[next[0]]
			base += benched
		} else {
			must |= 1 << k
		}
		some := false
		for x := 1; x < width; x++ {
			g := int64(never)
			if next[x] >= 0 {
				g = tail[next[x]] - benched
				some = true
			}
			q.gain[k*m.actions+x-1] = g
		}
		if !some {
			cannot |= 1 << k
			if next[0] < 0 {
				return 0, 0, 0, false
			}
		}
	}
	return base, must, cannot, true
}

// headroom holds, for every automaton state, the least and the most turns a kid can take in
// the next 1, 2, ... 7 series and in the whole rest, packed in bytes. If the least of all kids exceed the
// spots of some such stretch, or the most fall short of them, there is no plan (Hall's condition on intervals).
type headroom struct {
	m           *model
	least, most [][]uint64 // by kid*(series+1)+layer, by state
	spots       [][8]int   // by layer
	whole       bool       // byte 7 holds the whole rest
}

const stretch = 7

func newHeadroom(m *model) *headroom {
	h := &headroom{m: m, whole: m.kids*m.series <= 255}
	h.least, h.most = make([][]uint64, m.kids*(m.series+1)), make([][]uint64, m.kids*(m.series+1))
	for k, a := range m.auto {
		if t := m.kidType[k]; t != k {
			for s := 0; s <= m.series; s++ {
				h.least[k*(m.series+1)+s], h.most[k*(m.series+1)+s] = h.least[t*(m.series+1)+s], h.most[t*(m.series+1)+s]
			}
			continue
		}
		h.fill(k, a)
	}
	h.spots = make([][8]int, m.series+1)
	for s := range h.spots {
		sum := 0
		for t := s; t < m.series; t++ {
			sum += m.spots[t]
			if t-s < stretch {
				h.spots[s][t-s] = sum
			}
		}
		for j := m.series - s; j < stretch; j++ {
			h.spots[s][j] = sum
		}
		h.spots[s][7] = sum
	}
	return h
}

func (h *headroom) fill(k int, a *automaton) {
	m := h.m
	width := m.actions + 1
	last := k*(m.series+1) + m.series
	h.least[last], h.most[last] = make([]uint64, a.count[m.series]), make([]uint64, a.count[m.series])
	for s := m.series - 1; s >= 0; s-- {
		n := a.count[s]
		at := k*(m.series+1) + s
		h.least[at], h.most[at] = make([]uint64, n), make([]uint64, n)
		for i := 0; i < n; i++ {
			var least, most [8]int
			for j := range least {
				least[j] = math.MaxInt8
			}
			for x := 0; x < width; x++ {
				to := a.next[s][i*width+x]
				if to < 0 {
					continue
				}
				one := min(x, 1)
				lo, hi := h.least[at+1][to], h.most[at+1][to]
				for j := range least {
					before := 0
					switch {
					case j == 7:
						before = 7
					case j > 0:
						before = j - 1
					}
					l, u := one, one
					if j > 0 {
						l += int(lo >> (8 * before) & 255)
						u += int(hi >> (8 * before) & 255)
					}
					least[j], most[j] = min(least[j], l), max(most[j], u)
				}
			}
			for j := range least {
				h.least[at][i] |= uint64(least[j]) << (8 * j)
				h.most[at][i] |= uint64(most[j]) << (8 * j)
			}
		}
	}
}

func (h *headroom) enough(s int, state []int16) bool {
	var least, most uint64
	n := h.m.series + 1
	for k, st := range state {
		least += h.least[k*n+s][st]
		most += h.most[k*n+s][st]
	}
	for j, spots := range h.spots[s] {
		if j == 7 && !h.whole {
			break
		}
		if int(least>>(8*j)&255) > spots || int(most>>(8*j)&255) < spots {
			return false
		}
	}
	return true
}
