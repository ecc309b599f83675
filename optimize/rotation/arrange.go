package rotation

import (
	"context"
	"math"
	"slices"
)

// Loosened is a rule that was given up or widened so that a plan exists.
type Loosened struct {
	Rule RuleRef
	To   int // the number now in force; for equal series how far shares may differ from the fair ones; -1: dropped
}

// Outcome is an arranged game.
type Outcome struct {
	Problem  *Problem // as solved, after loosening
	Result   *Result  // nil when the rules do not allow a plan
	Rebuilt  *Rebuilt // Rearrange only: the result with its changes
	Short    []Short
	Loosened []Loosened
	Conflict *Conflict  // the first conflict found; nil when the rules can hold
	Remedies []Loosened // when there is no plan: single changes of a conflicting rule, each of which makes one possible
}

// maxLoosening bounds the loosening steps of one game.
const maxLoosening = 60

// Arrange plans the game. Where the rules cannot all hold it names the conflict and, unless strict,
// loosens rules of the conflict until a plan exists: those that come first in the order of the rule kinds, by
// the smallest step, one after another. Rest limits that the game left to the head count are raised before any
// rule that was asked for, and do not count as loosened.
func (g *Game) Arrange(ctx context.Context, set Settings, strict bool) (*Outcome, error) {
	out, err := g.settle(ctx, strict)
	if err != nil || out.Conflict != nil {
		return out, err
	}
	if out.Result, err = Solve(ctx, out.Problem, set); err != nil {
		return nil, err
	}
	out.admit(ctx, out.Result.Status)
	return out, nil
}

// Rearrange makes a plan from another one, under the rules of the game as Arrange would loosen them; see Rebuild
// for old and price (in the units of the outcome's problem). What a fresh plan would be is for Arrange to say.
func (g *Game) Rearrange(ctx context.Context, old Plan, set Settings, strict bool, price func(*Problem) int64) (*Outcome, error) {
	out, err := g.settle(ctx, strict)
	if err != nil || out.Conflict != nil {
		return out, err
	}
	if out.Rebuilt, err = Rebuild(ctx, out.Problem, old, set, price(out.Problem)); err != nil {
		return nil, err
	}
	out.Result = &out.Rebuilt.Result
	out.admit(ctx, out.Result.Status)
	return out, nil
}

// admit withdraws the result when the solve settled what the feasibility question had left open.
func (out *Outcome) admit(ctx context.Context, st Status) {
	if st != Infeasible {
		return
	}
	out.Result, out.Rebuilt = nil, nil
	if out.Conflict = Explain(ctx, out.Problem); out.Conflict == nil {
		out.Conflict = &Conflict{Rules: out.Problem.rules()}
	}
}

// settle finds the rules under which the game can be planned.
func (g *Game) settle(ctx context.Context, strict bool) (*Outcome, error) {
	p, shorts, err := g.Problem()
	if err != nil {
		return nil, err
	}
	out := &Outcome{Problem: p, Short: shorts}
	lo := &loosener{g: g, p: p, asked: *p}
	for step := 0; step < maxLoosening && ctx.Err() == nil; step++ {
		c := Explain(ctx, lo.p)
		if c == nil {
			break
		}
		if lo.raiseDefault(c) {
			continue
		}
		if strict || !lo.loosen(c) {
			out.Problem, out.Conflict = lo.p, c
			out.Remedies = lo.remedies(ctx, c)
			return out, nil
		}
	}
	out.Problem, out.Loosened = lo.p, lo.list()
	return out, nil
}

// loosener widens the rules of a problem step by step.
type loosener struct {
	g       *Game
	p       *Problem
	asked   Problem // as asked for
	dropped []RuleRef
	spread  int
}

// copy makes the problem's lists the loosener's own.
func (l *loosener) copy() {
	q := *l.p
	q.Kids = slices.Clone(q.Kids)
	q.Covers = slices.Clone(q.Covers)
	q.Together, q.Apart = slices.Clone(q.Together), slices.Clone(q.Apart)
	l.p = &q
}

// raiseDefault lengthens a rest limit that nobody asked for, if it is part of the conflict.
func (l *loosener) raiseDefault(c *Conflict) bool {
	n := len(l.p.Series)
	for _, r := range c.Rules {
		switch {
		case r.Kind == RuleMaxOff && l.g.MaxOff == 0 && l.p.MaxOff < n:
			l.copy()
			l.p.MaxOff++
			l.asked.MaxOff = l.p.MaxOff
			return true
		case r.Kind == RuleMaxOn && l.g.MaxOn == 0 && l.p.MaxOn < n:
			l.copy()
			l.p.MaxOn++
			l.asked.MaxOn = l.p.MaxOn
			return true
		}
	}
	return false
}

// loosen takes one step on the first rule of the conflict that may be loosened; false: there is none.
func (l *loosener) loosen(c *Conflict) bool {
	rules := slices.Clone(c.Rules)
	slices.SortStableFunc(rules, func(a, b RuleRef) int { return int(a.Kind) - int(b.Kind) })
	for _, r := range rules {
		if l.step(r) {
			return true
		}
	}
	return false
}

