package rotation

import "fmt"

// automaton accepts the legal games of one kid: layer s holds the states before series s;
// action 0 is the bench, action a+1 is to be on with action a. Layers are minimal: two states
// of a layer never accept the same set of rests of the game. That keeps memo keys short
// and makes equal situations meet.
type automaton struct {
	next  [][]int16 // next[s][state*(actions+1)+action]: state of layer s+1, or -1
	count []int     // states by layer; layer 0 and the last layer have one
}

// kidState is what the rules remember of a kid's game so far.
type kidState struct {
	on, off int8   // series in a row on the field, and on the bench while present
	count   int8   // series on the field
	recent  uint32 // on the field in the last series, bit 0 the latest (rigid windows only)
	roles   uint64 // coupled: series in each role, 4 bits a role, as far as the rules count them
}

// kidRules is everything that shapes a kid's automaton.
type kidRules struct {
	p           *Problem
	m           *model
	lo, hi      int
	maxOn       int
	maxOff      int
	first, last int
	away        []Window
	actions     int
	coupled     bool
	can         [][]bool // [series][action]
	must        []bool
	rigid       []uint32 // by series: earlier series (bit 0: the one before) that exclude this one
	minRoles    int
	different   int
	before      uint64 // roles played before this game, 4 bits a role
	cap         int
}

func (r *kidRules) key() string {
	return fmt.Sprint(r.lo, r.hi, r.maxOn, r.maxOff, r.first, r.last, r.away, r.can, r.must, r.rigid, r.minRoles, r.different, r.before, r.cap)
}

// buildAutomata makes one automaton for each kind of kid; false: too many states.
func (m *model) buildAutomata() bool {
	seen := map[string]int{}
	rigid := m.p.rigidPairs()
	m.auto = make([]*automaton, m.kids)
	m.kidType = make([]int, m.kids)
	for k := range m.auto {
		r := m.newKidRules(k, rigid)
		key := r.key()
		t, dup := seen[key]
		if !dup {
			t = k
			seen[key] = k
			a, ok := r.build()
			if !ok {
				return false
			}
			m.auto[k] = a
		}
		m.kidType[k] = t
		m.auto[k] = m.auto[t]
	}
	return true
}

func (m *model) newKidRules(k int, rigid [][]uint32) *kidRules {
	p, kid := m.p, m.p.Kids[k]
	played, _ := p.playedCount(k)
	r := &kidRules{p: p, m: m, lo: max(kid.Lo, kid.Least, 0), hi: max(min(kid.Hi, m.series), played), maxOn: p.maxOn(k), maxOff: p.maxOff(k), first: kid.First, last: kid.Last, away: kid.Away,
		actions: m.actions, coupled: m.coupled, rigid: rigid[k]}
	if m.coupled {
		r.minRoles, r.different = p.MinRoles, kid.Different
		for role, played := range kid.Before {
			if played && r.different > 0 {
				r.before |= 1 << (4 * role)
			}
		}
		if kid.Cap > 0 && kid.Cap < r.hi {
			r.cap = kid.Cap
		}
	}
	r.can = make([][]bool, m.series)
	r.must = make([]bool, m.series)
	for s := range r.can {
		r.can[s] = make([]bool, m.actions)
		for role := range p.Roles {
			if p.count(s)[role] == 0 || !p.allowed(k, s, role) {
				continue
			}
			if m.coupled {
				r.can[s][role] = true
			} else {
				r.can[s][0] = true
			}
		}
		r.must[s] = p.mustPlay(k, s)
	}
	return r
}

// rigidPairs finds the series that exclude each other for a kid because of the bench rule. In
// a window of MaxOff+1 series every kid who is there throughout, and may not be off for longer, plays at least once. When the
// spots of the window are just as many as these kids, each plays exactly once there, and any other kid not at all (bit 31).
func (p *Problem) rigidPairs() [][]uint32 {
	out := make([][]uint32, len(p.Kids))
	for k := range out {
		out[k] = make([]uint32, len(p.Series))
	}
	spots, size := p.spots(), p.MaxOff+1
	if p.MaxOff == 0 || size > 16 {
		return out
	}
	for a := 0; a+size <= len(p.Series); a++ {
		if p.over(a) {
			continue // what is over may have broken the rule
		}
		sum, through := 0, 0
		for s := a; s < a+size; s++ {
			sum += spots[s]
		}
		plays := func(k int) bool { return p.Kids[k].throughout(a, a+size-1) && p.Kids[k].MaxOff <= p.MaxOff }
		for k := range p.Kids {
			if plays(k) {
				through++
			}
		}
		if sum != through {
			continue
		}
		for k := range p.Kids {
			through := plays(k)
			for s := a; s < a+size; s++ {
				if through {
					out[k][s] |= 1<<(s-a) - 1
				} else {
					out[k][s] |= 1 << 31
				}
			}
		}
	}
	return out
}

