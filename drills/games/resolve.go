package games

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"sevenyard/drills"
)

// played is a series while corrections are applied.
type played struct {
	slots []*row
	entry int // which wrote it; 0: rows typed by hand
}

// state is a game while corrections are applied.
type state struct {
	at              *row // its first row
	date, opponent  string
	dated, opposed  *row // the rows that said so
	series          map[int]*played
	there           []*row // rows of attendance
	attendanceEntry int
}

// mostSlots is more kids than any game has on the field.
const mostSlots = 100

// resolver applies entries and rows typed by hand, the later over the earlier.
type resolver struct {
	*parser
	games map[string]*state // by the ids' keys; nil: all of the game was void
	order []string
	kids  map[string]string // a kid's id as it was first written, by its key
	marks map[string]*marks // by the games' keys

	broken []*entry // entries that do not count, but for who was hurt
}

// resolve makes the games of the rows. Entries count in the order of their numbers; rows typed by hand
// where they stand. An entry replaces whole series, and all of a game's attendance where it has any; rows typed by hand
// only add, so that a slip is not taken for a correction.
func (p *parser) resolve(name string, rec *Record) {
	z := &resolver{parser: p, games: map[string]*state{}, kids: map[string]string{}, marks: map[string]*marks{}}
	whole := z.whole() // before any id is written otherwise: seals of earlier versions are of the ids as they stand
	for i := range p.rows {
		z.name(&p.rows[i])
	}
	next := 0
	for i := range p.rows {
		x := &p.rows[i]
		if x.entry != 0 || x.spoilt {
			continue
		}
		for ; next < len(whole) && whole[next].at < x.line; next++ {
			z.applyEntry(whole[next])
		}
		z.applyHand(x)
	}
	for ; next < len(whole); next++ {
		z.applyEntry(whole[next])
	}
	for _, e := range z.broken { // whoever plans in spite of the problems must know of these
		z.mark(z.game(e.rows[0]), slices.DeleteFunc(slices.Clone(e.rows), func(x *row) bool { return x.role == cleared }))
	}
	for i := range p.rows { // and of a row that cannot be read in full
		if x := p.rows[i]; x.spoilt && saysHurt(x.role) && x.game != "" && x.kid != "" {
			x.spoilt, x.role, x.first, x.last = false, hurt, 0, 0
			z.mark(z.game(&x), []*row{&x})
		}
	}
	for _, id := range z.order {
		if g, ok := z.finish(id, z.games[id], rec); ok {
			g.At.File = name
			rec.Games = append(rec.Games, g)
		}
	}
	slices.SortStableFunc(rec.Games, func(a, b Game) int { return cmp.Compare(a.At.Line, b.At.Line) })
}

// whole reports the entries that are not as they were written, and gives the others.
func (z *resolver) whole() []*entry {
	var out []*entry
	for _, e := range z.entries {
		switch {
		case e.count(closed) == 0:
			z.Problem(e.rows[0].line, "was it cut off and typed on? To keep its rows, take its row of "+opened+" out and empty the cells of entry; or take all of them out",
				"entry %d (%s) has no closing row", e.number, e.lines())
			z.broken = append(z.broken, e)
		default:
			if what := e.fault(); what != "" {
				z.Problem(e.rows[0].line, keep, "entry %d (%s) is not as it was written: %s", e.number, e.lines(), what)
				z.broken = append(z.broken, e)
				continue
			}
			if n := len(out); n > 0 {
				e.at = max(e.at, out[n-1].at) // the numbers count, whatever order a spreadsheet has put the rows into
			}
			out = append(out, e)
		}
	}
	return out
}

func (z *resolver) game(x *row) *state {
	key := drills.IDKey(x.game)
	g := z.games[key]
	if g == nil {
		g = &state{at: x, series: map[int]*played{}}
		if _, known := z.games[key]; !known {
			z.order = append(z.order, key)
		}
		z.games[key] = g
	}
	return g
}

// name writes a kid's id as the first row with it does: 07 and 7 are one kid.
func (z *resolver) name(x *row) {
	if x.kid == "" {
		return
	}
	key := drills.IDKey(x.kid)
	if first, known := z.kids[key]; known {
		x.kid = first
		return
	}
	z.kids[key] = x.kid
}

