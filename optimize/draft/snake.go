package draft

import (
	"context"
	"slices"
)

// packWork bounds the rounds of very large pools; a round looks at all units for every team.
const packWork = 200_000_000

// packRounds is how many rounds of putting in and taking out are tried before the exact search for any split.
func (y *layout) packRounds() int {
	n := len(y.units)
	return min(200+20*n, max(2*n, packWork/(n*y.teams)))
}

// Snake is the snake draft on the first measure that keeps the rules, and how many kids had to be moved after it to keep them all. In every round
// each team picks the best kid left that it may have; the order turns round by round. Siblings cost as many picks as they are, and
// a kid settled on a team costs it the pick of the round that the score says: the same rules as on a Board, without its foresight. Nil: no split was found.
func Snake(ctx context.Context, p *Pool) (Split, int, error) {
	if err := p.Validate(); err != nil {
		return nil, 0, err
	}
	y := p.newLayout(nil)
	team, mended := y.snake(ctx, p)
	if team == nil {
		return nil, 0, nil
	}
	return y.split(team), mended, nil
}

// snake gives the teams of units; nil: none found.
func (y *layout) snake(ctx context.Context, p *Pool) (team []int32, mended int) {
	if y.dead {
		return nil, 0
	}
	called := y.callPicks(p)
	k := y.newPacker(called, 1)
	if k.pack(ctx, y.packRounds()) {
		team = k.team
	} else if found, answer := y.complete(ctx, called); answer == yes {
		team = found
	} else {
		return nil, 0
	}
	for u := range team {
		if called[u] != team[u] {
			mended += y.units[u].size()
		}
	}
	return team, mended
}

// lead is the score that picks go by: the best of a unit's kids, as coaches call kids and siblings follow.
func (y *layout) lead(p *Pool) []float64 {
	lead := make([]float64, len(y.units))
	for u := range y.units {
		for i, kid := range y.units[u].kids {
			if x := p.Kids[y.kids[kid]].Scores[0]; i == 0 || x > lead[u] {
				lead[u] = x
			}
		}
	}
	return lead
}

// ranking is the units by lead, the best first; ties by label.
func (y *layout) ranking(p *Pool) []int32 {
	lead := y.lead(p)
	order := make([]int32, len(y.units))
	for u := range order {
		order[u] = int32(u)
	}
	slices.SortStableFunc(order, func(a, b int32) int {
		switch {
		case lead[a] > lead[b]:
			return -1
		case lead[a] < lead[b]:
			return 1
		}
		return 0
	})
	return order
}

// dueRounds gives the round, from 0, in which the score of each settled unit says that it would be picked; -1 for others.
func (y *layout) dueRounds(p *Pool) []int {
	due := slices.Repeat([]int{-1}, len(y.units))
	before := 0
	for _, u := range y.ranking(p) {
		if y.units[u].fixed() {
			due[u] = before / y.teams
		}
		before += y.units[u].size()
	}
	return due
}

// callPicks runs the snake: units that fit nowhere at their turn stay without a team.
func (y *layout) callPicks(p *Pool) []int32 {
	none := slices.Repeat([]int32{Unplaced}, len(y.units))
	k := y.newPacker(none, 1)
	order, due := y.ranking(p), y.dueRounds(p)
	for u := range y.units {
		if y.units[u].fixed() {
			each(y.units[u].teams, func(t int) {
				if k.fits(int32(u), int32(t)) {
					k.put(int32(u), int32(t))
				}
			})
		}
	}
	owed := make([]int, y.teams)
	for round := range len(y.kids) {
		for i := range y.teams {
			t := i
			if round%2 == 1 {
				t = y.teams - 1 - i
			}
			y.turn(k, int32(t), round, owed, order, due)
		}
	}
	return k.team
}

// turn is one team's turn in one round.
func (y *layout) turn(k *packer, t int32, round int, owed []int, order []int32, due []int) {
	if owed[t] > 0 {
		owed[t]--
		return
	}
	for _, u := range order {
		if k.team[u] == t && due[u] >= 0 && due[u] <= round {
			owed[t] = y.units[u].size() - 1
			due[u] = -1
			return
		}
	}
	for _, u := range order {
		if k.team[u] == Unplaced && k.fits(u, t) {
			k.put(u, t)
			owed[t] = y.units[u].size() - 1
			return
		}
	}
}

// Random is a random split that keeps the rules; the same seed gives the same. Nil: none was found.
func Random(ctx context.Context, p *Pool, seed uint64) (Split, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	y := p.newLayout(nil)
	if y.dead {
		return nil, nil
	}
	d := dice(seed)
	for range 20 {
		order := make([]int32, len(y.units))
		for u := range order {
			order[u] = int32(u)
		}
		shuffle(&d, order)
		team := slices.Repeat([]int32{Unplaced}, len(order))
		k := y.newPacker(team, d.next())
		for _, u := range order {
			var open []int32
			each(y.units[u].teams, func(t int) {
				if k.fits(u, int32(t)) {
					open = append(open, int32(t))
				}
			})
			if len(open) > 0 {
				k.put(u, open[d.below(len(open))])
			}
		}
		k = y.newPacker(k.team, d.next())
		if k.pack(ctx, y.packRounds()) {
			return y.split(k.team), nil
		}
	}
	team, answer := y.complete(ctx, slices.Repeat([]int32{Unplaced}, len(y.units)))
	if answer != yes {
		return nil, nil
	}
	return y.split(team), nil
}
