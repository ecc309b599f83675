package gameplan

import (
	"sevenyard/cmd/internal/report"
	"sevenyard/optimize/rotation"
)

// Rebuild writes a rebuilt game down; fresh and trade may be nil.
func (pl *Plan) Rebuild(set rotation.Settings, costs float64, fresh *rotation.Rebuilt, trade []rotation.Tradeoff) *report.Rebuild {
	re := pl.Outcome.Rebuilt
	if !pl.Bare() {
		set.Favor = rotation.Weakest // what comes after the changes, whatever a fresh plan would favor
	}
	out := &report.Rebuild{Lineup: *pl.Lineup(set), ChangeCosts: costs, Tradeoffs: []report.Tradeoff{}}
	out.Schema = report.RebuildSchema
	out.Changes = report.Changes{Value: int(re.Changes.Value), Bound: int(re.Changes.Bound), Proven: re.Changes.Proven, List: pl.Changes(re.Plan)}
	out.Fresh = pl.fresh(fresh)
	for _, t := range trade {
		if f := out.Fresh; f != nil && t.Weakest.Value == fresh.Weakest.Value && t.Total == fresh.Total.Value {
			f.Changes = min(f.Changes, int(t.Changes)) // a plan as good as the fresh one, found with fewer changes
		}
		out.Tradeoffs = append(out.Tradeoffs, report.Tradeoff{
			Changes: int(t.Changes), Weakest: pl.points(t.Weakest), Total: float64(t.Total) / float64(pl.Outcome.Problem.Scale),
		})
	}
	return out
}

// NoteFavor says what an aim given with --favor has no part in: which spots of a saved plan change. A plan made for another aim gives it up there.
func (pl *Plan) NoteFavor(favor string) {
	if pl.Bare() || favor == "" || favor == favors[rotation.Weakest] {
		return
	}
	pl.note("note: ⟦favor %s⟧ counts for the fresh plan that is compared with, and not for which spots change: a saved plan is changed as little as need be, then for its weakest series, "+
		"then for the total; for a plan made for %[1]s strength alone: ⟦plan-favor %[1]s⟧", favor)
}

// fresh sets a plan without regard to the saved one beside the outcome's; nil: there is none.
func (pl *Plan) fresh(r *rotation.Rebuilt) *report.Fresh {
	if r == nil || r.Plan == nil {
		return nil
	}
	scale, re := float64(pl.Outcome.Problem.Scale), pl.Outcome.Result
	return &report.Fresh{
		Weakest: pl.points(r.Weakest), Total: pl.points(r.Total), Changes: len(pl.Changes(r.Plan)), ChangesProven: r.Changes.Proven,
		GainWeakest: float64(r.Weakest.Value-re.Weakest.Value) / scale,
		GainTotal:   float64(r.Total.Value-re.Total.Value) / scale,
	}
}

// From tells how the saved plan that a question is about stands.
func (pl *Plan) From(file string, fresh *rotation.Rebuilt) *report.From {
	return &report.From{File: file, Played: pl.Over, Changes: int(pl.Outcome.Rebuilt.Changes.Value), Fresh: pl.fresh(fresh)}
}

// OutOfTime tells whether the search was cut off by the limit, so that another run may end elsewhere. A search that ended
// short of a proof by itself ends there again.
func (pl *Plan) OutOfTime(set rotation.Settings) bool {
	r := pl.Outcome.Result
	return !pl.shown && (r.Status == rotation.Limited || r.Status == rotation.Unknown) && set.Limit > 0 && r.Stats.Elapsed >= set.Limit
}