// step is the state after series s with the given action; false: against the rules.
func (r *kidRules) step(st kidState, s, action int) (kidState, bool) {
	p := r.p
	over := p.over(s)
	if !there(r.first, r.last, r.away, s) && !(over && action > 0) {
		if s >= r.first && s <= r.last { // away for a while: runs start afresh
			st.on, st.off, st.recent = 0, 0, 0
		}
		return st, action == 0
	}
	if action == 0 {
		if r.must[s] {
			return st, false
		}
		st.on = 0
		st.recent <<= 1
		if r.maxOff > 0 {
			if int(st.off) == r.maxOff {
				return st, over
			}
			st.off++
		}
		return st, true
	}
	if !r.can[s][action-1] || !over && (st.recent&r.rigid[s] != 0 || r.rigid[s]>>31 == 1) {
		return st, false
	}
	st.off = 0
	st.recent = st.recent<<1 | 1
	if r.maxOn > 0 {
		if int(st.on) == r.maxOn {
			if !over {
				return st, false
			}
		} else {
			st.on++
		}
	}
	if st.count++; int(st.count) > r.hi {
		return st, false
	}
	if r.coupled {
		shift := 4 * (action - 1)
		n := int(st.roles >> shift & 15)
		switch {
		case r.cap > 0 && n >= r.cap && !over:
			return st, false
		case n == 15:
		case r.cap > 0 || n == 0:
			st.roles += 1 << shift
		}
	}
	return st, true
}

func (r *kidRules) accepts(st kidState) bool {
	if int(st.count) < r.lo || int(st.count) > r.hi {
		return false
	}
	return st.count == 0 || (r.minRoles <= 1 || differentRoles(st.roles) >= r.minRoles) &&
		(r.different == 0 || differentRoles(st.roles|r.before) >= r.different)
}

// differentRoles counts the roles with a number above 0, 4 bits a role.
func differentRoles(roles uint64) int {
	n := 0
	for ; roles != 0; roles >>= 4 {
		if roles&15 != 0 {
			n++
		}
	}
	return n
}

// build reaches forward through the layers, then merges backward.
func (r *kidRules) build() (*automaton, bool) {
	if r.cap >= 15 {
		return nil, false // roles are counted in 4 bits
	}
	n := len(r.can)
	window := uint32(0)
	for _, x := range r.rigid {
		window |= x & (1<<31 - 1)
	}
	layers := [][]kidState{{{}}}
	raw := make([][]int32, n)
	width := r.actions + 1
	for s := 0; s < n; s++ {
		index := map[kidState]int32{}
		var layer []kidState
		raw[s] = make([]int32, len(layers[s])*width)
		for i, st := range layers[s] {
			if !r.m.spend(16 * width) { // looking a state up takes the time of so many steps, about
				return nil, false
			}
			for a := 0; a < width; a++ {
				to, ok := r.step(st, s, a)
				if !ok {
					raw[s][i*width+a] = -1
					continue
				}
				to.recent &= window
				id, seen := index[to]
				if !seen {
					id = int32(len(layer))
					index[to] = id
					layer = append(layer, to)
				}
				raw[s][i*width+a] = id
			}
		}
		if len(layer) > exactStates {
			return nil, false
		}
		layers = append(layers, layer)
	}
	return r.merge(layers, raw), true
}

// merge gives the minimal layered automaton; it has no layers at all when nothing is accepted.
func (r *kidRules) merge(layers [][]kidState, raw [][]int32) *automaton {
	n, width := len(raw), r.actions+1
	a := &automaton{next: make([][]int16, n), count: make([]int, n+1)}
	class := make([]int16, len(layers[n]))
	for i, st := range layers[n] {
		class[i] = -1
		if r.accepts(st) {
			class[i] = 0
			a.count[n] = 1
		}
	}
	row := make([]int16, width)
	for s := n - 1; s >= 0; s-- {
		index := map[string]int16{}
		here := make([]int16, len(layers[s]))
		key := make([]byte, 2*width)
		for i := range layers[s] {
			alive := false
			for x := range row {
				row[x] = -1
				if to := raw[s][i*width+x]; to >= 0 && class[to] >= 0 {
					row[x], alive = class[to], true
				}
				key[2*x], key[2*x+1] = byte(row[x]), byte(row[x]>>8)
			}
			here[i] = -1
			if !alive {
				continue
			}
			id, seen := index[string(key)]
			if !seen {
				id = int16(a.count[s])
				index[string(key)] = id
				a.count[s]++
				a.next[s] = append(a.next[s], row...)
			}
			here[i] = id
		}
		class = here
	}
	if a.count[0] == 0 {
		return &automaton{}
	}
	return a
}
