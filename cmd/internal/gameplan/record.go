package gameplan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// ErrOver says that the record has every series of the game.
var ErrOver = errors.New("every series of this game is recorded; there is nothing left to plan")

// FromRecord makes a plan that knows only what the record knows of a game: the series played, and who is there. The series to come are the
// team's, and empty.
func FromRecord(g *games.Game, f *drills.Folder) (*Saved, error) {
	over := Recorded(g)
	n := max(f.Team.Series, over)
	sv := &Saved{Schema: report.LineupSchema, Team: f.Team.Name, file: games.File, bare: true, lines: map[string]int{}}
	for s := range n {
		sv.Series = append(sv.Series, SavedSeries{Number: s + 1, Formation: f.Team.Formations[s%len(f.Team.Formations)].Name})
	}
	if len(g.Attendance) == 0 { // a record without attendance: whoever is not said to be away is there
		for _, k := range f.Roster {
			if k.Hold == "" {
				sv.Kids = append(sv.Kids, SavedKid{Kid: k.ID, Available: [2]int{1, n}})
			}
		}
	}
	return sv.WithRecord(g)
}

// Recorded is the last series of a game that the record has.
func Recorded(g *games.Game) int { return availability.Recorded(g) }

// WithRecord is the plan with the series of a game that are over as the record has them, and with the kids whom the record has there.
// What is recorded is a fact, whatever the plan says; notes say where they differ.
func (sv *Saved) WithRecord(g *games.Game) (*Saved, error) {
	out := *sv
	if out.from = sv; sv.from != nil {
		out.from = sv.from
	}
	over, n := Recorded(g), len(sv.Series)
	if over > n {
		return nil, sv.problems(0, fmt.Sprintf("the plan has %s, and game %s is recorded up to series %d", prose.Count(n, "series"), g.ID, over), "plan anew with ⟦plan⟧")
	}
	if over == n {
		return nil, ErrOver
	}
	out.Series, out.notes = slices.Clone(sv.Series), slices.Clone(sv.notes)
	out.Played, out.recorded = max(sv.Played, over), over
	played := map[string][]bool{} // by kid, in which series from 0
	plays := func(kid string, s int) {
		if played[kid] == nil {
			played[kid] = make([]bool, n)
		}
		played[kid][s-1] = true
	}
	have := map[int]bool{} // the series on record, from 1
	differ := []int{}
	for _, line := range g.Series {
		if len(line.Slots) == 0 {
			continue
		}
		have[line.Number] = true
		at := &out.Series[line.Number-1]
		was := at.Slots
		at.Slots = nil
		for _, x := range line.Slots {
			at.Slots = append(at.Slots, x)
			plays(x.Kid, line.Number)
		}
		if !sv.bare && !sameSlots(was, at.Slots) {
			differ = append(differ, line.Number)
		}
	}
	for s := 1; s <= over; s++ {
		switch {
		case have[s]:
		case sv.bare:
			return nil, drills.Problems{{At: g.At, What: fmt.Sprintf("game %s has series %d on record and not series %d", g.ID, over, s),
				Do: "record that one too, or give the plan with ⟦from⟧: the series then counts as planned"}}
		default:
			out.Note("game %s has no series %d on record: it counts as planned", g.ID, s)
			for _, x := range out.Series[s-1].Slots {
				plays(x.Kid, s)
			}
		}
	}
	if len(differ) > 0 {
		out.Note("series %s %s played otherwise than planned: the record counts", prose.Ranges(differ), wasWere(len(differ)))
	}
	out.attend(g, sv.Kids, over, played)
	out.Hurt = slices.Clone(sv.Hurt)
	for _, kid := range g.Hurt {
		if !slices.Contains(out.Hurt, kid) {
			out.Hurt = append(out.Hurt, kid)
		}
	}
	return &out, nil
}

func wasWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// Note adds what a coach should know about the plan that is rebuilt.
func (sv *Saved) Note(format string, args ...any) {
	sv.notes = append(sv.notes, "note: "+fmt.Sprintf(format, args...))
}

func sameSlots(a, b []games.Slot) bool {
	order := func(x, y games.Slot) int { return cmp.Compare(x.Kid, y.Kid) }
	return slices.Equal(slices.SortedFunc(slices.Values(a), order), slices.SortedFunc(slices.Values(b), order))
}

