package draft

import "slices"

// exchange is the units out leaving team a for b, and in coming the other way.
type exchange struct {
	a, b     int32
	out, in  [2]int32
	nOut, nI int
}

func (x *exchange) outs() []int32 { return x.out[:x.nOut] }

func (x *exchange) ins() []int32 { return x.in[:x.nI] }

// gain is how many kids team a has more after the exchange.
func (s *state) gain(x *exchange) int32 {
	var d int32
	for _, u := range x.ins() {
		d += int32(s.units[u].size())
	}
	for _, u := range x.outs() {
		d -= int32(s.units[u].size())
	}
	return d
}

// legal tells whether the exchange keeps every rule that the split keeps.
func (s *state) legal(x *exchange) bool {
	if d := s.gain(x); d != 0 {
		na, nb := int(s.kids[x.a]+d), int(s.kids[x.b]-d)
		if na < s.lo || na > s.hi || nb < s.lo || nb > s.hi {
			return false
		}
	}
	for _, u := range x.outs() {
		if !s.welcome(u, x.b, x.ins()) {
			return false
		}
	}
	for _, u := range x.ins() {
		if !s.welcome(u, x.a, x.outs()) {
			return false
		}
	}
	return s.olds == 0 || s.oldsKept(x.b, x.outs(), x.ins()) && s.oldsKept(x.a, x.ins(), x.outs())
}

// welcome tells whether a unit can go to a team that others leave.
func (s *state) welcome(u, t int32, leaving []int32) bool {
	un := &s.units[u]
	if un.teams>>t&1 == 0 {
		return false
	}
	for _, e := range un.enemies {
		if s.team[e] == t && !slices.Contains(leaving, e) {
			return false
		}
	}
	return true
}

func (s *state) oldsKept(t int32, come, go_ []int32) bool {
	for _, u := range come {
		for o, c := range s.units[u].old {
			if c == 0 {
				continue
			}
			count := s.old[int(t)*s.olds+o]
			for _, v := range come {
				count += s.oldOf(v, o)
			}
			for _, v := range go_ {
				count -= s.oldOf(v, o)
			}
			if int(count) > s.most {
				return false
			}
		}
	}
	return true
}

func (s *state) oldOf(u int32, o int) int32 {
	if old := s.units[u].old; o < len(old) {
		return old[o]
	}
	return 0
}

// squaresAfter are the sums of both teams after the exchange.
func (s *state) squaresAfter(x *exchange) (a, b int64) {
	n := len(s.units)
	a, b = s.squares[x.a], s.squares[x.b]
	pa, pb := s.pull[int(x.a)*n:], s.pull[int(x.b)*n:]
	for i, u := range x.outs() {
		row := s.gram[int(u)*n:]
		self := row[u]
		a += self - 2*pa[u]
		b += self + 2*pb[u]
		for _, v := range x.out[:i] {
			a += 2 * row[v]
			b += 2 * row[v]
		}
		for _, v := range x.ins() {
			a -= 2 * row[v]
			b -= 2 * row[v]
		}
	}
	for i, u := range x.ins() {
		row := s.gram[int(u)*n:]
		self := row[u]
		a += self + 2*pa[u]
		b += self - 2*pb[u]
		for _, v := range x.in[:i] {
			a += 2 * row[v]
			b += 2 * row[v]
		}
	}
	return a, b
}

// squaresDelta is the change of cost in squares alone.
func (s *state) squaresDelta(x *exchange) int64 {
	a, b := s.squaresAfter(x)
	d := s.gain(x)
	na, nb := s.kids[x.a], s.kids[x.b]
	if d == 0 && na == nb {
		return s.factor(na) * (a - s.squares[x.a] + b - s.squares[x.b])
	}
	return s.factor(na+d)*a - s.factor(na)*s.squares[x.a] + s.factor(nb-d)*b - s.factor(nb)*s.squares[x.b]
}

// simple tells that squares are all there is.
func (s *state) simple() bool { return s.need == nil && len(s.wishes) == 0 && len(s.ranges) == 0 }

// delta is the whole change of value.
func (s *state) delta(x *exchange) value {
	v := value{cost: s.squaresDelta(x)}
	if s.simple() {
		return v
	}
	if s.need != nil {
		v.short = s.shortAfter(x.a, x.ins(), x.outs()) - s.short[x.a] + s.shortAfter(x.b, x.outs(), x.ins()) - s.short[x.b]
	}
	if len(s.wishes) > 0 {
		v.cost += s.carsDelta(x) * s.car
	}
	for i, j := range s.ranges {
		v.cost += s.rate[j] * s.rangeDelta(x, i, j)
	}
	return v
}

func (s *state) shortAfter(t int32, come, leaving []int32) int32 {
	var worst int32
	cover := s.coverOf(t)
	for set := range cover {
		c := cover[set]
		for _, u := range come {
			c += s.plays[u][set]
		}
		for _, u := range leaving {
			c -= s.plays[u][set]
		}
		worst = max(worst, int32(s.need[set])-c)
	}
	return worst
}

// carsDelta counts the cars that come and go. A wish that several of the units share is worked out at the first of them.
func (s *state) carsDelta(x *exchange) int64 {
	var d int64
	var done []int32
	for _, us := range [2][]int32{x.outs(), x.ins()} {
		for _, u := range us {
			for _, w := range s.wishOf[u] {
				if slices.Contains(done, w) {
					continue
				}
				done = append(done, w)
				var toB int32 // units of the wish that go from a to b, net
				for _, v := range x.outs() {
					toB += int32(truth(slices.Contains(s.wishOf[v], w)))
				}
				for _, v := range x.ins() {
					toB -= int32(truth(slices.Contains(s.wishOf[v], w)))
				}
				a, b := s.cars[int(w)*s.teams+int(x.a)], s.cars[int(w)*s.teams+int(x.b)]
				d += int64(truth(a-toB > 0)) - int64(truth(a > 0)) + int64(truth(b+toB > 0)) - int64(truth(b > 0))
			}
		}
	}
	return d
}

func (s *state) rangeDelta(x *exchange, i, j int) int64 {
	low, high := s.edges(i, x.a, x.b)
	a, b := s.sums[i*s.teams+int(x.a)], s.sums[i*s.teams+int(x.b)]
	fa, fb := s.factor(s.kids[x.a]), s.factor(s.kids[x.b])
	before := max(high, a*fa, b*fb) - min(low, a*fa, b*fb)
	for _, u := range x.outs() {
		a, b = a-s.xs[j][u], b+s.xs[j][u]
	}
	for _, u := range x.ins() {
		a, b = a+s.xs[j][u], b-s.xs[j][u]
	}
	d := s.gain(x)
	fa, fb = s.factor(s.kids[x.a]+d), s.factor(s.kids[x.b]-d)
	return max(high, a*fa, b*fb) - min(low, a*fa, b*fb) - before
}

// apply carries the exchange out.
func (s *state) apply(x *exchange) {
	s.squares[x.a], s.squares[x.b] = s.squaresAfter(x)
	for _, u := range x.outs() {
		s.leave(u, x.a)
	}
	for _, u := range x.ins() {
		s.leave(u, x.b)
		s.enter(u, x.a)
	}
	for _, u := range x.outs() {
		s.enter(u, x.b)
	}
	if s.short != nil {
		s.short[x.a], s.short[x.b] = s.shortage(s.coverOf(x.a)), s.shortage(s.coverOf(x.b))
	}
}
