package rotation

import (
	"fmt"
	"slices"
	"sort"
)

// mpsTerm is a coefficient at a column.
type mpsTerm struct {
	col  int
	coef int64
}

// mpsRow is a linear rule; sense is one of the letters of MPS: E, L (at most), G (at least).
type mpsRow struct {
	name  string
	sense byte
	rhs   int64
	terms []mpsTerm
}

// mpsColumn is a variable; bound is its type in the BOUNDS section of MPS: BV binary, FR free, empty for 0 or
// more.
type mpsColumn struct{ name, bound string }

// mpsModel is a mixed-integer program under construction.
type mpsModel struct {
	p    *Problem
	x    [][][]int // column of x[k][s][r], -1 where the kid cannot play
	cols []mpsColumn
	rows []mpsRow
	max  []mpsTerm // the objective, to be maximised
}

func (m *mpsModel) col(c mpsColumn) int {
	m.cols = append(m.cols, c)
	return len(m.cols) - 1
}

func newMPSModel(p *Problem) *mpsModel {
	m := &mpsModel{p: p, x: make([][][]int, len(p.Kids))}
	for k := range p.Kids {
		m.x[k] = make([][]int, len(p.Series))
		for s, shape := range p.Series {
			m.x[k][s] = make([]int, len(p.Roles))
			for r := range p.Roles {
				m.x[k][s][r] = -1
				played := m.over(s) && slices.Contains(p.Played[s], Cell{k, r})
				free := !m.over(s) && p.Kids[k].There(s) && !p.never(k, r) && p.Shapes[shape].Count[r] > 0
				if played || free {
					m.x[k][s][r] = m.col(mpsColumn{fmt.Sprintf("x_%d_%d_%d", k, r, s), "BV"})
				}
				if played {
					m.row('E', 1, []mpsTerm{{m.x[k][s][r], 1}}, "played", k, s)
				}
			}
		}
	}
	return m
}

// over tells whether series s has been played.
func (m *mpsModel) over(s int) bool { return m.p.Played != nil && m.p.Played[s] != nil }

// row adds a rule. Columns that stand twice are added up; a rule without columns is kept only
// if it cannot hold, which is how a contradiction in the problem reaches the reader.
func (m *mpsModel) row(sense byte, rhs int64, terms []mpsTerm, name string, index ...int) {
	for _, i := range index {
		name += fmt.Sprintf("_%d", i)
	}
	sort.SliceStable(terms, func(i, j int) bool { return terms[i].col < terms[j].col })
	merged := terms[:0]
	for _, t := range terms {
		if n := len(merged); n > 0 && merged[n-1].col == t.col {
			merged[n-1].coef += t.coef
		} else {
			merged = append(merged, t)
		}
	}
	holds := sense == 'E' && rhs == 0 || sense == 'L' && rhs >= 0 || sense == 'G' && rhs <= 0
	if len(merged) > 0 || !holds {
		m.rows = append(m.rows, mpsRow{name, sense, rhs, merged})
	}
}

// on appends coef times "kid k is on the field in series s".
func (m *mpsModel) on(to []mpsTerm, k, s int, coef int64) []mpsTerm {
	for _, c := range m.x[k][s] {
		if c >= 0 {
			to = append(to, mpsTerm{c, coef})
		}
	}
	return to
}

// value appends coef times the value of series s.
func (m *mpsModel) value(to []mpsTerm, s int, coef int64) []mpsTerm {
	worth := m.p.Shapes[m.p.Series[s]].Value
	for k := range m.p.Kids {
		for r, c := range m.x[k][s] {
			if c >= 0 && worth[k][r] != 0 {
				to = append(to, mpsTerm{c, coef * int64(worth[k][r])})
			}
		}
	}
	return to
}

// count sums up how often kid k is on the field, in role r or, if r is negative, in any; past is how
// often that was in series that are over.
func (m *mpsModel) count(k, r int) (terms []mpsTerm, past int) {
	for s := range m.p.Series {
		for i, c := range m.x[k][s] {
			if c < 0 || r >= 0 && i != r {
				continue
			}
			terms = append(terms, mpsTerm{c, 1})
			if m.over(s) {
				past++
			}
		}
	}
	return terms, past
}

func (m *mpsModel) spots() {
	for s, shape := range m.p.Series {
		if m.over(s) {
			continue
		}
		for r, n := range m.p.Shapes[shape].Count {
			var terms []mpsTerm
			for k := range m.p.Kids {
				if c := m.x[k][s][r]; c >= 0 {
					terms = append(terms, mpsTerm{c, 1})
				}
			}
			m.row('E', int64(n), terms, "spots", s, r)
		}
		for k := range m.p.Kids {
			if terms := m.on(nil, k, s, 1); len(terms) > 1 {
				m.row('L', 1, terms, "one", k, s)
			}
		}
	}
}

