package rotation

import (
	"errors"
	"fmt"
	"io"

	"sevenyard/optimize/rotation/internal/milp"
)

// Goal is what a written model maximises: the sum of the values of the weakest series, as many of them as Lowest says. Lowest 1
// is the weakest series, 0 (or the number of series) the total. Floors keep what earlier models have reached,
// so that a chain of models is lexicographic: {1}, then {0, Floors: {{1, w}}} is the weakest series
// and then the total; {1}, {2, Floors: {{1, w}}}, ... is every series in order from the weakest.
type Goal struct {
	Lowest int
	Floors []Floor
}

// Floor asks that the Lowest weakest series (0: all) sum to AtLeast or more, in the problem's units.
type Floor struct {
	Lowest  int
	AtLeast int64
}

// ErrBadGoal says that a goal or a floor counts fewer than no series.
var ErrBadGoal = errors.New("rotation: a goal counts a negative number of series")

// WriteMPS writes the whole problem as a mixed-integer program in free MPS, the format that
// solvers of linear programs have in common, so that any of them can be asked to confirm a plan. MPS has no agreed way to ask for
// a maximum: the objective is written negated and to be minimised. All coefficients are whole numbers. The order
// of rows and columns depends on nothing but the problem.
//
// Columns: x_K_R_S is 1 if kid K plays role R in series S; u_K_R if K ever plays R, a_K if K plays at all (only
// with MinRoles above 1 or Different above the roles played before); w is the weakest series; tJ_I and dJ_I_S (I only keeps names apart) give the sum of
// the J weakest series as J*t minus the sum of the d, with d of series S at least t minus the value of S (Ogryczak
// and Sliwinski 2003, Eur. J. Oper. Res. 148, 80-91).
//
// What the rules mean, to the letter:
//   - Every series fills exactly the spots of its shape; a kid has at most one role in a series, only from First to Last
//     but for the stretches Away, never a Never role.
//   - Lo (or Least, whichever is larger) and Hi count all series of the game.
//   - MaxOn, or the kid's own where that is more: among any MaxOn+1 series in a row that the kid is there for, the kid is off
//     at least once; MaxOff, in the same way: among any MaxOff+1 on at least once. A stretch away is no part of a row, so that runs start afresh when
//     a kid arrives or comes back, and a kid who leaves, for a while or for good, owes nothing.
//   - Cap counts the series of a kid in one role over the game.
//   - MinRoles: a kid who plays at all plays at least so many different roles; it does not matter whether the share or
//     the Never roles leave room for them. If they do not, the kid cannot play.
//   - Different: the roles a kid plays in this game and those of Before are at least so many different ones, if the kid plays at all.
//   - Together and Apart hold in every series, also while one of the pair is away: a kid does not play without an absent partner.
//   - Covers hold in every series, also while none of the kids is there (and then cannot hold).
//   - Series that are over are facts. No rule about one series is asked of them, and no run that lies in them
//     altogether; but what was played counts for runs that go on, for shares, Cap, MinRoles and Different. Where it is
//     already above Hi or Cap, no more of it is allowed. The goal counts series still to plan only.
func WriteMPS(w io.Writer, p *Problem, goal Goal) error {
	m, err := buildMPS(p, goal)
	if err != nil {
		return err
	}
	return m.Write(w, fmt.Sprintf("%d kids, %d series. Values are whole numbers; %d of them are one point of a series' strength.", len(p.Kids), len(p.Series), p.Scale))
}

func buildMPS(p *Problem, goal Goal) (*mpsModel, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	m := newMPSModel(p)
	m.spots()
	for k := range p.Kids {
		m.share(k)
		m.runs(k)
		m.variety(k)
	}
	m.groups()
	m.pins()
	return m, m.goal(goal)
}

func (m *mpsModel) goal(g Goal) error {
	if g.Lowest < 0 {
		return ErrBadGoal
	}
	for i, f := range g.Floors {
		switch n := len(m.ahead()); {
		case f.Lowest < 0:
			return ErrBadGoal
		case f.Lowest == 1:
			for _, s := range m.ahead() {
				m.Add('G', f.AtLeast, m.value(nil, s, 1), "floor", i, s)
			}
		case f.Lowest == 0 || f.Lowest >= n:
			m.Add('G', f.AtLeast, m.total(), "floor", i)
		default:
			m.Add('G', f.AtLeast, m.lowest(f.Lowest), "floor", i)
		}
	}
	switch n := len(m.ahead()); {
	case g.Lowest == 1 && n > 1:
		w := m.Col(milp.Column{Name: "w", Bound: "FR"})
		for _, s := range m.ahead() {
			m.Add('G', 0, append(m.value(nil, s, 1), milp.Term{Col: w, Coef: -1}), "weakest", s)
		}
		m.Max = []milp.Term{{Col: w, Coef: 1}}
	case g.Lowest == 0 || g.Lowest >= n:
		m.Max = m.total()
	default:
		m.Max = m.lowest(g.Lowest)
	}
	return nil
}

// ahead lists the series still to plan.
func (m *mpsModel) ahead() []int {
	var out []int
	for s := range m.p.Series {
		if !m.over(s) {
			out = append(out, s)
		}
	}
	return out
}

func (m *mpsModel) total() (terms []milp.Term) {
	for _, s := range m.ahead() {
		terms = m.value(terms, s, 1)
	}
	return terms
}

// lowest gives terms whose largest value is the sum of the n weakest series.
func (m *mpsModel) lowest(n int) []milp.Term {
	id := len(m.Cols) // makes names unique when a goal and a floor count the same number
	t := m.Col(milp.Column{Name: fmt.Sprintf("t%d_%d", n, id), Bound: "FR"})
	terms := []milp.Term{{Col: t, Coef: int64(n)}}
	for _, s := range m.ahead() {
		d := m.Col(milp.Column{Name: fmt.Sprintf("d%d_%d_%d", n, id, s)})
		terms = append(terms, milp.Term{Col: d, Coef: -1})
		m.Add('G', 0, append(m.value(nil, s, 1), milp.Term{Col: t, Coef: -1}, milp.Term{Col: d, Coef: 1}), "lowest", n, id, s)
	}
	return terms
}
