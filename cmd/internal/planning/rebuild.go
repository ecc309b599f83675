package planning

import (
	"context"
	"slices"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// Way is how a plan is to be rebuilt.
type Way struct {
	Played    int     // series that are over; -1: as the record and the plan say
	Costs     float64 // T points a change counts as; 0: as few changes as can be
	Changes   int     // at most so many; -1: as few as can be
	Tradeoffs bool
}

// Rebuilding is a plan on its way to another one.
type Rebuilding struct {
	*Game
	Way   Way
	heat  *drills.Heat      // the saved plan's reading, where no newer one is given
	fresh *rotation.Rebuilt // nil where it was not found
	trade []rotation.Tradeoff
	limit rotation.Settings
}

// Rebuild puts the game together that starts from a saved plan (base gives it; nil: from the record alone).
func (g *Game) Rebuild(folder *drills.Folder, way Way, base func() (*gameplan.Saved, error)) (*Rebuilding, error) {
	r := &Rebuilding{Game: g, Way: way}
	err := g.Load(folder, func(g *Game) (*gameplan.Plan, error) {
		saved, err := base()
		if err != nil {
			return nil, err
		}
		if saved, err = g.Base(saved); err != nil {
			return nil, err
		}
		if r.heat, err = g.SavedHeat(saved); err != nil {
			return nil, err
		}
		g.heed(r.heat)
		return gameplan.NewFrom(g.Folder, g.Profile, g.Wishes, saved, way.Played)
	})
	if err != nil {
		return nil, err
	}
	if r.heat != nil {
		g.Heat = r.heat
		g.keepSafe(r.heat)
	}
	r.limit.Limit = g.Share(1. / 3).Limit // a rebuild, a fresh plan, a list
	return r, nil
}

// Solve rebuilds the plan, and looks at what else there would be.
func (r *Rebuilding) Solve(ctx context.Context) (err error) {
	set := r.Set
	set.Limit = r.limit.Limit
	switch {
	case r.Plan.Bare(): // nothing to keep
		return r.Plan.ArrangeRest(ctx, set, r.Strict)
	case r.Way.Changes >= 0:
		err = r.Plan.RearrangeWithin(ctx, set, r.Strict, r.Way.Changes)
	default:
		err = r.Plan.Rearrange(ctx, set, r.Strict, r.Way.Costs)
	}
	if err != nil || r.Plan.Outcome.Result == nil || r.Plan.Outcome.Result.Plan == nil {
		return err
	}
	if r.fresh, err = r.Plan.Fresh(ctx, set); err != nil || !r.Way.Tradeoffs {
		return err
	}
	r.trade, err = r.Plan.Tradeoffs(ctx, set)
	return err
}

// TooFew is that there is no plan with so few changed spots.
type TooFew struct {
	Most    int // as asked for
	Changes report.Changes
	Stopped bool
}

func (e *TooFew) Error() string {
	return "no plan with " + prose.Count(e.Most, "changed spot") + " or fewer"
}

// Report is the rebuilt plan as an object. With fewer changes asked for than were found possible it is the error TooFew.
func (r *Rebuilding) Report() (*report.Rebuild, error) {
	if r.Stopped { // what was not searched through tells nothing
		r.fresh, r.trade = nil, nil
	}
	r.Set.Limit = r.limit.Limit // what the rebuild itself had
	r.Plan.NoteFavor(r.Wishes.Favor)
	re := r.Plan.Rebuild(r.Set, r.Way.Costs, r.fresh, r.trade)
	if n := re.Changes; r.Way.Changes >= 0 && n.Value > r.Way.Changes {
		return nil, &TooFew{Most: r.Way.Changes, Changes: n, Stopped: r.Stopped}
	}
	re.Warnings = append(re.Warnings, r.Warnings()...)
	if r.Running(re) {
		re.Warnings = append(re.Warnings, r.Words.NonePlayed())
	}
	re.Cautions = r.cautions()
	r.addHeat(&re.Lineup)
	if r.heat != nil {
		r.Plan.Notes = append(r.Plan.Notes, r.heatStays(r.heat))
		re.Warnings = append(re.Warnings, r.heatStays(r.heat))
	}
	return re, re.Seal(re)
}

// Running tells whether what was asked for hints at a game that is on, although nothing says that series are over.
func (r *Rebuilding) Running(re *report.Rebuild) bool {
	later := func(at gameplan.At) bool { return at.Series > 1 }
	return r.Way.Played < 0 && re.Played == 0 && (slices.ContainsFunc(r.Wishes.Late, later) || len(r.Wishes.Leaves)+len(r.Wishes.Hurt) > 0)
}
