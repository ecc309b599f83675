package gameplan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"sevenyard/assess"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// NewFrom puts the rest of a game together from its saved plan: the first played series are over (-1: as many as the
// plan says, or as a kid hurt in a later series shows), and who is there follows the plan except where the wishes say otherwise.
//
// Notes say what of the file does not hold as the team stands now, or was changed in it.
func NewFrom(f *drills.Folder, profile *assess.Profile, w Wishes, sv *Saved, played int) (*Plan, error) {
	pl, err := newFrom(f, profile, w, sv, played)
	if err == nil && !sv.bare {
		pl.Notes = append(pl.Notes, sv.doubts(f, profile)...)
	}
	return pl, err
}

func newFrom(f *drills.Folder, profile *assess.Profile, w Wishes, sv *Saved, played int) (*Plan, error) {
	forms, err := sv.match(f)
	if err != nil {
		return nil, err
	}
	a := &after{Wishes: w, sv: sv, roster: f.Roster, p: newPresence(), last: sv.lastPlayed}
	if a.p.over, err = sv.over(w, played); err != nil {
		return nil, err
	}
	if sv.bare && a.p.over > sv.Played {
		return nil, &WishError{"--played", fmt.Sprintf("series %d is over, but it is not in the record, and there is no plan that tells who played", a.p.over),
			"record it, or give the plan with --from"}
	}
	if err := a.read(); err != nil {
		return nil, err
	}
	pl, err := build(f, profile, forms, a.p)
	if err != nil {
		return nil, err
	}
	pl.Gone = a.gone
	pl.Notes = append(pl.Notes, sv.notes...)
	pl.Notes = append(pl.Notes, a.notes...)
	if !sv.bare {
		pl.compareWithTeam(sv)
		pl.keepLoose(sv)
	}
	pl.old = make(rotation.Plan, len(sv.Series))
	for s, line := range sv.Series {
		pl.old[s] = []rotation.Cell{}
		for _, x := range line.Slots {
			k, ok := pl.index[x.Kid]
			if !ok { // kept, so that spots can be told apart from kids; the solver takes it as no kid
				k = -1
			}
			pl.old[s] = append(pl.old[s], rotation.Cell{Kid: k, Role: pl.role(x.Role)})
		}
	}
	if !sv.bare {
		pl.Game.Kept = pl.old
		pl.Game.KeptThere = slices.Repeat([]rotation.Window{{First: 0, Last: -1}}, len(pl.Game.Kids))
		for _, kid := range sv.Kids {
			if k, ok := pl.index[kid.Kid]; ok {
				pl.Game.KeptThere[k] = rotation.Window{First: kid.Available[0] - 1, Last: kid.Available[1] - 1}
			}
		}
	}
	pl.Game.Played = make([][]rotation.Cell, len(sv.Series))
	for s := range pl.Over {
		pl.Game.Played[s] = pl.old[s]
	}
	pl.saved = sv
	return pl, nil
}

// compareWithTeam notes where the plan goes by other numbers than team.toml does by now.
func (pl *Plan) compareWithTeam(sv *Saved) {
	n := len(sv.Series)
	if pl.Team.Series != n {
		pl.note("note: the plan has %s and team.toml asks for %d; it stays with the plan's (for another number plan anew with lineup)", Count(n, "series"), pl.Team.Series)
	}
	for s := pl.Over; s < n; s++ {
		if want := pl.Team.Formations[s%len(pl.Team.Formations)].Name; sv.Series[s].Formation != want {
			pl.note("note: the plan has %s in series %d and team.toml %s; it stays with the plan's formations (for others plan anew with lineup)", sv.Series[s].Formation, s+1, want)
			return
		}
	}
}

// over is the number of series that are over.
func (sv *Saved) over(w Wishes, played int) (int, error) {
	n := max(played, sv.Played)
	for _, at := range w.Hurt {
		if played < 0 {
			n = max(n, min(at.Series, len(sv.Series))-1)
		} else if at.Series > played+1 {
			return 0, &WishError{"--hurt", fmt.Sprintf("%s@%d, but only %s over (--played %d)", at.Kid, at.Series, areOver(played), played),
				fmt.Sprintf("leave --played out, or use --played %d", at.Series-1)}
		}
	}
	switch {
	case played >= 0 && played < sv.Played:
		return 0, &WishError{"--played", fmt.Sprintf("%d, but in %s %s over already", played, sv.file, areOver(sv.Played)), "what is over stays over"}
	case n > len(sv.Series):
		return 0, &WishError{"--played", fmt.Sprintf("%d, but the plan has %d series", n, len(sv.Series)), fmt.Sprintf("use a number from 0 to %d", len(sv.Series)-1)}
	case n == len(sv.Series):
		return 0, &WishError{"--played", fmt.Sprintf("all %d series are over", n), "there is nothing left to plan"}
	}
	return n, nil
}

