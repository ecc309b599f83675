package rotation

import (
	"context"
	"math"
)

// Answer is what Feasible found.
type Answer int

// The answers of Feasible.
const (
	Maybe Answer = iota // not settled within the effort
	Yes
	No
)

// Bounds on the search of one feasibility question, fewer where a node is dear because lineups come with their roles. They are
// numbers of nodes, not times, so that the answer is the same on every machine.
const (
	feasibleNodes = 200_000
	feasibleRoles = 4_000
)

// explainMaybes is how many open questions end the filter of Explain: each of them has cost a whole search.
const explainMaybes = 6

// Feasible tells whether any plan obeys the rules, regardless of its strength. A problem that is not well formed has none.
func Feasible(ctx context.Context, p *Problem) Answer {
	switch {
	case p.Validate() != nil:
		return No
	case ctx.Err() != nil:
		return Maybe
	case p.ended():
		if len(Check(p, p.Played)) > 0 {
			return No
		}
		return Yes
	}
	v := &solver{ctx: ctx, p: p.normal(), nodeLimit: feasibleNodes}
	if v.p.linksRoles() {
		v.nodeLimit = feasibleRoles
	}
	return v.feasible()
}

func (v *solver) feasible() Answer {
	p := v.p
	if p.linksRoles() {
		if a := Feasible(v.ctx, p.free()); a == No {
			return No
		}
	}
	m, ok := newModel(p, p.linksRoles(), nil, v.expired)
	if !ok {
		return v.feasibleLarge()
	}
	if m.infeasible() || !p.relax(m.class, v.expired).feasible {
		return No
	}
	v.m = m
	d := newDual(m)
	for s, t := range m.tables { // only legality counts
		if m.class[s] == s {
			for i := range t.obj {
				t.obj[i] = 0
			}
		}
	}
	m.linked = false
	if m.coupled {
		if _, ok := v.mended(nil, 20_000, v.over); ok {
			return Yes
		}
	}
	room := newHeadroom(m)
	if a := v.searchAny(d, room, 2_000); a != Maybe {
		return a
	}
	// Prices that bound the objective 0 below 0 prove that no plan exists (Farkas).
	d = newDual(m)
	if !newDescent(d).run(200, -priceScale/2, nil) && d.z < 0 {
		return No
	}
	return v.searchAny(d, room, math.MaxInt64)
}

func (v *solver) searchAny(d *dual, room *headroom, nodes int64) Answer {
	if !d.evaluate() || d.z < 0 {
		return No
	}
	q := newSearch(d, room, noLevel, 0, nil)
	q.alike = v.m.alike()
	switch v.walk(q, min(nodes, v.nodeLimit)) {
	case found:
		return Yes
	case exhausted:
		return No
	}
	return Maybe
}

// feasibleLarge asks the flow and the local search, past the reach of the exact method.
func (v *solver) feasibleLarge() Answer {
	if _, ok := v.p.rotate(nil); !ok || !v.p.relax(v.p.classes(), v.expired).feasible {
		return No
	}
	for moves := 50_000; moves <= 400_000; moves *= 2 {
		if _, ok := v.mended(nil, moves, v.over); ok {
			return Yes
		}
	}
	return Maybe
}

// Conflict is a set of rules that cannot hold together.
type Conflict struct {
	Rules []RuleRef
	// Smallest tells that the rules without any one of them can hold together; false: some question was
	// left open by its effort, and the set may hold more than it needs.
	Smallest bool
}

// Explain finds a smallest set of conflicting rules of a problem that has no plan, by leaving out one rule
// after another (deletion filter; Chinneck 2008, Feasibility and Infeasibility in Optimization, ch. 6).
// Who is there when, and the spots of the forms, are taken as given; where these alone leave no plan, or the problem is not
// well formed, the conflict names no rule. A problem with a plan has no conflict: nil.
func Explain(ctx context.Context, p *Problem) *Conflict {
	if Feasible(ctx, p) != No {
		return nil
	}
	if p.Validate() != nil {
		return &Conflict{}
	}
	return p.explain(ctx)
}

// explain is the conflict of a problem that is known to have no plan.
func (p *Problem) explain(ctx context.Context) *Conflict {
	rules := p.rules()
	keep := make([]bool, len(rules))
	for i := range keep {
		keep[i] = true
	}
	c, maybes := &Conflict{Smallest: true}, 0
	// drop tries to do without the rules i..j-1 at once.
	drop := func(i, j int) bool {
		if ctx.Err() != nil || maybes >= explainMaybes {
			c.Smallest = false
			return false
		}
		for x := i; x < j; x++ {
			keep[x] = false
		}
		a := Feasible(ctx, p.without(rules, keep))
		if a == No {
			return true
		}
		for x := i; x < j; x++ {
			keep[x] = true
		}
		if a == Maybe {
			maybes++
			if j == i+1 {
				c.Smallest = false
			}
		}
		return false
	}
	var filter func(i, j int)
	filter = func(i, j int) {
		if i == j || drop(i, j) || j == i+1 {
			return
		}
		mid := (i + j) / 2
		filter(i, mid)
		filter(mid, j)
	}
	// Rules of one kind together first: most of them are innocent.
	for i := 0; i < len(rules); {
		j := i
		for j < len(rules) && rules[j].Kind == rules[i].Kind && (rules[j].Lo < 0) == (rules[i].Lo < 0) {
			j++
		}
		filter(i, j)
		i = j
	}
	for i, r := range rules {
		if keep[i] {
			c.Rules = append(c.Rules, r)
		}
	}
	return c
}
