package gameplan

import (
	"fmt"
	"slices"

	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// Facts says, for a conflict, what counting turns, spots and kids shows about it, each count for itself; empty where it takes a search.
func (pl *Plan) Facts(conflict []rotation.RuleRef) []string {
	f := newFacts(pl, conflict)
	for _, r := range conflict {
		switch r.Kind {
		case rotation.RuleMaxOff:
			f.rest(pl.number(r, pl.Game.MaxOff))
		case rotation.RuleMaxOn:
			f.field(pl.number(r, pl.Game.MaxOn))
		case rotation.RuleMinShare:
			f.leastShares()
			f.leastAgainstMost(r)
		case rotation.RuleNever:
			f.never()
		case rotation.RuleSameRole:
			f.sameRole(r.Value)
		case rotation.RuleMinRoles:
			f.minRoles(r.Value)
		case rotation.RuleCover:
			f.cover(pl.cover(r))
		case rotation.RuleTogether:
			f.together(r)
		case rotation.RulePin:
			f.pin(r)
		}
	}
	f.apartTurns()
	return f.out
}

// facts gathers what counting shows about a conflict. Of series that are over no rule about one series or a few in a row is asked, so those
// counts look ahead only; shares, caps and minimums are of the whole game and count what was played, and once series are over equal shares
// show nothing any more.
type facts struct {
	pl       *Plan
	conflict []rotation.RuleRef
	lo, hi   map[int]int // by kid: the equal shares, where they are part of the conflict at all
	out      []string
}

// leastShare is the minimum share, in hundredths and rounded down, that asks for no more than so many series of a game.
func leastShare(least, series int) float64 { return float64(100*least/series) / 100 }

func newFacts(pl *Plan, conflict []rotation.RuleRef) *facts {
	f := &facts{pl: pl, conflict: conflict, lo: map[int]int{}, hi: map[int]int{}}
	shares := slices.ContainsFunc(conflict, func(r rotation.RuleRef) bool { return r.Kind == rotation.RuleShare })
	if !shares || pl.Outcome == nil || pl.Outcome.Problem == nil {
		return f
	}
	for k, kid := range pl.Outcome.Problem.Kids {
		f.lo[k], f.hi[k] = kid.Lo, kid.Hi
	}
	return f
}

func (f *facts) add(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(f.out, s) {
		f.out = append(f.out, s)
	}
}

// need is the least number of turns that the kids have to take between them, by equal series: their own, or what the others leave
// over. 0 where series are over.
func (f *facts) need(kids ...int) int {
	if f.pl.Over > 0 {
		return 0
	}
	own, left := 0, f.turns()
	for k := range f.pl.IDs {
		if slices.Contains(kids, k) {
			own += f.lo[k]
		} else {
			left -= f.own(k)
		}
	}
	return max(own, left)
}

// most is the greatest number of turns that the kids can take between them, by equal series; where series are over only the game's length
// limits it.
func (f *facts) most(kids ...int) int {
	own, left := 0, f.turns()
	for k := range f.pl.IDs {
		if slices.Contains(kids, k) {
			own += f.own(k)
		} else {
			left -= f.lo[k]
		}
	}
	if f.pl.Over > 0 {
		return len(f.pl.Game.Series) * len(kids)
	}
	return min(own, left)
}

// own is the most turns of one kid, by the share or the time there.
func (f *facts) own(k int) int {
	there := f.pl.present(k)
	if hi, ok := f.hi[k]; ok {
		return min(hi, there)
	}
	return there
}

// turns are the spots of the game.
func (f *facts) turns() int {
	n := 0
	for s := range f.pl.Game.Series {
		n += f.pl.spotsIn(s)
	}
	return n
}

// limit is the number of a rule of the conflict, 0: it is not part of it.
func (f *facts) limit(kind rotation.RuleKind) int {
	for _, r := range f.conflict {
		if r.Kind == kind {
			return r.Value
		}
	}
	return 0
}

// spotsIn is the number of spots played in series s: a short-handed team plays with those who are there.
func (pl *Plan) spotsIn(s int) int {
	return min(len(pl.Game.Forms[pl.Game.Series[s]].Spots), pl.there(s, s))
}

// there counts the kids present from series a to series b throughout.
func (pl *Plan) there(a, b int) int {
	n := 0
	for k := range pl.Game.Kids {
		all := true
		for s := a; s <= b; s++ {
			all = all && pl.thereIn(k, s)
		}
		if all {
			n++
		}
	}
	return n
}

// present is how many series of the game a kid is there for.
func (pl *Plan) present(k int) int { return pl.Game.Kids[k].Presence().Count(len(pl.Game.Series)) }

// spotsWords says the spots of series a to b: "5 spots" where all have the same, else their sum.
func (f *facts) spotsWords(a, b int) string {
	sum, same := 0, true
	for s := a; s <= b; s++ {
		sum += f.pl.spotsIn(s)
		same = same && f.pl.spotsIn(s) == f.pl.spotsIn(a)
	}
	if same {
		return prose.Count(f.pl.spotsIn(a), "spot")
	}
	return prose.Count(sum, "spot") + " in all"
}

func all(n int) string {
	if n == 2 {
		return "both"
	}
	return fmt.Sprintf("all %d", n)
}

func inARow(n int) string {
	if n == 1 {
		return "at most 1 in a row is allowed"
	}
	return fmt.Sprintf("at most %d in a row are allowed", n)
}

// rest finds m+1 series in a row in which more kids are there than can have a turn.
func (f *facts) rest(m int) {
	for a := f.pl.Over; m > 0 && a+m < len(f.pl.Game.Series); a++ {
		turns := 0
		for s := a; s <= a+m; s++ {
			turns += f.pl.spotsIn(s)
		}
		if n := f.pl.there(a, a+m); n > turns {
			f.add("%d kids, %s, series %d-%d: somebody must sit out %s, but %s.", n, f.spotsWords(a, a+m), a+1, a+m+1, all(m+1), inARow(m))
			return
		}
	}
}

// field finds m+1 series in a row with fewer places on the bench than kids who need a rest.
func (f *facts) field(m int) {
	for a := f.pl.Over; m > 0 && a+m < len(f.pl.Game.Series); a++ {
		rests := 0
		for s := a; s <= a+m; s++ {
			rests += f.pl.there(s, s) - f.pl.spotsIn(s)
		}
		if n := f.pl.there(a, a+m); n > rests {
			f.add("%d kids, %s, series %d-%d: somebody must play %s, but %s.", n, f.spotsWords(a, a+m), a+1, a+m+1, all(m+1), inARow(m))
			return
		}
	}
}

// leastShares compares the turns that the minimum shares ask for with the spots of the game: those of the conflict's kids if they are
// enough, else everybody's.
func (f *facts) leastShares() {
	if f.pl.Outcome == nil || f.pl.Outcome.Problem == nil {
		return
	}
	named, everybody, have := 0, 0, f.turns()
	for k, kid := range f.pl.Outcome.Problem.Kids {
		everybody += kid.Least
		if slices.ContainsFunc(f.conflict, func(r rotation.RuleRef) bool { return r.Kind == rotation.RuleMinShare && slices.Contains(r.Kids, k) }) {
			named += kid.Least
		}
	}
	switch {
	case named > have:
		f.add("The least shares of these kids add up to %d turns, and the game has %d.", named, have)
	case everybody > have:
		f.add("The least shares of all kids add up to %d turns, and the game has %d.", everybody, have)
	}
}

// leastAgainstMost finds a kid whose least share is above the fair one.
func (f *facts) leastAgainstMost(r rotation.RuleRef) {
	for _, k := range r.Kids {
		if most := f.most(k); r.Value > most {
			f.add("The least share of %s is %s, and equal series give at most %d.", f.pl.names([]int{k}), prose.Count(r.Value, "series"), most)
		}
	}
}

// never finds a role with more spots in a series than kids there who play it.
func (f *facts) never() {
	pl := f.pl
	for s := pl.Over; s < len(pl.Game.Series); s++ {
		count := pl.spotsOf(s)
		for r, want := range count {
			able := 0
			for k := range pl.Game.Kids {
				if pl.thereIn(k, s) && !pl.never(k, r) {
					able++
				}
			}
			if able < want {
				f.add("Series %d has %s of %s, and %s there may play it.", s+1, prose.Count(want, "spot"), pl.Game.Roles[r], prose.Count(able, "kid"))
				return
			}
		}
	}
}

// spotsOf counts the spots played in series s by role.
func (pl *Plan) spotsOf(s int) []int {
	count := make([]int, len(pl.Game.Roles))
	for _, r := range pl.Game.Forms[pl.Game.Series[s]].Spots[:pl.spotsIn(s)] {
		count[r]++
	}
	return count
}
