package rotation

import (
	"math/bits"
	"math/rand/v2"
)

// swapper improves a legal plan by exchanging the turns of two kids in some series. The
// number of kids on the field never changes, so only the two kids' games and the lineups of
// those series have to be checked, each by one look-up.
type swapper struct {
	m       *model
	legal   [][]uint64 // by kid type: bit set over patterns (short games)
	value   [][]int32  // by signature: best level of a mask, noValue: not allowed
	rng     *rand.PCG
	pattern []uint32 // by kid: the series played
	mask    []uint32 // by series
	level   []int32
	total   int64
}

// patternSeries is the most series for which legal games are tabulated.
const patternSeries = 16

func newSwapper(m *model, seed uint64) *swapper {
	q := &swapper{m: m, legal: make([][]uint64, m.kids), value: make([][]int32, m.series), rng: rand.NewPCG(seed, 7),
		pattern: make([]uint32, m.kids), mask: make([]uint32, m.series), level: make([]int32, m.series)}
	for s, t := range m.tables {
		if c := m.class[s]; c != s {
			q.value[s] = q.value[c]
			continue
		}
		v := make([]int32, 1<<m.kids)
		for i := range v {
			v[i] = noValue
		}
		for c, mask := range t.mask {
			v[mask] = max(v[mask], t.level[c])
		}
		q.value[s] = v
	}
	if m.series <= patternSeries {
		for k := range q.legal {
			if t := m.kidType[k]; t != k {
				q.legal[k] = q.legal[t]
			} else {
				q.legal[k] = legalPatterns(m, k)
			}
		}
	}
	return q
}

// legalPatterns is the set of games that kid k's automaton accepts, bit s of a pattern being series s.
func legalPatterns(m *model, k int) []uint64 {
	a := m.auto[k]
	states := []int16{0}
	for s := 0; s < m.series; s++ {
		next := make([]int16, 2*len(states))
		for p, st := range states {
			next[p], next[p|1<<s] = -1, -1
			if st >= 0 {
				next[p], next[p|1<<s] = a.next[s][st*2], a.next[s][st*2+1]
			}
		}
		states = next
	}
	set := make([]uint64, (len(states)+63)/64)
	for p, st := range states {
		if st >= 0 {
			set[p/64] |= 1 << (p % 64)
		}
	}
	return set
}

func (q *swapper) accepts(k int, pattern uint32) bool {
	if set := q.legal[k]; set != nil {
		return set[pattern/64]>>(pattern%64)&1 == 1
	}
	st := int16(0)
	for s, row := range q.m.auto[k].next {
		st = row[int(st)*2+int(pattern>>s&1)]
		if st < 0 {
			return false
		}
	}
	return true
}

// load takes a legal plan.
func (q *swapper) load(plan Plan) {
	q.total = 0
	for k := range q.pattern {
		q.pattern[k] = 0
	}
	for s, cells := range plan {
		q.mask[s] = 0
		for _, c := range cells {
			q.mask[s] |= 1 << c.Kid
			q.pattern[c.Kid] |= 1 << s
		}
		q.level[s] = q.value[s][q.mask[s]]
		if !q.m.p.over(s) {
			q.total += int64(q.level[s])
		}
	}
}

// plan is the present plan.
func (q *swapper) plan() Plan {
	cols := make([]chosen, len(q.mask))
	for s, mask := range q.mask {
		cols[s].mask = mask
	}
	return q.m.cells(cols)
}