func areOver(n int) string {
	if n == 1 {
		return "1 series is"
	}
	return Count(n, "series") + " are"
}

// lastPlayed is the last of the first n series, from 0, that the plan has the kid on the field in; -1: none.
func (sv *Saved) lastPlayed(kid string, n int) int {
	for s := n - 1; s >= 0; s-- {
		for _, x := range sv.Series[s].Slots {
			if x.Kid == kid {
				return s
			}
		}
	}
	return -1
}

// after works out who is there for the rest of a game.
type after struct {
	Wishes
	sv     *Saved
	roster []drills.Kid
	p      *presence
	last   func(kid string, n int) int
	gone   []Away
	notes  []string
}

func (a *after) read() error {
	n := len(a.sv.Series)
	for _, k := range a.roster {
		a.p.absent[k.ID], a.p.why[k.ID] = true, NotInPlan
	}
	for _, k := range a.sv.Kids {
		a.p.absent[k.Kid] = false
		a.p.first[k.Kid], a.p.last[k.Kid] = k.Available[0]-1, k.Available[1]-1
	}
	for _, kid := range a.sv.Hurt {
		if known("", kid, a.roster) != nil {
			continue // off the roster by now: not planned anyway
		}
		if !a.p.absent[kid] {
			a.end(kid, a.p.last[kid], Hurt)
		}
		a.p.why[kid] = Hurt
	}
	for _, list := range []struct {
		flag string
		ats  []At
		take func(string, At) error
	}{{"--late", a.Late, a.late}, {"--leaves", a.Leaves, a.leaves}, {"--hurt", a.Hurt, a.hurt}} {
		for _, at := range list.ats {
			if err := known(list.flag, at.Kid, a.roster); err != nil {
				return err
			}
			if at.Series > n {
				return &WishError{list.flag, fmt.Sprintf("%s@%d, but the plan has %d series", at.Kid, at.Series, n), fmt.Sprintf("use a series from 1 to %d", n)}
			}
			if err := list.take(list.flag, at); err != nil {
				return err
			}
		}
	}
	for _, kid := range a.Absent {
		if err := known("--absent", kid, a.roster); err != nil {
			return err
		}
		if !a.p.absent[kid] {
			a.end(kid, a.p.over-1, Absent)
		} else if a.p.why[kid] == NotInPlan {
			a.p.why[kid] = Absent
		}
	}
	for _, k := range a.roster {
		if k.Hold != "" && !a.p.absent[k.ID] {
			a.end(k.ID, a.p.over-1, OnHold)
		}
	}
	return nil
}

// end takes a kid out after series last; a kid who has not been there by then is not planned at all.
func (a *after) end(kid string, last int, why Reason) {
	if last < a.p.first[kid] {
		a.p.absent[kid], a.p.why[kid] = true, why
		return
	}
	a.p.plays[kid] = true
	a.p.last[kid] = min(a.p.last[kid], last)
	a.gone = append(a.gone, Away{kid, why})
}

// late brings a kid in, or back after a time away.
func (a *after) late(flag string, at At) error {
	from, n := at.Series-1, len(a.sv.Series)
	in := !a.p.absent[at.Kid]
	note := func(format string, args ...any) { a.notes = append(a.notes, "note: "+fmt.Sprintf(format, args...)) }
	switch {
	case a.hurtToday(at.Kid):
		return &WishError{flag, fmt.Sprintf("kid %s was hurt in this game", at.Kid),
			"the hold is for the rest of the day, and this tool does not lift it; a person decides on the next game"}
	case in && a.last(at.Kid, a.p.over) >= 0 && from > a.p.over:
		return &WishError{flag, fmt.Sprintf("kid %s has played already, and comes back for series %d only", at.Kid, at.Series),
			"leave the kid out with --absent now, and use --late when that series is next"}
	case in && from <= a.p.over && a.p.first[at.Kid] <= a.p.over: // there already, or back now
		switch first := a.p.first[at.Kid]; {
		case from <= first, from > a.p.last[at.Kid]: // as planned, or back again
		case a.last(at.Kid, from) < 0:
			a.p.first[at.Kid] = from
		default:
			note("--late %s@%d changes nothing: kid %s has been on the field before that series", at.Kid, at.Series, at.Kid)
		}
	default:
		if from < a.p.over {
			note("--late %s@%d: series %s over, so kid %s counts as there from series %d on", at.Kid, at.Series, rangeIs(at.Series, a.p.over), at.Kid, a.p.over+1)
		}
		a.p.first[at.Kid] = max(from, a.p.over)
	}
	if !in || max(from, a.p.over) > a.p.last[at.Kid] {
		a.p.last[at.Kid] = n - 1
	}
	a.p.absent[at.Kid] = false
	return nil
}