// attend works out who is there when. What the record says of a kid counts; where it says that a kid is there to the end, the plan may
// know of an earlier one, and of kids who are still to come or come back.
func (sv *Saved) attend(g *games.Game, planned []SavedKid, over int, played map[string][]bool) {
	n := len(sv.Series)
	sv.Kids = nil
	back := map[string]int{}
	for _, k := range planned {
		back[k.Kid] = k.Back
	}
	add := func(kid string, there []bool) {
		if slices.ContainsFunc(sv.Kids, func(k SavedKid) bool { return k.Kid == kid }) {
			return
		}
		for s, on := range played[kid] {
			there[s] = there[s] || on
		}
		if k, ok := savedKid(kid, there); ok {
			k.Back = back[kid]
			sv.Kids = append(sv.Kids, k)
		}
	}
	onRecord := func(kid string) bool {
		return slices.ContainsFunc(g.Attendance, func(p games.Presence) bool { return p.Kid == kid })
	}
	for _, k := range planned {
		switch {
		case onRecord(k.Kid):
			add(k.Kid, stay(g, k, over, n))
		case len(g.Attendance) == 0 || k.Available[0] > over || played[k.Kid] != nil: // as planned
			add(k.Kid, k.There(n))
		default:
			sv.Note("kid %s is not there according to the record of game %s, and so is not planned; ⟦late⟧ brings the kid in", k.Kid, g.ID)
		}
	}
	for _, p := range g.Attendance {
		add(p.Kid, stay(g, SavedKid{Kid: p.Kid, Available: [2]int{1, n}}, over, n))
	}
	for _, line := range g.Series { // kids who played and of whom nothing else is known
		for _, x := range line.Slots {
			add(x.Kid, slices.Repeat([]bool{true}, n))
		}
	}
}

// stay is when a kid is there who is on record, in a game of n series of which the first are over; k is what the plan says.
func stay(g *games.Game, k SavedKid, over, n int) []bool {
	planned := k.There(n)
	first, last := 0, 1 // of the record; last 0: to the end
	for _, p := range g.Attendance {
		if p.Kid == k.Kid {
			if first == 0 {
				first = p.First
			}
			last = p.Last
		}
	}
	back := !slices.Contains(g.Hurt, k.Kid) && k.BackAfter(last, over, n)
	out := make([]bool, n)
	for s := range out {
		out[s] = games.There(g.Attendance, k.Kid, s+1)
		switch {
		case s+1 > over && back: // the plan knows that the kid left, and of its coming back since
			out[s] = planned[s]
		case s+1 > over && last == 0 && k.Available[1] >= over: // as planned, or there before that
			out[s] = out[s] && (planned[s] || first > 1 && s+1 < k.Available[0])
		case first <= 1 && k.Available[0] > over && s+1 < k.Available[0]: // still to come
			out[s] = false
		}
	}
	return out
}

// back is for which series kids who had left came back: by the plan so far, and by what is said now.
func (a *after) back() map[string]int {
	out := map[string]int{}
	for _, k := range a.sv.Kids {
		there := k.There(len(a.sv.Series))
		out[k.Kid] = k.Back
		for _, at := range a.Late {
			from := max(at.Series, a.k.Over()+1)
			if at.Kid == k.Kid && from <= len(there) && !there[from-1] && slices.Contains(there[:from-1], true) {
				out[k.Kid] = from
			}
		}
	}
	return out
}

// HurtBefore warns of kids who are planned and were hurt in the last game that they came to, other than the one being planned: whether they may
// play is not for this tool to say, and a hold is a person's to write. Games missed since then heal nothing.
func (pl *Plan) HurtBefore(rec *games.Record, without string) {
	for _, kid := range pl.IDs {
		for i := len(rec.Games) - 1; i >= 0; i-- {
			g := &rec.Games[i]
			hurt := slices.Contains(g.Hurt, kid)
			if g.ID == without || !hurt && !slices.ContainsFunc(g.Kids, func(p games.Presence) bool { return p.Kid == kid }) {
				continue
			}
			if hurt {
				pl.note("kid %s was hurt in game %s, the last one it came to, and has no hold in roster.csv: after a knock to the head a kid plays again only "+
					"when a licensed health professional has cleared it; if in doubt, write a hold", kid, g.ID)
			}
			break
		}
	}
}

// Bare tells whether there is no plan behind the series to come: everything in them is new.
func (pl *Plan) Bare() bool { return pl.saved != nil && pl.saved.bare }
