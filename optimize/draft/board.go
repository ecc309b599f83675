package draft

import (
	"context"
	"fmt"
	"slices"
)

// Board is a live snake: pure data, no files. Playing the same picks on the same pool and order gives the same board.
type Board struct {
	p       *Pool
	y       *layout
	order   []int
	rank    []int32 // units, best overall first
	due     []int   // by unit: the round, from 0, that a settled unit costs; -1: none or spent
	team    []int32 // by unit; Unplaced: still to be picked
	settled []int32 // by unit: where it is settled, spent or not
	owed    []int   // by team
	round   int     // from 0
	seat    int     // place in the round
	entries []Entry
	past    []Board // before each pick, without their own past
	witness []int32 // a split that can still come about
}

// ConflictError is rules that cannot hold together, or of which it is not settled whether they can (Conflict is nil).
type ConflictError struct{ Conflict *Conflict }

func (e *ConflictError) Error() string {
	if e.Conflict == nil {
		return "draft: no split that keeps the rules was found"
	}
	return "draft: the rules cannot all hold"
}

// NewBoard starts a live snake; order is the order of the teams in round 1 (it turns round by round), nil: as in the pool.
// The error is about a pool or an order that makes no sense, or a *ConflictError.
func NewBoard(ctx context.Context, p *Pool, order []int) (*Board, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	b := &Board{p: p, y: p.newLayout(nil), order: slices.Clone(order), owed: make([]int, len(p.Teams))}
	if order == nil {
		for t := range p.Teams {
			b.order = append(b.order, t)
		}
	}
	sorted := slices.Sorted(slices.Values(b.order))
	for t := range p.Teams {
		if t >= len(sorted) || sorted[t] != t || len(sorted) != len(p.Teams) {
			return nil, fmt.Errorf("draft: the order of picks does not name every team once")
		}
	}
	b.team = slices.Repeat([]int32{Unplaced}, len(b.y.units))
	b.settled = slices.Clone(b.team)
	for u := range b.y.units {
		if un := &b.y.units[u]; un.fixed() {
			each(un.teams, func(t int) { b.settled[u] = int32(t) })
		}
	}
	if !b.y.dead {
		b.witness, _ = b.y.snake(ctx, p)
	}
	if b.witness == nil {
		return nil, &ConflictError{Explain(ctx, p)}
	}
	b.rank, b.due = b.y.ranking(p), b.y.dueRounds(p)
	b.advance()
	return b, nil
}

// taken is where units are: picked or settled.
func (b *Board) taken() []int32 {
	team := slices.Clone(b.team)
	for u, t := range b.settled {
		if team[u] == Unplaced {
			team[u] = t
		}
	}
	return team
}

// Split is where everybody is now, settled kids whose round has not come yet included; Unplaced are those to be picked.
func (b *Board) Split() Split { return b.y.split(b.taken()) }

// Entries are all turns so far.
func (b *Board) Entries() []Entry { return slices.Clone(b.entries) }

// Turn is whose turn it is. Turns without a choice (settled kids, turns owed, teams without a pick) are taken by the board itself.
func (b *Board) Turn() Turn {
	if b.over() {
		return Turn{Over: true, Round: b.round + 1, Team: Unplaced}
	}
	return Turn{Round: b.round + 1, Team: b.at()}
}

func (b *Board) over() bool { return !slices.Contains(b.team, Unplaced) }

// at is the team whose turn it is by the snake.
func (b *Board) at() int {
	if b.round%2 == 1 {
		return b.order[len(b.order)-1-b.seat]
	}
	return b.order[b.seat]
}

// packed is a packer with all units that are taken, to ask what fits.
func (b *Board) packed() *packer { return b.y.newPacker(b.taken(), 1) }

// advance takes turns without a choice until a coach has to call, or all is over.
func (b *Board) advance() {
	for !b.over() {
		t := b.at()
		e := Entry{Round: b.round + 1, Team: t, Kids: []int{}}
		switch u := b.dueNow(t); {
		case b.owed[t] > 0:
			b.owed[t]--
			e.Kind = Owed
		case u != Unplaced:
			e.Kind = Placed
			b.take(u, int32(t), &e)
		case !b.choice(t):
			e.Kind = Full
		default:
			return
		}
		b.entries = append(b.entries, e)
		b.pass()
	}
}

func (b *Board) pass() {
	if b.seat++; b.seat == len(b.order) {
		b.seat, b.round = 0, b.round+1
	}
}

// dueNow is the settled unit that costs the team this turn: of those whose round has come the best; Unplaced: none. When nothing is left to
// be picked, the settled ones follow at once.
func (b *Board) dueNow(t int) int32 {
	first := int32(Unplaced)
	for _, u := range b.rank {
		if b.settled[u] != int32(t) || b.team[u] != Unplaced {
			continue
		}
		if b.due[u] <= b.round {
			return u
		}
		if first == Unplaced {
			first = u
		}
	}
	if first != Unplaced && b.choice(t) {
		return Unplaced
	}
	return first
}

// choice tells whether the team has any pick that leads to full teams. The witness mostly says so at once; and as long as kids are
// left it gives some team a choice, so that a round never passes without a pick.
func (b *Board) choice(t int) bool {
	taken := b.taken()
	for u, w := range b.witness {
		if taken[u] == Unplaced && w == int32(t) {
			return true
		}
	}
	k := b.packed()
	for u := range taken {
		if taken[u] == Unplaced && k.fits(int32(u), int32(t)) {
			if _, _, why := b.try(context.Background(), t, b.y.kids[b.y.units[u].kids[0]]); why == nil {
				return true
			}
		}
	}
	return false
}

// take puts a unit on a team and notes its kids, best first.
func (b *Board) take(u, t int32, e *Entry) {
	b.team[u] = t
	b.owed[t] += b.y.units[u].size() - 1
	for _, i := range b.y.units[u].kids {
		e.Kids = append(e.Kids, b.y.kids[i])
	}
	slices.SortStableFunc(e.Kids, b.best)
}

// best orders kids, the best overall first.
func (b *Board) best(k, l int) int {
	x, y := b.p.Kids[k], b.p.Kids[l]
	switch {
	case x.Scores[0] > y.Scores[0]:
		return -1
	case x.Scores[0] < y.Scores[0]:
		return 1
	}
	return compareLabels(x.Label, y.Label)
}

// Rest is the pool with everybody on the board settled: drafting it gives the most even teams still possible.
func (b *Board) Rest() *Pool { return b.settledPool(b.Split()) }

func (b *Board) settledPool(s Split) *Pool {
	p := *b.p
	p.Fixed = slices.Clone(b.p.Fixed)
	for k, t := range s {
		if t != Unplaced && !slices.ContainsFunc(p.Fixed, func(f Fixed) bool { return f.Kid == k }) {
			p.Fixed = append(p.Fixed, Fixed{Kid: k, Team: t})
		}
	}
	return &p
}
