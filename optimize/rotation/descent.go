package rotation

import "math"

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
	// A direction that turns back against the last one is deflected (Camerini, Fratta and Maffioli 1975, Math. Programming Study 3;
	// their factor of 1.5 from memory).
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
// the best prices in place, evaluated; it also ends early when time is up. shrink, if not nil, is called at some new bests and may drop columns.
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