// propose draws two kids and the set of series in which they would exchange their turns; 0: nothing to do.
func (q *swapper) propose() (a, b int, flip uint32) {
	// One draw is split up: this runs a hundred thousand times before anything else does.
	r := q.rng.Uint64()
	draw := func(n int) int {
		x := int(r & 0x3ff * uint64(n) >> 10)
		r >>= 10
		return x
	}
	a = draw(q.m.kids)
	if b = draw(q.m.kids - 1); b >= a {
		b++
	}
	diff := q.pattern[a] ^ q.pattern[b]
	if diff == 0 {
		return a, b, 0
	}
	switch x := draw(16); {
	case x < 9: // one series each way: both counts stay
		ab, ba := q.pattern[a]&diff, q.pattern[b]&diff
		if ab == 0 || ba == 0 {
			return a, b, 0
		}
		flip = bitOf(ab, draw(bits.OnesCount32(ab))) | bitOf(ba, draw(bits.OnesCount32(ba)))
	case x < 11: // one series
		flip = bitOf(diff, draw(bits.OnesCount32(diff)))
	case x < 15: // a stretch
		i, j := draw(q.m.series), draw(q.m.series)
		if i > j {
			i, j = j, i
		}
		flip = diff & (1<<(j+1) - 1<<i)
	default: // the whole game
		flip = diff
	}
	return a, b, flip
}

// bitOf is the bit of set with i bits below it.
func bitOf(set uint32, i int) uint32 {
	for ; i > 0; i-- {
		set &= set - 1
	}
	return set & -set
}

// metropolis tells whether a move that worsens the energy by delta is taken at a temperature.
// The exponential comes from a table made of products only, so that every machine draws the same.
func metropolis(rng rand.Source, delta, temperature int64) bool {
	if delta <= 0 {
		return true
	}
	i := delta * expSteps / temperature
	return i < int64(len(expTable)) && uint32(rng.Uint64()>>32) < expTable[i]
}

const expSteps = 32

// expTable[i] is exp(-i/32) in units of 2^-32; the constant is exp(-1/32).
var expTable = func() []uint32 {
	var t []uint32
	for x := 4294967295.0; x >= 1; x *= 0.96923323447634408 {
		t = append(t, uint32(x))
	}
	return t
}()

// goal is what an annealing run is after: raising every series to aim first, then the total; never below floor once there.
type goal struct {
	aim   int64 // a series below it costs deficitCost a unit; noLevel: only the total counts
	floor int64 // lineups below it are not entered
}

const deficitCost = 50

// anneal walks the given number of moves from temperature hot to cold (in units of energy) and
// calls better after every plan reached whose weakest or total may be new; better says whether the aim rises. stop ends
// the run early.
func (q *swapper) anneal(moves int, hot, cold int64, g *goal, better func() bool, stop func() bool) {
	temperature := hot
	for i := 0; i < moves; i++ {
		if i%512 == 0 {
			temperature = hot - (hot-cold)*int64(i)/int64(moves)
			if stop() {
				return
			}
		}
		a, b, flip := q.propose()
		if flip == 0 {
			continue
		}
		diff := (q.pattern[a] ^ q.pattern[b]) & flip
		pa, pb := q.pattern[a]^diff, q.pattern[b]^diff
		if !q.accepts(a, pa) || !q.accepts(b, pb) {
			continue
		}
		swap := uint32(1<<a | 1<<b)
		delta, ok, up := q.price(diff, swap, g)
		if !ok || !metropolis(q.rng, delta, temperature) {
			continue
		}
		q.pattern[a], q.pattern[b] = pa, pb
		for x := diff; x != 0; x &= x - 1 {
			s := bits.TrailingZeros32(x)
			q.mask[s] ^= swap
			q.total -= int64(q.level[s])
			q.level[s] = q.value[s][q.mask[s]]
			q.total += int64(q.level[s])
		}
		if up && better() {
			temperature = max(temperature, (hot+cold)/2)
		}
	}
}

// price is the change of energy if two kids changed places in the series of diff; up tells that some
// part of it improves.
func (q *swapper) price(diff, swap uint32, g *goal) (delta int64, ok, up bool) {
	for x := diff; x != 0; x &= x - 1 {
		s := bits.TrailingZeros32(x)
		v := int64(q.value[s][q.mask[s]^swap])
		if v <= noValue/2 || v < g.floor {
			return 0, false, false
		}
		old := int64(q.level[s])
		delta -= v - old
		delta += deficitCost * (max(0, g.aim-v) - max(0, g.aim-old))
	}
	return delta, true, delta < 0
}
