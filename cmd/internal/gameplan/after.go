package gameplan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"sevenyard/assess"
	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/drills"
	"sevenyard/drills/prose"
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
	out := w.Out.WithHolds(f.Roster).WithPlan(sv.file, sv.Hurt)
	if sv, err = sv.withSwaps(w, out, f.Roster, played); err != nil {
		return nil, err
	}
	over, err := sv.over(w, played)
	if err != nil {
		return nil, err
	}
	if sv.bare && over > sv.Played {
		return nil, asked.Wrong(asked.Played, fmt.Sprintf("series %d is over, but it is not in the record, and there is no plan that tells who played", over),
			"record it, or give the plan with ⟦from⟧")
	}
	a := &after{Wishes: w, sv: sv, roster: f.Roster, k: availability.NewKids(len(sv.Series), over, out), last: sv.lastPlayed}
	if err := a.read(); err != nil {
		return nil, err
	}
	pl, err := build(f, profile, forms, a.k)
	if err != nil {
		return nil, err
	}
	pl.Gone, pl.back = a.gone, a.back()
	stranger := func(kid string) bool { return known("", kid, f.Roster) != nil } // whatever stands there may be a name
	pl.marked = slices.DeleteFunc(slices.Concat(sv.Hurt, a.marked), stranger)
	pl.cleared = slices.DeleteFunc(slices.Clone(sv.Cleared), stranger)
	for k := range pl.IDs {
		pl.Game.Kids[k].Hurt = pl.hurtNow(k)
	}
	if played < 0 && over > sv.Played && apart(w.Hurt) {
		pl.note("note: kids were hurt in different series: series %s over by the last of them, and as the plan has them; if not, say how many are over with ⟦played⟧", prose.Are(1, over))
	}
	pl.Notes = append(pl.Notes, sv.notes...)
	pl.Notes = append(pl.Notes, a.notes...)
	if !sv.bare {
		pl.compareWithTeam(sv)
		pl.keepLoose(sv)
		pl.Game.Paid = pl.paidBack(sv)
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
		pl.Game.KeptThere = slices.Repeat([]rotation.Presence{rotation.PresenceOf(nil)}, len(pl.Game.Kids))
		for _, kid := range sv.Kids {
			if k, ok := pl.index[kid.Kid]; ok {
				pl.Game.KeptThere[k] = rotation.PresenceOf(kid.There(len(sv.Series)))
			}
		}
	}
	pl.Game.Played = make([][]rotation.Cell, len(sv.Series))
	copy(pl.Game.Played, pl.old[:pl.Over])
	pl.saved = sv
	return pl, nil
}

// compareWithTeam notes where the plan goes by other numbers than team.toml does by now.
func (pl *Plan) compareWithTeam(sv *Saved) {
	n := len(sv.Series)
	if pl.Team.Series != n {
		pl.note("note: the plan has %s and team.toml asks for %d; it stays with the plan's (for another number plan anew with lineup)", prose.Count(n, "series"), pl.Team.Series)
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
			return 0, asked.Wrong(asked.Hurt, fmt.Sprintf("%s@%d, but only %s over (⟦played %d⟧)", at.Kid, at.Series, areOver(played), played),
				fmt.Sprintf("leave ⟦played⟧ out, or use ⟦played %d⟧", at.Series-1))
		}
	}
	switch {
	case played >= 0 && played < sv.Played:
		return 0, asked.Wrong(asked.Played, fmt.Sprintf("%d, but in %s %s over already", played, sv.file, areOver(sv.Played)), "what is over stays over")
	case n > len(sv.Series):
		return 0, asked.Wrong(asked.Played, fmt.Sprintf("%d, but the plan has %d series", n, len(sv.Series)), fmt.Sprintf("use a number from 0 to %d", len(sv.Series)-1))
	case n == len(sv.Series):
		return 0, asked.Wrong(asked.Played, fmt.Sprintf("all %d series are over", n), "there is nothing left to plan")
	}
	return n, nil
}

// apart tells whether kids were hurt in different series.
func apart(hurt []At) bool {
	return slices.ContainsFunc(hurt, func(at At) bool { return at.Series != hurt[0].Series })
}

