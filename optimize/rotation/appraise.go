package rotation

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// ErrIllegal says that a plan to be appraised breaks a rule; Check tells which.
var ErrIllegal = errors.New("rotation: the plan breaks a rule")

// Appraise gives the values of a legal plan as it is, with what this run proves of them: the game is solved anew from it, in the order of
// set.Favor, and the plan is called the best only where it reaches what no plan betters. Bounds hold for every plan under the rules that
// is no weaker in the objectives before.
func Appraise(ctx context.Context, p *Problem, plan Plan, set Settings) (*Result, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if bad := Check(p, plan); len(bad) > 0 {
		return nil, fmt.Errorf("%w: %s", ErrIllegal, bad[0])
	}
	began := time.Now()
	set.Start = plan
	best, err := Solve(ctx, p, set)
	if err != nil {
		return nil, err
	}
	out := p.valued(plan)
	if len(p.ahead(out.Strength)) == 0 {
		return best, nil
	}
	if best.Plan == nil { // stopped before anything was known
		out.Weakest.Bound, out.Total.Bound = p.crude()
		return out, nil
	}
	// other is the bound of the objective that comes second over all plans, where the plan falls short in the first.
	other := func(favor Favor) (*Result, error) {
		if set.Limit > 0 {
			set.Limit = max(time.Millisecond, set.Limit-time.Since(began))
		}
		set.Favor = favor
		return Solve(ctx, p, set)
	}
	if err := out.judge(p, best, set.Favor, other); err != nil {
		return nil, err
	}
	out.Stats = best.Stats
	out.Stats.Elapsed = time.Since(began)
	return out, nil
}

// valued is a plan with its values, and nothing proven of it.
func (p *Problem) valued(plan Plan) *Result {
	r := &Result{Status: Limited, Plan: plan, Strength: p.Strengths(plan), WeakestSeries: -1}
	if ahead := p.ahead(r.Strength); len(ahead) > 0 {
		r.Weakest.Value, r.Total.Value = slices.Min(ahead), sumOf(ahead)
		r.WeakestSeries = p.weakestSeries(r.Strength, r.Weakest.Value)
	}
	r.Weakest.Bound, r.Total.Bound = r.Weakest.Value, r.Total.Value
	return r
}

// crude bounds the weakest series and the total of any plan by the best kid for every spot.
func (p *Problem) crude() (weakest, total int64) {
	weakest = math.MaxInt64
	for s, shape := range p.Series {
		if p.over(s) {
			continue
		}
		sum := int64(0)
		for r, n := range p.Shapes[shape].Count {
			if n == 0 {
				continue
			}
			most := int64(math.MinInt32)
			for _, row := range p.Shapes[shape].Value {
				most = max(most, int64(row[r]))
			}
			sum += int64(n) * most
		}
		weakest, total = min(weakest, sum), total+sum
	}
	return weakest, total
}

// judge sets bounds and proofs from the best plan that a solve has found.
func (r *Result) judge(p *Problem, best *Result, favor Favor, other func(Favor) (*Result, error)) error {
	first, second, bestFirst, bestSecond, then := &r.Weakest, &r.Total, best.Weakest, best.Total, Total
	if favor == Total {
		first, second, bestFirst, bestSecond, then = second, first, bestSecond, bestFirst, Weakest
	}
	reached := first.Value >= bestFirst.Value
	if favor == Even {
		r.Levels = r.levelsLike(p, best)
		reached = r.Levels == len(p.ahead(r.Strength)) || !best.Total.Proven // else the total's bound is that of plans as even as the best
	}
	if !reached {
		x, err := other(then)
		if err != nil {
			return err
		}
		bestSecond = x.Total
		if then == Weakest {
			bestSecond = x.Weakest
		}
		bestSecond.Proven = false
	}
	first.Bound = max(first.Value, bestFirst.Bound)
	first.Proven = bestFirst.Proven && first.Value >= bestFirst.Bound
	second.Bound = max(second.Value, bestSecond.Bound)
	second.Proven = first.Proven && bestSecond.Proven && second.Value >= bestSecond.Bound
	if favor == Even {
		if second.Proven = r.Levels == len(p.ahead(r.Strength)); second.Proven {
			second.Bound = second.Value
		}
	}
	if first.Proven && second.Proven {
		r.Status = Proven
	}
	return nil
}

