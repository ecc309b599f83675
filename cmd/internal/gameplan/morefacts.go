package gameplan

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// kid is one kid in a sentence.
func (f *facts) kid(k int) string { return f.pl.names([]int{k}) }

// capital starts a sentence.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// sameRole compares the spots of a role with the turns that the kids who play it may have there.
func (f *facts) sameRole(most int) {
	pl := f.pl
	if pl.Over > 0 || most <= 0 {
		return
	}
	for r, role := range pl.Game.Roles {
		spots, able, turns := 0, 0, 0
		for s := range pl.Game.Series {
			spots += pl.spotsOf(s)[r]
		}
		for k := range pl.Game.Kids {
			if !pl.never(k, r) {
				able++
				turns += min(most, pl.present(k))
			}
		}
		if spots > turns {
			f.add("The game has %s of %s, and %s may play it, at most %d series each: that makes %d.", prose.Count(spots, "spot"), role, prose.Count(able, "kid"), most, turns)
			return
		}
	}
}

// minRoles finds a kid who has to play and has not roles or turns enough.
func (f *facts) minRoles(least int) {
	for k := range f.pl.IDs {
		if f.need(k) <= 0 {
			continue
		}
		var roles []string
		for _, r := range f.pl.used(0) {
			if !f.pl.never(k, r) {
				roles = append(roles, f.pl.Game.Roles[r])
			}
		}
		switch {
		case len(roles) < least:
			f.add("%s may play %s in this game's formations, and %d different roles are asked for.", capital(f.kid(k)), prose.Count(len(roles), "role"), least)
		case f.most(k) < least:
			f.add("%s can play at most %d series, and %d different roles are asked for.", capital(f.kid(k)), f.most(k), least)
		}
	}
}

func (f *facts) cover(c rotation.Cover) {
	pl, n := f.pl, len(f.pl.Game.Series)
	who := pl.names(c.Kids)
	for s := pl.Over; s < n; s++ {
		there := 0
		for _, k := range c.Kids {
			if pl.thereIn(k, s) {
				there++
			}
		}
		switch {
		case there < c.AtLeast:
			f.add("In series %d only %d of %s can be there, and the cover asks for %d.", s+1, there, who, c.AtLeast)
			return
		case pl.spotsIn(s) < c.AtLeast:
			f.add("Series %d has %s, and the cover asks for %d kids.", s+1, prose.Count(pl.spotsIn(s), "spot"), c.AtLeast)
			return
		}
	}
	if need, most := c.AtLeast*n, f.most(c.Kids...); need > most {
		f.add("The cover asks for %d turns of %s, and equal series give them at most %d.", need, who, most)
	}
	if m := f.limit(rotation.RuleMaxOn); len(c.Kids) == c.AtLeast && m > 0 && n-pl.Over > m {
		f.add("%s would have to play every series, but %s.", capital(who), inARow(m))
	}
}

// together finds a pair that is not there together for as long as one of the two has to play, or that is kept apart too.
func (f *facts) together(r rotation.RuleRef) {
	a, b := r.Kids[0], r.Kids[1]
	for _, x := range f.conflict {
		if x.Kind == rotation.RuleApart && (x.Kids[0] == a && x.Kids[1] == b || x.Kids[0] == b && x.Kids[1] == a) && f.need(a, b) > 0 {
			f.add("%s are to be together and apart.", capital(f.pl.names([]int{a, b})))
		}
	}
	both := 0
	for s := range f.pl.Game.Series {
		if f.pl.thereIn(a, s) && f.pl.thereIn(b, s) {
			both++
		}
	}
	for _, k := range []int{a, b} {
		if need := f.need(k); need > both {
			f.add("%s are there together for %d series, and %s is to play at least %d.", capital(f.pl.names([]int{a, b})), both, f.kid(k), need)
		}
	}
}

// apartTurns adds up the turns of kids who are all kept apart from each other.
func (f *facts) apartTurns() {
	apart := func(a, b int) bool {
		return slices.ContainsFunc(f.conflict, func(r rotation.RuleRef) bool {
			return r.Kind == rotation.RuleApart && slices.Contains(r.Kids, a) && slices.Contains(r.Kids, b)
		})
	}
	for _, r := range f.conflict {
		if r.Kind != rotation.RuleApart {
			continue
		}
		kids := slices.Clone(r.Kids)
		for k := range f.pl.IDs {
			if !slices.Contains(kids, k) && !slices.ContainsFunc(kids, func(x int) bool { return !apart(x, k) }) {
				kids = append(kids, k)
			}
		}
		slices.Sort(kids)
		if need, n := f.need(kids...), len(f.pl.Game.Series); need > n {
			f.add("%s are to play %d series between them, never two at a time, and the game has %d.", capital(f.pl.names(kids)), need, n)
		}
	}
}

