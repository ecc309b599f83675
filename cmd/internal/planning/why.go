package planning

import (
	"context"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// Inquiry is a question about a plan on its way to an answer.
type Inquiry struct {
	*Game
	Question gameplan.Question
	From     string // the name of the saved plan that is asked about; "": a plan made now

	kid   int
	roles []int
	base  rotation.Settings // of the plan asked about
	why   *report.Why
}

// Inquire puts the game together that is asked about: the one of a saved plan, or, where from is "", one planned now.
func (g *Game) Inquire(folder *drills.Folder, q gameplan.Question, from string, read func() (*gameplan.Saved, error)) (*Inquiry, error) {
	w := &Inquiry{Game: g, Question: q, From: from}
	favor := "" // the saved plan's order of objectives
	var heat *drills.Heat
	err := g.Load(folder, func(g *Game) (pl *gameplan.Plan, err error) {
		if from == "" {
			pl, err = Anew(g)
		} else {
			pl, favor, heat, err = g.saved(read)
		}
		if err == nil {
			w.kid, w.roles, err = pl.Asked(q, g.Folder.Roster)
		}
		return pl, err
	})
	if err != nil {
		return nil, err
	}
	if heat != nil {
		g.Heat = heat
		g.Plan.Notes = append(g.Plan.Notes, heatCounts(heat))
	}
	if favor != "" && g.Wishes.Favor == "" {
		if g.Set.Favor, err = gameplan.ParseFavor(favor); err != nil {
			return nil, err
		}
	}
	w.base = g.Share(0.4)
	return w, nil
}

// saved is the plan of a file, changed where it no longer holds.
func (g *Game) saved(read func() (*gameplan.Saved, error)) (*gameplan.Plan, string, *drills.Heat, error) {
	saved, err := read()
	if err != nil {
		return nil, "", nil, err
	}
	heat, err := g.SavedHeat(saved)
	if err != nil {
		return nil, "", nil, err
	}
	g.heed(heat)
	pl, err := gameplan.NewFrom(g.Folder, g.Profile, g.Wishes, saved, -1)
	if err == nil && heat != nil {
		pl.Game.SafeOn = heat.MaxOn
	}
	return pl, saved.Favor, heat, err
}

// Answer makes the plan asked about and solves it again in other ways.
func (w *Inquiry) Answer(ctx context.Context) error {
	set := w.Share(0.6)
	var err error
	if w.From == "" {
		err = w.Plan.Arrange(ctx, w.base, w.Strict)
	} else { // the saved plan itself where it still holds
		err = w.Plan.Rearrange(ctx, w.base, w.Strict, 0)
	}
	if err != nil || w.Plan.Outcome.Result == nil || w.Plan.Outcome.Result.Plan == nil {
		return err
	}
	if w.From != "" {
		w.Plan.Own()
	}
	if w.why, err = w.Plan.Why(ctx, w.Question, w.kid, w.roles, w.base, set); err != nil || w.From == "" {
		return err
	}
	set.Limit /= 4
	fresh, err := w.Plan.Fresh(ctx, set)
	w.why.From = w.Plan.From(w.From, fresh)
	return err
}

// Report is the answer as an object; nil where it was stopped by hand: answers that were not searched for to the end are none.
func (w *Inquiry) Report() *report.Why {
	w.Set.Limit = w.base.Limit // what the plan itself had
	if w.Stopped {
		return nil
	}
	w.why.Warnings = append(w.why.Warnings, w.Warnings()...)
	return w.why
}
