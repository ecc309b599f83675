package rotation

import (
	"math"
	"slices"
)

// priceScale is how many price units one unit of value has. Prices are whole numbers, so
// that every bound is exact whatever the prices are.
const priceScale = 64

// dual is a Lagrangean bound: with any prices pi (series, kid, action),
//
//	Z(pi) = sum over series of max over columns (obj - pi) + sum over kids of max over legal games of the pi collected
//
// is at least the objective of every legal plan, because the plan's own columns and games are
// among those maximised over. The kids' tables give, for any state of a kid's automaton, the
// best that is still to come, hence a bound on every rest of a game.
// (Held and Karp 1971; for rosters Bard and Purnomo 2007, J. Scheduling 10.)
type dual struct {
	m      *model
	active []*table // the columns still in play, by series
	size   []int    // how many of them, from the front
	pi     []int64  // series x (kids*actions)
	top    []int64  // by series: max of obj - pi
	best   []int    // by series: a column that attains it
	tail   [][]int64
	z      int64
}

func (m *model) items() int { return m.kids * m.actions }

func newDual(m *model) *dual {
	d := &dual{m: m, pi: make([]int64, m.series*m.items()), top: make([]int64, m.series), best: make([]int, m.series)}
	d.active = append([]*table(nil), m.tables...)
	d.size = make([]int, m.series)
	d.tail = make([][]int64, m.kids*(m.series+1))
	for k, a := range m.auto {
		for s, n := range a.count {
			d.tail[k*(m.series+1)+s] = make([]int64, n)
		}
	}
	d.level(noLevel)
	return d
}

// clone has its own prices and columns.
func (d *dual) clone() *dual {
	c := newDual(d.m)
	copy(c.pi, d.pi)
	copy(c.active, d.active)
	copy(c.size, d.size)
	return c
}

// level keeps the columns of at least the given level; all columns come back into play.
func (d *dual) level(w int64) {
	for s, t := range d.m.tables {
		d.active[s] = t
		d.size[s] = t.prefix(w)
	}
}

// price is what a column's kids cost in series s.
func (d *dual) price(s int, item []uint16) int64 {
	pi := d.pi[s*d.m.items():]
	sum := int64(0)
	for _, it := range item {
		sum += pi[it]
	}
	return sum
}

// evaluate computes the bound and its tables for the present prices; false: a series has no column left.
func (d *dual) evaluate() bool {
	d.z = 0
	for s := range d.active {
		if d.size[s] == 0 {
			return false
		}
		if s > 0 && d.active[s] == d.active[s-1] && d.size[s] == d.size[s-1] && d.samePrices(s, s-1) {
			d.top[s], d.best[s] = d.top[s-1], d.best[s-1]
		} else {
			d.top[s], d.best[s] = d.bestColumn(s)
		}
		d.z += d.top[s]
	}
	for k := range d.m.auto {
		d.z += d.kidTail(k)
	}
	return true
}

// samePrices tells whether two series have the same prices.
func (d *dual) samePrices(s, t int) bool {
	n := d.m.items()
	return slices.Equal(d.pi[s*n:s*n+n], d.pi[t*n:t*n+n])
}

func (d *dual) bestColumn(s int) (int64, int) {
	t, n := d.active[s], d.size[s]
	pi := d.pi[s*d.m.items() : (s+1)*d.m.items()]
	top, best := int64(math.MinInt64), 0
	item := t.item
	w := t.width
	if w == 5 { // the usual case, unrolled: the descent spends its time here
		for c := 0; c < n; c++ {
			it := item[c*5 : c*5+5 : c*5+5]
			sum := t.obj[c]*priceScale - pi[it[0]] - pi[it[1]] - pi[it[2]] - pi[it[3]] - pi[it[4]]
			if sum > top {
				top, best = sum, c
			}
		}
		return top, best
	}
	for c := 0; c < n; c++ {
		sum := t.obj[c] * priceScale
		for _, it := range item[c*w : c*w+w] {
			sum -= pi[it]
		}
		if sum > top {
			top, best = sum, c
		}
	}
	return top, best
}

