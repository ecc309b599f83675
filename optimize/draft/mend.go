package draft

import (
	"context"
	"slices"
)

// packer puts units on teams so that the rules hold, by putting in one that has no team and taking out those in its way. It proves nothing.
type packer struct {
	*layout
	dice
	team  []int32
	kids  []int32
	old   []int32
	full  int     // teams that have hi kids, where that is more than lo
	wait  []int32 // units without a team
	stale []int   // by unit: until which round it is not taken out again
	round int
}

func (y *layout) newPacker(team []int32, seed uint64) *packer {
	k := &packer{layout: y, dice: dice(seed), team: slices.Repeat([]int32{Unplaced}, len(y.units)), kids: make([]int32, y.teams),
		old: make([]int32, y.teams*y.olds), stale: make([]int, len(y.units))}
	for u := range y.units {
		if t := team[u]; t != Unplaced && k.fits(int32(u), t) {
			k.put(int32(u), t)
		} else {
			k.wait = append(k.wait, int32(u))
		}
	}
	return k
}

// limit is the most kids that a team may have now.
func (k *packer) limit(t int32) int {
	if k.larger > 0 && k.full >= k.larger && int(k.kids[t]) < k.hi {
		return k.lo
	}
	return k.hi
}

// fits tells whether a unit can join a team as it is.
func (k *packer) fits(u, t int32) bool {
	un := &k.units[u]
	if un.teams>>t&1 == 0 || int(k.kids[t])+un.size() > k.limit(t) {
		return false
	}
	for _, e := range un.enemies {
		if k.team[e] == t {
			return false
		}
	}
	for o, c := range un.old {
		if c > 0 && int(k.old[int(t)*k.olds+o]+c) > k.most {
			return false
		}
	}
	return true
}

func (k *packer) put(u, t int32) {
	k.team[u] = t
	k.count(u, t, 1)
}

func (k *packer) take(u int32) {
	k.count(u, k.team[u], -1)
	k.team[u] = Unplaced
	k.wait = append(k.wait, u)
}

func (k *packer) count(u, t, sign int32) {
	un := &k.units[u]
	was := int(k.kids[t]) == k.hi
	k.kids[t] += sign * int32(un.size())
	if is := int(k.kids[t]) == k.hi; is && !was {
		k.full++
	} else if was && !is {
		k.full--
	}
	for o, c := range un.old {
		k.old[int(t)*k.olds+o] += sign * c
	}
}

// pack tries to place every unit that waits within some rounds. Even where the context has ended, everybody is tried once.
func (k *packer) pack(ctx context.Context, rounds int) bool {
	if k.dead {
		return false
	}
	for k.round = 1; len(k.wait) > 0; k.round++ {
		if k.round > rounds || k.round > 2*len(k.units) && ctx.Err() != nil {
			return false
		}
		i := k.hardest()
		u := k.wait[i]
		k.wait = slices.Delete(k.wait, i, i+1)
		k.force(u)
		k.stale[u] = k.round + 3 + k.below(5)
	}
	return true
}

// hardest is the unit to place next: mostly the one with the fewest teams, now and then any.
func (k *packer) hardest() int {
	if k.below(8) == 0 {
		return k.below(len(k.wait))
	}
	best, least := 0, 1<<30
	for i, u := range k.wait {
		free := 0
		each(k.units[u].teams, func(t int) {
			if k.fits(u, int32(t)) {
				free++
			}
		})
		if score := free<<8 - k.units[u].size(); score < least {
			best, least = i, score
		}
	}
	return best
}

// force places a unit where the fewest kids have to go for it.
func (k *packer) force(u int32) {
	best, least, ties := int32(-1), 1<<30, 0
	var out []int32
	each(k.units[u].teams, func(t int) {
		go_, cost := k.inTheWay(u, int32(t))
		switch {
		case cost > least:
			return
		case cost < least:
			least, ties = cost, 0
		}
		if ties++; k.below(ties) == 0 {
			best, out = int32(t), go_
		}
	})
	if best < 0 || least >= 1<<20 {
		k.wait = append(k.wait, u)
		return
	}
	for _, v := range out {
		k.take(v)
	}
	k.put(u, best)
}

// inTheWay are the units that have to leave a team for u to come, and what that costs.
func (k *packer) inTheWay(u, t int32) (out []int32, cost int) {
	un := &k.units[u]
	leave := func(v int32) {
		out = append(out, v)
		cost += 2 * k.units[v].size()
		if k.stale[v] > k.round {
			cost += 8
		}
		if k.units[v].fixed() {
			cost += 1 << 20
		}
	}
	for _, e := range un.enemies {
		if k.team[e] == t {
			leave(e)
		}
	}
	var there []int32
	for v := range k.units {
		if k.team[v] == t && !slices.Contains(out, int32(v)) {
			there = append(there, int32(v))
		}
	}
	shuffle(&k.dice, there)
	slices.SortStableFunc(there, func(v, w int32) int { return k.loyalty(v) - k.loyalty(w) })
	for o, c := range un.old {
		over := int(k.old[int(t)*k.olds+o]+c) - k.most
		for _, v := range out {
			over -= int(k.oldCount(v, o))
		}
		for i := 0; c > 0 && over > 0 && i < len(there); i++ {
			if n := int(k.oldCount(there[i], o)); n > 0 {
				over -= n
				leave(there[i])
				there = slices.Delete(there, i, i+1)
				i--
			}
		}
	}
	over := int(k.kids[t]) + un.size() - k.limit(t)
	for _, v := range out {
		over -= k.units[v].size()
	}
	for len(there) > 0 && over > 0 {
		over -= k.units[there[0]].size()
		leave(there[0])
		there = there[1:]
	}
	if over > 0 {
		cost += 1 << 20
	}
	return out, cost
}

// loyalty orders who has to go first: whoever has just come goes last, then those who cannot go anywhere.
func (k *packer) loyalty(v int32) int {
	l := 0
	if k.stale[v] > k.round {
		l = 8
	}
	if k.units[v].fixed() {
		l += 1 << 20
	}
	return l + k.units[v].size()
}

func (k *packer) oldCount(u int32, o int) int32 {
	if old := k.units[u].old; o < len(old) {
		return old[o]
	}
	return 0
}
