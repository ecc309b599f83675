package draft

import (
	"context"
	"fmt"
	"slices"
)

// MostMoves is the most kids that Place looks at moving one by one.
const MostMoves = 2

// Bounds on the effort of Place with several late registrations at once.
const (
	mostPlaces  = 20_000     // ways to give them teams that are looked at
	placesMoved = 64         // of these, those around which other kids are moved
	placesWork  = 10_000_000 // the same while no option was found: ways times units times teams
	beyondWork  = 1 << 31    // rounds of putting in and taking out times units times teams, to find a split with few moves
	openWork    = 1 << 30    // bounds the ways looked at where very many kids have no team
	wideTeams   = 12         // with more teams, the second kid moves between teams that are touched already
)

// Place gives kids without a team (Unplaced in now: late registrations) a team and mends team sizes after kids have left, moving at most most
// (0 to MostMoves) other kids. Kids who left are no longer in the pool: now has the teams of those who are. For every number of moved kids
// it goes through all ways and gives the best; with more than 12 teams, those in which the two kids' moves have a team in common; for several
// late registrations at once, or in pools of many hundred kids, the most promising.
func Place(ctx context.Context, p *Pool, now Split, most int) (*Placement, error) {
	if err := p.validateNow(now); err != nil {
		return nil, err
	}
	if most < 0 || most > MostMoves {
		return nil, fmt.Errorf("draft: %d moves; it has to be 0 to %d", most, MostMoves)
	}
	m := p.newModel(Squares)
	if m.dead {
		return &Placement{Beyond: true, Conflict: Explain(ctx, p)}, nil
	}
	c := m.newChanges(ctx, now)
	c.place(most)
	pl := &Placement{Options: c.options()}
	if len(pl.Options) == 0 {
		pl.Beyond = true
		c.beyond(pl, most)
	}
	for _, o := range pl.Options {
		if len(Check(p, o.Split)) > 0 {
			return nil, errBroken
		}
	}
	return pl, nil
}

func (p *Pool) validateNow(now Split) error {
	if err := p.Validate(); err != nil {
		return err
	}
	return p.validateSplit(now)
}

// way is teams for the units that have none.
type way struct {
	teams []int32
	spent int // kids who had a team, families joined from elsewhere
	value value
}

// ways gives teams to the units that have none, the best first: all ways, or the most promising where there are too many.
func (c *changes) ways(open []int32, most int) []way {
	// A way costs to put its units on their teams, and to try the next one on all of them.
	width := min(mostPlaces/c.teams, max(1, openWork/(1+len(open)*len(open)*(len(open)+c.teams)*len(c.units))))
	ways := []way{{}}
	for i, u := range open {
		var next []way
		for _, w := range ways {
			c.joinAll(open[:i], w.teams)
			each(c.units[u].teams, func(t int) {
				spent := w.spent + c.moved(u, int32(t))
				if spent > most || int(c.kids[t])+c.units[u].size() > c.hi+most-spent || c.ctx.Err() != nil {
					return
				}
				c.join(u, int32(t))
				next = append(next, way{append(slices.Clone(w.teams), int32(t)), spent, c.value()})
				c.part(u, int32(t))
			})
			c.partAll(open[:i], w.teams)
		}
		slices.SortStableFunc(next, func(a, b way) int {
			switch {
			case a.value.less(b.value):
				return -1
			case b.value.less(a.value):
				return 1
			}
			return 0
		})
		ways = next[:min(len(next), width)]
	}
	return ways
}

func (c *changes) joinAll(units, teams []int32) {
	for i, u := range units {
		c.join(u, teams[i])
	}
}

func (c *changes) partAll(units, teams []int32) {
	for i, u := range units {
		c.part(u, teams[i])
	}
}

// place tries teams for the units that have none, and moves up to most kids around.
func (c *changes) place(most int) {
	c.best = make([]outcome, most+1)
	var open []int32
	for u, t := range c.home {
		if t == Unplaced {
			open = append(open, int32(u))
		}
	}
	moved := max(placesMoved, placesWork/(len(c.units)*c.teams))
	for i, w := range c.ways(open, most) {
		if c.ctx.Err() != nil {
			return
		}
		c.joinAll(open, w.teams)
		c.offer(w.spent, w.teams)
		if len(open) < 2 || i < placesMoved || i < moved && c.none() {
			c.around(w.spent, most, w.teams)
		}
		c.partAll(open, w.teams)
	}
}

// options are the best splits by number of moved kids, each better than those with fewer.
func (c *changes) options() []Option {
	var list []Option
	var last value
	for _, o := range c.best {
		if o.team == nil || list != nil && !o.value.less(last) {
			continue
		}
		last = o.value
		list = append(list, c.p.option(c.now, c.split(o.team)))
	}
	return list
}

func (p *Pool) option(now, then Split) Option {
	return Option{Moves: movesBetween(now, then), Split: then, Balance: p.Measure(then)}
}

// movesBetween are the kids who had a team and have another now.
func movesBetween(now, then Split) []Move {
	moves := []Move{}
	for k, t := range then {
		if now[k] != Unplaced && now[k] != t {
			moves = append(moves, Move{k, t})
		}
	}
	return moves
}

// beyond looks for a split with more moves than most: one by one as far as that goes, and then with some effort to keep them few.
func (c *changes) beyond(pl *Placement, most int) {
	if most < MostMoves {
		if c.place(MostMoves); !c.none() {
			pl.Options = c.options()[:1]
			return
		}
	}
	work := explainWork
	if c.p.possible(c.ctx, c.p.rules(), &work) == no {
		pl.Conflict = Explain(c.ctx, c.p)
		return
	}
	fewest := -1
	rounds := c.packRounds()
	for seed := range uint64(min(40, max(4, beyondWork/(rounds*len(c.units)*c.teams)))) {
		k := c.newPacker(c.home, seed)
		if !k.pack(c.ctx, rounds) {
			continue
		}
		then := c.split(k.team)
		if n := len(movesBetween(c.now, then)); fewest < 0 || n < fewest {
			fewest = n
			pl.Options = []Option{c.p.option(c.now, then)}
		}
	}
}
