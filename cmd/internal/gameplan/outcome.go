package gameplan

import (
	"fmt"
	"strings"

	"sevenyard/drills/prose"
)

// ShortWords says which series are played with fewer kids than the formation has spots, series
// that are short in the same way together.
func (pl *Plan) ShortWords() []string {
	var words []string
	series := map[string][]int{}
	for _, sh := range pl.Outcome.Short {
		var roles []string
		for _, r := range sh.Dropped {
			roles = append(roles, pl.Game.Roles[r])
		}
		form := pl.Game.Forms[pl.Game.Series[sh.Series]]
		w := fmt.Sprintf("short-handed: %d of %d in %s, without %s", len(form.Spots)-len(sh.Dropped), len(form.Spots), form.Label, prose.And(roles))
		if series[w] == nil {
			words = append(words, w)
		}
		series[w] = append(series[w], sh.Series+1)
	}
	for i, w := range words {
		words[i] = "series " + prose.Ranges(series[w]) + " " + w
	}
	return words
}

// RulesInForce says the rules that the plan keeps, after loosening.
func (pl *Plan) RulesInForce() []string {
	p := pl.Outcome.Problem
	out := []string{pl.shareRange()}
	if owed := pl.Outcome.Owed; owed != nil && owed.Ranked {
		out = append(out, "the larger shares to those owed most")
	}
	if owed := pl.Outcome.Owed; owed != nil && len(owed.Back) > 0 {
		out = append(out, prose.Count(len(owed.Back), "series")+" paid back")
	}
	if p.MaxOn > 0 && p.MaxOn < len(p.Series) {
		out = append(out, fmt.Sprintf("at most %d in a row on the field%s", p.MaxOn, pl.longTurns()))
	}
	if p.MaxOff > 0 && p.MaxOff < len(p.Series) {
		out = append(out, fmt.Sprintf("at most %d in a row on the bench%s", p.MaxOff, pl.longRests()))
	}
	if p.MinRoles > 1 {
		out = append(out, fmt.Sprintf("every kid who plays in at least %d roles", p.MinRoles))
	}
	if kids := pl.newcomers(); len(kids) > 0 {
		who := "every kid"
		if len(kids) < len(pl.IDs) {
			who = pl.names(kids)
		}
		out = append(out, who+" in a role not yet played this season")
	}
	if c := pl.cap(); c > 0 {
		out = append(out, fmt.Sprintf("at most %d series in one role", c))
	}
	if s := pl.minShare(); s > 0 {
		out = append(out, fmt.Sprintf("every kid on the field for at least %d %% of the series there for", percent(s)))
	}
	for _, pr := range p.Together {
		out = append(out, pl.names(pr[:])+" together or not at all")
	}
	for _, pr := range p.Apart {
		out = append(out, pl.names(pr[:])+" apart")
	}
	for _, c := range p.Covers {
		if c.AtLeast == 0 { // given up
			continue
		}
		out = append(out, fmt.Sprintf("at least %d of %s in every series", c.AtLeast, pl.names(c.Kids)))
	}
	if len(p.Pins) > 0 {
		out = append(out, prose.Count(len(p.Pins), "pin"))
	}
	return out
}

// longTurns says who may be on the field for longer than the others.
func (pl *Plan) longTurns() string {
	p := pl.Outcome.Problem
	var out []string
	for n := p.MaxOn + 1; n <= len(p.Series); n++ {
		var kids []int
		why := ", there for a part of the game only"
		for k, kid := range p.Kids {
			if kid.MaxOn != n {
				continue
			}
			kids = append(kids, k)
			if kid.Presence().Count(len(p.Series)) == len(p.Series) {
				why = ""
			}
		}
		if len(kids) > 0 {
			out = append(out, fmt.Sprintf("up to %d for %s%s", n, pl.names(kids), why))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " (" + strings.Join(out, "; ") + ")"
}

// longRests says who may be on the bench for longer than the others.
func (pl *Plan) longRests() string {
	p := pl.Outcome.Problem
	var kids []int
	most := 0
	for k, kid := range p.Kids {
		if kid.MaxOff > p.MaxOff {
			kids, most = append(kids, k), max(most, kid.MaxOff)
		}
	}
	if len(kids) == 0 {
		return ""
	}
	return fmt.Sprintf(" (up to %d for %s)", min(most, len(p.Series)), pl.names(kids))
}

// turns is how many series kid k plays in the plan.
func (pl *Plan) turns(k int) int {
	n := 0
	for s := range pl.Outcome.Result.Plan {
		if pl.roleIn(k, s) >= 0 {
			n++
		}
	}
	return n
}

// shareRange says how many series the kids play who are there throughout.
func (pl *Plan) shareRange() string {
	p := pl.Outcome.Problem
	lo, hi, all := 1<<30, 0, true
	for k, kid := range p.Kids {
		if kid.Presence().Count(len(p.Series)) == len(p.Series) {
			n := pl.turns(k)
			lo, hi = min(lo, n), max(hi, n)
		} else {
			all = false
		}
	}
	switch {
	case hi == 0:
		return "equal series for the time each kid is there"
	case all && lo == hi:
		return fmt.Sprintf("everybody plays %d series", lo)
	case all:
		return fmt.Sprintf("everybody plays %d to %d series", lo, hi)
	case lo == hi:
		return fmt.Sprintf("those there throughout play %d series", lo)
	}
	return fmt.Sprintf("those there throughout play %d to %d series", lo, hi)
}
