package draft

import (
	"math"
	"slices"
)

// Certified lower bounds, column by column; they add up, for every column's cost is at least its own bound. Mean teams always
// exist on paper, so that bounds from fractions are 0. Two things keep teams apart for certain:
//
//   - the grid: in a column of two values (how many kids of a kind) teams can only differ in whole kids, and in any
//     column equal teams can only be equal if the sum can be divided;
//   - settled kids: a team whose settled kids with the best others who can join them cannot reach the pool's mean.

// columnBound is a lower bound on the cost of a column, in the model's costs, what the pool's own mean contributes included.
func (m *model) columnBound(j int) int64 {
	lows, highs := m.reach(j)
	b := max(m.settledBound(j, lows, highs), m.gridBound(j))
	if low, high, ok := m.twoValues(j); ok {
		b = max(b, m.countBound(j, low, high, lows, highs))
	}
	return b
}

// reach gives by team and size (lo, hi) the least and greatest sum of a column that the team can have: its settled units and the best of the kids who can
// join, families torn apart if that helps.
func (m *model) reach(j int) (lows, highs [][2]int64) {
	for t := range m.teams {
		var sum int64
		kids := 0
		var others []int64
		for u := range m.units {
			un := &m.units[u]
			switch {
			case un.teams == 1<<t:
				sum += m.xs[j][u]
				kids += un.size()
			case un.teams>>t&1 == 1:
				for _, i := range un.kids {
					others = append(others, m.cols[j].x[m.layout.kids[i]])
				}
			}
		}
		slices.Sort(others)
		var low, high [2]int64
		for s, size := range [2]int{m.lo, m.hi} {
			low[s], high[s] = sum, sum
			for i := range min(max(0, size-kids), len(others)) {
				low[s] += others[i]
				high[s] += others[len(others)-1-i]
			}
		}
		lows, highs = append(lows, low), append(highs, high)
	}
	return lows, highs
}

// settledBound adds up the squares of what every team must at least have above or below 0.
func (m *model) settledBound(j int, lows, highs [][2]int64) int64 {
	var b int64
	for t := range lows {
		least := int64(math.MaxInt64)
		for s, size := range [2]int{m.lo, m.hi} {
			d := max(0, lows[t][s], -highs[t][s])
			least = min(least, m.factor(int32(size))*m.weight[j]*d*d)
		}
		b += least
	}
	return b
}

// gridBound is the least sum of squares of whole sums over teams. With teams of one size their sums are all alike modulo the step.
func (m *model) gridBound(j int) int64 {
	c := &m.cols[j]
	n := int64(len(c.x))
	if m.larger > 0 { // the continuous bound, rounded down
		return int64(float64(m.weight[j]) * float64(m.lcm) / float64(n) * float64(c.sum*c.sum) * (1 - 1e-12))
	}
	var step int64
	for _, x := range c.x {
		step = gcd(step, abs(x-c.x[0]))
	}
	if step == 0 {
		return 0
	}
	// Team sums are lo*x0 + step*count with counts that add up to total; counts as equal as can be are best.
	total := (c.sum - n*c.x[0]) / step
	each, more := floorDiv(total, int64(m.teams))
	square := func(count int64) int64 {
		s := int64(m.lo)*c.x[0] + step*count
		return s * s
	}
	return m.factor(int32(m.lo)) * m.weight[j] * (more*square(each+1) + (int64(m.teams)-more)*square(each))
}

func abs(x int64) int64 { return max(x, -x) }

// floorDiv divides with a remainder that is not negative.
func floorDiv(a, b int64) (q, rest int64) {
	q, rest = a/b, a%b
	if rest < 0 {
		q, rest = q-1, rest+b
	}
	return q, rest
}

// twoValues tells whether a column has but two values.
func (m *model) twoValues(j int) (low, high int64, ok bool) {
	x := m.cols[j].x
	low, high = slices.Min(x), slices.Max(x)
	for _, v := range x {
		if v != low && v != high {
			return 0, 0, false
		}
	}
	return low, high, low < high
}

// countBound gives the kids of the higher value to teams in the best way, each team within its reach: a table over teams, kids given out and larger
// teams made.
func (m *model) countBound(j int, low, high int64, lows, highs [][2]int64) int64 {
	total := 0
	for _, x := range m.cols[j].x {
		total += int(truth(x == high))
	}
	const never = int64(math.MaxInt64)
	width := m.larger + 1
	least := slices.Repeat([]int64{never}, (total+1)*width)
	least[0] = 0
	for t := range m.teams {
		next := slices.Repeat([]int64{never}, len(least))
		for s, size := range [2]int{m.lo, m.hi} {
			if s == 1 && m.larger == 0 {
				break
			}
			for count := range size + 1 {
				sum := int64(size)*low + int64(count)*(high-low)
				if sum < lows[t][s] || sum > highs[t][s] {
					continue
				}
				cost := m.factor(int32(size)) * m.weight[j] * sum * sum
				for given := 0; given+count <= total; given++ {
					for l := 0; l+s <= m.larger; l++ {
						if was := least[given*width+l]; was != never {
							to := &next[(given+count)*width+l+s]
							*to = min(*to, was+cost)
						}
					}
				}
			}
		}
		least = next
	}
	if b := least[total*width+m.larger]; b != never {
		return b
	}
	return 0
}

// bounds gives by column a certified bound in the model's costs, and their sum.
func (m *model) bounds() (byColumn []int64, sum int64) {
	for j := range m.cols {
		b := int64(0)
		if !slices.Contains(m.ranges, j) {
			b = m.columnBound(j)
		}
		byColumn = append(byColumn, b)
		sum += b
	}
	return byColumn, sum
}
