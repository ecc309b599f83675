package draft

import (
	"math"
	"slices"
)

// model is a layout with the objective in whole numbers.
//
// Cost of a split = sum over teams of factor(size) * sum over pairs u, v of the team's units (u = v too) of gram[u][v], which is
// lcm * scale * the sum of squares over sizes; plus cars too many * car. What a pool's sum contributes in any case is not taken off here.
type model struct {
	*layout
	p       *Pool
	cols    []column
	weight  []int64   // of the squares of each column
	xs      [][]int64 // by column: sum of x over each unit's kids
	lcm     int64     // of the team sizes
	factors []int64   // by size: lcm / size
	scale   float64   // cost of one unit of the objective: weight * variance, times lcm
	gram    []int64   // units * units
	coarse  bool      // costs are compared more coarsely than scores are given: no proof holds
	goal    Goal
	ranges  []int // columns whose range counts (goal Ranges); they are not in gram
	rate    []int64

	need   []int // by subset of roles: spots; nil: no demand can fail
	plays  [][]int32
	wishes [][]int32 // units of each carpool that has more than one
	wishOf [][]int32 // by unit
	car    int64
}

// room is the bits that costs may take.
const room = 58

func (p *Pool) newModel(goal Goal) *model {
	m := &model{layout: p.newLayout(nil), p: p, cols: p.columns(), goal: goal}
	m.lcm = int64(max(m.lo, 1))
	if m.larger > 0 {
		m.lcm *= int64(m.hi)
	}
	m.factors = make([]int64, len(p.Kids)+1)
	for n := range m.factors {
		m.factors[n] = m.lcm / int64(max(1, n))
	}
	weights := 0
	for _, c := range m.cols {
		weights += c.weight
	}
	cars := 0
	for _, w := range p.Carpools {
		cars += max(0, len(w)-1)
	}
	full := math.Ldexp(1, room) / float64(m.lcm) / float64(max(1, len(p.Kids)*weights+cars*p.Weights.Carpool))
	m.scale = full * 100 * float64(m.lcm)
	for j := range m.cols {
		c := &m.cols[j]
		for full*float64(c.weight)/c.variance < 64 {
			c.coarsen()
			m.coarse = true
		}
		m.weight = append(m.weight, int64(math.Round(full*float64(c.weight)/c.variance)))
		xs := make([]int64, len(m.units))
		for i, k := range m.kids {
			xs[m.unit[i]] += c.x[k]
		}
		m.xs = append(m.xs, xs)
	}
	m.car = int64(math.Round(m.scale / 100 * float64(p.Weights.Carpool)))
	if goal == Ranges {
		m.openRanges()
	}
	m.openGram()
	m.openRoles()
	m.openWishes()
	return m
}

// openRanges takes the measures out of the squares.
func (m *model) openRanges() {
	m.rate = make([]int64, len(m.cols))
	for j, c := range m.cols {
		if c.kind != PartMeasure {
			continue
		}
		m.ranges = append(m.ranges, j)
		m.rate[j] = int64(math.Round(m.scale / float64(m.lcm) * float64(c.weight) / 100 / math.Sqrt(c.variance)))
	}
}

func (m *model) openGram() {
	n := len(m.units)
	m.gram = make([]int64, n*n)
	for j := range m.cols {
		if slices.Contains(m.ranges, j) {
			continue
		}
		xs := m.xs[j]
		for u := range n {
			row, w := m.gram[u*n:(u+1)*n], m.weight[j]*xs[u]
			for v, x := range xs {
				row[v] += w * x
			}
		}
	}
}

// openRoles counts spots by subset of roles. Teams fill all spots at once exactly if, for every subset of roles, they have as many kids
// who play one of them as the subset has spots (Hall 1935); what is missing in the worst subset is the shortage (Ore 1955).
func (m *model) openRoles() {
	subsets := 1 << len(m.p.Roles)
	need := make([]int, subsets)
	for s := range subsets {
		for r, role := range m.p.Roles {
			need[s] += s >> r & 1 * role.Need
		}
	}
	choosy := need[subsets-1] > m.lo
	plays := make([][]int32, len(m.units))
	for u := range plays {
		plays[u] = make([]int32, subsets)
		for _, i := range m.units[u].kids {
			mask := m.p.rolesOf(m.kids[i])
			choosy = choosy || mask != subsets-1
			for s := range subsets {
				if s&mask != 0 {
					plays[u][s]++
				}
			}
		}
	}
	if choosy {
		m.need, m.plays = need, plays
	}
}

// rolesOf are the roles that a kid plays, as bits.
func (p *Pool) rolesOf(k int) int {
	mask := 0
	for r := range p.Roles {
		if p.Kids[k].Plays == nil || p.Kids[k].Plays[r] {
			mask |= 1 << r
		}
	}
	return mask
}

func (m *model) openWishes() {
	m.wishOf = make([][]int32, len(m.units))
	if m.car == 0 {
		return
	}
	number := make([]int32, len(m.kids))
	for i, k := range m.kids {
		number[k] = m.unit[i]
	}
	for _, w := range m.p.Carpools {
		var units []int32
		for _, k := range w {
			units = append(units, number[k])
		}
		slices.Sort(units)
		units = slices.Compact(units)
		if len(units) < 2 {
			continue
		}
		for _, u := range units {
			m.wishOf[u] = append(m.wishOf[u], int32(len(m.wishes)))
		}
		m.wishes = append(m.wishes, units)
	}
}

// factor is lcm / size. Teams are of size lo or hi in whole splits; others only appear on the way.
func (m *model) factor(size int32) int64 { return m.factors[size] }
