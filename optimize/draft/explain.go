package draft

import (
	"context"
	"math/bits"
	"slices"
)

// Bounds on the effort of Explain.
const (
	explainOrders = 4  // orders in which rules are left out; the smallest set counts
	explainMaybes = 12 // open questions that end an order: each has cost a whole search
	// explainWork bounds all orders together: units times teams, summed over the nodes of exact searches. A round of putting in and taking out costs much less
	// than a node.
	explainWork = 40_000_000
	roundShare  = 64
)

// Explain finds a smallest set of conflicting rules, by leaving out one rule after another as long as the rest still conflicts (deletion
// filter; Chinneck 2008, Feasibility and Infeasibility in Optimization, ch. 6), in several orders. Nil: the rules can hold, or it is not settled.
func Explain(ctx context.Context, p *Pool) *Conflict {
	if p.Validate() != nil {
		return nil
	}
	rules := p.rules()
	work := explainWork
	if p.possible(ctx, rules, &work) != no {
		return nil
	}
	var best *Conflict
	d := dice(1)
	for i := range explainOrders {
		order := make([]int, len(rules))
		for j := range order {
			order[j] = j
		}
		switch {
		case i == 1:
			slices.Reverse(order)
		case i > 1:
			shuffle(&d, order)
		}
		c := p.filter(ctx, rules, order, &work)
		if best == nil || c.Smallest && !best.Smallest || c.Smallest == best.Smallest && len(c.Rules) < len(best.Rules) {
			best = c
		}
		if ctx.Err() != nil || work <= 0 || best.Smallest && len(best.Rules) < 2 {
			break
		}
	}
	best.Crowd = p.crowd(best.Rules)
	return best
}

// possible tells whether a split keeps the rules, and takes what that costs off the work that is left.
func (p *Pool) possible(ctx context.Context, rules []Rule, work *int) answer {
	y := p.newLayout(rules)
	if y.dead {
		return no
	}
	none := slices.Repeat([]int32{Unplaced}, len(y.units))
	size := len(y.units) * y.teams
	pack := func(seed uint64, rounds int) bool {
		k := y.newPacker(none, seed)
		done := k.pack(ctx, rounds)
		*work -= k.round * size / roundShare
		return done
	}
	if pack(1, 2*len(y.units)+20) {
		return yes
	}
	nodes := y.completeNodes()
	_, a := y.completeWithin(ctx, none, &nodes)
	*work -= (y.completeNodes() - nodes) * size
	if a == maybe && pack(2, y.packRounds()) {
		return yes
	}
	return a
}

// filter leaves out rules in the given order, many at a time while that works.
func (p *Pool) filter(ctx context.Context, rules []Rule, order []int, work *int) *Conflict {
	gone, leave := make([]bool, len(rules)), make([]bool, len(rules))
	c := &Conflict{Smallest: true}
	maybes := 0
	// without tells whether the rules conflict without some more of them.
	without := func(some []int) bool {
		if maybes >= explainMaybes || *work <= 0 || ctx.Err() != nil {
			c.Smallest = false
			return false
		}
		for _, i := range some {
			leave[i] = true
		}
		rest := []Rule{}
		for i, r := range rules {
			if !gone[i] && !leave[i] {
				rest = append(rest, r)
			}
		}
		for _, i := range some {
			leave[i] = false
		}
		a := p.possible(ctx, rest, work)
		if a == maybe {
			maybes++
			c.Smallest = false
		}
		return a == no
	}
	var drop func(some []int)
	drop = func(some []int) {
		if without(some) {
			for _, i := range some {
				gone[i] = true
			}
			return
		}
		if len(some) > 1 {
			drop(some[:len(some)/2])
			drop(some[len(some)/2:])
		}
	}
	for from := 0; from < len(order); {
		to := min(len(order), from+max(1, len(order)/4))
		drop(order[from:to])
		from = to
	}
	for i, r := range rules {
		if !gone[i] {
			c.Rules = append(c.Rules, r)
		}
	}
	return c
}

// crowd looks for a count that shows that rules conflict: more kids confined to some teams than fit, counted on the
// teams of one unit, of two, and of all of the rules together.
func (p *Pool) crowd(rules []Rule) *Crowd {
	if len(rules) == 0 {
		rules = []Rule{}
	}
	y := p.newLayout(rules)
	all := uint64(1)<<y.teams - 1
	var masks []uint64
	add := func(m uint64) {
		if m != all && m != 0 && !slices.Contains(masks, m) {
			masks = append(masks, m)
		}
	}
	var union uint64
	for _, u := range y.units {
		if u.teams != all {
			union |= u.teams
			add(u.teams)
		}
	}
	for _, m := range slices.Clone(masks) {
		for _, n := range slices.Clone(masks) {
			if len(masks) < 500 {
				add(m | n)
			}
		}
	}
	add(union)
	slices.SortStableFunc(masks, func(a, b uint64) int { return bits.OnesCount64(a) - bits.OnesCount64(b) })
	for _, m := range masks {
		if c := y.crowded(m, all); c != nil {
			return c
		}
	}
	return nil
}

// crowded counts the kids who can only be on the teams of a mask. From half of the teams on it says it the other way round: who is left for
// the other teams.
func (y *layout) crowded(mask, all uint64) *Crowd {
	confined := make([]bool, len(y.kids))
	n := 0
	for _, u := range y.units {
		if u.teams&^mask == 0 {
			n += u.size()
			for _, i := range u.kids {
				confined[y.kids[i]] = true
			}
		}
	}
	teams := bits.OnesCount64(mask)
	room := teams*y.lo + min(teams, y.larger)
	if n <= room {
		return nil
	}
	c := &Crowd{Room: room, TooMany: true}
	if 2*teams > y.teams {
		mask, c.TooMany = all&^mask, false
		c.Room = len(y.kids) - room
	}
	for k, in := range confined {
		if in == c.TooMany {
			c.Kids = append(c.Kids, k)
		}
	}
	each(mask, func(t int) { c.Teams = append(c.Teams, t) })
	return c
}
