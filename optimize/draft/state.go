package draft

import "slices"

// state is a split of units on which moves are priced in constant time: pull[t*units+u] is the sum of gram[u][v] over the units v of
// team t, so that the sums of squares after any move follow from a few look-ups.
type state struct {
	*model
	team    []int32
	kids    []int32   // by team: how many
	on      [][]int32 // by team: its units, in any order
	at      []int32   // where a unit stands in on
	pull    []int64
	squares []int64 // by team: sum of gram over all pairs
	old     []int32 // by team and limited old team: kids
	cover   []int32 // by team and subset of roles: kids who play one of them
	short   []int32 // by team: role spots that cannot be filled
	cars    []int32 // by wish and team: units
	sums    []int64 // by column of ranges and team: sum of x
	movable []int32
	trial   exchange // of descend
}

func (m *model) newState(team []int32) *state {
	n := len(m.units)
	s := &state{model: m, team: slices.Clone(team), kids: make([]int32, m.teams), on: make([][]int32, m.teams), at: make([]int32, n),
		pull: make([]int64, m.teams*n), squares: make([]int64, m.teams), old: make([]int32, m.teams*m.olds),
		cars: make([]int32, len(m.wishes)*m.teams), sums: make([]int64, len(m.ranges)*m.teams)}
	if m.need != nil {
		s.cover, s.short = make([]int32, m.teams*len(m.need)), make([]int32, m.teams)
	}
	for u := range m.units {
		if !m.units[u].fixed() {
			s.movable = append(s.movable, int32(u))
		}
		if team[u] != Unplaced {
			s.enter(int32(u), team[u])
		}
	}
	s.refresh()
	return s
}

// refresh works out what moves do not keep up to date.
func (s *state) refresh() {
	for t := range s.squares {
		s.squares[t] = 0
		for _, u := range s.on[t] {
			s.squares[t] += s.pull[t*len(s.units)+int(u)]
		}
		if s.short != nil {
			s.short[t] = s.shortage(s.coverOf(int32(t)))
		}
	}
}

func (s *state) coverOf(t int32) []int32 {
	return s.cover[int(t)*len(s.need) : (int(t)+1)*len(s.need)]
}

// shortage is how many spots nobody fills: the worst subset of roles.
func (s *state) shortage(cover []int32) int32 {
	var worst int32
	for set, c := range cover {
		worst = max(worst, int32(s.need[set])-c)
	}
	return worst
}

// enter and leave move a unit in and out of a team, all but squares and short.
func (s *state) enter(u, t int32) {
	s.team[u] = t
	s.at[u] = int32(len(s.on[t]))
	s.on[t] = append(s.on[t], u)
	s.shift(u, t, 1)
}

func (s *state) leave(u, t int32) {
	last := s.on[t][len(s.on[t])-1]
	s.on[t][s.at[u]], s.at[last] = last, s.at[u]
	s.on[t] = s.on[t][:len(s.on[t])-1]
	s.team[u] = Unplaced
	s.shift(u, t, -1)
}

func (s *state) shift(u, t, sign int32) {
	un := &s.units[u]
	n := len(s.units)
	s.kids[t] += sign * int32(un.size())
	row, pull := s.gram[int(u)*n:(int(u)+1)*n], s.pull[int(t)*n:(int(t)+1)*n]
	if sign > 0 {
		for v, g := range row {
			pull[v] += g
		}
	} else {
		for v, g := range row {
			pull[v] -= g
		}
	}
	for o, c := range un.old {
		s.old[int(t)*s.olds+o] += sign * c
	}
	if s.need != nil {
		cover := s.coverOf(t)
		for set, c := range s.plays[u] {
			cover[set] += sign * c
		}
	}
	for _, w := range s.wishOf[u] {
		s.cars[int(w)*s.teams+int(t)] += sign
	}
	for i, j := range s.ranges {
		s.sums[i*s.teams+int(t)] += int64(sign) * s.xs[j][u]
	}
}

// value is what a split is worth: shortage first, then cost; both low.
type value struct {
	short int32
	cost  int64
}

func (v value) less(w value) bool {
	return v.short < w.short || v.short == w.short && v.cost < w.cost
}

// value works the whole split out anew.
func (s *state) value() value {
	var v value
	for t := range s.squares {
		v.cost += s.factor(s.kids[t]) * s.squares[t]
		if s.short != nil {
			v.short += s.short[t]
		}
	}
	for w := range s.wishes {
		cars := int64(-1)
		for t := range s.teams {
			if s.cars[w*s.teams+t] > 0 {
				cars++
			}
		}
		v.cost += cars * s.car
	}
	for i, j := range s.ranges {
		low, high := s.edges(i, -1, -1)
		v.cost += s.rate[j] * (high - low)
	}
	return v
}

// edges are the least and the greatest team mean (times lcm) of a column of ranges, two teams left out.
func (s *state) edges(i int, a, b int32) (low, high int64) {
	low, high = 1<<62, -1<<62
	for t := range int32(s.teams) {
		if t != a && t != b && s.kids[t] > 0 {
			mean := s.sums[i*s.teams+int(t)] * s.factor(s.kids[t])
			low, high = min(low, mean), max(high, mean)
		}
	}
	return low, high
}
