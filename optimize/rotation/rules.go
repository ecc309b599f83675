package rotation

// RuleKind names a rule of a game.
type RuleKind int

// The rules. Those up to RuleShare can be loosened, in this order (but see Game.SafeOn); the others never are.
const (
	RuleSeasonRoles RuleKind = iota // a role the kid has not yet played in the season
	RuleMinRoles
	RuleSameRole
	RuleCover
	RuleTogether
	RuleApart
	RuleMaxOn
	RuleMaxOff
	RuleShare    // equal series
	RuleMinShare // minimum share of the game
	RulePin
	RuleNever
	RuleWindow // who is there when, and the spots of the forms
)

var ruleNames = [...]string{"season_roles", "min_roles", "max_same_role", "cover", "together", "apart", "max_on", "max_off", "equal_series", "min_share", "pin", "never", "presence"}

// String is the rule's name as a word for programs.
func (k RuleKind) String() string {
	if k < 0 || int(k) >= len(ruleNames) {
		return "unknown"
	}
	return ruleNames[k]
}

// RuleRef points at one rule of a problem.
type RuleRef struct {
	Kind  RuleKind
	Index int   // which cover, pair or pin; -1 otherwise
	Kids  []int // the kids it speaks of, if any
	Value int   // its number: the limit, the least number of a cover, the minimum share in series; 0 otherwise
	// Lo and Hi are the ends of a kid's equal share that matter; -1: that end does not. For other rules both are -1.
	Lo, Hi int
}

// rules lists the rules of the problem that can be dropped, those we would rather not blame first.
func (p *Problem) rules() []RuleRef {
	ref := func(kind RuleKind, index, value int, kids ...int) RuleRef {
		return RuleRef{Kind: kind, Index: index, Kids: kids, Value: value, Lo: -1, Hi: -1}
	}
	var out []RuleRef
	for i, c := range p.Covers {
		if c.AtLeast > 0 {
			out = append(out, ref(RuleCover, i, c.AtLeast, c.Kids...))
		}
	}
	for i, pr := range p.Together {
		out = append(out, ref(RuleTogether, i, 0, pr[0], pr[1]))
	}
	for i, pr := range p.Apart {
		out = append(out, ref(RuleApart, i, 0, pr[0], pr[1]))
	}
	for k, kid := range p.Kids {
		for _, never := range kid.Never {
			if never {
				out = append(out, ref(RuleNever, -1, 0, k))
				break
			}
		}
	}
	for i, pin := range p.Pins {
		if !p.over(pin.Series) {
			out = append(out, ref(RulePin, i, 0, pin.Kid))
		}
	}
	for k := range p.Kids {
		if kid := &p.Kids[k]; kid.asksRoles() {
			out = append(out, ref(RuleSeasonRoles, -1, kid.Different, k))
		}
	}
	if p.MinRoles > 1 {
		out = append(out, ref(RuleMinRoles, -1, p.MinRoles))
	}
	if c := p.largestCap(); c > 0 {
		out = append(out, ref(RuleSameRole, -1, c))
	}
	if p.MaxOn > 0 {
		out = append(out, ref(RuleMaxOn, -1, p.MaxOn))
	}
	if p.MaxOff > 0 {
		out = append(out, ref(RuleMaxOff, -1, p.MaxOff))
	}
	for k, kid := range p.Kids {
		if kid.Least > 0 {
			out = append(out, ref(RuleMinShare, -1, kid.Least, k))
		}
	}
	for k, kid := range p.Kids {
		if kid.Lo > 0 {
			r := ref(RuleShare, -1, 0, k)
			r.Lo = kid.Lo
			out = append(out, r)
		}
	}
	for k, kid := range p.Kids {
		r := ref(RuleShare, -1, 0, k)
		r.Hi = max(kid.Hi, 0) // -1 would say that the end does not matter
		out = append(out, r)
	}
	return out
}

func (p *Problem) largestCap() int {
	c := 0
	for _, kid := range p.Kids {
		c = max(c, kid.Cap)
	}
	return c
}

// without is the problem with only the rules that keep names; indices of pairs, covers and pins change.
func (p *Problem) without(rules []RuleRef, keep []bool) *Problem {
	q := *p
	q.Covers, q.Together, q.Apart, q.Pins = nil, nil, nil, nil
	q.MinRoles, q.MaxOn, q.MaxOff = 0, 0, 0
	q.Kids = make([]Kid, len(p.Kids))
	for k, kid := range p.Kids {
		q.Kids[k] = Kid{Label: kid.Label, First: kid.First, Last: kid.Last, Away: kid.Away, Hi: len(p.Series)}
	}
	for i, r := range rules {
		if !keep[i] {
			continue
		}
		switch r.Kind {
		case RuleCover:
			q.Covers = append(q.Covers, p.Covers[r.Index])
		case RuleTogether:
			q.Together = append(q.Together, p.Together[r.Index])
		case RuleApart:
			q.Apart = append(q.Apart, p.Apart[r.Index])
		case RulePin:
			q.Pins = append(q.Pins, p.Pins[r.Index])
		case RuleNever:
			q.Kids[r.Kids[0]].Never = p.Kids[r.Kids[0]].Never
		case RuleSeasonRoles:
			q.Kids[r.Kids[0]].Different, q.Kids[r.Kids[0]].Before = p.Kids[r.Kids[0]].Different, p.Kids[r.Kids[0]].Before
		case RuleMinRoles:
			q.MinRoles = p.MinRoles
		case RuleSameRole:
			for k := range q.Kids {
				q.Kids[k].Cap = p.Kids[k].Cap
			}
		case RuleMaxOn:
			q.MaxOn = p.MaxOn
			for k := range q.Kids {
				q.Kids[k].MaxOn = p.Kids[k].MaxOn
			}
		case RuleMaxOff:
			q.MaxOff = p.MaxOff
			for k := range q.Kids {
				q.Kids[k].MaxOff = p.Kids[k].MaxOff
			}
		case RuleMinShare:
			q.Kids[r.Kids[0]].Least = p.Kids[r.Kids[0]].Least
		case RuleShare:
			if r.Lo >= 0 {
				q.Kids[r.Kids[0]].Lo = p.Kids[r.Kids[0]].Lo
			}
			if r.Hi >= 0 {
				q.Kids[r.Kids[0]].Hi = p.Kids[r.Kids[0]].Hi
			}
		}
	}
	return &q
}
