package rotation

import (
	"context"
	"slices"
)

// maxLoosening bounds the loosening steps of one game.
const maxLoosening = 60

// settle loosens rules, beginning with the conflict c, until none is found; the conflict returned is one that may not be loosened.
func (l *loosener) settle(ctx context.Context, c *Conflict, strict bool) *Conflict {
	for c != nil {
		if l.steps++; l.steps > maxLoosening || !l.raiseDefault(ctx, c) && (strict || !l.loosen(ctx, c)) {
			return c
		}
		if ctx.Err() != nil {
			return nil // whether anything is left in the way is for the solve to say
		}
		c = Explain(ctx, l.p)
	}
	return nil
}

// loosener widens the rules of a problem step by step.
type loosener struct {
	g       *Game
	p       *Problem
	asked   Problem // as asked for
	dropped []RuleRef
	kept    []Loosened // by the plan that is changed
	spread  int
	steps   int // taken
}

// copy makes the problem's lists the loosener's own.
func (l *loosener) copy() {
	q := *l.p
	q.Kids = slices.Clone(q.Kids)
	q.Covers = slices.Clone(q.Covers)
	q.Together, q.Apart = slices.Clone(q.Together), slices.Clone(q.Apart)
	l.p = &q
}

// defaults sets the limits of rest that nobody asked for to what the shares force now; what else raised them is found again.
func (l *loosener) defaults() {
	q := *l.p
	q.Kids = slices.Clone(q.Kids)
	for k := range q.Kids {
		q.Kids[k].MaxOn = 0
	}
	l.g.fillRest(&q, q.spots())
	if l.g.MaxOn == 0 {
		l.p.Kids, l.p.MaxOn, l.asked.MaxOn = q.Kids, q.MaxOn, q.MaxOn
	}
	if l.g.MaxOff == 0 {
		l.p.MaxOff, l.asked.MaxOff = q.MaxOff, q.MaxOff
	}
}

// raiseDefault lengthens a rest limit that nobody asked for, if it is part of the conflict.
func (l *loosener) raiseDefault(ctx context.Context, c *Conflict) bool {
	n := len(l.p.Series)
	for _, r := range c.Rules {
		switch {
		case r.Kind == RuleMaxOff && l.g.MaxOff == 0 && l.p.MaxOff < n:
			l.copy()
			l.p.MaxOff++
			l.asked.MaxOff = l.p.MaxOff
			return true
		case r.Kind == RuleMaxOn && l.g.MaxOn == 0 && l.p.MaxOn < n:
			if !l.raiseCounted(c) && !l.raiseAlone(ctx, c) {
				l.copy()
				l.p.MaxOn++
				l.asked.MaxOn = l.p.MaxOn
			}
			return true
		}
	}
	return false
}

// raiseAlone lengthens the limit on the field for the one kid whose turns are in the conflict, where nobody else has to play on
// for it; false: there is none.
func (l *loosener) raiseAlone(ctx context.Context, c *Conflict) bool {
	k := l.p.forced(c)
	if k < 0 || l.p.maxOn(k) == 0 {
		return false
	}
	free := *l.p
	free.Kids = slices.Clone(l.p.Kids)
	free.Kids[k].MaxOn = len(l.p.Series)
	rules := l.p.rules()
	keep := make([]bool, len(rules))
	for i, r := range rules {
		keep[i] = slices.ContainsFunc(c.Rules, func(x RuleRef) bool {
			return x.same(r) && x.Lo == r.Lo && x.Hi == r.Hi && slices.Equal(x.Kids, r.Kids)
		})
	}
	if Feasible(ctx, free.without(rules, keep)) != Yes {
		return false
	}
	l.copy()
	l.p.Kids[k].MaxOn = l.p.maxOn(k) + 1
	return true
}

