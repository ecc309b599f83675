package rotation

import "slices"

// DefaultRest gives the default limits of series in a row on the field and on the bench by
// head count. A window of m series in a row with its kids present throughout and its spots: if each of
// those kids is to play at least once, the spots must be enough (on the bench at most m-1); if each is
// to rest at least once, the places on the bench must be enough (on the field at most m-1).
// On the field it is the larger of 3 and what these counts force, on the bench the
// least they allow, and 1 at least.
func DefaultRest(avail []Window, spots []int) (maxOn, maxOff int) {
	n := len(spots)
	holds := func(m int, room func(s, kids int) int) bool {
		for a := 0; a+m <= n; a++ {
			throughout, places := 0, 0
			for _, w := range avail {
				if w.First <= a && w.Last >= a+m-1 {
					throughout++
				}
			}
			for s := a; s < a+m; s++ {
				here := 0
				for _, w := range avail {
					if w.First <= s && s <= w.Last {
						here++
					}
				}
				places += room(s, here)
			}
			if throughout > places {
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
// n - floor(n/(on+1)). And in every off+1 series everybody who is there throughout plays, so that a kid gets at most the
// spots that the others leave. Only what is ahead counts: lo are the least turns there, and avail begins there.
func restForShares(avail []Window, lo, spots []int, on, off int) ([]int, int) {
	longest := slices.Repeat([]int{on}, len(avail))
	for k, w := range avail {
		if n := w.Last - w.First + 1; n > 0 {
			longest[k] = max(on, onForShare(n, lo[k]))
		}
		for off < len(spots) && mostTurns(avail, spots, k, off) < lo[k] {
			off++
		}
	}
	return longest, off
}

// onForShare is the least limit of series in a row on the field that lets a kid play so many of n series; n if none does.
func onForShare(n, turns int) int {
	on := 1
	for on < n && n-n/(on+1) < turns {
		on++
	}
	return on
}

// mostTurns bounds how many series kid k can play where nobody may be on the bench for more than off series in a row.
func mostTurns(avail []Window, spots []int, k, off int) int {
	from, to, m := max(avail[k].First, 0), min(avail[k].Last, len(spots)-1), off+1
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
			for j, w := range avail {
				if j != k && w.First <= a && w.Last >= a+m-1 {
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
	avail := make([]Window, len(g.Kids))
	for k, kid := range p.Kids {
		avail[k] = Window{kid.First, kid.Last}
	}
	ahead, lo := g.ahead(p)
	spots = append([]int(nil), spots...)
	for s := range spots {
		if g.over(s) { // whoever has left since is not there to be counted
			spots[s] = min(spots[s], len(g.present(s)))
		}
	}
	on, off := DefaultRest(avail, spots)
	longest, off := restForShares(ahead, lo, spots, on, off) // the search would find the same, step by step
	for k := range p.Kids {
		runOn, runOff := g.keptRuns(k, avail[k])
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
func (g *Game) ahead(p *Problem) (avail []Window, lo []int) {
	from := 0
	for from < len(g.Series) && g.over(from) {
		from++
	}
	for k, kid := range p.Kids {
		avail = append(avail, Window{max(kid.First, from), kid.Last})
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
func (g *Game) keptRuns(k int, there Window) (on, off int) {
	if k < len(g.KeptThere) {
		there = Window{max(there.First, g.KeptThere[k].First), min(there.Last, g.KeptThere[k].Last)}
	}
	runOn, runOff, in := 0, 0, false
	for s := max(there.First, 0); s <= there.Last && s < len(g.Kept); s++ {
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
