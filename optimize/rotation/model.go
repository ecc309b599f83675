package rotation

import (
	"fmt"
	"slices"
	"sort"
)

// Reach of the exact method: beyond it Solve still plans, with a bound and a gap.
const (
	exactKids    = 16          // kids that fit a lineup mask with a value table
	exactSeries  = 30          // series; keys.go says what has room for them
	exactSpots   = 12          // spots of a series
	exactColumns = 120_000     // lineups (or lineups with roles) of one series
	exactStates  = 16_000      // states of one kid's automaton in one layer, before like ones are merged
	exactWork    = 500_000_000 // steps of listing lineups and building automata, all in all; below a second
)

// model is a problem prepared for the exact method: for every series the legal lineups
// (columns), for every kid an automaton that accepts the legal games.
//
// Decoupling: without limits on a kid's roles across series (Cap, MinRoles, Different) an optimal plan
// exists in which every lineup uses its best role assignment, because changing the
// assignment inside one series changes no set of kids, hence no other rule, and cannot lower
// that series. Then a column is just a set of kids and a kid has one action, to be on. With
// such limits (coupled) a column is a set with its assignment and a kid has one action a role.
type model struct {
	p       *Problem
	kids    int
	series  int
	actions int // 1, or the number of roles when coupled
	coupled bool
	spots   []int    // by series
	tables  []*table // by series; series of one signature share a table
	class   []int    // signature of each series
	auto    []*automaton
	kidType []int       // kids of one type share their automaton
	linked  bool        // the objective is the level, so that the excess budget holds
	open    []int64     // by series: how many series from there on are still to plan
	keep    [][]int8    // rebuild: by series and kid the role in the plan to keep, -1: none; nil otherwise
	stop    func() bool // whether time is up; nil: there is no limit
	work    int64       // done for the lineups and automata, in steps
}

// table is the list of columns of one signature, best level first; ties by objective, then
// mask, then code, so that the order depends on nothing but the problem.
type table struct {
	width int      // kids in a column
	level []int32  // strength, in the problem's unit
	obj   []int64  // what is maximised; equals level unless the model says otherwise
	mask  []uint32 // kids on the field
	code  []uint64 // role of each kid, 4 bits a kid (role+1), when coupled
	turn  []int8   // rebuild: roles that are not in the plan to keep
	item  []uint16 // width items a column: kid*actions+action
}

func (t *table) len() int { return len(t.level) }

// prefix is how many columns have at least the given level.
func (t *table) prefix(level int64) int {
	return sort.Search(len(t.level), func(i int) bool { return int64(t.level[i]) < level })
}

// newModel prepares the exact method. ok is false when the problem is past its reach, or stop says that time is up (nil: never).
// An empty column list or a kid without a legal game shows as infeasible().
func newModel(p *Problem, coupled bool, keep [][]int8, stop func() bool) (m *model, ok bool) {
	m = &model{keep: keep, p: p, stop: stop, kids: len(p.Kids), series: len(p.Series), coupled: coupled, actions: 1, linked: keep == nil}
	if coupled {
		m.actions = len(p.Roles)
	}
	if m.kids > exactKids || m.series > exactSeries || coupled && len(p.Roles) > 15 {
		return nil, false
	}
	m.spots = p.spots()
	m.open = make([]int64, m.series+1)
	for s := m.series - 1; s >= 0; s-- {
		m.open[s] = m.open[s+1]
		if !p.over(s) {
			m.open[s]++
		}
	}
	for _, n := range m.spots {
		if n > exactSpots {
			return nil, false
		}
	}
	if !m.buildAutomata() || !m.buildColumns() {
		return nil, false
	}
	return m, true
}

// stopped tells whether time is up.
func (m *model) stopped() bool { return m.stop != nil && m.stop() }

// spend counts work of so many steps; false: the problem is past the reach of the exact method, or time is up.
func (m *model) spend(steps int) bool {
	const look = 1 << 16 // steps between looks at the clock
	before := m.work
	m.work += int64(steps)
	return m.work <= exactWork && (before/look == m.work/look || !m.stopped())
}

// spots is the number of spots of each series.
func (p *Problem) spots() []int {
	out := make([]int, len(p.Series))
	for s := range p.Series {
		for _, c := range p.count(s) {
			out[s] += c
		}
	}
	return out
}

// count is the number of spots of each role in series s; in a series that is over, as it was played.
func (p *Problem) count(s int) []int {
	if !p.over(s) {
		return p.Shapes[p.Series[s]].Count
	}
	count := make([]int, len(p.Roles))
	for _, c := range p.Played[s] {
		count[c.Role]++
	}
	return count
}

// linksRoles tells whether a rule links a kid's roles across series.
func (p *Problem) linksRoles() bool {
	if p.MinRoles > 1 {
		return true
	}
	for i := range p.Kids {
		k := &p.Kids[i]
		if k.asksRoles() {
			return true
		}
		if k.Cap > 0 && k.Cap < p.mostTurns(i) {
			return true
		}
	}
	return false
}

// mostTurns is the most series kid k can have been on the field for by the end; what was played outside its window counts.
func (p *Problem) mostTurns(k int) int {
	played, there := 0, 0
	for s := range p.Series {
		if p.over(s) {
			if _, on := p.playedRole(k, s); on {
				played++
			}
		} else if p.Kids[k].There(s) {
			there++
		}
	}
	return min(max(p.Kids[k].Hi, played), played+there)
}

