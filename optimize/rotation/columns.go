package rotation

import (
	"encoding/binary"
	"math"
	"math/bits"
	"sort"
)

// lineups enumerates the legal lineups of one series.
type lineups struct {
	m       *model
	shape   *Shape
	ok      [][]bool // [kid][role]
	must    uint32
	over    bool   // the series has been played
	keep    []int8 // by kid: the role in the plan to keep, -1: none; nil when there is no such plan
	need    []int  // spots by role
	width   int
	stride  []int // of the state space prod(need+1)
	states  int
	out     *table
	dp      [][]int32 // by depth
	fill    [][][]int // by depth and role: the states of so many kids with a spot open in the role
	roles   []int     // coupled: roles chosen so far
	members []int
}

const noValue = math.MinInt32 / 2

// overLevel is the level of a series that has been played: above every other.
const overLevel = math.MaxInt32 / 2

// buildColumns lists the legal lineups of every series; false: too many, or too much work.
func (m *model) buildColumns() bool {
	seen := map[string]int{}
	m.tables = make([]*table, m.series)
	m.class = make([]int, m.series)
	for s := range m.tables {
		l := m.newLineups(s)
		key := l.signature(m.p.Series[s])
		c, dup := seen[key]
		if !dup {
			c = s
			seen[key] = s
			if !l.enumerate() {
				return false
			}
			m.tables[s] = l.out
		}
		m.class[s] = c
		m.tables[s] = m.tables[c]
	}
	return true
}

func (m *model) newLineups(s int) *lineups {
	p := m.p
	l := &lineups{m: m, shape: &p.Shapes[p.Series[s]], width: m.spots[s], ok: make([][]bool, m.kids)}
	l.need = p.count(s)
	l.over = p.over(s)
	if m.keep != nil {
		l.keep = m.keep[s]
	}
	l.states = 1
	for _, n := range l.need {
		l.stride = append(l.stride, l.states)
		l.states *= n + 1
	}
	for k := range l.ok {
		l.ok[k] = make([]bool, len(p.Roles))
		for r := range l.ok[k] {
			l.ok[k][r] = l.need[r] > 0 && p.allowed(k, s, r)
		}
		if p.mustPlay(k, s) {
			l.must |= 1 << k
		}
	}
	return l
}

// signature is equal for series with the same lineups.
func (l *lineups) signature(shape int) string {
	b := binary.LittleEndian.AppendUint32(nil, uint32(shape))
	b = binary.LittleEndian.AppendUint32(b, l.must)
	if l.over {
		b = append(b, 1)
	}
	for _, r := range l.keep {
		b = append(b, byte(r))
	}
	for _, row := range l.ok {
		x := byte(0)
		for i, ok := range row {
			if ok {
				x |= 1 << (i % 8)
			}
			if i%8 == 7 {
				b, x = append(b, x), 0
			}
		}
		b = append(b, x)
	}
	return string(b)
}

func (l *lineups) enumerate() bool {
	l.out = &table{width: l.width}
	planes := 1
	if l.keep != nil {
		planes = l.width + 1
	}
	l.dp = make([][]int32, l.width+1)
	for i := range l.dp {
		l.dp[i] = make([]int32, l.states*planes)
	}
	for i := range l.dp[0] {
		l.dp[0][i] = noValue
	}
	l.fill = make([][][]int, l.width+1)
	for d := range l.fill {
		l.fill[d] = make([][]int, len(l.need))
	}
	for st := range l.states {
		d := 0
		for r, n := range l.need {
			d += st / l.stride[r] % (n + 1)
		}
		for r, n := range l.need {
			if st/l.stride[r]%(n+1) < n {
				l.fill[d][r] = append(l.fill[d][r], st)
			}
		}
	}
	l.dp[0][0] = 0
	l.roles = make([]int, 0, l.width)
	l.members = make([]int, 0, l.width)
	var done bool
	if l.m.coupled {
		done = l.withRoles(0, 0, append([]int(nil), l.need...), 0, 0)
	} else {
		done = l.sets(0, 0)
	}
	if done {
		l.out.sort()
	}
	return done
}

// sets walks the sets of kids from kid k on; l.members are chosen, mask is theirs.
func (l *lineups) sets(k int, mask uint32) bool {
	if len(l.members) == l.width {
		return l.emitBest(mask)
	}
	for ; k <= l.m.kids-(l.width-len(l.members)); k++ {
		if !l.m.spend(len(l.need) * len(l.dp[0])) {
			return false
		}
		if l.extend(k) {
			l.members = append(l.members, k)
			fine := l.sets(k+1, mask|1<<k)
			l.members = l.members[:len(l.members)-1]
			if !fine {
				return false
			}
		}
		if l.must>>k&1 == 1 {
			break
		}
	}
	return true
}

// extend adds kid k to the best assignments of partial lineups: dp[d][state] is the best value of d kids
// with the role counts of the state; with a plan to keep, dp[d][changes*states+state]. False: k fits no open spot.
func (l *lineups) extend(k int) bool {
	d := len(l.members)
	from, to := l.dp[d], l.dp[d+1]
	for i := range to {
		to[i] = noValue
	}
	any := false
	for r := range l.need {
		if !l.ok[k][r] {
			continue
		}
		v := l.shape.Value[k][r]
		up := l.stride[r] // to the state after, in the plane of one change more if the kid's role is new
		if l.keep != nil && l.keep[k] != int8(r) {
			up += l.states
		}
		for _, st := range l.fill[d][r] {
			for i := st; i < len(from) && i+up < len(to); i += l.states {
				if x := from[i]; x > noValue/2 {
					any = true
					to[i+up] = max(to[i+up], x+v)
				}
			}
		}
	}
	return any
}

