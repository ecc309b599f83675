package rotation

import "slices"

// Share is a fraction of the series of a game, exact.
type Share struct{ Num, Den int64 }

// Floor and Ceil are the whole series around a share.
func (s Share) Floor() int { return int(s.Num / s.Den) }

// Ceil is the share rounded up.
func (s Share) Ceil() int { return int((s.Num + s.Den - 1) / s.Den) }

// FairShares are the max-min fair numbers of series by progressive filling (Bertsekas and
// Gallager 1992, Data Networks, section 6.5.2): all shares rise together; when a group of kids
// fills every spot of the series it can play, its shares stop and the rest go on.
// spots[s] is the number of spots in series s; a kid takes at most one in each series that it is
// there for. Shares sum to the number of spots that can be filled.
func FairShares[P Present](avail []P, spots []int) []Share {
	return FairSharesAfter(avail, spots, make([]int, len(avail)))
}

// FairSharesHurt are the fair shares of a game in which kids were hurt: had[k] lists the series, each once, that kid k was on for until it
// was hurt; a kid that had does not have was not hurt. A hurt kid's share is the number of those series, so that nobody owes and it owes
// nothing. The other turns of the game are shared among the other kids.
func FairSharesHurt(avail []Presence, spots []int, had map[int][]int) []Share {
	shares := FairShares(lessHurt(avail, spots, had))
	for k, on := range had {
		shares[k] = Share{int64(len(on)), 1}
	}
	return shares
}

// lessHurt is what there is for the kids who were not hurt.
func lessHurt(avail []Presence, spots []int, had map[int][]int) ([]Presence, []int) {
	avail, spots = slices.Clone(avail), slices.Clone(spots)
	for k, on := range had {
		avail[k] = Presence{First: 0, Last: -1}
		for _, s := range on {
			spots[s]--
		}
	}
	return avail, spots
}

// FairSharesAfter are the fair shares of the whole game when every kid has already been on for played[k] series:
// the level rises from where each kid stands, and a kid above it waits. spots are those still
// to fill, 0 in a series that is over. Shares are at least what was played.
func FairSharesAfter[P Present](avail []P, spots, played []int) []Share {
	n, there := len(avail), grid(avail, len(spots))
	shares := make([]Share, n)
	active := make([]bool, n)
	left := 0
	for k := range shares {
		shares[k] = Share{int64(played[k]), 1}
		if slices.Contains(there[k], true) {
			active[k] = true
			left++
		}
	}
	for left > 0 {
		level, tight := fillLevel(there, spots, played, shares, active)
		for k := range active {
			if active[k] && tight[k] {
				if shares[k], active[k] = level, false; level.Num < int64(played[k])*level.Den {
					shares[k] = Share{int64(played[k]), 1}
				}
				left--
			}
		}
	}
	return shares
}

// fillLevel finds the largest level that all active kids can have at once, and the kids that
// cannot go above it. Newton's method on the level: at a level that is too high the minimum
// cut names the group in the way, whose own level is tried next; it ends after as many
// steps as there are kids at most, each in whole numbers.
func fillLevel(avail [][]bool, spots, played []int, fixed []Share, active []bool) (Share, []bool) {
	// Start above any feasible level: a kid cannot play more than every series.
	level := Share{int64(len(spots)) + 1, 1}
	for k := range active {
		if active[k] {
			level.Num = max(level.Num, int64(played[k]+len(spots))+1)
		}
	}
	var tight []bool
	for {
		// Demands in units of 1/den, exact: den is a common multiple of all denominators in play.
		den := level.Den
		for k := range fixed {
			if !active[k] {
				den = lcm(den, fixed[k].Den)
			}
		}
		demand := make([]int64, len(avail))
		for k := range demand {
			if active[k] {
				demand[k] = level.Num * (den / level.Den)
			} else {
				demand[k] = fixed[k].Num * (den / fixed[k].Den)
			}
			demand[k] = max(0, demand[k]-int64(played[k])*den)
		}
		cut, ok := blocked(avail, spots, demand, den)
		if ok {
			return level, tight
		}
		tight = cut
		num, cnt := int64(0), int64(0)
		for s := range spots {
			num += den * int64(min(spots[s], countIn(avail, cut, s)))
		}
		for k := range cut {
			if cut[k] && active[k] && demand[k] > 0 {
				cnt++
				num += int64(played[k]) * den
			} else if cut[k] {
				num -= demand[k]
			}
		}
		g := gcd(num, den*cnt)
		level = Share{num / g, den * cnt / g}
	}
}

func countIn(avail [][]bool, set []bool, s int) int {
	n := 0
	for k, here := range avail {
		if set[k] && here[s] {
			n++
		}
	}
	return n
}

// blocked asks whether the demands (in units of 1/den of a series) can all be met. If not, it returns the
// kids on the source side of the smallest minimum cut: a group whose demand exceeds what it can reach.
func blocked(avail [][]bool, spots []int, demand []int64, den int64) ([]bool, bool) {
	f := newFlow(avail, spots, demand, den)
	want := int64(0)
	for _, d := range demand {
		want += d
	}
	got := f.run()
	return f.side(), got == want
}

// shareFlow is a small maximum flow kids -> series, by augmenting paths (the nets have at most
// a hundred nodes).
type shareFlow struct {
	avail        [][]bool
	demand, room []int64 // left at each kid, and at each series
	used         [][]int64
	den          int64
	seenK, seenS []bool
}

func newFlow(avail [][]bool, spots []int, demand []int64, den int64) *shareFlow {
	f := &shareFlow{avail: avail, den: den, demand: append([]int64(nil), demand...), room: make([]int64, len(spots)), used: make([][]int64, len(avail))}
	for s, n := range spots {
		f.room[s] = int64(n) * den
	}
	for k := range f.used {
		f.used[k] = make([]int64, len(spots))
	}
	return f
}

func (f *shareFlow) run() int64 {
	total := int64(0)
	for k := range f.avail {
		for f.demand[k] > 0 {
			f.seenK, f.seenS = make([]bool, len(f.avail)), make([]bool, len(f.room))
			got := f.push(k, f.demand[k])
			if got == 0 {
				break
			}
			f.demand[k] -= got
			total += got
		}
	}
	return total
}

func (f *shareFlow) push(k int, amount int64) int64 {
	f.seenK[k] = true
	for s, here := range f.avail[k] {
		x := min(amount, f.den-f.used[k][s])
		if !here || x <= 0 || f.seenS[s] {
			continue
		}
		f.seenS[s] = true
		if y := min(x, f.room[s]); y > 0 {
			f.room[s] -= y
			f.used[k][s] += y
			return y
		}
		for j := range f.avail {
			if f.seenK[j] || f.used[j][s] == 0 {
				continue
			}
			if y := f.push(j, min(x, f.used[j][s])); y > 0 {
				f.used[j][s] -= y
				f.used[k][s] += y
				return y
			}
		}
	}
	return 0
}

// side lists the kids that can still be reached from a kid with unmet demand.
func (f *shareFlow) side() []bool {
	f.seenK, f.seenS = make([]bool, len(f.avail)), make([]bool, len(f.room))
	for k := range f.avail {
		if f.demand[k] > 0 && !f.seenK[k] {
			f.push(k, 1<<40) // finds no room: the flow is maximal; it only marks what it can reach
		}
	}
	return f.seenK
}
