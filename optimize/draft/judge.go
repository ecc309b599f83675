package draft

import "slices"

// saveable counts the wishes that a resplit can mend, and notes those that it touches.
func (r *resplitter) saveable(a, b int32) int64 {
	r.touched = r.touched[:0]
	if len(r.wishes) == 0 {
		return 0
	}
	for _, u := range r.free {
		for _, w := range r.wishOf[u] {
			if !slices.Contains(r.touched, w) {
				r.touched = append(r.touched, w)
			}
		}
	}
	var n int64
	for _, w := range r.touched {
		if r.cars[int(w)*r.teams+int(a)] > 0 && r.cars[int(w)*r.teams+int(b)] > 0 {
			n++
		}
	}
	return n
}

// sides notes where the sets put the free units.
func (r *resplitter) sides(a, b, p, q int32) {
	for h, set := range [2]int32{p, q} {
		for i, u := range r.half[h].units {
			if r.side[u] = b; set>>i&1 == 1 {
				r.side[u] = a
			}
		}
	}
}

// forbidden is beyond any cost.
const forbidden = int64(1) << 60

// judge looks at what squares do not tell: rules, cars (it gives what they cost more or less than now) and roles.
func (r *resplitter) judge(a, b, p, q int32, m metric) int64 {
	r.sides(a, b, p, q)
	for _, u := range r.free {
		for _, e := range r.units[u].enemies {
			if t := r.side[e]; t == r.side[u] || t == Unplaced && r.team[e] == r.side[u] {
				return forbidden
			}
		}
	}
	if r.olds > 0 && !(r.oldsFit(a) && r.oldsFit(b)) || r.need != nil && r.shortNow(a)+r.shortNow(b) > r.short[a]+r.short[b] {
		return forbidden
	}
	if len(r.wishes) == 0 {
		return 0
	}
	return m.car * r.carsMore(a, b)
}

// oldsFit tells whether a team keeps the limit of returning kids.
func (r *resplitter) oldsFit(t int32) bool {
	for o := range r.olds {
		n := r.old[int(t)*r.olds+o]
		for _, u := range r.free {
			n += r.oldOf(u, o) * r.step(u, t)
		}
		if int(n) > r.most {
			return false
		}
	}
	return true
}

// step is 1 for a free unit that would come to a team, -1 for one that would leave it, 0 for others.
func (r *resplitter) step(u, t int32) int32 {
	return int32(truth(r.side[u] == t)) - int32(truth(r.team[u] == t))
}

func (r *resplitter) shortNow(t int32) int32 {
	var worst int32
	for set, c := range r.coverOf(t) {
		for _, u := range r.free {
			c += r.plays[u][set] * r.step(u, t)
		}
		worst = max(worst, int32(r.model.need[set])-c)
	}
	return worst
}

// carsMore counts how many more cars there would be.
func (r *resplitter) carsMore(a, b int32) int64 {
	var more int64
	for _, w := range r.touched {
		for _, t := range [2]int32{a, b} {
			n := r.cars[int(w)*r.teams+int(t)]
			after := n
			for _, u := range r.wishes[w] {
				if r.side[u] != Unplaced {
					after += r.step(u, t)
				}
			}
			more += int64(truth(after > 0)) - int64(truth(n > 0))
		}
	}
	return more
}
