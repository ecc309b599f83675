package draft

import (
	"context"
	"slices"
)

// answer is what a search for any split found.
type answer int

const (
	maybe answer = iota // not settled within the effort
	yes
	no
)

// Bounds on the exact search, as numbers of nodes and not times, so that the answer is the same on every machine. A node costs a flow.
const (
	completeWork = 3_000_000 // units times teams, summed over the nodes
	leastNodes   = 500
)

// completer searches for any split that keeps the rules. Units that are more than one kid or have somebody to be kept apart from are put on teams
// one by one; once there are none left, the others are a flow, which settles the rest exactly.
type completer struct {
	*packer
	ctx   context.Context
	nodes *int
}

// complete places the units that have no team, or proves that nobody can; the teams given are kept.
func (y *layout) complete(ctx context.Context, team []int32) ([]int32, answer) {
	nodes := y.completeNodes()
	return y.completeWithin(ctx, team, &nodes)
}

func (y *layout) completeNodes() int {
	return max(leastNodes, completeWork/max(1, len(y.units)*y.teams))
}

// completeWithin takes the nodes it needs off those allowed.
func (y *layout) completeWithin(ctx context.Context, team []int32, nodes *int) ([]int32, answer) {
	if y.dead {
		return nil, no
	}
	c := &completer{packer: y.newPacker(slices.Repeat([]int32{Unplaced}, len(y.units)), 0), ctx: ctx, nodes: nodes}
	c.wait = nil
	for u := range y.units {
		t := team[u]
		if t == Unplaced {
			continue
		}
		if !c.fits(int32(u), t) {
			return nil, no
		}
		c.put(int32(u), t)
	}
	a := c.search()
	if a != yes {
		return nil, a
	}
	return c.team, yes
}

// search settles the units that have no team yet. After yes, they have one.
func (c *completer) search() answer {
	if *c.nodes--; *c.nodes < 0 || c.ctx.Err() != nil {
		return maybe
	}
	f := c.newFlow()
	if !f.run() {
		return no
	}
	u := c.branch()
	if u < 0 {
		f.place()
		return yes
	}
	result := no
	tried := make([]int32, 0, c.teams)
	for _, t := range f.prefer(u) {
		if !c.fits(u, t) || c.twin(t, tried) {
			continue
		}
		tried = append(tried, t)
		c.put(u, t)
		switch c.search() {
		case yes:
			return yes
		case maybe:
			result = maybe
		}
		c.count(u, t, -1)
		c.team[u] = Unplaced
		if result == maybe {
			return maybe
		}
	}
	return result
}

// branch is the unit to decide on next: of those that a flow cannot settle the one with the fewest teams, then the largest; -1: none is left.
func (c *completer) branch() int32 {
	best, least := int32(-1), 1<<30
	for u := range c.units {
		if c.team[u] != Unplaced || c.units[u].size() == 1 && !c.open(c.units[u].enemies) {
			continue
		}
		free := 0
		each(c.units[u].teams, func(t int) {
			if c.fits(int32(u), int32(t)) {
				free++
			}
		})
		if score := free<<10 - c.units[u].size(); score < least {
			best, least = int32(u), score
		}
	}
	return best
}

// open tells whether one of the units has no team yet.
func (c *completer) open(units []int32) bool {
	return slices.ContainsFunc(units, func(u int32) bool { return c.team[u] == Unplaced })
}

// alike tells whether the units left can be on both teams or neither.
func (c *completer) alike(a, b int32) bool {
	for u := range c.units {
		if c.team[u] == Unplaced && c.units[u].teams>>a&1 != c.units[u].teams>>b&1 {
			return false
		}
	}
	return true
}

// twin tells whether a team is as good for the units left as one that was tried before.
func (c *completer) twin(t int32, tried []int32) bool {
	for _, v := range tried {
		if c.kids[t] == c.kids[v] && c.sameOlds(t, v) && c.alike(t, v) && !c.hasOpenEnemies(t) && !c.hasOpenEnemies(v) {
			return true
		}
	}
	return false
}

func (c *completer) sameOlds(a, b int32) bool {
	return slices.Equal(c.old[int(a)*c.olds:int(a+1)*c.olds], c.old[int(b)*c.olds:int(b+1)*c.olds])
}

func (c *completer) hasOpenEnemies(t int32) bool {
	for u := range c.units {
		if c.team[u] == t && c.open(c.units[u].enemies) {
			return true
		}
	}
	return false
}

// fill finds a split in which the units given stay, starting from another split.
func (y *layout) fill(ctx context.Context, team, from []int32) ([]int32, answer) {
	k := y.newPinned(team, from)
	if k == nil {
		return nil, no
	}
	// Mostly a few rounds do. Where they do not, the exact search says no sooner than many rounds would give up.
	rounds := y.packRounds()
	first := min(rounds, 2*len(k.wait)+50)
	if k.pack(ctx, first) {
		return k.team, yes
	}
	found, a := y.complete(ctx, team)
	if a == maybe && k.pack(ctx, rounds-first) {
		return k.team, yes
	}
	return found, a
}

// newPinned is a packer of a layout in which the units of team can only stay; nil: they cannot.
func (y *layout) newPinned(team, from []int32) *packer {
	z := *y
	z.units = slices.Clone(y.units)
	for u, t := range team {
		if t != Unplaced {
			z.units[u].teams &= 1 << t
			z.dead = z.dead || z.units[u].teams == 0
		}
	}
	if z.dead {
		return nil
	}
	start := slices.Clone(from)
	for u, t := range team {
		if t != Unplaced {
			start[u] = t
		}
	}
	// Settled units go in first.
	k := z.newPacker(slices.Clone(team), 1)
	wait := k.wait
	k.wait = nil
	for _, u := range wait {
		if t := start[u]; t != Unplaced && k.fits(u, t) {
			k.put(u, t)
		} else {
			k.wait = append(k.wait, u)
		}
	}
	return k
}
