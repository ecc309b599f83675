package rotation

import (
	"context"
	"errors"
	"fmt"
)

// Change is what a plan would gain (or lose, negative) if the problem were another one. The values are exact
// differences of the best plans found; Proven says that both are optimal.
type Change struct {
	Possible       bool // false: no plan at all, proven when Proven
	Weakest, Total int64
	Proven         bool
	Result         *Result // the plan under the other problem; nil when there is none
}

// Wish is a kid in a role (-1: any) in a series (-1: at least once, in whichever series costs least), or, with Not,
// out of it (there Series -1 means in every series).
type Wish struct {
	Kid, Role, Series int
	Not               bool
}

// ErrBadWish says that a wish names no kid, role or series of the problem, or a series that is over.
var ErrBadWish = errors.New("rotation: nothing can be changed for this wish")

// errNoResult says that there is no plan to compare with.
var errNoResult = fmt.Errorf("%w: there is no plan to compare with", ErrBadProblem)

func (p *Problem) validateWish(w Wish) error {
	switch {
	case w.Kid < 0 || w.Kid >= len(p.Kids):
		return fmt.Errorf("%w: there is no kid %d", ErrBadWish, w.Kid)
	case w.Role < -1 || w.Role >= len(p.Roles):
		return fmt.Errorf("%w: there is no role %d", ErrBadWish, w.Role)
	case w.Series < -1 || w.Series >= len(p.Series):
		return fmt.Errorf("%w: there is no series %d", ErrBadWish, w.Series+1)
	case w.Series >= 0 && p.over(w.Series):
		return fmt.Errorf("%w: series %d is over", ErrBadWish, w.Series+1)
	}
	return nil
}

// Grant solves the problem again with a wish granted and compares with the plan r.
func Grant(ctx context.Context, p *Problem, r *Result, w Wish, set Settings) (Change, error) {
	if err := p.Validate(); err != nil {
		return Change{}, err
	}
	if r == nil || r.Plan == nil {
		return Change{}, errNoResult
	}
	if err := p.validateWish(w); err != nil {
		return Change{}, err
	}
	if w.Series >= 0 {
		return compare(ctx, p.withPins(Pin{w.Kid, w.Role, w.Series, !w.Not}), r, set)
	}
	if w.Not {
		var pins []Pin
		for s := range p.Series {
			if !p.over(s) {
				pins = append(pins, Pin{w.Kid, w.Role, s, false})
			}
		}
		return compare(ctx, p.withPins(pins...), r, set)
	}
	best := Change{Proven: true}
	for s := range p.Series {
		if p.over(s) || !p.canStand(w.Kid, w.Role, s) {
			continue
		}
		c, err := compare(ctx, p.withPins(Pin{w.Kid, w.Role, s, true}), r, set)
		if err != nil {
			return c, err
		}
		proven := best.Proven && c.Proven
		if c.Possible && (!best.Possible || before(set.Favor, c, best)) {
			best = c
		}
		best.Proven = proven
	}
	return best, nil
}

// before tells whether change a is better than b in the order of the objectives.
func before(f Favor, a, b Change) bool {
	if f == Total {
		return a.Total > b.Total || a.Total == b.Total && a.Weakest > b.Weakest
	}
	return a.Weakest > b.Weakest || a.Weakest == b.Weakest && a.Total > b.Total
}

// canStand tells whether a kid may play a role (-1: any) in a series at all.
func (p *Problem) canStand(k, role, s int) bool {
	for r, n := range p.Shapes[p.Series[s]].Count {
		if (role < 0 || r == role) && n > 0 && p.allowed(k, s, r) {
			return true
		}
	}
	return false
}

func (p *Problem) withPins(pins ...Pin) *Problem {
	q := *p
	q.Pins = append(append([]Pin(nil), p.Pins...), pins...)
	return &q
}

// compare solves q and sets it against r, the solved original.
func compare(ctx context.Context, q *Problem, r *Result, set Settings) (Change, error) {
	if set.Budget != nil {
		set.Limit = set.Budget.next()
	}
	s, err := Solve(ctx, q, set)
	if err != nil {
		return Change{}, err
	}
	if s.Plan == nil {
		return Change{Proven: s.Status == Infeasible}, nil
	}
	return Change{Possible: true, Weakest: s.Weakest.Value - r.Weakest.Value, Total: s.Total.Value - r.Total.Value,
		Proven: s.Status == Proven && r.Status == Proven, Result: s}, nil
}

// RulePrice is what the plan would gain without some rules.
type RulePrice struct {
	Rules []RuleRef
	Change
}

// Prices tells for every rule what the plan would gain without it: each cover, pair and pin by itself, the others
// as one rule for all kids. The last entry is the price of all rules on turns together, rest and equal series: what always playing
// the strongest lineup would gain. Never-roles have no price; they are not the tool's to give away.
func Prices(ctx context.Context, p *Problem, r *Result, set Settings) ([]RulePrice, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if r == nil || r.Plan == nil {
		return nil, errNoResult
	}
	rules := p.rules()
	var groups [][]int
	byKind := map[RuleKind]int{}
	var turns []int
	for i, rule := range rules {
		switch rule.Kind {
		case RuleNever:
			continue
		case RuleShare, RuleMinShare, RuleMaxOn, RuleMaxOff:
			turns = append(turns, i)
		}
		if g, ok := byKind[rule.Kind]; ok && rule.Index < 0 {
			groups[g] = append(groups[g], i)
			continue
		}
		byKind[rule.Kind] = len(groups)
		groups = append(groups, []int{i})
	}
	if len(turns) > 0 {
		groups = append(groups, turns)
	}
	var out []RulePrice
	for _, group := range groups {
		keep := make([]bool, len(rules))
		for i := range keep {
			keep[i] = true
		}
		price := RulePrice{}
		for _, i := range group {
			keep[i] = false
			price.Rules = append(price.Rules, rules[i])
		}
		q := p.without(rules, keep)
		var err error
		set.Start = r.Plan // legal without the rule too, so that no rule is worth less than nothing
		if price.Change, err = compare(ctx, q, r, set); err != nil {
			return nil, err
		}
		out = append(out, price)
	}
	return out, nil
}