// known is how many roles the kid has played before this game.
func (k *Kid) known() int {
	n := 0
	for _, played := range k.Before {
		if played {
			n++
		}
	}
	return n
}

// asksRoles tells whether a kid who plays has to play a role that it has not played before; a first role comes by itself.
func (k *Kid) asksRoles() bool { return k.Different > max(k.known(), 1) }

// free is the problem without the rules that link a kid's roles across series.
func (p *Problem) free() *Problem {
	q := *p
	q.MinRoles = 0
	q.Kids = slices.Clone(p.Kids)
	for k := range q.Kids {
		q.Kids[k].Cap, q.Kids[k].Different, q.Kids[k].Before = 0, 0, nil
	}
	return &q
}

// infeasible tells whether some kid has no legal game or some series no lineup.
func (m *model) infeasible() bool {
	for _, a := range m.auto {
		if len(a.next) == 0 {
			return true
		}
	}
	for _, t := range m.tables {
		if t.len() == 0 {
			return true
		}
	}
	return false
}

// allowed tells, by series and role, whether kid k may play there under availability, never-roles, pins and played series.
func (p *Problem) allowed(k, s, r int) bool {
	if p.over(s) {
		c, on := p.playedRole(k, s)
		return on && c == r
	}
	if !p.Kids[k].There(s) || p.never(k, r) {
		return false
	}
	for _, pin := range p.Pins {
		if pin.Kid != k || pin.Series != s {
			continue
		}
		if pin.Must && pin.Role >= 0 && pin.Role != r {
			return false
		}
		if !pin.Must && (pin.Role < 0 || pin.Role == r) {
			return false
		}
	}
	return true
}

// mustPlay tells whether kid k has to be on in series s whatever the role.
func (p *Problem) mustPlay(k, s int) bool {
	if p.over(s) {
		_, on := p.playedRole(k, s)
		return on
	}
	for _, pin := range p.Pins {
		if pin.Kid == k && pin.Series == s && pin.Must {
			return true
		}
	}
	return false
}

// over tells whether series s has been played: then its cells are facts that no rule is
// checked on, but runs that began there go on, and its series count.
func (p *Problem) over(s int) bool { return p.Played != nil && p.Played[s] != nil }

// playedRole is the role of kid k in the series s that is over.
func (p *Problem) playedRole(k, s int) (role int, on bool) {
	for _, c := range p.Played[s] {
		if c.Kid == k {
			return c.Role, true
		}
	}
	return -1, false
}

// playedCount is how many of the series that are over kid k played, in all and by role.
func (p *Problem) playedCount(k int) (all int, byRole []int) {
	byRole = make([]int, len(p.Roles))
	for s := range p.Series {
		if p.over(s) {
			if r, on := p.playedRole(k, s); on {
				all++
				byRole[r]++
			}
		}
	}
	return all, byRole
}

// normal is the problem with every number brought into the range where it can matter, so that nothing
// overflows on absurd ones. It has the same plans.
func (p *Problem) normal() *Problem {
	q := *p
	n := len(p.Series)
	if q.MaxOn >= n {
		q.MaxOn = 0
	}
	if q.MaxOff >= n {
		q.MaxOff = 0
	}
	q.MinRoles = min(q.MinRoles, len(p.Roles)+1)
	q.Kids = slices.Clone(p.Kids)
	for k := range q.Kids {
		kid := &q.Kids[k]
		there := kid.Presence().Within(n)
		kid.First, kid.Last, kid.Away = there.First, there.Last, there.Away
		kid.Lo, kid.Hi, kid.Least = min(max(kid.Lo, 0), n+1), max(min(kid.Hi, n), -1), min(max(kid.Least, 0), n+1)
		if kid.Cap >= n {
			kid.Cap = 0
		}
		kid.Different = min(kid.Different, len(p.Roles)+1)
	}
	q.Covers = slices.Clone(p.Covers)
	for i := range q.Covers {
		q.Covers[i].AtLeast = min(max(q.Covers[i].AtLeast, 0), len(p.Kids)+1)
	}
	return &q
}

// maxOn is the most series in a row on the field that kid k may play; 0: any number.
func (p *Problem) maxOn(k int) int {
	if n := max(p.MaxOn, p.Kids[k].MaxOn); p.MaxOn > 0 && n < len(p.Series) {
		return n
	}
	return 0
}

// maxOff is the most series in a row on the bench that kid k may have; 0: any number.
func (p *Problem) maxOff(k int) int {
	if n := max(p.MaxOff, p.Kids[k].MaxOff); p.MaxOff > 0 && n < len(p.Series) {
		return n
	}
	return 0
}

// classes maps each series to the first that is like it: the same shape, and the same kids who may play the same roles.
func (p *Problem) classes() []int {
	seen := map[string]int{}
	out := make([]int, len(p.Series))
	for s := range out {
		key := fmt.Appendf(nil, "%d %v ", p.Series[s], p.over(s))
		for k := range p.Kids {
			for r := range p.Roles {
				b := byte('0')
				if p.allowed(k, s, r) {
					b = '1'
				}
				key = append(key, b)
			}
		}
		if _, dup := seen[string(key)]; !dup {
			seen[string(key)] = s
		}
		out[s] = seen[string(key)]
	}
	return out
}
