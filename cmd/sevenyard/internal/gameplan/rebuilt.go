package gameplan

import (
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/optimize/rotation"
)

// Rebuild writes a rebuilt game down; fresh and trade may be nil.
func (pl *Plan) Rebuild(set rotation.Settings, costs float64, fresh *rotation.Result, trade []rotation.Tradeoff) *report.Rebuild {
	re := pl.Outcome.Rebuilt
	out := &report.Rebuild{Lineup: *pl.Lineup(set), ChangeCosts: costs, Tradeoffs: []report.Tradeoff{}}
	out.Schema = report.RebuildSchema
	out.Changes = report.Changes{Value: int(re.Changes.Value), Bound: int(re.Changes.Bound), Proven: re.Changes.Proven, List: pl.Changes(re.Plan)}
	if fresh != nil && fresh.Plan != nil {
		scale := float64(pl.Outcome.Problem.Scale)
		out.Fresh = &report.Fresh{
			Weakest: pl.points(fresh.Weakest), Total: pl.points(fresh.Total), Changes: len(pl.Changes(fresh.Plan)),
			GainWeakest: float64(fresh.Weakest.Value-re.Weakest.Value) / scale,
			GainTotal:   float64(fresh.Total.Value-re.Total.Value) / scale,
		}
	}
	for _, t := range trade {
		out.Tradeoffs = append(out.Tradeoffs, report.Tradeoff{
			Changes: int(t.Changes), Weakest: pl.points(t.Weakest), Total: float64(t.Total) / float64(pl.Outcome.Problem.Scale),
		})
	}
	return out
}

// OutOfTime tells whether the search was cut off by the limit, so that another run may end elsewhere. A search that ended
// short of a proof by itself ends there again.
func (pl *Plan) OutOfTime(set rotation.Settings) bool {
	r := pl.Outcome.Result
	return r.Status == rotation.Limited && set.Limit > 0 && r.Stats.Elapsed >= set.Limit
}
