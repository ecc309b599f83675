package gameday

import (
	"context"
	"fmt"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// refuse tells why there is no plan.
func (g *Game) refuse(ctx context.Context) error {
	c := g.Pl.Outcome.Conflict
	if c == nil {
		open, do := "no plan was found in the time given, and none was ruled out", "give it more time with --seconds 120, or ask for less: fewer series or rules"
		if r := g.Pl.Outcome.Result; r != nil && !g.Pl.OutOfTime(g.Set) {
			open, do = "no plan was found, and none was ruled out: this game is past what can be searched through", fmt.Sprintf("ask for less: fewer series or rules; or try --seed %d", g.Set.Seed+1)
		}
		return &tty.Refused{
			Text:   g.Fold("sevenyard: "+open+"; "+do, "  "),
			Object: report.NewRefusal(report.Problem{What: open, Do: do}),
		}
	}
	loosens := g.Strict && g.loosens(ctx)
	g.Pl.Call = nil // what programs read goes by ids
	object := report.NewRefusal()
	object.Conflict = g.Pl.Conflict(loosens)
	g.callNames()
	return &tty.Refused{Text: g.conflictText(g.Pl.Conflict(loosens)), Object: object}
}

// conflictText is a conflict for people.
func (g *Game) conflictText(c *report.Conflict) string {
	out := g.Fold("sevenyard: no plan: "+tty.ConflictHead(c), "  ") + g.ConflictBody(c)
	if c.Loosens {
		out += g.Fold("Or leave --strict out: then rules are loosened as little as need be, and the screen says which.", "")
	}
	return out
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
	out, err := g.Pl.Game.Arrange(ctx, set, false)
	return err == nil && out != nil && out.Result != nil && out.Result.Plan != nil
}