// loss is what column c of series s gives away against the best.
func (d *dual) loss(s, c int) int64 {
	t := d.active[s]
	return d.top[s] - (t.obj[c]*priceScale - d.price(s, t.item[c*t.width:(c+1)*t.width]))
}

// lag is the least that a lineup of series s gives away against the best, with what it has above level w. Whatever a plan with every
// series at w plays there, the bound has so much more than w to spare for it. 0 where nothing can be said: then it changes no floor.
func (d *dual) lag(s int, w int64) int64 {
	if !d.m.linked || d.m.p.over(s) || w == noLevel {
		return 0
	}
	t, least := d.active[s], int64(math.MaxInt64)
	for c := 0; c < d.size[s]; c++ {
		loss := d.loss(s, c)
		least = min(least, loss+(int64(t.level[c])-w)*priceScale)
	}
	return least
}

// mostPrice bounds a price, so that no sum of prices leaves the range; any prices give a valid bound, so cutting one off is sound.
const mostPrice = 1 << 46

// never is below any sum of prices over a game; sums of a dozen of it stay in range.
const never = -1 << 58

// kidTail fills kid k's tables backward and returns the best whole game.
func (d *dual) kidTail(k int) int64 {
	m, a := d.m, d.m.auto[k]
	row := d.tail[k*(m.series+1):]
	for i := range row[m.series] {
		row[m.series][i] = 0
	}
	width := m.actions + 1
	for s := m.series - 1; s >= 0; s-- {
		pi := d.pi[s*m.items()+k*m.actions:]
		to, here, next := row[s+1], row[s], a.next[s]
		for i := range here {
			v := int64(never)
			if j := next[i*width]; j >= 0 {
				v = to[j]
			}
			for x := 1; x < width; x++ {
				if j := next[i*width+x]; j >= 0 {
					v = max(v, to[j]+pi[x-1])
				}
			}
			here[i] = v
		}
	}
	return row[0][0]
}

// game is a best game of kid k at the present prices: the action by series, 0 the bench.
func (d *dual) game(k int, out []int8) {
	m, a := d.m, d.m.auto[k]
	row := d.tail[k*(m.series+1):]
	width := m.actions + 1
	st := 0
	for s := 0; s < m.series; s++ {
		pi := d.pi[s*m.items()+k*m.actions:]
		for x := 0; x < width; x++ {
			j := a.next[s][st*width+x]
			if j < 0 {
				continue
			}
			v := row[s+1][j]
			if x > 0 {
				v += pi[x-1]
			}
			if v == row[s][st] {
				out[s], st = int8(x), int(j)
				break
			}
		}
	}
}

// reduce drops the columns that no plan with every series at least w and a total of at least total can use. loss is
// what a column gives away against the best of its series at these prices; the plan's losses sum to at
// most Z - total, and with the excess of its levels over w to at most Z - series*w. Of that every other series takes at least its lag.
func (d *dual) reduce(w, total int64) bool {
	m := d.m
	n := m.open[0]
	room := d.z - priceScale*max(total, n*w)
	if !m.linked {
		room = d.z - priceScale*total
	}
	roomW := d.z - priceScale*n*w
	lag := make([]int64, m.series)
	for s := range lag {
		lag[s] = d.lag(s, w)
		roomW -= lag[s]
	}
	var before *table // of the last series, before it was reduced
	beforeSize := 0
	for s, t := range d.active {
		shared := s > 0 && t == before && d.size[s] == beforeSize && d.samePrices(s, s-1)
		before, beforeSize = t, d.size[s]
		if m.p.over(s) {
			continue
		}
		if shared && !m.p.over(s-1) {
			d.active[s], d.size[s] = d.active[s-1], d.size[s-1]
			continue
		}
		var keep []int
		for c := 0; c < d.size[s]; c++ {
			loss := d.loss(s, c)
			if loss > room || m.linked && loss+(int64(t.level[c])-w)*priceScale > roomW+lag[s] {
				continue
			}
			keep = append(keep, c)
		}
		if len(keep) == 0 {
			return false
		}
		if len(keep) < d.size[s] {
			d.active[s] = t.pick(keep)
			d.size[s] = len(keep)
		}
	}
	return true
}