// label takes a row's date and opponent over. Two rows typed by hand must not contradict each other: more
// likely than not, the number of the game is wrong in one of them.
func (z *resolver) label(g *state, x *row) {
	for _, l := range []struct {
		what, says string
		is         *string
		from       **row // of what is
	}{{"date", x.date, &g.date, &g.dated}, {"opponent", x.opponent, &g.opponent, &g.opposed}} {
		if l.says == "" || l.says == *l.is {
			continue
		}
		if *l.is != "" && x.entry == 0 && (*l.from).entry == 0 {
			z.Problem(x.line, "which one is right? Or is it another game?", "game %s has the %s %s here and %s on line %d",
				x.game, l.what, drills.Quote(l.says), drills.Quote(*l.is), (*l.from).line)
			continue
		}
		*l.is, *l.from = l.says, x
	}
}

func (z *resolver) applyEntry(e *entry) {
	z.game(e.rows[0])
	for _, x := range e.rows {
		if x.role == void {
			z.void(x)
		}
	}
	g := z.game(e.rows[0]) // anew, if all of it was void
	for _, x := range e.rows {
		z.label(g, x)
		switch {
		case x.isSlot:
			s := g.series[x.first]
			if s == nil || s.entry != e.number {
				s = &played{entry: e.number}
				g.series[x.first] = s
			}
			s.slots = append(s.slots, x)
		case x.role == present:
			if g.attendanceEntry != e.number {
				g.there, g.attendanceEntry = nil, e.number
			}
			g.there = append(g.there, x)
		}
	}
	z.mark(g, e.rows)
}

func (z *resolver) applyHand(x *row) {
	g := z.game(x)
	if x.role == void {
		z.void(x)
		return
	}
	z.label(g, x)
	z.mark(g, []*row{x})
	switch {
	case x.role == hurt || x.role == cleared:
	case x.role == present && g.attendanceEntry != 0:
		z.Problem(x.line, "correct it with sevenyard record", "who was at game %s is on record already, in entry %d", x.game, g.attendanceEntry)
	case x.role == present:
		g.there = append(g.there, x)
	default:
		s := g.series[x.first]
		if s == nil {
			s = &played{}
			g.series[x.first] = s
		}
		if s.entry != 0 {
			z.Problem(x.line, "correct it with sevenyard record; or write a row above with series "+strconv.Itoa(x.first)+", role "+void+" and no kid, and the whole series below it",
				"series %d of game %s is on record already, in entry %d", x.first, x.game, s.entry)
			return
		}
		s.slots = append(s.slots, x)
	}
}

// void takes series out, or a whole game.
func (z *resolver) void(x *row) {
	g := z.game(x)
	if x.first == 0 {
		if len(g.series) == 0 && len(g.there) == 0 && !z.marked(x.game) {
			z.Problem(x.line, "the row has to stand below what it takes out", "there is nothing of game %s above to make void", x.game)
		}
		z.games[drills.IDKey(x.game)] = nil // and the game keeps its place in the order
		return
	}
	found := false
	for n := range g.series {
		if n >= x.first && (n <= x.last || x.last == 0) {
			delete(g.series, n)
			found = true
		}
	}
	if !found {
		z.Problem(x.line, "the row has to stand below what it takes out", "there is no series %s of game %s above to make void", span(x.first, x.last), x.game)
	}
}

