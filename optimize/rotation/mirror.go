package rotation

import "math/bits"

// mirror is a problem read backward: series in reverse order, and for every kid a deterministic automaton that reads a game
// from its end. A state of it is the set of those states of the kid's own automaton from which the games' ends read so
// far are legal; since every state of that automaton can be reached, different sets differ in some whole game, so that this
// automaton is minimal too.
type mirror struct {
	m    *model
	room *headroom
	sets [][][]uint64 // by kid, layer of the mirror and state: the states of the kid's automaton at the same place
}

// mirrorStates is the most states of a layer that a set has room for, here and there.
const mirrorStates = 64

// newMirror prepares the mirror; nil: too many states, roles linked across series, or series that are over.
func newMirror(m *model) *mirror {
	if m.coupled || !m.linked || m.p.Played != nil {
		return nil
	}
	n := m.series
	back := &model{p: m.p, kids: m.kids, series: n, actions: 1, linked: true, kidType: m.kidType,
		spots: make([]int, n), tables: make([]*table, n), class: make([]int, n), open: m.open, auto: make([]*automaton, m.kids)}
	for s := range n {
		back.spots[s], back.tables[s] = m.spots[n-1-s], m.tables[n-1-s]
	}
	r := &mirror{m: back, sets: make([][][]uint64, m.kids)}
	for k, t := range m.kidType {
		if t == k {
			a, sets := m.auto[k].reverse()
			if a == nil {
				return nil
			}
			back.auto[k], r.sets[k] = a, sets
		} else {
			back.auto[k], r.sets[k] = back.auto[t], r.sets[t]
		}
	}
	r.room = newHeadroom(back)
	return r
}

// reverse is the automaton of the games read backward (of kids with one action), and the sets that its states stand for; nil: too many.
func (a *automaton) reverse() (*automaton, [][]uint64) {
	n := len(a.next)
	b := &automaton{next: make([][]int16, n), count: make([]int, n+1)}
	sets := make([][]uint64, n+1)
	sets[0] = []uint64{1} // the one state at the end
	for j := range n {
		s := n - 1 - j
		if a.count[s] > mirrorStates {
			return nil, nil
		}
		index := map[uint64]int16{}
		for _, set := range sets[j] {
			for x := range 2 {
				before := uint64(0)
				for q := range a.count[s] {
					if to := a.next[s][q*2+x]; to >= 0 && set>>to&1 == 1 {
						before |= 1 << q
					}
				}
				if before == 0 {
					b.next[j] = append(b.next[j], -1)
					continue
				}
				id, seen := index[before]
				if !seen {
					id = int16(len(sets[j+1]))
					index[before] = id
					sets[j+1] = append(sets[j+1], before)
				}
				b.next[j] = append(b.next[j], id)
			}
		}
		b.count[j] = len(sets[j])
		if len(sets[j+1]) > mirrorStates {
			return nil, nil
		}
	}
	b.count[n] = len(sets[n])
	return b, sets
}

// dual is the same dual read backward: its tables bound what can have come before.
func (r *mirror) dual(d *dual) *dual {
	c := newDual(r.m)
	n, items := r.m.series, r.m.items()
	for s := range n {
		copy(c.pi[s*items:(s+1)*items], d.pi[(n-1-s)*items:(n-s)*items])
		c.active[s], c.size[s] = d.active[n-1-s], d.size[n-1-s]
	}
	c.evaluate()
	return c
}

// leastTails are, by kid*(series+1)+layer of the mirror and state, the least of the dual's tables over the states that the state stands for.
func (r *mirror) leastTails(d *dual) [][]int64 {
	n := r.m.series
	out := make([][]int64, r.m.kids*(n+1))
	for k := range r.m.auto {
		for j, sets := range r.sets[k] {
			tail := d.tail[k*(n+1)+n-j]
			row := make([]int64, len(sets))
			for i, set := range sets {
				row[i] = tail[bits.TrailingZeros64(set)]
				for x := set; x != 0; x &= x - 1 {
					row[i] = min(row[i], tail[bits.TrailingZeros64(x)])
				}
			}
			out[k*(n+1)+j] = row
		}
	}
	return out
}

// fits is, by kid, layer from the front and state there, the set of the states of the mirror that stand for it.
func (r *mirror) fits(m *model) [][][]uint64 {
	n := m.series
	out := make([][][]uint64, m.kids)
	for k, a := range m.auto {
		if t := m.kidType[k]; t != k {
			out[k] = out[t]
			continue
		}
		out[k] = make([][]uint64, n+1)
		for s := range out[k] {
			out[k][s] = make([]uint64, a.count[s])
			for i, set := range r.sets[k][n-s] {
				for ; set != 0; set &= set - 1 {
					out[k][s][bits.TrailingZeros64(set)] |= 1 << i
				}
			}
		}
	}
	return out
}