// step widens one rule by one; false: it may not or cannot be widened.
func (l *loosener) step(r RuleRef) bool {
	n := len(l.p.Series)
	l.copy()
	switch r.Kind {
	case RuleMinRoles:
		l.p.MinRoles--
	case RuleSameRole:
		for k := range l.p.Kids {
			if l.p.Kids[k].Cap > 0 {
				l.p.Kids[k].Cap++
			}
		}
	case RuleCover:
		l.p.Covers[r.Index].AtLeast--
		if l.p.Covers[r.Index].AtLeast <= 0 {
			l.p.Covers[r.Index].AtLeast = 0
		}
	case RuleTogether:
		l.drop(r, &l.p.Together, l.asked.Together)
	case RuleApart:
		l.drop(r, &l.p.Apart, l.asked.Apart)
	case RuleMaxOn:
		if l.p.MaxOn >= n {
			return false
		}
		l.p.MaxOn++
	case RuleMaxOff:
		if l.p.MaxOff >= n {
			return false
		}
		l.p.MaxOff++
	case RuleShare:
		if l.spread >= n {
			return false
		}
		l.spread++
		for k := range l.p.Kids {
			l.p.Kids[k].Lo = max(0, l.p.Kids[k].Lo-1)
			l.p.Kids[k].Hi = min(n, l.p.Kids[k].Hi+1)
		}
	default:
		return false
	}
	return true
}

// drop removes a pair and remembers it under its index in the list that was asked for.
func (l *loosener) drop(r RuleRef, pairs *[][2]int, asked [][2]int) {
	pr := (*pairs)[r.Index]
	*pairs = slices.Delete(*pairs, r.Index, r.Index+1)
	r.Index = slices.Index(asked, pr)
	l.dropped = append(l.dropped, r)
}

// list is what differs from what was asked for, in the order of the rule kinds.
func (l *loosener) list() []Loosened {
	var out []Loosened
	add := func(kind RuleKind, index, from, to int, kids ...int) {
		if from != to {
			out = append(out, Loosened{RuleRef{Kind: kind, Index: index, Kids: kids, Value: from, Lo: -1, Hi: -1}, to})
		}
	}
	add(RuleMinRoles, -1, l.asked.MinRoles, l.p.MinRoles)
	add(RuleSameRole, -1, l.asked.largestCap(), l.p.largestCap())
	for i, c := range l.asked.Covers {
		add(RuleCover, i, c.AtLeast, l.p.Covers[i].AtLeast, c.Kids...)
	}
	slices.SortStableFunc(l.dropped, func(a, b RuleRef) int { return int(a.Kind) - int(b.Kind) })
	for _, r := range l.dropped {
		out = append(out, Loosened{r, -1})
	}
	add(RuleMaxOn, -1, l.asked.MaxOn, l.p.MaxOn)
	add(RuleMaxOff, -1, l.asked.MaxOff, l.p.MaxOff)
	add(RuleShare, -1, 0, l.spread)
	return out
}

// remedies tries every rule of a conflict alone: the nearest value with which the whole problem has a plan.
func (l *loosener) remedies(ctx context.Context, c *Conflict) []Loosened {
	var out []Loosened
	var seen [RuleWindow + 1]bool
	for _, r := range c.Rules {
		if r.Kind == RuleShare || r.Kind == RuleMinShare { // one change for all kids
			if seen[r.Kind] {
				continue
			}
			seen[r.Kind] = true
		}
		if to, ok := l.nearest(ctx, r); ok {
			out = append(out, Loosened{r, to})
		}
	}
	return out
}

// nearestMinShare lowers the minimum share of all kids, a series at a time for a kid there all game, until a plan exists; it returns the
// series then in force for such a kid.
func (l *loosener) nearestMinShare(ctx context.Context) (int, bool) {
	n := len(l.p.Series)
	for to := int(math.Ceil(l.g.MinShare*float64(n)-1e-9)) - 1; to >= 0; to-- {
		q := *l.p
		q.Kids = slices.Clone(q.Kids)
		for k := range q.Kids {
			present := max(0, q.Kids[k].Last-q.Kids[k].First+1)
			q.Kids[k].Least = min(q.Kids[k].Least, (to*present+n-1)/n)
		}
		try := &loosener{g: l.g, p: &q, asked: q}
		if try.plannable(ctx) {
			return to, true
		}
	}
	return 0, false
}

// plannable tells whether the problem has a plan, rest limits by head count raised where they are in the way.
func (l *loosener) plannable(ctx context.Context) bool {
	for range 2 * len(l.p.Series) {
		switch Feasible(ctx, l.p) {
		case Yes:
			return true
		case Maybe:
			return false
		}
		if c := Explain(ctx, l.p); c == nil || !l.raiseDefault(c) {
			return false
		}
	}
	return false
}

func (l *loosener) nearest(ctx context.Context, r RuleRef) (int, bool) {
	switch r.Kind {
	case RuleNever, RuleWindow:
		return 0, false
	case RulePin: // never loosened by the tool, but a coach may
		q := *l.p
		q.Pins = slices.Delete(slices.Clone(q.Pins), r.Index, r.Index+1)
		try := &loosener{g: l.g, p: &q, asked: q}
		return -1, try.plannable(ctx)
	case RuleMinShare:
		return l.nearestMinShare(ctx)
	}
	try := &loosener{g: l.g, p: l.p, asked: *l.p}
	for range len(l.p.Series) {
		if !try.step(r) {
			return 0, false
		}
		if try.plannable(ctx) {
			list := try.list()
			return list[len(list)-1].To, len(list) > 0
		}
		if r.Kind == RuleTogether || r.Kind == RuleApart || r.Kind == RuleMinRoles && try.p.MinRoles <= 1 ||
			r.Kind == RuleCover && try.p.Covers[r.Index].AtLeast == 0 {
			return 0, false
		}
	}
	return 0, false
}