// finish checks a game and gives it; ok is false if nothing is left of it. A kid who was hurt is left of a game that is void.
func (z *resolver) finish(key string, g *state, rec *Record) (out Game, ok bool) {
	m := z.marks[key]
	switch {
	case g == nil && m != nil:
		g = &state{at: m.at, date: m.date, dated: m.at, opponent: m.opponent}
	case g == nil || len(g.series) == 0 && len(g.there) == 0 && m == nil:
		return out, false
	case g.date == "" && m != nil:
		g.date, g.dated = m.date, m.at
	}
	id := g.at.game
	out = Game{ID: id, Date: g.date, Opponent: g.opponent, At: drills.Place{Line: g.at.line}}
	if _, err := time.Parse(time.DateOnly, g.date); g.date != "" && err != nil {
		z.Warn(g.dated.line, "write it as 2026-09-12; a spreadsheet may have changed it", "game %s has the date %s", id, drills.Quote(g.date))
	}
	numbers := make([]int, 0, len(g.series))
	for n := range g.series {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	for _, n := range numbers {
		s := Series{Number: n, Slots: make([]Slot, 0, len(g.series[n].slots))}
		if x := g.series[n].slots; len(x) > mostSlots {
			z.Problem(x[0].line, "is the number of the game or of the series right?", "series %d of game %s has %d kids on the field", n, id, len(x))
			continue
		}
		for i, x := range g.series[n].slots {
			for _, y := range g.series[n].slots[:i] {
				if y.kid == x.kid {
					z.Problem(x.line, "a kid has one spot in a series", "kid %s is in series %d of game %s twice, also on line %d", x.kid, n, id, y.line)
				}
			}
			s.Slots = append(s.Slots, Slot{x.role, x.kid})
			rec.mention(x)
		}
		out.Series = append(out.Series, s)
	}
	if len(g.series)+len(g.there) > 0 {
		z.attendance(&out, g, rec)
	}
	z.hurt(&out, g, m, rec)
	return out, true
}

// attendance settles who was there. Without any row about it, everybody who played was there all game.
func (z *resolver) attendance(out *Game, g *state, rec *Record) {
	end := 0
	if n := len(out.Series); n > 0 {
		end = out.Series[n-1].Number
	}
	if len(g.there) == 0 {
		z.Warn(g.at.line, "add a row for each kid who was there, with the role "+present+" and no series, or 3 to end for one who came late",
			"game %s does not say who was there; taken as everybody who played, all game", out.ID)
		out.Kids = everybody(out.Series, end)
		return
	}
	at := map[string][]*row{}
	for _, x := range g.there {
		if i := slices.IndexFunc(at[x.kid], x.overlaps); i >= 0 {
			z.Problem(x.line, "keep one of them", "kid %s is at game %s twice, also on line %d", x.kid, out.ID, at[x.kid][i].line)
			continue
		}
		at[x.kid] = append(at[x.kid], x)
		rec.mention(x)
		out.Attendance = append(out.Attendance, Presence{x.kid, max(1, x.first), x.last})
	}
	out.Attendance = stretches(out.Attendance)
	for _, p := range out.Attendance {
		if end > 0 && (p.Last == 0 || p.Last > end) {
			p.Last = end
		}
		if p.First <= p.Last {
			out.Kids = append(out.Kids, p)
		}
	}
	slices.SortStableFunc(out.Kids, func(a, b Presence) int { return drills.NaturalOrder(a.Kid, b.Kid) })
	for _, s := range out.Series {
		for _, x := range g.series[s.Number].slots {
			switch there := at[x.kid]; {
			case len(there) == 0:
				z.Problem(x.line, "add a row with the role "+present+" for the kid, or mend the kid here", "kid %s plays in series %d of game %s, and was not there", x.kid, s.Number, out.ID)
			case !slices.ContainsFunc(there, x.overlaps):
				y := there[len(there)-1]
				z.Problem(x.line, "mend one of the two", "kid %s plays in series %d of game %s, and was there for series %s (line %d)", x.kid, s.Number, out.ID, span(y.first, y.last), y.line)
			}
		}
	}
}

// overlaps tells whether two rows share a series.
func (x *row) overlaps(y *row) bool {
	return (x.last == 0 || y.first <= x.last) && (y.last == 0 || x.first <= y.last)
}

// stretches puts each kid's stretches in order, where the kid first stands, and joins those between which no series lies.
func stretches(all []Presence) []Presence {
	var out []Presence
	for i, p := range all {
		if slices.ContainsFunc(all[:i], func(q Presence) bool { return q.Kid == p.Kid }) {
			continue
		}
		var own []Presence
		for _, q := range all {
			if q.Kid == p.Kid {
				own = append(own, q)
			}
		}
		slices.SortFunc(own, func(a, b Presence) int { return cmp.Compare(a.First, b.First) })
		joined := own[:1]
		for _, q := range own[1:] {
			if last := &joined[len(joined)-1]; q.First <= last.Last+1 {
				last.Last = q.Last
			} else {
				joined = append(joined, q)
			}
		}
		out = append(out, joined...)
	}
	return out
}

func everybody(series []Series, end int) []Presence {
	var out []Presence
	seen := map[string]bool{}
	for _, s := range series {
		for _, x := range s.Slots {
			if !seen[x.Kid] {
				seen[x.Kid] = true
				out = append(out, Presence{x.Kid, 1, end})
			}
		}
	}
	slices.SortFunc(out, func(a, b Presence) int { return drills.NaturalOrder(a.Kid, b.Kid) })
	return out
}
