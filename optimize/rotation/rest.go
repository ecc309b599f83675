package rotation

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

// restForShares raises limits of rest to what equal series force, by counting kid by kid. A kid who is there for n series in a row
// rests in every on+1 of them, so that it plays at most n - floor(n/(on+1)). And in every off+1 series everybody who is there throughout
// plays, so that a kid gets at most the spots that the others leave.
func restForShares(kids []Kid, spots []int, on, off int) (int, int) {
	for k, kid := range kids {
		if n := kid.Last - kid.First + 1; n > 0 {
			on = max(on, onForShare(n, kid.Lo))
		}
		for off < len(spots) && mostTurns(kids, spots, k, off) < kid.Lo {
			off++
		}
	}
	return on, off
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
func mostTurns(kids []Kid, spots []int, k, off int) int {
	from, to, m := max(kids[k].First, 0), min(kids[k].Last, len(spots)-1), off+1
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
			for j, kid := range kids {
				if j != k && kid.First <= a && kid.Last >= a+m-1 {
					places--
				}
			}
			sum += min(m, max(places, 0))
		}
		most = min(most, sum)
	}
	return max(most, 0)
}

func (g *Game) fillRest(p *Problem, spots []int) {
	avail := make([]Window, len(g.Kids))
	for k, kid := range p.Kids {
		avail[k] = Window{kid.First, kid.Last}
	}
	spots = append([]int(nil), spots...)
	for s := range spots {
		if g.over(s) { // whoever has left since is not there to be counted
			spots[s] = min(spots[s], len(g.present(s)))
		}
	}
	on, off := DefaultRest(avail, spots)
	if g.Played == nil { // arrange would find the same, by a search for every step
		on, off = restForShares(p.Kids, spots, on, off)
	}
	p.MaxOn, p.MaxOff = g.MaxOn, g.MaxOff
	if p.MaxOn == 0 {
		p.MaxOn = on
	}
	if p.MaxOff == 0 {
		p.MaxOff = off
	}
}

// stretched is Outcome.Stretched of the game as planned.
func (g *Game) stretched(p *Problem) (kids []int) {
	if g.MaxOn > 0 || g.Played != nil {
		return nil
	}
	avail := make([]Window, len(p.Kids))
	for k, kid := range p.Kids {
		avail[k] = Window{kid.First, kid.Last}
	}
	on, _ := DefaultRest(avail, p.spots())
	for k, kid := range p.Kids {
		if p.MaxOn > on && onForShare(kid.Last-kid.First+1, kid.Lo) == p.MaxOn {
			kids = append(kids, k)
		}
	}
	return kids
}