// raiseCounted lengthens the limit on the field for a kid whose share or pins do not go with it, by counting: these two collide
// whatever else does, so that nobody else's turns are lengthened for it; false: there is none, or the limit is not in the conflict.
func (l *loosener) raiseCounted(c *Conflict) bool {
	if l.g.SafeOn > 0 || !slices.ContainsFunc(c.Rules, func(r RuleRef) bool { return r.Kind == RuleMaxOn }) {
		return false
	}
	ahead, lo := l.g.ahead(l.p)
	for k := range l.p.Kids {
		need := l.p.pinnedRun(k)
		need = max(need, onForShare(stretches(ahead[k]), lo[k]))
		if on := l.p.maxOn(k); on > 0 && need > on {
			l.copy()
			l.p.Kids[k].MaxOn = need
			return true
		}
	}
	return false
}

// pinnedRun is the most series in a row that kid k is pinned to, of those to come.
func (p *Problem) pinnedRun(k int) int {
	longest, run := 0, 0
	for s := range p.Series {
		if run++; p.over(s) || !p.mustPlay(k, s) {
			run = 0
		}
		longest = max(longest, run)
	}
	return longest
}

// forced is the one kid who is to play, by its share or by pins, in a conflict; -1: there is none, or are several.
func (p *Problem) forced(c *Conflict) int {
	kid := -1
	for _, r := range c.Rules {
		if r.Kind == RuleShare && r.Lo >= 0 || r.Kind == RuleMinShare || r.Kind == RulePin && p.Pins[r.Index].Must {
			if kid >= 0 && r.Kids[0] != kid {
				return -1
			}
			kid = r.Kids[0]
		}
	}
	return kid
}

// loosen takes one step on the first rule of the conflict that may be loosened; false: there is none.
func (l *loosener) loosen(ctx context.Context, c *Conflict) bool {
	if l.raiseCounted(c) {
		return true
	}
	rules := slices.Clone(c.Rules)
	slices.SortStableFunc(rules, func(a, b RuleRef) int { return l.rank(a) - l.rank(b) })
	for _, r := range rules {
		if r.Kind == RuleMaxOn && l.g.SafeOn == 0 && l.raiseAlone(ctx, c) || l.step(r) {
			if r.Kind == RuleShare {
				l.defaults()
			}
			return true
		}
	}
	return false
}

// rank is a rule's place in the order of loosening: that of its kind, but health comes before equal series.
func (l *loosener) rank(r RuleRef) int {
	if r.Kind == RuleMaxOn && l.g.SafeOn > 0 && l.p.MaxOn >= l.g.SafeOn {
		return int(RuleShare) + 1
	}
	return int(r.Kind)
}

// step widens one rule by one; false: it may not or cannot be widened.
func (l *loosener) step(r RuleRef) bool {
	n := len(l.p.Series)
	l.copy()
	switch r.Kind {
	case RuleSeasonRoles:
		kid := &l.p.Kids[r.Kids[0]]
		kid.Different, kid.Before = 0, nil
		l.dropped = append(l.dropped, r)
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
			out = append(out, Loosened{Rule: RuleRef{Kind: kind, Index: index, Kids: kids, Value: from, Lo: -1, Hi: -1}, To: to})
		}
	}
	slices.SortStableFunc(l.dropped, func(a, b RuleRef) int { return int(a.Kind) - int(b.Kind) })
	pairs := l.dropped
	for ; len(pairs) > 0 && pairs[0].Kind == RuleSeasonRoles; pairs = pairs[1:] {
		out = append(out, Loosened{Rule: pairs[0], To: -1})
	}
	add(RuleMinRoles, -1, l.asked.MinRoles, l.p.MinRoles)
	add(RuleSameRole, -1, l.asked.largestCap(), l.p.largestCap())
	for i, c := range l.asked.Covers {
		add(RuleCover, i, c.AtLeast, l.p.Covers[i].AtLeast, c.Kids...)
	}
	for _, r := range pairs {
		out = append(out, Loosened{Rule: r, To: -1})
	}
	add(RuleMaxOn, -1, l.asked.MaxOn, l.p.MaxOn)
	for k, kid := range l.p.Kids {
		if l.g.MaxOn > 0 && kid.MaxOn > l.p.MaxOn {
			add(RuleMaxOn, -1, l.asked.MaxOn, kid.MaxOn, k)
		}
	}
	add(RuleMaxOff, -1, l.asked.MaxOff, l.p.MaxOff)
	add(RuleShare, -1, 0, l.spread)
	return out
}
