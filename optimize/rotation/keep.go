package rotation

import "slices"

// keep begins with what the plan to be changed had loosened (Game.Loose), so that nobody's turns are changed for a rule that this plan
// does not hold to anyway. Only rules that may give way at all, and that are still what they were, are widened; what is there
// for the kids' health only as far as health allows.
func (l *loosener) keep() {
	for _, x := range l.g.Loose {
		for i := 0; i < len(l.p.Series) && l.keepStep(x); i++ {
			if x.Rule.Kind == RuleShare {
				l.defaults()
			}
		}
	}
	l.kept = l.list()
}

// keepStep takes one step towards what had become of a rule; false: it is there, or the rule is another one by now.
func (l *loosener) keepStep(x Loosened) bool {
	r := RuleRef{Kind: x.Rule.Kind, Index: -1, Kids: x.Rule.Kids, Value: x.Rule.Value, Lo: -1, Hi: -1}
	to := max(x.To, 0)
	switch r.Kind {
	case RuleSeasonRoles:
		if len(r.Kids) != 1 || !l.has(r.Kids[0]) || !l.p.Kids[r.Kids[0]].asksRoles() {
			return false
		}
		r.Value = l.p.Kids[r.Kids[0]].Different
	case RuleMinRoles:
		if r.Value != l.asked.MinRoles || l.p.MinRoles <= to {
			return false
		}
	case RuleSameRole:
		if c := l.p.largestCap(); r.Value != l.asked.largestCap() || c == 0 || c >= to {
			return false
		}
	case RuleCover:
		i := x.Rule.Index
		if i < 0 || i >= len(l.p.Covers) || r.Value != l.asked.Covers[i].AtLeast || l.p.Covers[i].AtLeast <= to {
			return false
		}
		r.Index = i
	case RuleTogether, RuleApart:
		pairs := l.p.Together
		if r.Kind == RuleApart {
			pairs = l.p.Apart
		}
		if r.Index = slices.IndexFunc(pairs, func(pr [2]int) bool { return slices.Equal(pr[:], r.Kids) }); r.Index < 0 {
			return false
		}
	case RuleMaxOn:
		return l.keepOn(r, to)
	case RuleMaxOff:
		if l.g.MaxOff == 0 || r.Value != l.g.MaxOff || l.p.MaxOff >= to {
			return false
		}
	case RuleShare:
		if l.spread >= to {
			return false
		}
	default:
		return false
	}
	return l.step(r)
}

// keepOn takes one step of a limit on the field that the coach asked for, everybody's or one kid's.
func (l *loosener) keepOn(r RuleRef, to int) bool {
	if l.g.SafeOn > 0 {
		to = min(to, l.g.SafeOn)
	}
	switch {
	case l.g.MaxOn == 0 || r.Value != l.g.MaxOn || len(r.Kids) > 1:
		return false
	case len(r.Kids) == 0:
		return l.p.MaxOn < to && l.step(r)
	case !l.has(r.Kids[0]) || l.p.maxOn(r.Kids[0]) >= min(to, len(l.p.Series)):
		return false
	}
	l.copy()
	l.p.Kids[r.Kids[0]].MaxOn = l.p.maxOn(r.Kids[0]) + 1
	return true
}

func (l *loosener) has(k int) bool { return k >= 0 && k < len(l.p.Kids) }

// mark says which of the loosened rules are just as loose as in the plan that is changed.
func (l *loosener) mark(list []Loosened) []Loosened {
	for i, x := range list {
		list[i].Kept = slices.ContainsFunc(l.kept, func(y Loosened) bool {
			return x.To == y.To && x.Rule.same(y.Rule) && slices.Equal(x.Rule.Kids, y.Rule.Kids)
		})
	}
	return list
}

// tighten takes back what was kept loose and the plan that was found has no need of. Whatever is proven of the plan holds all the
// more: it was proven among more plans than the tighter rules allow.
func (l *loosener) tighten(out *Outcome) {
	if out.Result == nil || out.Result.Plan == nil {
		return
	}
	for i := len(out.Loosened) - 1; i >= 0; i-- {
		x := &out.Loosened[i]
		for x.Kept {
			q, to := l.tighter(out.Problem, *x)
			if q == nil || len(Check(q, out.Result.Plan)) > 0 {
				break
			}
			out.Problem, x.To = q, to
			if to == x.Rule.Value || x.Rule.Kind == RuleShare && to == 0 || to < 0 {
				out.Loosened = slices.Delete(out.Loosened, i, i+1)
				break
			}
		}
	}
}

// tighter is the problem with one loosened rule a step nearer to what was asked for, and its number then; -1: the rule is whole again.
func (l *loosener) tighter(p *Problem, x Loosened) (*Problem, int) {
	q := *p
	q.Kids, q.Covers = slices.Clone(p.Kids), slices.Clone(p.Covers)
	q.Together, q.Apart = slices.Clone(p.Together), slices.Clone(p.Apart)
	to := x.To
	switch x.Rule.Kind {
	case RuleSeasonRoles:
		k := x.Rule.Kids[0]
		q.Kids[k].Different, q.Kids[k].Before = l.asked.Kids[k].Different, l.asked.Kids[k].Before
		return &q, -1
	case RuleTogether:
		q.Together = append(q.Together, l.asked.Together[x.Rule.Index])
		return &q, -1
	case RuleApart:
		q.Apart = append(q.Apart, l.asked.Apart[x.Rule.Index])
		return &q, -1
	case RuleMinRoles:
		to++
		q.MinRoles = to
	case RuleCover:
		to++
		q.Covers[x.Rule.Index].AtLeast = to
	case RuleSameRole:
		to--
		for k := range q.Kids {
			if q.Kids[k].Cap > 0 {
				q.Kids[k].Cap--
			}
		}
	case RuleMaxOff:
		to--
		q.MaxOff = to
	case RuleMaxOn:
		if to--; len(x.Rule.Kids) == 0 {
			q.MaxOn = to
		} else {
			q.Kids[x.Rule.Kids[0]].MaxOn = to
		}
	case RuleShare:
		to--
		for k := range q.Kids {
			q.Kids[k].Lo = max(q.Kids[k].Lo, l.asked.Kids[k].Lo-to)
			q.Kids[k].Hi = min(q.Kids[k].Hi, l.asked.Kids[k].Hi+to)
		}
	default:
		return nil, 0
	}
	return &q, to
}