// withRoles walks the sets with their assignments.
func (l *lineups) withRoles(k int, mask uint32, left []int, value int32, code uint64) bool {
	if len(l.members) == l.width {
		return l.m.spend(l.width+20) && l.emit(mask, value, l.worth(value, code), code)
	}
	if !l.m.spend(len(left)) {
		return false
	}
	for ; k <= l.m.kids-(l.width-len(l.members)); k++ {
		for r := range left {
			if left[r] == 0 || !l.ok[k][r] {
				continue
			}
			left[r]--
			l.members, l.roles = append(l.members, k), append(l.roles, r)
			fine := l.withRoles(k+1, mask|1<<k, left, value+l.shape.Value[k][r], code|uint64(r+1)<<(4*k))
			l.members, l.roles = l.members[:len(l.members)-1], l.roles[:len(l.roles)-1]
			left[r]++
			if !fine {
				return false
			}
		}
		if l.must>>k&1 == 1 {
			break
		}
	}
	return true
}

// emit keeps a lineup that obeys the set rules; false: too many lineups.
func (l *lineups) emit(mask uint32, value int32, obj int64, code uint64) bool {
	if mask&l.must != l.must || value <= noValue/2 || !(l.over || l.m.p.setAllowed(uint64(mask))) {
		return true
	}
	t := l.out
	if l.over { // what has been played passes every level and counts for nothing
		value, obj = overLevel, 0
	}
	t.level = append(t.level, value)
	t.obj = append(t.obj, obj)
	t.mask = append(t.mask, mask)
	if l.m.coupled {
		t.code = append(t.code, code)
	}
	if l.keep != nil {
		t.turn = append(t.turn, int8(-obj))
	}
	for i, k := range l.members {
		a := 0
		if l.m.coupled {
			a = l.roles[i]
		}
		t.item = append(t.item, uint16(k*l.m.actions+a))
	}
	return len(t.level) <= exactColumns
}

// setAllowed checks the rules on who is on the field together.
func (p *Problem) setAllowed(mask uint64) bool {
	for _, pr := range p.Together {
		if mask>>pr[0]&1 != mask>>pr[1]&1 {
			return false
		}
	}
	for _, pr := range p.Apart {
		if mask>>pr[0]&1 == 1 && mask>>pr[1]&1 == 1 {
			return false
		}
	}
	for _, c := range p.Covers {
		group := uint64(0)
		for _, k := range c.Kids {
			group |= 1 << k
		}
		if bits.OnesCount64(mask&group) < c.AtLeast {
			return false
		}
	}
	return true
}

func (t *table) sort() {
	order := make([]int, t.len())
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		i, j := order[a], order[b]
		switch {
		case t.level[i] != t.level[j]:
			return t.level[i] > t.level[j]
		case t.obj[i] != t.obj[j]:
			return t.obj[i] > t.obj[j]
		case t.mask[i] != t.mask[j]:
			return t.mask[i] < t.mask[j]
		}
		return len(t.code) > 0 && t.code[i] < t.code[j]
	})
	*t = *t.pick(order)
}

// valued is the model with other objectives: f of the level and the changes of a column; series that are over count for nothing.
func (m *model) valued(f func(level, changes int64) int64) *model {
	q := *m
	q.linked = false
	q.tables = make([]*table, m.series)
	for s, t := range m.tables {
		if c := m.class[s]; c != s {
			q.tables[s] = q.tables[c]
			continue
		}
		u := *t
		u.obj = make([]int64, t.len())
		for i, level := range t.level {
			changes := int64(0)
			if len(t.turn) > 0 {
				changes = int64(t.turn[i])
			}
			if !m.p.over(s) {
				u.obj[i] = f(int64(level), changes)
			}
		}
		q.tables[s] = &u
	}
	return &q
}

// pick is the table with the columns of the given indices, in their order.
func (t *table) pick(order []int) *table {
	u := &table{width: t.width}
	u.level, u.obj, u.mask = make([]int32, len(order)), make([]int64, len(order)), make([]uint32, len(order))
	u.item = make([]uint16, 0, len(order)*t.width)
	if len(t.code) > 0 {
		u.code = make([]uint64, len(order))
	}
	for n, i := range order {
		u.level[n], u.obj[n], u.mask[n] = t.level[i], t.obj[i], t.mask[i]
		if len(t.code) > 0 {
			u.code[n] = t.code[i]
		}
		if len(t.turn) > 0 {
			u.turn = append(u.turn, t.turn[i])
		}
		u.item = append(u.item, t.item[i*t.width:(i+1)*t.width]...)
	}
	return u
}

// worth is the objective of a lineup with its roles: its level, or the roles it takes away from the plan to
// keep, counted negative.
func (l *lineups) worth(value int32, code uint64) int64 {
	if l.keep == nil {
		return int64(value)
	}
	changes := int64(0)
	for i, k := range l.members {
		if l.keep[k] != int8(l.roles[i]) {
			changes++
		}
	}
	return -changes
}

// emitBest keeps a set with its best assignment; when there is a plan to keep, with the best assignment for
// every number of changes that pays.
func (l *lineups) emitBest(mask uint32) bool {
	if l.keep == nil {
		v := l.dp[l.width][l.states-1]
		return l.emit(mask, v, int64(v), 0)
	}
	best := int32(noValue)
	for c := 0; c <= l.width; c++ {
		if v := l.dp[l.width][c*l.states+l.states-1]; v > best {
			best = v
			if !l.emit(mask, v, -int64(c), 0) {
				return false
			}
		}
	}
	return true
}