// pin says what a pin runs into by itself, or with other pins of the conflict.
func (f *facts) pin(r rotation.RuleRef) {
	pl := f.pl
	if r.Index < 0 || r.Index >= len(pl.Game.Pins) {
		return
	}
	p := pl.Game.Pins[r.Index]
	if !p.Must || p.Series < pl.Over {
		f.barred(p.Kid)
		return
	}
	s := fmt.Sprintf("series %d", p.Series+1)
	switch {
	case !pl.thereIn(p.Kid, p.Series):
		f.add("%s is not there in %s.", capital(f.kid(p.Kid)), s)
	case p.Role >= 0 && pl.never(p.Kid, p.Role):
		f.add("%s never plays %s.", capital(f.kid(p.Kid)), pl.Game.Roles[p.Role])
	case p.Role >= 0:
		want := 0
		for _, q := range f.pins() {
			if q.Must && q.Series == p.Series && q.Role == p.Role {
				want++
			}
		}
		if have := pl.spotsOf(p.Series)[p.Role]; want > have {
			f.add("%s has %s of %s, and %s for it.", capital(s), prose.Count(have, "spot"), pl.Game.Roles[p.Role], prose.Count(want, "pin"))
		}
	}
	for _, q := range f.pins() {
		if q.Kid != p.Kid || q.Series != p.Series {
			continue
		}
		if q.Must && q.Role >= 0 && p.Role >= 0 && q.Role != p.Role {
			f.add("%s is pinned to two roles in %s.", capital(f.kid(p.Kid)), s)
		}
		if !q.Must && (q.Role < 0 || q.Role == p.Role) {
			f.add("%s is pinned to what another pin rules out in %s.", capital(f.kid(p.Kid)), s)
		}
	}
	f.pinnedRun(p.Kid)
}

// pins are the different pins of the conflict.
func (f *facts) pins() []rotation.Pin {
	var out []rotation.Pin
	for _, r := range f.conflict {
		if r.Kind == rotation.RulePin && r.Index >= 0 && r.Index < len(f.pl.Game.Pins) && !slices.Contains(out, f.pl.Game.Pins[r.Index]) {
			out = append(out, f.pl.Game.Pins[r.Index])
		}
	}
	return out
}

// pinnedRun finds more pinned series in a row than the kid may be on the field, or in all than the share allows.
func (f *facts) pinnedRun(kid int) {
	on := make([]bool, len(f.pl.Game.Series))
	n := 0
	for _, q := range f.pins() {
		if q.Kid == kid && q.Must && q.Series >= f.pl.Over && !on[q.Series] {
			on[q.Series], n = true, n+1
		}
	}
	if m := f.limit(rotation.RuleMaxOn); m > 0 && longest(on) > m {
		f.add("%s is pinned to %d series in a row, but %s on the field.", capital(f.kid(kid)), longest(on), inARow(m))
	}
	if most := f.most(kid); n > most {
		f.add("%s is pinned to %d series, and equal series give at most %d.", capital(f.kid(kid)), n, most)
	}
}

// barred finds more barred series in a row than the kid may sit out, or too few left for the share.
func (f *facts) barred(kid int) {
	off := make([]bool, len(f.pl.Game.Series))
	left := f.pl.present(kid)
	for _, q := range f.pins() {
		if q.Kid == kid && !q.Must && q.Role < 0 && q.Series >= f.pl.Over && f.pl.thereIn(kid, q.Series) && !off[q.Series] {
			off[q.Series], left = true, left-1
		}
	}
	if m := f.limit(rotation.RuleMaxOff); m > 0 && longest(off) > m {
		f.add("%s is kept off the field for %d series in a row, but %s on the bench.", capital(f.kid(kid)), longest(off), inARow(m))
	}
	if need := f.need(kid); need > left {
		f.add("%s is kept off the field in all but %d series, and equal series ask for at least %d.", capital(f.kid(kid)), left, need)
	}
}

func longest(on []bool) int {
	best, run := 0, 0
	for _, x := range on {
		if run++; !x {
			run = 0
		}
		best = max(best, run)
	}
	return best
}
