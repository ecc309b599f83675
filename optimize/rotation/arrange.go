package rotation

import "context"

// Loosened is a rule that was given up or widened so that a plan exists.
type Loosened struct {
	Rule RuleRef
	To   int // the number now in force; for equal series how far shares may differ from the fair ones; -1: dropped
	// Kept: it is as loose as in the plan that is changed (Game.Loose), so that a tighter rule might hold too, with more changes.
	Kept bool
}

// Outcome is an arranged game.
type Outcome struct {
	Problem  *Problem // as solved, after loosening
	Result   *Result  // nil when the rules do not allow a plan
	Rebuilt  *Rebuilt // Rearrange only: the result with its changes
	Short    []Short
	Loosened []Loosened
	Conflict *Conflict   // the first conflict found; nil when the rules can hold
	Owed     *OwedShares // nil where no larger share went by what kids are owed, and nothing is to be paid back
	Remedies []Loosened  // when there is no plan: single changes of a conflicting rule, each of which makes one possible
	// Combined are, when no single change will do, pairs of them that together make a plan possible, each with the fewest steps.
	Combined [][]Loosened

	fair  *Problem // without the preference for kids owed most, where there is one
	split *split
	first []int // who is to have the larger share by it, the most owed first
	back  []Back
	// unpaid are kids who were to get something back and did not.
	unpaid []int
}

// Arrange plans the game. Where the rules cannot all hold it names the conflict and, unless strict,
// loosens rules of the conflict until a plan exists: those that come first in the order of the rule kinds, by
// the smallest step, one after another; Game.SafeOn comes last. Rest limits that the game left to the head count are raised before any
// rule that was asked for, and do not count as loosened.
func (g *Game) Arrange(ctx context.Context, set Settings, strict bool) (*Outcome, error) {
	return g.arrange(ctx, strict, func(out *Outcome) error {
		err := out.preferring(func(p *Problem) (r *Result, err error) {
			out.Result, err = Solve(ctx, p, set)
			return out.Result, err
		})
		if err == nil {
			g.pick(out.Problem, out.Result, set.Favor, nil)
		}
		return err
	})
}

// Rearrange makes a plan from another one, under the rules of the game as Arrange would loosen them; see Rebuild
// for old and price (in the units of the outcome's problem). What a fresh plan would be is for Arrange to say.
func (g *Game) Rearrange(ctx context.Context, old Plan, set Settings, strict bool, price func(*Problem) int64) (*Outcome, error) {
	return g.arrange(ctx, strict, func(out *Outcome) error {
		return g.rebuilding(out, old, set, func(p *Problem) (*Rebuilt, error) { return Rebuild(ctx, p, old, set, price(p)) })
	})
}

// arrange finds the rules under which the game can be planned and solves it. When the solve settles that there is no plan where the
// feasibility question had been left open, it goes on from there.
func (g *Game) arrange(ctx context.Context, strict bool, solve func(*Outcome) error) (*Outcome, error) {
	p, shorts, err := g.Problem()
	if err != nil {
		return nil, err
	}
	lo := &loosener{g: g, p: p, asked: *p}
	if !strict {
		lo.keep()
	}
	for c := Explain(ctx, lo.p); ; c = lo.p.explain(ctx) {
		out := &Outcome{Short: shorts}
		if out.Conflict = lo.settle(ctx, c, strict); out.Conflict != nil {
			out.Problem = lo.p
			out.Remedies, out.Combined = lo.remedies(ctx, out.Conflict)
			return out, nil
		}
		out.Problem, out.Loosened = lo.p, lo.mark(lo.list())
		g.prefer(ctx, out)
		if err := solve(out); err != nil {
			return nil, err
		}
		if out.Result.Status != Infeasible {
			lo.tighten(out)
			return out, nil
		}
	}
}
