package draft

import "slices"

// halfUnits is how many units each half of a resplit may have: 2^halfUnits sets of each half are formed.
const halfUnits = 9

// half is one half of the free units.
type half struct {
	units []int32
	sums  []int64   // by set and column
	sets  [][]int32 // by number of kids: sets in ascending order of their sum in the first column
}

// open forms all sets of the half's units.
func (h *half) open(s *state, cols []int, scale int64) {
	n, w := len(h.units), len(cols)
	h.sums = slices.Grow(h.sums[:0], w<<n)[:w<<n]
	clear(h.sums[:w])
	total := 0
	for i, u := range h.units {
		total += s.units[u].size()
		for set := range 1 << i {
			to := set | 1<<i
			for c, j := range cols {
				h.sums[to*w+c] = h.sums[set*w+c] + scale*s.xs[j][u]
			}
		}
	}
	h.order(s, w, total)
}

// order sorts the sets of every size by the first column. Adding one unit merges two sorted lists: the sets without and with it.
func (h *half) order(s *state, w, total int) {
	h.sets = slices.Grow(h.sets[:0], total+1)[:total+1]
	for i := range h.sets {
		h.sets[i] = h.sets[i][:0]
	}
	h.sets[0] = append(h.sets[0], 0)
	var merged []int32
	for i, u := range h.units {
		size := s.units[u].size()
		for n := total; n >= size; n-- {
			without, with := h.sets[n], h.sets[n-size]
			merged = merged[:0]
			for len(without) > 0 || len(with) > 0 {
				if len(with) == 0 || len(without) > 0 && h.sums[int(without[0])*w] <= h.sums[int(with[0]|1<<i)*w] {
					merged, without = append(merged, without[0]), without[1:]
				} else {
					merged, with = append(merged, with[0]|1<<i), with[1:]
				}
			}
			h.sets[n] = append(h.sets[n][:0], merged...)
		}
	}
}
