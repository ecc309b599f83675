package rotation

import (
	"fmt"
	"slices"

	"sevenyard/optimize/rotation/internal/milp"
)

// mpsModel is the mixed-integer program of a problem, under construction.
type mpsModel struct {
	milp.Program
	p *Problem
	x [][][]int // column of x[k][s][r], -1 where the kid cannot play
}

func newMPSModel(p *Problem) *mpsModel {
	m := &mpsModel{Program: milp.Program{Name: "rotation"}, p: p, x: make([][][]int, len(p.Kids))}
	for k := range p.Kids {
		m.x[k] = make([][]int, len(p.Series))
		for s, shape := range p.Series {
			m.x[k][s] = make([]int, len(p.Roles))
			for r := range p.Roles {
				m.x[k][s][r] = -1
				played := m.over(s) && slices.Contains(p.Played[s], Cell{k, r})
				free := !m.over(s) && p.Kids[k].There(s) && !p.never(k, r) && p.Shapes[shape].Count[r] > 0
				if played || free {
					m.x[k][s][r] = m.Col(milp.Column{Name: fmt.Sprintf("x_%d_%d_%d", k, r, s), Bound: "BV"})
				}
				if played {
					m.Add('E', 1, []milp.Term{{Col: m.x[k][s][r], Coef: 1}}, "played", k, s)
				}
			}
		}
	}
	return m
}

// over tells whether series s has been played.
func (m *mpsModel) over(s int) bool { return m.p.Played != nil && m.p.Played[s] != nil }

// on appends coef times "kid k is on the field in series s".
func (m *mpsModel) on(to []milp.Term, k, s int, coef int64) []milp.Term {
	for _, c := range m.x[k][s] {
		if c >= 0 {
			to = append(to, milp.Term{Col: c, Coef: coef})
		}
	}
	return to
}

// value appends coef times the value of series s.
func (m *mpsModel) value(to []milp.Term, s int, coef int64) []milp.Term {
	worth := m.p.Shapes[m.p.Series[s]].Value
	for k := range m.p.Kids {
		for r, c := range m.x[k][s] {
			if c >= 0 && worth[k][r] != 0 {
				to = append(to, milp.Term{Col: c, Coef: coef * int64(worth[k][r])})
			}
		}
	}
	return to
}

// count sums up how often kid k is on the field, in role r or, if r is negative, in any; past is how
// often that was in series that are over.
func (m *mpsModel) count(k, r int) (terms []milp.Term, past int) {
	for s := range m.p.Series {
		for i, c := range m.x[k][s] {
			if c < 0 || r >= 0 && i != r {
				continue
			}
			terms = append(terms, milp.Term{Col: c, Coef: 1})
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
			var terms []milp.Term
			for k := range m.p.Kids {
				if c := m.x[k][s][r]; c >= 0 {
					terms = append(terms, milp.Term{Col: c, Coef: 1})
				}
			}
			m.Add('E', int64(n), terms, "spots", s, r)
		}
		for k := range m.p.Kids {
			if terms := m.on(nil, k, s, 1); len(terms) > 1 {
				m.Add('L', 1, terms, "one", k, s)
			}
		}
	}
}

// share limits how often kid k plays.
func (m *mpsModel) share(k int) {
	kid := m.p.Kids[k]
	terms, past := m.count(k, -1)
	m.Add('G', int64(max(kid.Lo, kid.Least)), slices.Clone(terms), "lo", k)
	m.Add('L', int64(max(kid.Hi, past)), terms, "hi", k)
}

// runs limits kid k's series in a row, on the field and off. The series that count are those that the
// kid is there for or has played; a stretch away parts them.
func (m *mpsModel) runs(k int) {
	kid := &m.p.Kids[k]
	var there []int // since the kid came, or came back
	in := func(series []int) (terms []milp.Term) {
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
			m.Add('L', int64(n), in(there[i-n:i+1]), "on", k, s)
		}
		if n := m.p.maxOff(k); n > 0 && i >= n {
			m.Add('G', 1, in(there[i-n:i+1]), "off", k, s)
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
	var roles, fresh []milp.Term
	if variety {
		plays = m.Col(milp.Column{Name: fmt.Sprintf("a_%d", k), Bound: "BV"})
		roles = append(roles, milp.Term{Col: plays, Coef: -int64(m.p.MinRoles)})
		fresh = append(fresh, milp.Term{Col: plays, Coef: -int64(kid.Different - before)})
		for s := range m.p.Series {
			if terms := m.on(nil, k, s, 1); len(terms) > 0 {
				m.Add('L', 0, append(terms, milp.Term{Col: plays, Coef: -1}), "plays", k, s)
			}
		}
	}
	for r := range m.p.Roles {
		in, past := m.count(k, r)
		if len(in) == 0 {
			continue
		}
		if limit > 0 {
			m.Add('L', int64(max(limit, past)), slices.Clone(in), "cap", k, r)
		}
		if variety {
			ever := m.Col(milp.Column{Name: fmt.Sprintf("u_%d_%d", k, r), Bound: "BV"})
			roles = append(roles, milp.Term{Col: ever, Coef: 1})
			if kid.Before == nil || !kid.Before[r] {
				fresh = append(fresh, milp.Term{Col: ever, Coef: 1})
			}
			for i := range in {
				in[i].Coef = -1
			}
			m.Add('L', 0, append(in, milp.Term{Col: ever, Coef: 1}), "ever", k, r)
		}
	}
	if m.p.MinRoles > 1 {
		m.Add('G', 0, roles, "variety", k)
	}
	if season {
		m.Add('G', 0, fresh, "season", k)
	}
}

func (m *mpsModel) groups() {
	for s := range m.p.Series {
		if m.over(s) {
			continue
		}
		for i, pair := range m.p.Together {
			m.Add('E', 0, m.on(m.on(nil, pair[0], s, 1), pair[1], s, -1), "together", i, s)
		}
		for i, pair := range m.p.Apart {
			m.Add('L', 1, m.on(m.on(nil, pair[0], s, 1), pair[1], s, 1), "apart", i, s)
		}
		for i, cover := range m.p.Covers {
			var terms []milp.Term
			for _, k := range cover.Kids {
				terms = m.on(terms, k, s, 1)
			}
			m.Add('G', int64(cover.AtLeast), terms, "cover", i, s)
		}
	}
}

func (m *mpsModel) pins() {
	for i, pin := range m.p.Pins {
		if m.over(pin.Series) {
			continue
		}
		var terms []milp.Term
		if pin.Role < 0 {
			terms = m.on(nil, pin.Kid, pin.Series, 1)
		} else if c := m.x[pin.Kid][pin.Series][pin.Role]; c >= 0 {
			terms = []milp.Term{{Col: c, Coef: 1}}
		}
		rhs := int64(0)
		if pin.Must {
			rhs = 1
		}
		m.Add('E', rhs, terms, "pin", i)
	}
}
