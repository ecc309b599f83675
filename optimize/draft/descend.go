package draft

// descendWork bounds what one descent tries, far above what pools of usual size need: moves, where roles matter times a share of their subsets. It may end
// within a round; what was found stays.
const descendWork = 40_000_000

// descend makes the best of all moves again and again until none is left that helps: one for one, one alone where sizes allow,
// and, with deep, two for one and two for two. Ties go to the move that is tried first.
func (s *state) descend(deep bool, stop func() bool) {
	left := descendWork / (1 + len(s.need)/8)
	for left > 0 && !stop() {
		best, x := value{}, exchange{}
		y := &s.trial
		try := func() {
			if left--; left&0xffff == 0 && stop() {
				left = 0
			}
			if s.simple() && s.squaresDelta(y) >= best.cost || !s.legal(y) {
				return
			}
			if v := s.delta(y); v.less(best) {
				best, x = v, *y
			}
		}
		s.eachSmall(try)
		if best == (value{}) && deep {
			s.eachPair(try, func() bool { return best != value{} }, func() bool { return left <= 0 })
		}
		if best == (value{}) {
			return
		}
		s.apply(&x)
	}
}

// eachSmall gives every shift of one unit and every exchange of one for one.
func (s *state) eachSmall(try func()) {
	for i, u := range s.movable {
		for t := range int32(s.teams) {
			if t != s.team[u] && s.larger > 0 {
				s.trial = exchange{a: s.team[u], b: t, out: [2]int32{u}, nOut: 1}
				try()
			}
		}
		for _, v := range s.movable[i+1:] {
			if s.team[v] != s.team[u] {
				s.trial = exchange{a: s.team[u], b: s.team[v], out: [2]int32{u}, in: [2]int32{v}, nOut: 1, nI: 1}
				try()
			}
		}
	}
}

// eachPair gives every exchange of two for one and two for two, team pair by team pair, until one was found that helps, or the effort is spent.
func (s *state) eachPair(try func(), enough, spent func() bool) {
	pairs, singles := make([][][2]int32, s.teams), make([][]int32, s.teams)
	for i, u := range s.movable {
		singles[s.team[u]] = append(singles[s.team[u]], u)
		for _, v := range s.movable[i+1:] {
			if s.team[u] == s.team[v] {
				pairs[s.team[u]] = append(pairs[s.team[u]], [2]int32{u, v})
			}
		}
	}
	for a := range int32(s.teams) {
		for b := range int32(s.teams) {
			if a == b {
				continue
			}
			for _, out := range pairs[a] {
				if spent() {
					return
				}
				for _, v := range singles[b] {
					s.trial = exchange{a: a, b: b, out: out, in: [2]int32{v}, nOut: 2, nI: 1}
					try()
				}
				if b < a {
					continue
				}
				for _, in := range pairs[b] {
					s.trial = exchange{a: a, b: b, out: out, in: in, nOut: 2, nI: 2}
					try()
				}
			}
			if enough() {
				return
			}
		}
	}
}
