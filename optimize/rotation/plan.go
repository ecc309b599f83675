package rotation

import (
	"math/bits"
	"slices"
)

// Strengths is the value of each series of a plan, in the problem's unit.
func (p *Problem) Strengths(plan Plan) []int64 {
	out := make([]int64, len(plan))
	for s, cells := range plan {
		for _, c := range cells {
			out[s] += int64(p.Shapes[p.Series[s]].Value[c.Kid][c.Role])
		}
	}
	return out
}

// ended tells whether every series is over.
func (p *Problem) ended() bool {
	for s := range p.Series {
		if !p.over(s) {
			return false
		}
	}
	return true
}

// ahead keeps the strengths of the series still to plan.
func (p *Problem) ahead(levels []int64) []int64 {
	var out []int64
	for s, x := range levels {
		if !p.over(s) {
			out = append(out, x)
		}
	}
	return out
}

// weakestSeries is the first series still to plan of the given strength, -1: none.
func (p *Problem) weakestSeries(strength []int64, w int64) int {
	for s, x := range strength {
		if x == w && !p.over(s) {
			return s
		}
	}
	return -1
}

// behind is the strength of the series that are over, summed.
func (p *Problem) behind() int64 {
	sum := int64(0)
	if p.Played != nil {
		for _, x := range p.Strengths(p.Played) {
			sum += x
		}
	}
	return sum
}

// cells gives every kid of a plan a role: the column's own when coupled, else a best assignment.
func (m *model) cells(plan []chosen) Plan {
	out := make(Plan, len(plan))
	for s, c := range plan {
		if m.coupled {
			for k := 0; k < m.kids; k++ {
				if r := int(c.code >> (4 * k) & 15); r > 0 {
					out[s] = append(out[s], Cell{k, r - 1})
				}
			}
		} else {
			var kids []int
			for x := c.mask; x != 0; x &= x - 1 {
				kids = append(kids, bits.TrailingZeros32(x))
			}
			if m.keep != nil && !m.p.over(s) {
				out[s] = m.p.assignKeeping(s, kids, nil, m.keep[s], int(c.turn))
			} else {
				out[s] = m.p.assign(s, kids, nil)
			}
		}
		orderCells(out[s])
	}
	return out
}

// steady reassigns roles inside each series, at the same strength, so that kids change roles as
// little as one pass from the first series on can make them; series with too many ways are left alone. Plans with rules on a kid's roles stay as they are.
func (p *Problem) steady(plan Plan) Plan {
	if p.linksRoles() {
		return plan
	}
	last := make([]int, len(p.Kids))
	for k := range last {
		last[k] = -1
	}
	out := make(Plan, len(plan))
	bonus := make([][]int64, len(p.Kids))
	for s, cells := range plan {
		out[s] = cells
		if !p.over(s) && p.assignable(s, len(cells)) {
			kids := make([]int, len(cells))
			for i, c := range cells {
				kids[i] = c.Kid
				bonus[c.Kid] = make([]int64, len(p.Roles))
				if last[c.Kid] >= 0 {
					bonus[c.Kid][last[c.Kid]] = 1
				}
			}
			slices.Sort(kids)
			out[s] = p.assign(s, kids, bonus)
			orderCells(out[s])
		}
		for _, c := range out[s] {
			last[c.Kid] = c.Role
		}
	}
	return out
}
