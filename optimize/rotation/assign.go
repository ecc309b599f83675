package rotation

import "slices"

// orderCells puts cells into the order of a plan: by role, then kid.
func orderCells(cells []Cell) {
	slices.SortFunc(cells, func(a, b Cell) int {
		if a.Role != b.Role {
			return a.Role - b.Role
		}
		return a.Kid - b.Kid
	})
}

// bonusUnit makes any sum of bonuses smaller than one unit of value.
const bonusUnit = 1 << 16

// assignWork bounds the steps of one assignment that is only for the sake of fewer role changes. No series within the reach of the
// exact method needs as many.
const assignWork = 1 << 20

// assignable tells whether so many kids of series s are assigned their roles within a moment.
func (p *Problem) assignable(s, kids int) bool {
	work := kids * len(p.Roles)
	for _, n := range p.count(s) {
		if work *= n + 1; work > assignWork {
			return false
		}
	}
	return true
}

// assign gives the kids the roles of series s at the greatest value; among equal values at the
// greatest sum of bonus[kid][role] (nil: none), then the first in kid and role order. It needs a legal assignment to exist.
func (p *Problem) assign(s int, kids []int, bonus [][]int64) []Cell {
	return p.assignKeeping(s, kids, bonus, nil, 0)
}

// assignKeeping is assign with exactly so many kids in another role than keep (by kid, -1: none); keep nil: any.
func (p *Problem) assignKeeping(s int, kids []int, bonus [][]int64, keep []int8, changes int) []Cell {
	sh := &p.Shapes[p.Series[s]]
	count := p.count(s)
	stride, states := make([]int, len(count)), 1
	for r, n := range count {
		stride[r] = states
		states *= n + 1
	}
	// best[i][c*states+st]: the first i kids, c changes, roles filled as st says.
	const none = int64(-1) << 60
	size := states * (changes + 1)
	best, from := make([][]int64, len(kids)+1), make([][]int8, len(kids)+1)
	for i := range best {
		best[i], from[i] = make([]int64, size), make([]int8, size)
		for j := range best[i] {
			best[i][j] = none
		}
	}
	up := func(k, r int) int {
		if keep != nil && keep[k] != int8(r) {
			return stride[r] + states
		}
		return stride[r]
	}
	best[0][0] = 0
	for i, k := range kids {
		for r, n := range count {
			if n == 0 || !p.allowed(k, s, r) {
				continue
			}
			gain := int64(sh.Value[k][r]) * bonusUnit
			if bonus != nil {
				gain += bonus[k][r]
			}
			for st, x := range best[i] {
				to := st + up(k, r)
				if x == none || st%states/stride[r]%(n+1) == n || to >= size {
					continue
				}
				if x+gain > best[i+1][to] {
					best[i+1][to], from[i+1][to] = x+gain, int8(r)
				}
			}
		}
	}
	cells := make([]Cell, len(kids))
	st := size - 1
	for i := len(kids) - 1; i >= 0; i-- {
		r := int(from[i+1][st])
		cells[i] = Cell{kids[i], r}
		st -= up(kids[i], r)
	}
	return cells
}