// rangeIs says one series or several: "3 is", "3-5 are".
func rangeIs(a, b int) string {
	if a == b {
		return fmt.Sprintf("%d is", a)
	}
	return fmt.Sprintf("%d-%d are", a, b)
}

// hurtToday tells whether the kid is on hold since an earlier rebuild of this game, or by this one.
func (a *after) hurtToday(kid string) bool {
	return slices.Contains(a.sv.Hurt, kid) || slices.ContainsFunc(a.Hurt, func(at At) bool { return at.Kid == kid })
}

func (a *after) leaves(flag string, at At) error {
	if a.p.absent[at.Kid] {
		return &WishError{flag, fmt.Sprintf("kid %s is not in the plan", at.Kid), "bring the kid in with --late, or leave this out"}
	}
	if s := a.last(at.Kid, a.p.over); s > at.Series-1 {
		return &WishError{flag, fmt.Sprintf("%s@%d, but the plan has kid %s on the field in series %d, which is over", at.Kid, at.Series, at.Kid, s+1), "mend the series"}
	}
	if at.Series-1 < a.p.first[at.Kid] {
		return &WishError{flag, fmt.Sprintf("kid %s leaves after series %d and comes for series %d", at.Kid, at.Series, a.p.first[at.Kid]+1), "mend one of them, or use --absent " + at.Kid}
	}
	a.p.last[at.Kid] = at.Series - 1
	return nil
}

func (a *after) hurt(flag string, at At) error {
	if a.p.absent[at.Kid] {
		return &WishError{flag, fmt.Sprintf("kid %s is not in the plan", at.Kid), "leave this out"}
	}
	s := a.last(at.Kid, a.p.over)
	if s > at.Series-1 {
		return &WishError{flag, fmt.Sprintf("%s@%d, but the plan has kid %s on the field in series %d, which is over", at.Kid, at.Series, at.Kid, s+1), "mend the series"}
	}
	a.end(at.Kid, max(at.Series-2, s), Hurt)
	return nil
}

// Rearrange solves the game with the saved plan in mind. Costs is what a changed spot costs, in T points of the total; 0: as few
// changes as can be.
func (pl *Plan) Rearrange(ctx context.Context, set rotation.Settings, strict bool, costs float64) error {
	out, err := pl.Game.Rearrange(ctx, pl.old, set, strict, func(p *rotation.Problem) int64 {
		if costs <= 0 {
			return 0
		}
		return min(max(1, int64(math.Round(costs*float64(p.Scale)))), rotation.MaxPrice)
	})
	pl.Outcome = out
	return err
}

// RearrangeWithin solves the game with at most so many changed spots: the weakest series as strong as that allows.
func (pl *Plan) RearrangeWithin(ctx context.Context, set rotation.Settings, strict bool, most int) error {
	out, err := pl.Game.RearrangeWithin(ctx, pl.old, set, strict, int64(most))
	pl.Outcome = out
	return err
}

// ArrangeRest solves the rest of a game of which only the record is known: nothing is kept, and nothing counts as changed.
func (pl *Plan) ArrangeRest(ctx context.Context, set rotation.Settings, strict bool) error {
	if err := pl.Arrange(ctx, set, strict); err != nil || pl.Outcome.Result == nil || pl.Outcome.Result.Plan == nil {
		return err
	}
	pl.Outcome.Rebuilt = &rotation.Rebuilt{Result: *pl.Outcome.Result, Changes: rotation.Bounded{Proven: true}}
	return nil
}

// Fresh solves the rest of the game anew, under the rules of the rebuilt one; of the best plans it takes the one with the fewest changes.
func (pl *Plan) Fresh(ctx context.Context, set rotation.Settings) (*rotation.Rebuilt, error) {
	return rotation.Fresh(ctx, pl.Outcome.Problem, pl.old, set)
}

// Tradeoffs lists plans between few changes and a strong weakest series.
func (pl *Plan) Tradeoffs(ctx context.Context, set rotation.Settings) ([]rotation.Tradeoff, error) {
	return rotation.Tradeoffs(ctx, pl.Outcome.Problem, pl.old, set)
}
