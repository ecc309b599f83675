package rotation

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// outlook is what a node's rest looks like if every kid who may is benched now.
type outlook struct {
	base         int64 // bound on the rest
	least, most  uint64
	must, cannot uint32
	ifOff, ifOn  uint32 // kids who have to be on in the next series if they are off, or on, now
}

// open lists the candidates of the node at depth s, best bound first.
func (q *search) open(s int) {
	q.nodes++
	f, m, d := &q.frames[s], q.m, q.d
	f.pos, f.cand = 0, f.cand[:0]
	o, ok := q.outlook(s, f.state)
	if !ok {
		return
	}
	floor := int64(never / 2)
	if m.linked {
		floor = max(floor, m.open[s+1]*q.w*priceScale+q.lag[s])
	}
	need := (q.goal - f.acc) * priceScale
	row := q.forced.next(s)
	t, w := d.active[s], d.active[s].width
	for i, word := range q.matching(s, o.must, o.cannot) {
		for ; word != 0; word &= word - 1 {
			c := i*64 + bits.TrailingZeros64(word)
			item := t.item[c*w : c*w+w]
			rest := o.base
			for _, it := range item {
				rest += q.gain[it]
			}
			score := rest + t.obj[c]*priceScale
			if rest < floor || score < need || row != nil && q.forced.cut(row, o, t.mask[c], rest-floor, score-need) || !q.floors.admit(f.below, t.level[c]) {
				continue
			}
			least, most := o.least, o.most
			for _, it := range item {
				least += q.least[it]
				most += q.most[it]
			}
			if q.room.enough(s+1, least, most) {
				f.cand = append(f.cand, candidate{score, int32(c)})
			}
		}
	}
	if q.starts > 0 && s < shuffleDepth {
		slices.SortFunc(f.cand, func(a, b candidate) int {
			return cmp.Or(cmp.Compare(q.shuffled(s, a.col), q.shuffled(s, b.col)), cmp.Compare(a.col, b.col))
		})
		return
	}
	if len(f.cand) > 1 {
		slices.SortFunc(f.cand, func(a, b candidate) int {
			return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.col, b.col))
		})
	}
}

// shuffleDepth is how many series from the first have their lineups in another order after a restart.
const shuffleDepth = 3

// shuffled is where a column stands in the order of the present start.
func (q *search) shuffled(s int, col int32) uint64 {
	h := (uint64(col)+1)*0x9e3779b97f4a7c15 ^ (q.starts*32+uint64(s))*0xc2b2ae3d27d4eb4f
	h = (h ^ h>>31) * 0xd6e8feb86659fd93
	return h ^ h>>32
}

// outlook fills what each item changes for the node; false: kids kept apart need too many turns, or some kid can be neither on nor
// off. With one action there is no such kid, since in these automata every state goes on to the end of some game.
func (q *search) outlook(s int, state []int16) (o outlook, ok bool) {
	m, d := q.m, q.d
	if !q.room.pairs(s, state) {
		return o, false
	}
	o.base = q.later[s]
	if q.view != nil {
		for k, st := range state {
			g := &q.view[k*m.series+s][st]
			o.base += g.tail
			o.least += g.least
			o.most += g.most
			o.ifOff |= g.ifOff
			o.ifOn |= g.ifOn
			q.gain[k], q.least[k], q.most[k] = g.gain, g.moreLeast, g.moreMost
			if g.next[0] < 0 {
				o.must |= 1 << k
			}
			if g.next[1] < 0 {
				o.cannot |= 1 << k
			}
		}
		return o, true
	}
	width := m.actions + 1
	for k, a := range m.auto {
		next := a.next[s][int(state[k])*width : int(state[k])*width+width]
		at := k*(m.series+1) + s + 1
		tail, least, most := d.tail[at], q.room.least[at], q.room.most[at]
		var benched int64
		var benchedLeast, benchedMost uint64
		if b := next[0]; b >= 0 {
			benched, benchedLeast, benchedMost = tail[b], least[b], most[b]
			o.base += benched
			o.least += benchedLeast
			o.most += benchedMost
		} else {
			o.must |= 1 << k
		}
		some := false
		for x := 1; x < width; x++ {
			it := k*m.actions + x - 1
			q.gain[it] = never
			if n := next[x]; n >= 0 {
				q.gain[it] = tail[n] - benched
				q.least[it], q.most[it] = least[n]-benchedLeast, most[n]-benchedMost
				some = true
			}
		}
		if !some {
			o.cannot |= 1 << k
			if next[0] < 0 {
				return o, false
			}
		}
	}
	return o, true
}