func areOver(n int) string {
	if n == 1 {
		return "1 series is"
	}
	return prose.Count(n, "series") + " are"
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
	k      *availability.Kids
	last   func(kid string, n int) int
	gone   []Away
	marked []string // said to be hurt, and out already: on hold, say, which a person may lift without a thought of this
	notes  []string
}

func (a *after) read() error {
	n := len(a.sv.Series)
	for _, k := range a.sv.Kids {
		for s, here := range k.There(n) {
			if here {
				a.k.Come(k.Kid, s+1)
				a.k.Gap(k.Kid, s+2, n)
			}
		}
	}
	for _, kid := range a.sv.Hurt {
		a.end(kid, a.k.Last(kid), Hurt)
	}
	evs, err := a.events(a.roster, n, fmt.Sprintf("use a series from 1 to %d", n), "plan")
	if err != nil {
		return err
	}
	said := map[string]bool{}
	for _, e := range evs {
		take := a.leaves
		if e.comes {
			take = a.late
		}
		if err := take(e, said[e.Kid]); err != nil {
			return err
		}
		said[e.Kid] = true
	}
	for _, at := range a.Hurt {
		if err := a.hurt(at, n); err != nil {
			return err
		}
	}
	for _, kid := range a.Absent {
		if err := known(asked.Absent, kid, a.roster); err != nil {
			return err
		}
		if a.k.First(kid) > 0 {
			if s := a.last(kid, a.k.Over()); s >= 0 {
				a.note("⟦absent %s⟧: kid %[1]s played in series %d, which is over and stays as it was, so the kid counts as gone from series %d on; "+
					"if the kid never came, put on record who played (⟦record-swap %[1]s:KID@%[2]d⟧), and a kid who was hurt is ⟦hurt⟧", kid, s+1, a.k.Over()+1)
			}
			a.end(kid, a.k.Over(), Absent)
		} else {
			a.k.Leave(kid, 0, Absent)
		}
	}
	for _, k := range a.roster {
		if b, barred := a.k.Barred(k.ID); barred && !a.isGone(k.ID) {
			a.end(k.ID, min(a.k.Over(), a.k.Last(k.ID)), b.Why)
		}
	}
	return nil
}

// end takes a kid out after series last; a kid who has not been there by then is not planned at all. The first reason counts: who is hurt and
// said to be absent too is hurt.
func (a *after) end(kid string, last int, why Reason) {
	a.k.Leave(kid, last, why)
	if a.k.First(kid) > 0 && !a.isGone(kid) {
		a.gone = append(a.gone, Away{kid, why})
	}
}

func (a *after) isGone(kid string) bool {
	return slices.ContainsFunc(a.gone, func(x Away) bool { return x.ID == kid })
}

func (a *after) note(format string, args ...any) {
	a.notes = append(a.notes, "note: "+fmt.Sprintf(format, args...))
}

// barred refuses to plan a kid who is out for the day.
func (a *after) barred(e event) error {
	if b, is := a.k.Barred(e.Kid); is && b.Why == Hurt || slices.ContainsFunc(a.Hurt, func(at At) bool { return at.Kid == e.Kid }) {
		return asked.Wrong(e.field, fmt.Sprintf("kid %s was hurt in this game", e.Kid),
			"the hold is for the rest of the day, and no plan lifts it; if it was a mistake, or somebody who may has cleared the kid, say so with ⟦clear⟧")
	}
	return nil
}

// late brings a kid in, or back after a time away; back says that the kid has been said to leave before.
func (a *after) late(e event, back bool) error {
	if err := a.barred(e); err != nil {
		return err
	}
	over, from := a.k.Over(), max(e.Series, a.k.Over()+1)
	switch first := a.k.First(e.Kid); {
	case back:
		a.k.Come(e.Kid, from)
	case first > 0 && a.last(e.Kid, over) >= 0 && e.Series > over: // has played, and is away until then
		a.k.Gap(e.Kid, over+1, e.Series-1)
		a.in(e.Kid, from)
	case first > 0 && first <= over+1 && e.Series <= over+1:
		switch {
		case !a.k.Present(e.Kid, from): // back again
		case a.last(e.Kid, e.Series-1) < 0:
			a.k.Gap(e.Kid, 1, e.Series-1)
		default:
			a.note("⟦late %s@%d⟧ changes nothing: kid %s has been on the field before that series", e.Kid, e.Series, e.Kid)
		}
		a.in(e.Kid, from)
	default:
		if e.Series <= over {
			a.note("⟦late %s@%d⟧: series %s over, so kid %s counts as there from series %d on", e.Kid, e.Series, prose.Are(e.Series, over), e.Kid, over+1)
		}
		a.k.Gap(e.Kid, 1, from-1)
		a.in(e.Kid, from)
	}
	return nil
}

