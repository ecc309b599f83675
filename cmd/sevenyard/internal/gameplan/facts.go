package gameplan

import (
	"fmt"
	"slices"

	"sevenyard/optimize/rotation"
)

// Facts says, for a conflict, what a count alone can show; empty where it takes more than one count.
func (pl *Plan) Facts(conflict []rotation.RuleRef) []string {
	var out []string
	add := func(s string) {
		if s != "" && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, r := range conflict {
		switch r.Kind {
		case rotation.RuleMaxOff:
			add(pl.offFact(pl.number(r, pl.Game.MaxOff)))
		case rotation.RuleMaxOn:
			add(pl.onFact(pl.number(r, pl.Game.MaxOn)))
		case rotation.RuleMinShare:
			add(pl.shareFact())
		case rotation.RuleNever:
			add(pl.neverFact())
		}
	}
	return out
}

// spots is the number of spots played in series s: a short-handed team plays with those who are there.
func (pl *Plan) spots(s int) int {
	return min(len(pl.Game.Forms[pl.Game.Series[s]].Spots), pl.there(s, s))
}

// there counts the kids present from series a to series b throughout.
func (pl *Plan) there(a, b int) int {
	n := 0
	for _, k := range pl.Game.Kids {
		if k.First <= a && b <= k.Last {
			n++
		}
	}
	return n
}

// offFact finds m+1 series in a row in which more kids are there than can have a turn.
func (pl *Plan) offFact(m int) string {
	for a := 0; m > 0 && a+m < len(pl.Game.Series); a++ {
		turns := 0
		for s := a; s <= a+m; s++ {
			turns += pl.spots(s)
		}
		if n := pl.there(a, a+m); n > turns {
			return fmt.Sprintf("Series %d to %d have %d spots for %d kids, so somebody sits out %d in a row.", a+1, a+m+1, turns, n, m+1)
		}
	}
	return ""
}

// onFact finds m+1 series in a row with fewer places on the bench than kids who need a rest.
func (pl *Plan) onFact(m int) string {
	for a := 0; m > 0 && a+m < len(pl.Game.Series); a++ {
		rests := 0
		for s := a; s <= a+m; s++ {
			rests += pl.there(s, s) - pl.spots(s)
		}
		if n := pl.there(a, a+m); n > rests {
			return fmt.Sprintf("Series %d to %d give %s on the bench to %d kids, so somebody plays %d in a row.",
				a+1, a+m+1, Count(rests, "rest"), n, m+1)
		}
	}
	return ""
}

// shareFact compares the turns that the minimum shares ask for with the spots of the game.
func (pl *Plan) shareFact() string {
	if pl.Outcome == nil || pl.Outcome.Problem == nil {
		return ""
	}
	need, have := 0, 0
	for _, k := range pl.Outcome.Problem.Kids {
		need += k.Least
	}
	for s := range pl.Game.Series {
		have += pl.spots(s)
	}
	if need <= have {
		return ""
	}
	return fmt.Sprintf("The kids' least shares add up to %d turns, and the game has %d.", need, have)
}

// neverFact finds a role with more spots in a series than kids there who play it.
func (pl *Plan) neverFact() string {
	for s := range pl.Game.Series {
		count := make([]int, len(pl.Game.Roles))
		for _, r := range pl.Game.Forms[pl.Game.Series[s]].Spots[:pl.spots(s)] {
			count[r]++
		}
		for r, want := range count {
			able := 0
			for _, k := range pl.Game.Kids {
				if k.First <= s && s <= k.Last && (k.Never == nil || !k.Never[r]) {
					able++
				}
			}
			if able < want {
				return fmt.Sprintf("Series %d has %s of %s, and %s there may play it.", s+1, Count(want, "spot"), pl.Game.Roles[r], Count(able, "kid"))
			}
		}
	}
	return ""
}
