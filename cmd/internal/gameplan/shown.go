package gameplan

import (
	"sevenyard/cmd/internal/report"
	"sevenyard/optimize/rotation"
)

// outWords are the reasons why kids are out, as programs read them.
var outWords = [Reasons]string{Absent: "absent", OnHold: "on_hold", Hurt: "hurt", NotInPlan: "not_in_plan"}

// Shown is what a front end needs to show the plan beside its numbers; stopped: the search was ended by hand.
func (pl *Plan) Shown(set rotation.Settings, stopped bool) *report.Shown {
	cat := &pl.Team.Catalogue
	out := &report.Shown{
		Division: pl.Team.Division.Words(), Roles: []report.RoleKey{}, Spots: []int{}, Out: []report.Out{}, Ended: report.EndGaveUp,
		Bare: pl.Bare(), Season: pl.Season != nil, Rules: pl.RulesInForce(), Loosened: []string{}, Calls: []string{}, Care: report.Cautions(cat, "concussion"),
	}
	switch {
	case pl.Outcome.Result.Status == rotation.Proven:
		out.Ended = report.EndProven
	case stopped:
		out.Ended = report.EndStopped
	case pl.OutOfTime(set):
		out.Ended = report.EndTime
	}
	for _, r := range cat.Roles {
		out.Roles = append(out.Roles, report.RoleKey{Role: r.Name, Letter: r.Letter})
	}
	for _, f := range pl.Game.Series {
		out.Spots = append(out.Spots, len(pl.Game.Forms[f].Spots))
	}
	for _, a := range pl.Away {
		out.Out = append(out.Out, report.Out{Kid: a.ID, Why: outWords[a.Why]})
	}
	for _, a := range pl.Gone {
		if k, there := pl.index[a.ID]; there {
			out.Out = append(out.Out, report.Out{Kid: a.ID, Why: outWords[a.Why], Last: pl.Game.Kids[k].Last + 1})
		}
	}
	for _, x := range pl.Outcome.Loosened {
		out.Loosened = append(out.Loosened, pl.LoosenedWords(x))
	}
	if pl.saved != nil {
		out.Calls = append(out.Calls, pl.ChangeWords(pl.Outcome.Result.Plan)...)
	}
	return out
}
