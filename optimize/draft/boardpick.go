package draft

import (
	"context"
	"slices"
)

// Pick gives the kid, with siblings, to the team and takes the turns without a choice that follow. It returns the entries it
// made, or why the pick is refused.
func (b *Board) Pick(ctx context.Context, team, kid int) ([]Entry, *Refusal) {
	u, witness, why := b.try(ctx, team, kid)
	if why != nil {
		if why.Kind == RefusedDeadEnd {
			taken := b.taken()
			taken[u] = int32(team)
			why.Conflict = Explain(ctx, b.settledPool(b.y.split(taken)))
		}
		return nil, why
	}
	b.past = append(b.past, b.snapshot())
	from := len(b.entries)
	e := Entry{Kind: Picked, Round: b.round + 1, Team: team, Kids: []int{}}
	b.take(u, int32(team), &e)
	b.witness = witness
	at := slices.Index(e.Kids, kid)
	copy(e.Kids[1:at+1], e.Kids[:at])
	e.Kids[0] = kid
	b.entries = append(b.entries, e)
	b.pass()
	b.advance()
	return slices.Clone(b.entries[from:]), nil
}

func (b *Board) snapshot() Board {
	c := *b
	c.past = nil
	c.due, c.team, c.owed = slices.Clone(b.due), slices.Clone(b.team), slices.Clone(b.owed)
	c.entries = slices.Clip(b.entries)
	return c
}

// Undo takes the last pick back, with what the board did after it; false: there is none.
func (b *Board) Undo() bool {
	if len(b.past) == 0 {
		return false
	}
	past := b.past
	*b = past[len(past)-1]
	b.past = past[:len(past)-1]
	return true
}

// try tells whether a pick is allowed, with a split that shows that the board can still be filled. Of a dead end it does not look for the conflict.
func (b *Board) try(ctx context.Context, team, kid int) (u int32, witness []int32, why *Refusal) {
	turn := b.Turn()
	switch {
	case kid < 0 || kid >= len(b.p.Kids) || team < 0 || team >= len(b.p.Teams):
		return 0, nil, &Refusal{Kind: RefusedRule}
	case turn.Over:
		return 0, nil, &Refusal{Kind: RefusedOver}
	case turn.Team != team:
		return 0, nil, &Refusal{Kind: RefusedTurn, Team: turn.Team}
	}
	i := slices.Index(b.y.kids, kid)
	u = b.y.unit[i]
	taken := b.taken()
	if taken[u] != Unplaced {
		return u, nil, &Refusal{Kind: RefusedTaken, Team: int(taken[u])}
	}
	k := b.packed()
	if !k.fits(u, int32(team)) {
		return u, nil, b.whyNot(u, team)
	}
	if b.witness[u] == int32(team) {
		return u, b.witness, nil
	}
	taken[u] = int32(team)
	witness, a := b.y.fill(ctx, taken, b.witness)
	switch a {
	case yes:
		return u, witness, nil
	case no:
		return u, nil, &Refusal{Kind: RefusedDeadEnd}
	}
	return u, nil, &Refusal{Kind: RefusedOpen}
}

// whyNot names the rules of the pool that keep a unit off a team as it is.
func (b *Board) whyNot(u int32, team int) *Refusal {
	s := b.Split()
	for _, i := range b.y.units[u].kids {
		s[b.y.kids[i]] = team
	}
	why := &Refusal{Kind: RefusedRule}
	for _, r := range Check(b.p, s) {
		if r.Kind != Sizes {
			why.Rules = append(why.Rules, r)
		}
	}
	if why.Rules == nil {
		why.Kind = RefusedRoom
	}
	return why
}

// Legal are the kids that the team whose turn it is may call, best overall first; ties by label.
func (b *Board) Legal(ctx context.Context) []int {
	turn := b.Turn()
	kids := []int{}
	if turn.Over {
		return kids
	}
	k := b.packed()
	for _, u := range b.rank {
		if b.team[u] != Unplaced || b.settled[u] != Unplaced || !k.fits(u, int32(turn.Team)) {
			continue
		}
		for n, i := range b.y.units[u].kids {
			if n == 0 {
				if _, _, why := b.try(ctx, turn.Team, b.y.kids[i]); why != nil {
					break
				}
			}
			kids = append(kids, b.y.kids[i])
		}
	}
	slices.SortStableFunc(kids, b.best)
	return kids
}
