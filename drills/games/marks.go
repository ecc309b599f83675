package games

import (
	"cmp"
	"slices"

	"sevenyard/drills"
)

// marks are those of one game while its rows are applied.
type marks struct {
	list           []Mark
	rows           []*row // that made them, in the same order
	at             *row   // the first of them, with the date and the opponent that the game had then
	date, opponent string
}

// active tells whether somebody is out.
func (m *marks) active() bool {
	return m != nil && slices.ContainsFunc(m.list, func(x Mark) bool { return !x.Cleared })
}

// marked tells whether a game has a mark that counts.
func (z *resolver) marked(game string) bool { return z.marks[drills.IDKey(game)].active() }

// mark takes over from rows who was hurt and who is cleared; what clears stands before what hurts anew.
func (z *resolver) mark(g *state, rows []*row) {
	if len(rows) == 0 {
		return
	}
	key := drills.IDKey(rows[0].game)
	for _, x := range rows {
		if x.role != cleared || x.spoilt || z.marks[key].clear(x) {
			continue
		}
		if x.first > 0 {
			z.add(g, x, Mark{Kid: x.kid, Series: x.first, Cleared: true, By: x.notes})
		} else {
			z.Problem(x.line, "look the kid up among the rows of "+hurt+" above", "kid %s is not marked as hurt in game %s", x.kid, x.game)
		}
	}
	for _, x := range rows {
		if x.spoilt || !x.hurts() {
			continue
		}
		m := z.marks[key]
		if i := m.find(x.kid); i < 0 {
			z.add(g, x, Mark{Kid: x.kid, Series: x.last})
		} else if m.list[i].Series == 0 {
			m.list[i].Series = x.last
		}
	}
}

// hurts tells whether a row says that its kid was hurt: by its role, also one written otherwise, as injured, which is told of as unknown and bars
// the kid until somebody has mended it; or by its notes, where it is about a kid who was there.
func (x *row) hurts() bool {
	return x.role == hurt || x.isSlot && saysHurt(x.role) || (x.role == present || x.isSlot) && saysHurt(x.notes)
}

func (z *resolver) add(g *state, x *row, mark Mark) {
	key := drills.IDKey(x.game)
	m := z.marks[key]
	if m == nil {
		m = &marks{at: x, date: cmp.Or(g.date, x.date), opponent: cmp.Or(g.opponent, x.opponent)}
		z.marks[key] = m
	}
	m.list, m.rows = append(m.list, mark), append(m.rows, x)
}

// find is the place of the kid's mark that nobody has cleared; -1: there is none.
func (m *marks) find(kid string) int {
	if m == nil {
		return -1
	}
	return slices.IndexFunc(m.list, func(x Mark) bool { return x.Kid == kid && !x.Cleared })
}

func (m *marks) clear(x *row) bool {
	i := m.find(x.kid)
	if i >= 0 {
		m.list[i].Cleared, m.list[i].By = true, x.notes
	}
	return i >= 0
}

// hurt puts the marks into the game, and reports a kid on the field after it was hurt.
func (z *resolver) hurt(out *Game, g *state, m *marks, rec *Record) {
	if m == nil {
		return
	}
	out.Marks = slices.Clone(m.list)
	for i, mark := range m.list {
		rec.mention(m.rows[i])
		if mark.Cleared {
			continue
		}
		out.Hurt = append(out.Hurt, mark.Kid)
		for _, s := range out.Series {
			for _, x := range g.series[s.Number].slots {
				if x.kid == mark.Kid && mark.Series > 0 && s.Number > mark.Series {
					z.Problem(x.line, "mend one of the two; where the kid was cleared, add a row below with role "+cleared+", the kid, and under notes who cleared it",
						"kid %s plays in series %d of game %s, and was hurt in series %d (line %d)", x.kid, s.Number, out.ID, mark.Series, m.rows[i].line)
				}
			}
		}
	}
	slices.SortFunc(out.Hurt, drills.NaturalOrder)
}