// levelsLike is how many series, from the weakest up, are proven as strong as they can be because the best plan's are and no stronger.
func (r *Result) levelsLike(p *Problem, best *Result) int {
	mine, theirs := p.ahead(r.Strength), p.ahead(best.Strength)
	slices.Sort(mine)
	slices.Sort(theirs)
	n := 0
	for n < best.Levels && mine[n] == theirs[n] {
		n++
	}
	return n
}

// Inspect values a plan of the game as it is, and names the rules that it breaks under what Game.Loose leaves of them and what Game.Paid makes of
// shares; no rule is loosened for it, and nothing is proven: bounds are those of the best kid in every spot. Without a result somebody is in it who
// is not in the game.
func (g *Game) Inspect(plan Plan) (*Outcome, []Violation, error) {
	p, shorts, err := g.Problem()
	if err != nil {
		return nil, nil, err
	}
	lo := &loosener{g: g, p: p, asked: *p}
	lo.keep()
	out := &Outcome{Problem: lo.p, Short: shorts, Loosened: lo.mark(lo.list())}
	bad := g.paidInstead(out, plan)
	if out.Problem.holds(plan) {
		out.Result = out.Problem.valued(plan)
		w, t := out.Problem.crude()
		out.Result.Weakest.Bound, out.Result.Total.Bound = max(w, out.Result.Weakest.Value), max(t, out.Result.Total.Value)
	}
	return out, bad, nil
}

// paidInstead checks a plan against the outcome's problem, and where that is the better for it, puts in its place the problem with the shares
// that Game.Paid makes. The giver's longer rest comes last, since it is asked for only where there is no plan without.
func (g *Game) paidInstead(out *Outcome, plan Plan) []Violation {
	p := out.Problem
	bad := Check(p, plan)
	if len(bad) == 0 || len(g.Paid) == 0 {
		return bad
	}
	now := Turns{}
	for _, kid := range p.Kids {
		now.Lo, now.Hi = append(now.Lo, kid.Lo), append(now.Hi, kid.Hi)
	}
	paid := now
	for _, b := range g.Paid {
		if b.To >= 0 && b.To < len(p.Kids) && b.From >= 0 && b.From < len(p.Kids) && b.To != b.From && paid.Hi[b.To] < len(p.Series) && paid.Lo[b.From] > 0 {
			paid = paid.paid(b)
		}
	}
	for _, rest := range []bool{false, true} {
		if q := g.paying(p, now, paid, rest); q != nil {
			if less := Check(q, plan); len(less) < len(bad) {
				bad, out.Problem, out.fair, out.back = less, q, p, g.Paid
			}
		}
	}
	return bad
}

// Appraise is Inspect with what this run proves of the plan, if it breaks no rule; see the function Appraise.
func (g *Game) Appraise(ctx context.Context, plan Plan, set Settings) (*Outcome, []Violation, error) {
	out, bad, err := g.Inspect(plan)
	if err != nil || len(bad) > 0 {
		return out, bad, err
	}
	if len(out.back) > 0 { // what it pays back is in it; the larger shares may be too
		narrow := &Outcome{Problem: out.fair}
		if g.larger(ctx, narrow); len(g.paidInstead(narrow, plan)) == 0 {
			out.Problem, out.first, out.split = narrow.Problem, narrow.first, narrow.split
		}
	} else if g.prefer(ctx, out); out.fair != nil && len(Check(out.Problem, plan)) > 0 { // made before so much was owed: a preference is no rule
		out.Problem, out.fair = out.fair, nil
	}
	err = out.preferring(func(p *Problem) (r *Result, err error) {
		out.Result, err = Appraise(ctx, p, plan, set)
		return out.Result, err
	})
	return out, nil, err
}

// holds tells whether every cell of a plan is a kid and a role of the problem, so that it can be valued.
func (p *Problem) holds(plan Plan) bool {
	if len(plan) != len(p.Series) {
		return false
	}
	for _, cells := range plan {
		for _, c := range cells {
			if c.Kid < 0 || c.Kid >= len(p.Kids) || c.Role < 0 || c.Role >= len(p.Roles) {
				return false
			}
		}
	}
	return true
}
