package rotation

import (
	"context"
	"math"
	"slices"
)

// Bounds on the questions asked for remedies; each may cost a whole search.
const (
	remedyMaybes  = 6   // questions left open
	remedyAsks    = 250 // questions in all
	mostCombined  = 4   // pairs of changes that are listed
	withoutNumber = -1  // a rule that is dropped altogether has no number to be set to
)

// adviser looks for changes that would make a plan possible. It may change what the tool never loosens by itself, but for never-roles.
type adviser struct {
	l            *loosener
	ctx          context.Context
	asks, maybes int
}

// change is a rule, widened by so many steps.
type change struct {
	rule  RuleRef
	steps int
}

// remedies tries every rule of a conflict alone: the nearest value with which the whole problem has a plan. Where no single one
// will do it tries pairs.
func (l *loosener) remedies(ctx context.Context, c *Conflict) (single []Loosened, combined [][]Loosened) {
	a := &adviser{l: l, ctx: ctx}
	rules := distinct(c.Rules)
	for _, r := range rules {
		if n, ok := a.nearest(func(n int) []change { return []change{{r, n}} }, a.most(r)); ok {
			single = append(single, a.as(change{r, n}))
		}
	}
	if len(single) > 0 {
		return single, nil
	}
	for i, r := range rules {
		combined = append(combined, a.pairs(r, rules[:i])...)
		if len(combined) >= mostCombined {
			return nil, combined[:mostCombined]
		}
	}
	return nil, combined
}

// distinct leaves one of the rules on equal series, and of those on the minimum share: they are changed for all kids at once.
func distinct(rules []RuleRef) []RuleRef {
	var out []RuleRef
	for _, r := range rules {
		all := r.Kind == RuleShare || r.Kind == RuleMinShare
		if !all || !slices.ContainsFunc(out, func(x RuleRef) bool { return x.Kind == r.Kind }) {
			out = append(out, r)
		}
	}
	return out
}

// pairs looks for changes of another rule that together with one of r make a plan possible. With r given up, the rules that
// still collide have to be changed too: the other one is among them. Those in done have had their turn.
func (a *adviser) pairs(r RuleRef, done []RuleRef) [][]Loosened {
	most := a.most(r)
	if most == 0 || a.ctx.Err() != nil {
		return nil
	}
	left := Explain(a.ctx, a.problem(change{r, most}))
	if left == nil {
		return nil
	}
	var out [][]Loosened
	for _, x := range distinct(left.Rules) {
		if listed(x) && x.Kind == r.Kind && x.Index >= r.Index {
			x.Index++ // r has left the list
		}
		if slices.ContainsFunc(done, x.same) || x.same(r) {
			continue
		}
		if n, m, ok := a.both(r, x); ok {
			out = append(out, []Loosened{a.as(change{r, n}), a.as(change{x, m})})
		}
	}
	return out
}

// listed tells whether a rule is dropped from a list when it is changed.
func listed(r RuleRef) bool {
	return r.Kind == RuleTogether || r.Kind == RuleApart || r.Kind == RulePin
}

func (r RuleRef) same(x RuleRef) bool {
	return r.Kind == x.Kind && r.Index == x.Index && (r.Kind != RuleSeasonRoles || slices.Equal(r.Kids, x.Kids))
}

// both finds the fewest steps of two rules together that make a plan possible; every step more is a wider problem.
func (a *adviser) both(r, x RuleRef) (n, m int, ok bool) {
	most := a.most(x)
	best := math.MaxInt
	for i := 1; i <= a.most(r) && most > 0 && i+1 < best; i++ {
		j, fine := a.nearest(func(j int) []change { return []change{{r, i}, {x, j}} }, min(most, best-i-1))
		if fine {
			n, m, ok, best = i, j, true, i+j
		}
		if i == 1 && !fine && !a.plannable(change{r, a.most(r)}, change{x, most}) {
			return 0, 0, false
		}
	}
	return n, m, ok
}

