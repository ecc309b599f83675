// Package memo remembers, under exact keys, which situations of a search are exhausted.
package memo

import (
	"math/bits"

	"sevenyard/optimize/rotation/internal/shelf"
)

// limit bounds a memo: entries of 32 bytes, 128 MiB at most for one search. A full memo
// overwrites; that costs time, never a proof, because forgetting only repeats work.
const limit = 1 << 22

// Memo remembers exhausted situations under their exact key: the automaton states of all kids
// at a layer. The value is the best objective so far with which the situation was exhausted.
type Memo struct {
	slot  []Slot
	used  int
	Spare shelf.Of[Slot] // where it takes space from
}

// Situation is an exact key: states of all kids and layer in Hi and Lo, what else the future depends on in extra.
type Situation struct {
	Hi, Lo, Extra uint64 // Lo has its lowest bit set: never zero
}

// Slot is one entry.
type Slot struct {
	Situation
	acc int64
}

// New is an empty memo.
func New() *Memo { return &Memo{slot: make([]Slot, 1<<10)} }

// Slots are its entries, for another memo to take as space once this one is done with.
func (t *Memo) Slots() []Slot { return t.slot }

func (t *Memo) find(k Situation) *Slot {
	h := k.Hi*0x9e3779b97f4a7c15 ^ bits.RotateLeft64(k.Lo*0xc2b2ae3d27d4eb4f, 31) ^ k.Extra*0xd6e8feb86659fd93
	h ^= h >> 29
	mask := uint64(len(t.slot) - 1)
	for i, probe := h&mask, 0; ; i, probe = (i+1)&mask, probe+1 {
		s := &t.slot[i]
		if s.Lo == 0 || s.Situation == k || probe == 32 {
			return s
		}
	}
}

// Seen tells whether the situation was exhausted with at least this objective.
func (t *Memo) Seen(k Situation, acc int64) bool {
	s := t.find(k)
	return s.Situation == k && s.acc >= acc
}

// Put takes down that the situation is exhausted with this objective.
func (t *Memo) Put(k Situation, acc int64) {
	s := t.find(k)
	switch {
	case s.Lo == 0:
		t.used++
	case s.Situation == k && s.acc >= acc:
		return
	}
	*s = Slot{k, acc}
	if t.used*10 > len(t.slot)*7 && len(t.slot) < limit {
		old := t.slot
		t.slot, t.used = t.Spare.Take(4*len(old)), 0
		for _, e := range old {
			if e.Lo != 0 {
				n := t.find(e.Situation)
				if n.Lo == 0 {
					t.used++
				}
				*n = e
			}
		}
	}
}

// layerBits hold any layer up to LastLayer.
const layerBits = 5

// LastLayer is the last layer that a key tells from others.
const LastLayer = 1<<layerBits - 1

// Keyer packs the states of all kids at a layer into 127 bits.
type Keyer struct {
	width [][]uint8 // bits by layer and kid
	Fits  []bool    // by layer: whether they fit
}

// NewKeyer is for kids who have so many states, by layer and kid.
func NewKeyer(states [][]int) *Keyer {
	q := &Keyer{width: make([][]uint8, len(states)), Fits: make([]bool, len(states))}
	for s, count := range states {
		q.width[s] = make([]uint8, len(count))
		sum := 0
		for k, n := range count {
			q.width[s][k] = uint8(bits.Len(uint(n - 1)))
			sum += int(q.width[s][k])
		}
		q.Fits[s] = sum <= 127-layerBits
	}
	return q
}

// Key is exact: different layers or states have different keys. The layer comes last, since layers differ in how many bits their states take.
func (q *Keyer) Key(s int, state []int16) (hi, lo uint64) {
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
