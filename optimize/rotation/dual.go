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

// lag is the least that a lineup of series s gives away, with what it has above level w: so much of the bound is of no use
// when only the level is asked for.
func (d *dual) lag(s int, w int64) int64 {
	if !d.m.linked || d.m.p.over(s) || w == noLevel {
		return 0
	}
	t, least := d.active[s], int64(math.MaxInt64)
	for c := 0; c < d.size[s]; c++ {
		loss := d.top[s] - (t.obj[c]*priceScale - d.price(s, t.item[c*t.width:(c+1)*t.width]))
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

// descent is a subgradient descent on the bound (Polyak step towards a target, deflected).
// Products are converted explicitly so that no machine fuses them with a sum: the same prices come out everywhere.
type descent struct {
	d            *dual
	x, dir, best []float64
	g            []float64
	play         []int8
	bestZ        int64
	theta        float64
	stalls       int
	averaged     float64 // share of the steps in which like series keep like prices
}

// How the steps are taken: found on random games, where prices start from those of the flow, at a kink of the bound. There it takes
// steps beyond the target, and many that do not lower the bound, to find a way down.
const (
	firstTheta = 1.5
	patience   = 20 // steps without gain before they shorten
	shorten    = 0.8
	leastTheta = 0.005
	paceSteps  = 12
	paceSlow   = 4
)

func newDescent(d *dual) *descent {
	n := len(d.pi)
	q := &descent{d: d, x: make([]float64, n), dir: make([]float64, n), best: make([]float64, n), g: make([]float64, n), play: make([]int8, d.m.series),
		theta: firstTheta, averaged: 1. / 3, bestZ: math.MaxInt64}
	for i, p := range d.pi {
		q.x[i], q.best[i] = float64(p), float64(p)
	}
	return q
}

// gradient is (kids' best games) - (best columns); averaged over series with the same columns when asked.
func (q *descent) gradient(average bool) float64 {
	d, m := q.d, q.d.m
	items := m.items()
	for i := range q.g {
		q.g[i] = 0
	}
	for s := range d.best {
		t := d.active[s]
		for _, it := range t.item[d.best[s]*t.width : (d.best[s]+1)*t.width] {
			q.g[s*items+int(it)]--
		}
	}
	for k := range m.auto {
		d.game(k, q.play)
		for s, x := range q.play {
			if x > 0 {
				q.g[s*items+k*m.actions+int(x)-1]++
			}
		}
	}
	if average {
		q.average()
	}
	// A direction that turns back against the last one is deflected (Camerini, Fratta and Maffioli 1975, Math. Programming Study 3).
	turn, last, norm := 0.0, 0.0, 0.0
	for i, g := range q.g {
		turn += float64(g * q.dir[i])
		last += float64(q.dir[i] * q.dir[i])
	}
	keep := 0.0
	if turn < 0 {
		keep = -1.5 * turn / last
	}
	for i, g := range q.g {
		q.dir[i] = g + float64(keep*q.dir[i])
		norm += float64(q.dir[i] * q.dir[i])
	}
	return norm
}

func (q *descent) average() {
	m := q.d.m
	items := m.items()
	for c := range m.class {
		if m.class[c] != c {
			continue
		}
		n := 0.0
		for _, x := range m.class {
			if x == c {
				n++
			}
		}
		for i := 0; i < items; i++ {
			sum := 0.0
			for s, x := range m.class {
				if x == c {
					sum += q.g[s*items+i]
				}
			}
			for s, x := range m.class {
				if x == c {
					q.g[s*items+i] = sum / n
				}
			}
		}
	}
}

// pace watches how fast the bound falls.
type pace struct {
	last  int64
	steps int
	slow  int
}

// down tells whether the last steps have closed so little of the gap, paceSlow times in a row, that no more comes of their kind.
func (p *pace) down(z, target int64) bool {
	if p.steps++; p.steps < paceSteps {
		return false
	}
	p.steps = 0
	if p.slow++; p.last-z > (z-target)/50 {
		p.slow = 0
	}
	p.last = z
	return p.slow == paceSlow
}

// run takes up to the given number of steps towards target (scaled); it stops as soon as the bound is below it, and leaves
// the best prices in place, evaluated; it also ends early when time is up. shrink, if not nil, is called at each new best and may drop columns.
// It returns false when the bound is below the target: nothing reaches it.
func (q *descent) run(steps int, target int64, shrink func()) bool {
	d, since := q.d, 0
	average, slow := true, pace{last: math.MaxInt64}
	for i := 0; i <= steps; i++ {
		if i > 0 && d.m.stopped() {
			break
		}
		if !d.evaluate() {
			return false
		}
		if d.z < q.bestZ {
			q.bestZ = d.z
			copy(q.best, q.x)
			q.stalls = 0
			if d.z < target {
				return false
			}
			if since++; shrink != nil && since >= 4 {
				since = 0
				if shrink(); !d.evaluate() { // the best columns have new places
					return false
				}
			}
		} else if q.stalls++; q.stalls >= patience {
			q.stalls = 0
			q.theta *= shorten
			if q.theta < leastTheta {
				break
			}
		}
		if i == steps {
			break
		}
		if average && float64(i) >= float64(q.averaged*float64(steps)) || slow.down(q.bestZ, target) {
			if !average {
				break
			}
			average, slow = false, pace{last: q.bestZ}
		}
		norm := q.gradient(average)
		if norm < 1e-9 {
			break
		}
		step := q.theta * float64(max(d.z-target, priceScale)) / norm
		for j := range q.x {
			q.x[j] = min(max(q.x[j]-float64(step*q.dir[j]), -mostPrice), mostPrice)
			d.pi[j] = int64(math.Round(q.x[j]))
		}
	}
	for j := range q.best {
		d.pi[j] = int64(math.Round(q.best[j]))
	}
	return d.evaluate() && d.z >= target
}

// reduce drops the columns that no plan with every series at least w and a total of at least total can use. loss is
// what a column gives away against the best of its series at these prices; the plan's losses sum to at
// most Z - total, and with the excess of its levels over w to at most Z - series*w.
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
			loss := d.top[s] - (t.obj[c]*priceScale - d.price(s, t.item[c*t.width:(c+1)*t.width]))
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
