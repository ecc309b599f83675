package planning

import (
	"context"
	"time"

	"sevenyard/cmd/internal/report"
)

// NoPlan says why there is no plan.
type NoPlan struct {
	Open, Do string           // what is open and what to do, where no plan was found and none was ruled out
	Conflict *report.Conflict // rules that cannot hold together, by kids' ids; nil: none is known
}

func (e *NoPlan) Error() string {
	if e.Conflict != nil {
		return "no plan"
	}
	return e.Open + "; " + e.Do
}

// Refusal is the same as an object.
func (e *NoPlan) Refusal() *report.Refusal {
	if e.Conflict == nil {
		return report.NewRefusal(report.Problem{What: e.Open, Do: e.Do})
	}
	out := report.NewRefusal()
	out.Conflict = e.Conflict
	return out
}

// refuse tells why there is no plan.
func (g *Game) refuse(ctx context.Context) error {
	if g.Plan.Outcome.Conflict == nil {
		if r := g.Plan.Outcome.Result; r != nil && !g.Plan.OutOfTime(g.Set) {
			return &NoPlan{Open: "no plan was found, and none was ruled out: this game is past what can be searched through", Do: g.Words.AskLess(g.Set.Seed)}
		}
		return &NoPlan{Open: "no plan was found in the time given, and none was ruled out", Do: g.Words.MoreTime()}
	}
	g.Plan.Call = nil // what programs read goes by ids
	return &NoPlan{Conflict: g.Plan.Conflict(g.Strict && g.loosens(ctx))}
}

// lookAhead is the most time that goes into what a refusal may promise.
const lookAhead = 2 * time.Second

// loosens tells whether there is a plan once rules may be loosened: some never are, so it has to be tried.
func (g *Game) loosens(ctx context.Context) bool {
	set := g.Set
	set.Progress = nil
	if set.Limit == 0 || set.Limit > lookAhead {
		set.Limit = lookAhead
	}
	out, err := g.Plan.Game.Arrange(ctx, set, false)
	return err == nil && out != nil && out.Result != nil && out.Result.Plan != nil
}