// glance is what outlook needs of a kid in a state, in one place, as it is when the search begins.
type glance struct {
	next                [2]int16 // if benched and if on; -1: not allowed
	ifOff, ifOn         uint32   // the kid's bit where benched, or on, now means on in the next series
	tail, gain          int64    // bound on the rest if benched, and what it is more if on
	least, most         uint64   // if benched, in headroom's bytes
	moreLeast, moreMost uint64   // change of them if on
}

func (q *search) glances(k, s int, next []int16) []glance {
	out := make([]glance, len(next)/2)
	at := k*(q.m.series+1) + s + 1
	tail, least, most := q.d.tail[at], q.room.least[at], q.room.most[at]
	for i := range out {
		g := &out[i]
		g.next = [2]int16{next[2*i], next[2*i+1]}
		if b := g.next[0]; b >= 0 {
			g.tail, g.least, g.most = tail[b], least[b], most[b]
		}
		if g.gain = never; g.next[1] >= 0 {
			n := g.next[1]
			g.gain, g.moreLeast, g.moreMost = tail[n]-g.tail, least[n]-g.least, most[n]-g.most
		}
		if s+1 < q.m.series {
			after := q.m.auto[k].next[s+1]
			if b := g.next[0]; b >= 0 && after[2*b] < 0 {
				g.ifOff = 1 << k
			}
			if n := g.next[1]; n >= 0 && after[2*n] < 0 {
				g.ifOn = 1 << k
			}
		}
	}
	return out
}

// index makes the bit sets of columns by kid, so that the columns with and without certain kids are a few
// words' work. Series with the same columns share them.
func (q *search) index() {
	m, d := q.m, q.d
	q.having = make([][]uint64, m.series)
	for s := range q.having {
		if s > 0 && d.active[s] == d.active[s-1] && d.size[s] == d.size[s-1] {
			q.having[s] = q.having[s-1]
			continue
		}
		words := (d.size[s] + 63) / 64
		sets := make([]uint64, words*m.kids)
		for c, mask := range d.active[s].mask[:d.size[s]] {
			for x := mask; x != 0; x &= x - 1 {
				sets[bits.TrailingZeros32(x)*words+c/64] |= 1 << (c % 64)
			}
		}
		q.having[s] = sets
		if words > len(q.set) {
			q.set = make([]uint64, words)
		}
	}
}

// matching is the bit set of the columns of series s that have all of must and none of cannot.
func (q *search) matching(s int, must, cannot uint32) []uint64 {
	n := q.d.size[s]
	words := (n + 63) / 64
	set := q.set[:words]
	for i := range set {
		set[i] = math.MaxUint64
	}
	if n%64 != 0 {
		set[words-1] = 1<<(n%64) - 1
	}
	sets := q.having[s]
	for x := must; x != 0; x &= x - 1 {
		k := bits.TrailingZeros32(x)
		for i, b := range sets[k*words : (k+1)*words] {
			set[i] &= b
		}
	}
	for x := cannot; x != 0; x &= x - 1 {
		k := bits.TrailingZeros32(x)
		for i, b := range sets[k*words : (k+1)*words] {
			set[i] &^= b
		}
	}
	return set
}
