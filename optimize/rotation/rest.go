package rotation

import "slices"

// DefaultRest gives the default limits of series in a row on the field and on the bench by
// head count. A window of m series in a row with its kids present throughout and its spots: if each of
// those kids is to play at least once, the spots must be enough (on the bench at most m-1); if each is
// to rest at least once, the places on the bench must be enough (on the field at most m-1).
// On the field it is the larger of 3 and what these counts force, on the bench the
// least they allow, and 1 at least.
func DefaultRest[P Present](avail []P, spots []int) (maxOn, maxOff int) {
	n, there := len(spots), grid(avail, len(spots))
	holds := func(m int, room func(s, kids int) int) bool {
		for a := 0; a+m <= n; a++ {
			through, places := 0, 0
			for _, here := range there {
				if throughout(here, a, a+m-1) {
					through++
				}
			}
			for s := a; s < a+m; s++ {
				places += room(s, countHere(there, s))
			}
			if through > places {
				return false
			}
		}
		return true
	}
	maxOff, maxOn = 1, 3
	for !holds(maxOff+1, func(s, _ int) int { return spots[s] }) {
		maxOff++
	}
	for !holds(maxOn+1, func(s, here int) int { return here - spots[s] }) {
		maxOn++
	}
	return maxOn, maxOff
}

// restForShares are the limits of rest that equal shares force from on and off up, by counting kid by kid: for each kid on the field,
// for all together on the bench. A kid who is there for n series in a row rests in every on+1 of them, so that it plays at most
// n - floor(n/(on+1)) of them. And in every off+1 series everybody who is there throughout plays, so that a kid gets at most the
// spots that the others leave. Only what is ahead counts: lo are the least turns there, and avail is nothing before.
func restForShares(avail [][]bool, lo, spots []int, on, off int) ([]int, int) {
	longest := slices.Repeat([]int{on}, len(avail))
	for k, here := range avail {
		longest[k] = max(on, onForShare(stretches(here), lo[k]))
		for off < len(spots) && mostTurns(avail, spots, k, off) < lo[k] {
			off++
		}
	}
	return longest, off
}

// onForShare is the least limit of series in a row on the field that lets a kid who is there for these stretches play so many series; as long
// as the longest stretch if none does.
func onForShare(there []Window, turns int) int {
	longest := 0
	for _, w := range there {
		longest = max(longest, w.Last-w.First+1)
	}
	for on := 1; on < longest; on++ {
		most := 0
		for _, w := range there {
			n := w.Last - w.First + 1
			most += n - n/(on+1)
		}
		if most >= turns {
			return on
		}
	}
	return longest
}

// mostTurns bounds how many series kid k can play where nobody may be on the bench for more than off series in a row.
func mostTurns(avail [][]bool, spots []int, k, off int) int {
	most := 0
	for _, w := range stretches(avail[k]) {
		most += mostIn(avail, spots, k, off, w)
	}
	return most
}

// mostIn is the same for one stretch that the kid is there for.
func mostIn(avail [][]bool, spots []int, k, off int, w Window) int {
	from, to, m := w.First, w.Last, off+1
	most := to - from + 1
	for start := from; start < from+m && start <= to; start++ {
		sum := start - from
		for a := start; a <= to; a += m {
			if a+m > to+1 {
				sum += to + 1 - a
				break
			}
			places := 0
			for _, n := range spots[a : a+m] {
				places += n
			}
			for j, here := range avail {
				if j != k && throughout(here, a, a+m-1) {
					places--
				}
			}
			sum += min(m, max(places, 0))
		}
		most = min(most, sum)
	}
	return max(most, 0)
}

// fillRest sets the limits of rest: the game's, or else what head count and equal shares force, and what the plan to be changed
// has had already, since whoever keeps to it changes nothing.
func (g *Game) fillRest(p *Problem, spots []int) {
	ahead, lo := g.ahead(p)
	spots = append([]int(nil), spots...)
	for s := range spots {
		if g.over(s) { // whoever has left since is not there to be counted
			spots[s] = min(spots[s], len(g.present(s)))
		}
	}
	on, off := DefaultRest(p.presences(), spots)
	longest, off := restForShares(ahead, lo, spots, on, off) // the search would find the same, step by step
	for k := range p.Kids {
		runOn, runOff := g.keptRuns(k, p.Kids[k].Presence())
		if n := max(longest[k], runOn); g.MaxOn == 0 && n > on {
			p.Kids[k].MaxOn = n
		}
		off = max(off, runOff)
	}
	p.MaxOn, p.MaxOff = g.MaxOn, g.MaxOff
	if p.MaxOn == 0 {
		p.MaxOn = on
	}
	if p.MaxOff == 0 {
		p.MaxOff = off
	}
}

// ahead are the series to come that each kid is there for, and the least turns that it is to have in them.
func (g *Game) ahead(p *Problem) (avail [][]bool, lo []int) {
	from := 0
	for from < len(g.Series) && g.over(from) {
		from++
	}
	avail = grid(p.presences(), len(g.Series))
	for k, kid := range p.Kids {
		clear(avail[k][:from])
		left := kid.Lo
		for _, cells := range g.Played {
			if slices.ContainsFunc(cells, func(c Cell) bool { return c.Kid == k }) {
				left--
			}
		}
		lo = append(lo, left)
	}
	return avail, lo
}

// keptRuns are the most series in a row on the field and on the bench that kid k has in the plan to be changed, as far as it is there
// in both; none if it is not in it.
func (g *Game) keptRuns(k int, there Presence) (on, off int) {
	runOn, runOff, in := 0, 0, false
	for s := range g.Kept {
		if !there.There(s) || k < len(g.KeptThere) && !g.KeptThere[k].There(s) {
			runOn, runOff = 0, 0
			continue
		}
		if slices.ContainsFunc(g.Kept[s], func(c Cell) bool { return c.Kid == k }) {
			runOn, runOff, in = runOn+1, 0, true
		} else {
			runOn, runOff = 0, runOff+1
		}
		on, off = max(on, runOn), max(off, runOff)
	}
	if !in {
		return 0, 0
	}
	return on, off
}