// in has a kid there from a series on: up to when it leaves by the plan, else to the end.
func (a *after) in(kid string, from int) {
	planned := make([]bool, len(a.sv.Series)+1)
	next := 0
	for s := from; s < len(planned); s++ {
		if planned[s] = a.k.Present(kid, s); planned[s] && next == 0 {
			next = s
		}
	}
	a.k.Come(kid, from)
	for s := next; next > 0 && s < len(planned); s++ {
		if !planned[s] {
			a.k.Gap(kid, s, s)
		}
	}
}

// played refuses what the series that are over contradict.
func (a *after) played(field asked.Field, at At) error {
	if s := a.last(at.Kid, a.k.Over()); s > at.Series-1 {
		return asked.Wrong(field, fmt.Sprintf("%s@%d, but the plan has kid %s on the field in series %d, which is over", at.Kid, at.Series, at.Kid, s+1),
			fmt.Sprintf("mend the series, or say who was in that spot: ⟦swap %s:KID@%d⟧", at.Kid, s+1))
	}
	return nil
}

func (a *after) leaves(e event, back bool) error {
	if err := a.barred(e); err != nil {
		return err
	}
	first := a.k.First(e.Kid)
	switch err := a.played(e.field, e.At); {
	case first == 0:
		return asked.Wrong(e.field, fmt.Sprintf("kid %s is not in the plan", e.Kid), "bring the kid in with ⟦late⟧, or leave this out")
	case err != nil:
		return err
	case e.Series < first && !back:
		return asked.Wrong(e.field, fmt.Sprintf("kid %s leaves after series %d and comes for series %d", e.Kid, e.Series, first), "mend one of them, or use ⟦absent⟧ "+e.Kid)
	}
	for s := e.Series; s > 0 && !a.k.Present(e.Kid, s); s-- { // later than planned
		a.k.Come(e.Kid, s)
	}
	a.k.Leave(e.Kid, e.Series, Absent)
	return nil
}

func (a *after) hurt(at At, n int) error {
	const field = asked.Hurt
	if err := known(field, at.Kid, a.roster); err != nil {
		return err
	}
	_, barred := a.k.Barred(at.Kid)
	switch err := a.played(field, at); {
	case at.Series > n:
		return asked.Wrong(field, fmt.Sprintf("%s@%d, but the plan has %d series", at.Kid, at.Series, n), fmt.Sprintf("use a series from 1 to %d", n))
	case a.k.First(at.Kid) == 0 && !barred:
		return asked.Wrong(field, fmt.Sprintf("kid %s is not in the plan", at.Kid), "leave this out")
	case err != nil:
		return err
	case barred:
		a.marked = append(a.marked, at.Kid)
		a.note("⟦hurt %s@%d⟧: kid %s is out already, and stays out", at.Kid, at.Series, at.Kid)
		return nil
	}
	a.end(at.Kid, max(at.Series-1, a.last(at.Kid, a.k.Over())+1), Hurt)
	a.k.Bar(at.Kid, availability.Bar{Why: Hurt, Series: at.Series})
	return nil
}

// Rearrange solves the game with the saved plan in mind. Costs is what a changed spot costs, in T points of the total; 0: as few
// changes as can be.
func (pl *Plan) Rearrange(ctx context.Context, set rotation.Settings, strict bool, costs float64) error {
	out, err := pl.Game.Rearrange(ctx, pl.old, set, strict, func(p *rotation.Problem) int64 { return price(costs, p.Scale) })
	pl.Outcome = out
	return err
}

// price is what a changed spot costs in the solver's numbers, of which scale make a T point; 0: as few changes as can be.
func price(costs float64, scale int64) int64 {
	if costs <= 0 {
		return 0
	}
	return int64(min(max(1, math.Round(costs*float64(scale))), rotation.MaxPrice))
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
