package draft

import (
	"context"
	"fmt"
	"slices"
)

// mostCounters is how many times two kids more are moved in a counter-trade.
const mostCounters = 3

// Swap prices a proposed trade: the kids named go to the teams named, siblings with them. Nobody agrees to anything by asking; the price is what
// the objective becomes worse by. Counter-trades are found by going through all ways of moving one or two kids more (with more
// than 12 teams: in which the two moves have a team in common), again and again on top of the best.
func Swap(ctx context.Context, p *Pool, now Split, moves []Move) (*Trade, error) {
	if err := p.validateNow(now); err != nil {
		return nil, err
	}
	if slices.Contains(now, Unplaced) {
		return nil, fmt.Errorf("draft: a kid without a team in a trade")
	}
	t, err := p.carry(now, moves)
	if err != nil {
		return nil, err
	}
	t.Broken = Check(p, t.Split)
	t.Before, t.After = p.Measure(now), p.Measure(t.Split)
	m := p.newModel(Squares)
	if m.dead || len(t.Moves) == 0 {
		return t, nil
	}
	before := m.newState(m.assign(now)).value()
	t.counter(ctx, m, before, moves)
	return t, nil
}

// carry brings the trade about, with siblings.
func (p *Pool) carry(now Split, moves []Move) (*Trade, error) {
	t := &Trade{Split: slices.Clone(now), Moves: []Move{}, Along: []int{}}
	named := make([]bool, len(now))
	for _, mv := range moves {
		switch {
		case mv.Kid < 0 || mv.Kid >= len(now):
			return nil, fmt.Errorf("draft: kid %d of %d in a trade", mv.Kid, len(now))
		case mv.Team < 0 || mv.Team >= len(p.Teams):
			return nil, fmt.Errorf("draft: team %d of %d in a trade", mv.Team, len(p.Teams))
		case named[mv.Kid]:
			return nil, fmt.Errorf("draft: kid %q is in the trade twice", p.Kids[mv.Kid].Label)
		}
		named[mv.Kid] = true
		t.Split[mv.Kid] = mv.Team
	}
	follows := slices.Clone(named) // siblings who are named for different teams are followed by the others as the first of them goes
	for _, mv := range moves {
		for _, f := range p.familyOf(mv.Kid) {
			if !follows[f] {
				t.Split[f], follows[f] = mv.Team, true
			}
		}
	}
	t.Moves = movesBetween(now, t.Split)
	for _, mv := range t.Moves {
		if !named[mv.Kid] {
			t.Along = append(t.Along, mv.Kid)
		}
	}
	return t, nil
}

// familyOf are all kids who have to be where a kid is.
func (p *Pool) familyOf(kid int) []int {
	in := make([]bool, len(p.Kids))
	in[kid] = true
	for again := true; again; {
		again = false
		for _, g := range p.Siblings {
			if !slices.ContainsFunc(g, func(k int) bool { return in[k] }) {
				continue
			}
			for _, k := range g {
				again = again || !in[k]
				in[k] = true
			}
		}
	}
	var family []int
	for k, yes := range in {
		if yes {
			family = append(family, k)
		}
	}
	return family
}

// counter looks for counter-trades.
func (t *Trade) counter(ctx context.Context, m *model, before value, named []Move) {
	pinned := make([]bool, len(m.units))
	traded := map[int]bool{}
	for _, mv := range slices.Concat(named, t.Moves) {
		traded[mv.Kid] = true
	}
	for i, k := range m.layout.kids {
		pinned[m.unit[i]] = pinned[m.unit[i]] || traded[k]
	}
	now, last := t.Split, value{short: 1 << 30}
	if len(t.Broken) == 0 {
		last = m.newState(m.assign(now)).value()
		if !before.less(last) {
			t.Restored = true
			return
		}
	}
	for range mostCounters {
		c := m.newChanges(ctx, now)
		if slices.Contains(c.home, Unplaced) {
			return // the trade tears siblings apart
		}
		c.pinned = pinned
		c.place(MostMoves)
		better := false
		for _, o := range c.best[1:] {
			if o.team == nil || !o.value.less(last) {
				continue
			}
			better, last, now = true, o.value, m.split(o.team)
			next := m.p.option(t.Split, now)
			// One who was moved before may have moved back: what takes as many moves and was worse goes.
			t.Counters = slices.DeleteFunc(t.Counters, func(o Option) bool { return len(o.Moves) >= len(next.Moves) })
			t.Counters = append(t.Counters, next)
			if !before.less(last) {
				t.Restored = true
				return
			}
		}
		if !better {
			return
		}
	}
}