// nearest is the least number of steps, up to most, with which there is a plan.
func (a *adviser) nearest(changes func(int) []change, most int) (int, bool) {
	if most < 1 || !a.plannable(changes(most)...) {
		return 0, false
	}
	for n := 1; n < most; n++ {
		if a.plannable(changes(n)...) {
			return n, true
		}
	}
	return most, true
}

// most is how many steps widen a rule until it says nothing any more; 0: it is not for a coach to change.
func (a *adviser) most(r RuleRef) int {
	p, n := a.l.p, len(a.l.p.Series)
	switch {
	case r.Kind == RuleNever || r.Kind == RuleWindow:
		return 0
	case r.Kind == RuleMaxOn && a.l.g.MaxOn == 0 || r.Kind == RuleMaxOff && a.l.g.MaxOff == 0:
		return 0 // by head count, and as wide as can be already
	}
	switch r.Kind {
	case RuleMinRoles:
		return max(0, p.MinRoles-1)
	case RuleSameRole:
		return max(0, n-p.largestCap())
	case RuleCover:
		return r.Value
	case RuleMaxOn:
		return max(0, n-p.MaxOn)
	case RuleMaxOff:
		return max(0, n-p.MaxOff)
	case RuleShare:
		return max(0, n-a.l.spread)
	case RuleMinShare:
		return a.leastShare()
	}
	return 1
}

// leastShare is the minimum share in series, for a kid who is there all game.
func (a *adviser) leastShare() int {
	return int(math.Ceil(a.l.g.MinShare*float64(len(a.l.p.Series)) - 1e-9))
}

// as is a change with the number then in force.
func (a *adviser) as(c change) Loosened {
	to := withoutNumber
	switch p := a.l.p; c.rule.Kind {
	case RuleMinRoles:
		to = p.MinRoles - c.steps
	case RuleSameRole:
		to = p.largestCap() + c.steps
	case RuleCover:
		to = c.rule.Value - c.steps
	case RuleMaxOn:
		to = p.MaxOn + c.steps
	case RuleMaxOff:
		to = p.MaxOff + c.steps
	case RuleShare:
		to = a.l.spread + c.steps
	case RuleMinShare:
		to = a.leastShare() - c.steps
	}
	return Loosened{Rule: c.rule, To: to}
}

// problem is the problem with changes, and without the rest limits by head count, which give way by themselves.
func (a *adviser) problem(changes ...change) *Problem {
	l := &loosener{g: a.l.g, p: a.l.p, asked: *a.l.p}
	l.copy()
	l.p.Pins = slices.Clone(l.p.Pins)
	if a.l.g.MaxOn == 0 {
		l.p.MaxOn = 0
	}
	if a.l.g.MaxOff == 0 {
		l.p.MaxOff = 0
	}
	// The last of a list first, so that the others keep their places.
	slices.SortStableFunc(changes, func(x, y change) int { return y.rule.Index - x.rule.Index })
	for _, c := range changes {
		switch c.rule.Kind {
		case RulePin: // never loosened by the tool, but a coach may
			l.p.Pins = slices.Delete(l.p.Pins, c.rule.Index, c.rule.Index+1)
		case RuleMinShare:
			a.lowerShare(l.p, a.leastShare()-c.steps)
		default:
			for range c.steps {
				l.step(c.rule)
			}
		}
	}
	return l.p
}

// lowerShare sets the minimum share of all kids to so many series for a kid who is there all game.
func (a *adviser) lowerShare(p *Problem, to int) {
	n := len(p.Series)
	for k := range p.Kids {
		kid := &p.Kids[k]
		present := kid.Presence().Count(n)
		kid.Least = min(kid.Least, (to*present+n-1)/n)
	}
}

// plannable tells whether there is a plan with changes, as far as the effort goes.
func (a *adviser) plannable(changes ...change) bool {
	if a.asks++; a.asks > remedyAsks || a.maybes > remedyMaybes {
		return false
	}
	answer := Feasible(a.ctx, a.problem(changes...))
	if answer == Maybe {
		a.maybes++
	}
	return answer == Yes
}
