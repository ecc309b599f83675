package rotation

import "sort"

func orderCells(cells []Cell) {
	sort.Slice(cells, func(i, j int) bool {
		if cells[i].Role != cells[j].Role {
			return cells[i].Role < cells[j].Role
		}
		return cells[i].Kid < cells[j].Kid
	})
}

// assign gives the kids the roles of series s at the greatest value; among equal values the
// greatest sum of bonus[kid][role] (nil: none), then the first in kid and role order. It needs a legal assignment to exist.
func (p *Problem) assign(s int, kids []int, bonus [][]int64) []Cell {
	sh := &p.Shapes[p.Series[s]]
	stride, states := make([]int, len(sh.Count)), 1
	for r, n := range sh.Count {
		stride[r] = states
		states *= n + 1
	}
	const unit = 1 << 16
	const none = int64(-1) << 60
	best := make([][]int64, len(kids)+1)
	from := make([][]int8, len(kids)+1)
	for i := range best {
		best[i], from[i] = make([]int64, states), make([]int8, states)
		for j := range best[i] {
			best[i][j] = none
		}
	}
	best[0][0] = 0
	for i, k := range kids {
		for r, n := range sh.Count {
			if n == 0 || !p.allowed(k, s, r) {
				continue
			}
			gain := int64(sh.Value[k][r]) * unit
			if bonus != nil {
				gain += bonus[k][r]
			}
			for st, x := range best[i] {
				if x == none || st/stride[r]%(n+1) == n {
					continue
				}
				if to := st + stride[r]; x+gain > best[i+1][to] {
					best[i+1][to], from[i+1][to] = x+gain, int8(r)
				}
			}
		}
	}
	cells := make([]Cell, len(kids))
	st := states - 1
	for i := len(kids) - 1; i >= 0; i-- {
		r := int(from[i+1][st])
		cells[i] = Cell{kids[i], r}
		st -= stride[r]
	}
	return cells
}
