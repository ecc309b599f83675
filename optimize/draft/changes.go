package draft

import (
	"context"
	"slices"
)

// changes goes through small changes of a split. best[n] is the best lawful split found with n kids moved.
type changes struct {
	*state
	ctx    context.Context
	home   []int32 // by unit: its team in the split; Unplaced: none, or torn
	pinned []bool  // units that stay
	best   []outcome
	bad    []int32 // teams that break a rule as it is
	now    Split
	work   int // what may still be tried; see changesWork
}

// changesWork bounds the moves that are priced, tens of times what one late kid in a pool of 240 needs. Really moving a unit counts as a share of the units.
const (
	changesWork = 60_000_000
	moveShare   = 16
)

func (m *model) newChanges(ctx context.Context, now Split) *changes {
	c := &changes{ctx: ctx, now: now, home: m.assign(now), pinned: make([]bool, len(m.units)), work: changesWork}
	c.state = m.newState(c.home)
	c.note()
	return c
}

// note finds the teams that break a rule other than sizes.
func (c *changes) note() {
	c.bad = c.bad[:0]
	for t := range int32(c.teams) {
		if !c.lawful(t) {
			c.bad = append(c.bad, t)
		}
	}
}

// moved is how many kids who had a team get another one if a unit goes to team t.
func (c *changes) moved(u, t int32) int {
	n := 0
	for _, i := range c.units[u].kids {
		if was := c.now[c.layout.kids[i]]; was != Unplaced && was != int(t) {
			n++
		}
	}
	return n
}

func (c *changes) none() bool {
	for _, o := range c.best {
		if o.team != nil {
			return false
		}
	}
	return true
}

// join and part move a unit and keep squares and shortages of the team.
func (c *changes) join(u, t int32) {
	c.enter(u, t)
	c.renew(t)
}

func (c *changes) part(u, t int32) {
	c.leave(u, t)
	c.renew(t)
}

func (c *changes) renew(t int32) {
	n := len(c.units)
	c.squares[t] = 0
	for _, u := range c.on[t] {
		c.squares[t] += c.pull[int(t)*n+int(u)]
	}
	if c.short != nil {
		c.short[t] = c.shortage(c.coverOf(t))
	}
}

// around moves one unit, and one more, after the units without a team were put on the teams given.
func (c *changes) around(spent, most int, teams []int32) {
	for u := range int32(len(c.units)) {
		size, from := c.units[u].size(), c.team[u]
		if c.pinned[u] || c.home[u] == Unplaced || spent+size > most {
			continue
		}
		if c.ctx.Err() != nil || c.work < 0 {
			return
		}
		c.part(u, from)
		each(c.units[u].teams, func(t int) {
			to := int32(t)
			if to == from || c.work < 0 {
				return
			}
			c.work -= len(c.units) / moveShare
			c.join(u, to)
			touched := append(slices.Clone(teams), from, to)
			c.offer(spent+size, touched)
			if spent+size < most {
				c.second(u, spent+size, most, touched)
			}
			c.part(u, to)
		})
		c.join(u, from)
	}
}

// second moves one more unit, between teams that can be right in size after it.
func (c *changes) second(first int32, spent, most int, touched []int32) {
	c.work -= c.teams
	wrong := c.wrongSizes()
	base := c.value()
	near := func(t int32) bool {
		return c.teams <= wideTeams || len(wrong) > 0 || slices.Contains(touched, t)
	}
	if len(wrong) > 2 {
		return
	}
	for a := range int32(c.teams) {
		if int(c.kids[a]) <= c.lo {
			continue
		}
		for b := range int32(c.teams) {
			if a == b || int(c.kids[b]) >= c.hi || !near(a) && !near(b) {
				continue
			}
			left := 0
			for _, t := range wrong {
				left += int(truth(t != a && t != b))
			}
			if left == 0 {
				c.secondBetween(a, b, first, spent, most, base, touched)
			}
		}
	}
}

func (c *changes) secondBetween(a, b, first int32, spent, most int, base value, touched []int32) {
	x := &c.trial
	for i := 0; i < len(c.on[a]); i++ {
		v := c.on[a][i]
		size := c.units[v].size()
		if v == first || c.pinned[v] || c.home[v] == Unplaced || spent+size > most || !c.rightSizes(a, b, size) || !c.welcome(v, b, nil) {
			continue
		}
		c.work--
		*x = exchange{a: a, b: b, out: [2]int32{v}, nOut: 1}
		d := c.delta(x)
		d.short, d.cost = d.short+base.short, d.cost+base.cost
		if o := &c.best[spent+size]; o.team != nil && !d.less(o.value) {
			continue
		}
		c.work -= len(c.units) / moveShare
		// Moving v and back changes the order of the list: go on with the list as it was.
		was := slices.Clone(c.on[a])
		c.part(v, a)
		c.join(v, b)
		c.offer(spent+size, append(slices.Clone(touched), a, b))
		c.part(v, b)
		c.join(v, a)
		copy(c.on[a], was)
		for at, w := range was {
			c.at[w] = int32(at)
		}
	}
}

// rightSizes tells whether two teams have lawful sizes when some kids have gone from a to b.
func (c *changes) rightSizes(a, b int32, kids int) bool {
	return int(c.kids[a])-kids >= c.lo && int(c.kids[a])-kids <= c.hi && int(c.kids[b])+kids >= c.lo && int(c.kids[b])+kids <= c.hi
}

// wrongSizes are the teams that are too small or too large. If there are none, the right number of teams is the larger.
func (c *changes) wrongSizes() []int32 {
	var wrong []int32
	for t, n := range c.kids {
		if int(n) < c.lo || int(n) > c.hi {
			wrong = append(wrong, int32(t))
		}
	}
	return wrong
}

// offer takes the state as the best with so many kids moved if it is lawful and better.
func (c *changes) offer(moved int, touched []int32) {
	if len(c.wrongSizes()) > 0 {
		return
	}
	v := c.value()
	o := &c.best[moved]
	if o.team != nil && !v.less(o.value) {
		return
	}
	for _, t := range touched {
		if !c.lawful(t) {
			return
		}
	}
	for _, t := range c.bad {
		if !c.lawful(t) {
			return
		}
	}
	*o = outcome{team: slices.Clone(c.team), value: v}
}

// lawful tells whether a team keeps all rules but sizes.
func (c *changes) lawful(t int32) bool {
	for o := range c.olds {
		if int(c.old[int(t)*c.olds+o]) > c.most {
			return false
		}
	}
	for _, u := range c.on[t] {
		if c.units[u].teams>>t&1 == 0 {
			return false
		}
		for _, e := range c.units[u].enemies {
			if c.team[e] == t {
				return false
			}
		}
	}
	return true
}
