package rotation

import "math"

// headroom holds, for every automaton state, the least and the most turns a kid can take in
// the next 1, 2, ... 7 series and in the whole rest, packed in bytes. If the least of all kids exceed the
// spots of some such stretch, or the most fall short of them, there is no plan (Hall's condition on intervals). The turns are read off the
// automata, which know who is there when, so that kids who leave and come back are counted as closely as any.
type headroom struct {
	m           *model
	least, most [][]uint64 // by kid*(series+1)+layer, by state
	spots       []uint64   // by layer
	lanes       uint64     // the top bits of the bytes in use
	mostLanes   uint64
	turns       []uint64 // by layer: how many turns two kids who are kept apart can have between them
}

const (
	stretch  = 7
	topBits  = 0x8080808080808080
	restLane = 0x8000000000000000
)

func newHeadroom(m *model) *headroom {
	h := &headroom{m: m, lanes: topBits, mostLanes: topBits}
	n := m.series + 1
	h.least, h.most = make([][]uint64, m.kids*n), make([][]uint64, m.kids*n)
	for k, a := range m.auto {
		t := m.kidType[k]
		if t == k {
			h.fill(k, a)
			continue
		}
		for s := 0; s <= m.series; s++ {
			h.least[k*n+s], h.most[k*n+s] = h.least[t*n+s], h.most[t*n+s]
		}
	}
	// A byte holds up to 127, so that the comparison has a bit to spare.
	spots, least, most := 0, 0, 0
	for _, x := range m.spots {
		spots += x
	}
	for k := range m.auto {
		l, u := m.turns(k)
		least, most = least+l, most+u
	}
	if spots > 127 || most > 127 {
		h.mostLanes &^= restLane
	}
	if spots > 127 || least > 127 {
		h.lanes &^= restLane
	}
	h.spots, h.turns = make([]uint64, n), make([]uint64, n)
	for s := range h.spots {
		for j := 0; j <= stretch; j++ {
			end := min(s+j+1, m.series)
			if j == stretch {
				end = m.series
			}
			for t := s; t < end; t++ {
				h.turns[s] += 1 << (8 * j)
				if m.p.over(t) { // what was played is a fact, together or not
					h.turns[s] += 1 << (8 * j)
				}
			}
		}
		sum := 0
		for j := 0; j < stretch; j++ {
			if s+j < m.series {
				sum += m.spots[s+j]
			}
			h.spots[s] |= uint64(min(sum, 127)) << (8 * j)
		}
		for t := s + stretch; t < m.series; t++ {
			sum += m.spots[t]
		}
		h.spots[s] |= uint64(min(sum, 127)) << (8 * stretch)
	}
	return h
}

// fill computes the turns for the states of kid k backward.
func (h *headroom) fill(k int, a *automaton) {
	m := h.m
	width := m.actions + 1
	last := k*(m.series+1) + m.series
	h.least[last], h.most[last] = make([]uint64, a.count[m.series]), make([]uint64, a.count[m.series])
	for s := m.series - 1; s >= 0; s-- {
		at := k*(m.series+1) + s
		h.least[at], h.most[at] = make([]uint64, a.count[s]), make([]uint64, a.count[s])
		for i := range h.least[at] {
			least := [8]int{}
			for j := range least {
				least[j] = math.MaxInt8
			}
			most := [8]int{}
			for x := 0; x < width; x++ {
				to := a.next[s][i*width+x]
				if to < 0 {
					continue
				}
				for j := range least {
					before := max(j-1, 0)
					if j == stretch {
						before = stretch
					}
					l, u := min(x, 1), min(x, 1)
					if j > 0 {
						l += int(h.least[at+1][to] >> (8 * before) & 255)
						u += int(h.most[at+1][to] >> (8 * before) & 255)
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

// enough compares the sums over all kids before series s with the spots, all stretches at once: the
// top bit of a byte survives the subtraction unless it goes below zero.
func (h *headroom) enough(s int, least, most uint64) bool {
	return ((h.spots[s]|topBits)-least)&h.lanes == h.lanes && ((most|topBits)-h.spots[s])&h.mostLanes == h.mostLanes
}

// pairs tells whether kids who are kept apart can have the turns that both of them need from series s on: one of them at a time.
func (h *headroom) pairs(s int, state []int16) bool {
	n := h.m.series + 1
	for _, pr := range h.m.p.Apart {
		a, b := h.least[pr[0]*n+s][state[pr[0]]], h.least[pr[1]*n+s][state[pr[1]]]
		if ((h.turns[s]|topBits)-a-b)&topBits != topBits {
			return false
		}
	}
	return true
}
