package rotation

import (
	"cmp"
	"slices"
)

// LargerShares says who gets the larger share of a game where the fair shares, those of FairSharesAfter on the same avail,
// spots and played, are fractions: whole numbers of series lo[k] to hi[k] for each kid, inside the floor and the ceiling of its
// share. owed[k] is what kid k is owed from earlier games, in series; a larger number is owed more. The larger shares go to the kids owed most, one after another, as far as
// who is there when allows; where kids who are owed the same stand at the boundary, all of them keep both ends, and
// whoever plans may choose. Any choice within lo and hi that fills all spots gives the larger shares to kids
// owed as much.
//
// The sets of kids who can have the larger share together are the bases of a matroid (flows from kids to series), so that
// taking the most owed first is the best there is, and what is best at each rank of owed does not depend on choices above it.
func LargerShares[P Present](avail []P, spots, played []int, shares []Share, owed []float64) (lo, hi []int) {
	lo, hi = make([]int, len(shares)), make([]int, len(shares))
	var split []int // kids whose share is no whole number
	floor := make([]int64, len(shares))
	for k, sh := range shares {
		lo[k], hi[k] = sh.Floor(), sh.Ceil()
		floor[k] = int64(lo[k] - played[k])
		if lo[k] < hi[k] {
			split = append(split, k)
		}
	}
	if len(split) == 0 || !slices.ContainsFunc(split, func(k int) bool { return owed[k] != owed[split[0]] }) {
		return lo, hi
	}
	there := grid(avail, len(spots))
	f := newFlow(there, spots, floor, 1)
	f.run()
	a := &award{there: there, spots: spots, played: played, lo: lo, hi: hi, flow: f}
	slices.SortStableFunc(split, func(i, j int) int { return cmp.Compare(owed[j], owed[i]) })
	for i := 0; i < len(split); {
		j := i + 1
		for j < len(split) && owed[split[j]] == owed[split[i]] {
			j++
		}
		a.rank(split[i:j])
		i = j
	}
	a.settle()
	return lo, hi
}

// award hands out the larger shares. flow always carries the floors and the larger shares given so far.
type award struct {
	there         [][]bool
	spots, played []int
	lo, hi        []int
	flow          *shareFlow
	open          []openRank // the most owed first
}

// openRank is kids owed the same of whom only some can have the larger share.
type openRank struct{ kids, chosen []int }

// more tries to give kid k one series more, without taking any from others; it changes the flow if it can.
func (f *shareFlow) more(k int) bool {
	f.seenK, f.seenS = make([]bool, len(f.avail)), make([]bool, len(f.room))
	return f.push(k, 1) == 1
}

func (f *shareFlow) clone() *shareFlow {
	g := *f
	g.room = slices.Clone(f.room)
	g.used = make([][]int64, len(f.used))
	for k := range g.used {
		g.used[k] = slices.Clone(f.used[k])
	}
	return &g
}

// rank hands out larger shares among kids owed the same: nobody's, everybody's, or open.
func (a *award) rank(kids []int) {
	if k := kids[0]; len(kids) == 1 {
		if a.flow.more(k) {
			a.lo[k] = a.hi[k]
		} else {
			a.hi[k] = a.lo[k]
		}
		return
	}
	before := a.flow.clone()
	var chosen, maybe []int
	for _, k := range kids {
		if a.flow.more(k) {
			chosen = append(chosen, k)
		}
	}
	for _, k := range kids {
		switch {
		case len(chosen) < len(kids) && !before.clone().more(k): // not even if first
			a.hi[k] = a.lo[k]
		case len(chosen) == len(kids) || !reaches(before.clone(), kids, k, len(chosen)): // the others cannot do without
			a.lo[k] = a.hi[k]
		default:
			maybe = append(maybe, k)
		}
	}
	if len(maybe) > 0 {
		chosen = slices.DeleteFunc(chosen, func(k int) bool { return a.lo[k] == a.hi[k] })
		a.open = append(a.open, openRank{maybe, chosen})
	}
}

// reaches tells whether so many of the kids other than k can have one series more.
func reaches(f *shareFlow, kids []int, k, want int) bool {
	for _, j := range kids {
		if j != k && f.more(j) {
			want--
		}
	}
	return want <= 0
}

// settle closes ranks, the most owed first, until no choice in the open ones can take a larger share from a kid owed more.
func (a *award) settle() {
	for len(a.open) > 1 && !a.sound() {
		for _, k := range a.open[0].kids {
			if slices.Contains(a.open[0].chosen, k) {
				a.lo[k] = a.hi[k]
			} else {
				a.hi[k] = a.lo[k]
			}
		}
		a.open = a.open[1:]
	}
}

// sound tries the worst choice: open kids owed least first. It is sound if each rank still gets as many larger shares.
func (a *award) sound() bool {
	demand := make([]int64, len(a.lo))
	for k := range demand {
		demand[k] = int64(a.lo[k] - a.played[k])
	}
	f := newFlow(a.there, a.spots, demand, 1)
	f.run()
	for i := len(a.open) - 1; i >= 0; i-- {
		n := 0
		for _, k := range a.open[i].kids {
			if f.more(k) {
				n++
			}
		}
		if n != len(a.open[i].chosen) {
			return false
		}
	}
	return true
}