// share limits how often kid k plays.
func (m *mpsModel) share(k int) {
	kid := m.p.Kids[k]
	terms, past := m.count(k, -1)
	m.row('G', int64(max(kid.Lo, kid.Least)), slices.Clone(terms), "lo", k)
	m.row('L', int64(max(kid.Hi, past)), terms, "hi", k)
}

// runs limits kid k's series in a row, on the field and off. The series that count are those that the
// kid is there for or has played; a stretch away parts them.
func (m *mpsModel) runs(k int) {
	kid := &m.p.Kids[k]
	var there []int // since the kid came, or came back
	in := func(series []int) (terms []mpsTerm) {
		for _, s := range series {
			terms = m.on(terms, k, s, 1)
		}
		return terms
	}
	for s := range m.p.Series {
		switch {
		case kid.There(s) || len(m.on(nil, k, s, 1)) > 0:
			there = append(there, s)
		case kid.First <= s && s <= kid.Last:
			there = nil
			continue
		default:
			continue
		}
		i := len(there) - 1
		if m.over(s) {
			continue
		}
		if n := m.p.maxOn(k); n > 0 && i >= n {
			m.row('L', int64(n), in(there[i-n:i+1]), "on", k, s)
		}
		if n := m.p.maxOff(k); n > 0 && i >= n {
			m.row('G', 1, in(there[i-n:i+1]), "off", k, s)
		}
	}
}

// variety limits kid k's series in one role and asks for different ones, in this game and in the season.
func (m *mpsModel) variety(k int) {
	kid := m.p.Kids[k]
	limit, before := kid.Cap, kid.known()
	season := kid.Different > before
	variety := m.p.MinRoles > 1 || season
	var plays int
	var roles, fresh []mpsTerm
	if variety {
		plays = m.col(mpsColumn{fmt.Sprintf("a_%d", k), "BV"})
		roles = append(roles, mpsTerm{plays, -int64(m.p.MinRoles)})
		fresh = append(fresh, mpsTerm{plays, -int64(kid.Different - before)})
		for s := range m.p.Series {
			if terms := m.on(nil, k, s, 1); len(terms) > 0 {
				m.row('L', 0, append(terms, mpsTerm{plays, -1}), "plays", k, s)
			}
		}
	}
	for r := range m.p.Roles {
		in, past := m.count(k, r)
		if len(in) == 0 {
			continue
		}
		if limit > 0 {
			m.row('L', int64(max(limit, past)), slices.Clone(in), "cap", k, r)
		}
		if variety {
			ever := m.col(mpsColumn{fmt.Sprintf("u_%d_%d", k, r), "BV"})
			roles = append(roles, mpsTerm{ever, 1})
			if kid.Before == nil || !kid.Before[r] {
				fresh = append(fresh, mpsTerm{ever, 1})
			}
			for i := range in {
				in[i].coef = -1
			}
			m.row('L', 0, append(in, mpsTerm{ever, 1}), "ever", k, r)
		}
	}
	if m.p.MinRoles > 1 {
		m.row('G', 0, roles, "variety", k)
	}
	if season {
		m.row('G', 0, fresh, "season", k)
	}
}

func (m *mpsModel) groups() {
	for s := range m.p.Series {
		if m.over(s) {
			continue
		}
		for i, pair := range m.p.Together {
			m.row('E', 0, m.on(m.on(nil, pair[0], s, 1), pair[1], s, -1), "together", i, s)
		}
		for i, pair := range m.p.Apart {
			m.row('L', 1, m.on(m.on(nil, pair[0], s, 1), pair[1], s, 1), "apart", i, s)
		}
		for i, cover := range m.p.Covers {
			var terms []mpsTerm
			for _, k := range cover.Kids {
				terms = m.on(terms, k, s, 1)
			}
			m.row('G', int64(cover.AtLeast), terms, "cover", i, s)
		}
	}
}

func (m *mpsModel) pins() {
	for i, pin := range m.p.Pins {
		if m.over(pin.Series) {
			continue
		}
		var terms []mpsTerm
		if pin.Role < 0 {
			terms = m.on(nil, pin.Kid, pin.Series, 1)
		} else if c := m.x[pin.Kid][pin.Series][pin.Role]; c >= 0 {
			terms = []mpsTerm{{c, 1}}
		}
		rhs := int64(0)
		if pin.Must {
			rhs = 1
		}
		m.row('E', rhs, terms, "pin", i)
	}
}
