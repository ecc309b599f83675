package rotation

import "math/bits"

// memoLimit bounds a memo: entries of 32 bytes, 128 MiB at most for one search. A full memo
// overwrites; that costs time, never a proof, because forgetting only repeats work.
const memoLimit = 1 << 22

// memo remembers exhausted situations under their exact key: the automaton states of all kids
// at a layer. The value is the best objective so far with which the situation was exhausted.
type memo struct {
	slot  []memoSlot
	used  int
	spare shelf[memoSlot] // where it takes space from
}

// situation is an exact key: states of all kids and layer in hi and lo, what else the future depends on in extra.
type situation struct {
	hi, lo, extra uint64 // lo has its lowest bit set: never zero
}

type memoSlot struct {
	situation
	acc int64
}

func newMemo() *memo { return &memo{slot: make([]memoSlot, 1<<10)} }

func (t *memo) find(k situation) *memoSlot {
	h := k.hi*0x9e3779b97f4a7c15 ^ bits.RotateLeft64(k.lo*0xc2b2ae3d27d4eb4f, 31) ^ k.extra*0xd6e8feb86659fd93
	h ^= h >> 29
	mask := uint64(len(t.slot) - 1)
	for i, probe := h&mask, 0; ; i, probe = (i+1)&mask, probe+1 {
		s := &t.slot[i]
		if s.lo == 0 || s.situation == k || probe == 32 {
			return s
		}
	}
}

// seen tells whether the situation was exhausted with at least this objective.
func (t *memo) seen(k situation, acc int64) bool {
	s := t.find(k)
	return s.situation == k && s.acc >= acc
}

func (t *memo) put(k situation, acc int64) {
	s := t.find(k)
	switch {
	case s.lo == 0:
		t.used++
	case s.situation == k && s.acc >= acc:
		return
	}
	*s = memoSlot{k, acc}
	if t.used*10 > len(t.slot)*7 && len(t.slot) < memoLimit {
		old := t.slot
		t.slot, t.used = t.spare.take(4*len(old)), 0
		for _, e := range old {
			if e.lo != 0 {
				n := t.find(e.situation)
				if n.lo == 0 {
					t.used++
				}
				*n = e
			}
		}
	}
}

// layerBits hold any layer up to exactSeries.
const layerBits = 5

// Rooms for long games: layers here, levels in the keys of even.go, series in the masks of local.go and automaton.go (bit 31 is taken).
const (
	_ = uint(1<<layerBits - 1 - exactSeries)
	_ = uint(64 - (2*exactSeries + 1))
	_ = uint(31 - exactSeries)
)

// keyer packs the states of all kids at a layer into 127 bits.
type keyer struct {
	width [][]uint8 // bits by layer and kid
	fits  []bool    // by layer: whether they fit
}

func newKeyer(m *model) *keyer {
	q := &keyer{width: make([][]uint8, m.series+1), fits: make([]bool, m.series+1)}
	for s := range q.width {
		q.width[s] = make([]uint8, m.kids)
		sum := 0
		for k, a := range m.auto {
			q.width[s][k] = uint8(bits.Len(uint(a.count[s] - 1)))
			sum += int(q.width[s][k])
		}
		q.fits[s] = sum <= 127-layerBits
	}
	return q
}

// key is exact: different layers or states have different keys. The layer comes last, since layers differ in how many bits their states take.
func (q *keyer) key(s int, state []int16) (hi, lo uint64) {
	for k, w := range q.width[s] {
		hi = hi<<w | lo>>(64-w)
		lo = lo<<w | uint64(state[k])
	}
	hi = hi<<layerBits | lo>>(64-layerBits)
	lo = lo<<layerBits | uint64(s)
	hi = hi<<1 | lo>>63
	lo = lo<<1 | 1
	return hi, lo
}
