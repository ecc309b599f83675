package gameplan

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// Changes lists the filled spots of the series still to play that the saved plan does not have, in the order of series and spots.
func (pl *Plan) Changes(plan rotation.Plan) []report.Change {
	out := []report.Change{}
	if pl.Bare() {
		return out
	}
	for s := pl.Over; s < len(plan); s++ {
		was := pl.savedRoles(s)
		ins, outs := pl.turnover(s, plan)
		for _, x := range pl.slots(s, plan) {
			if was[x.Kid] == x.Role {
				continue
			}
			c := report.Change{Series: s + 1, Kid: x.Kid, Role: x.Role, Was: was[x.Kid]}
			if i := slices.IndexFunc(ins, func(y games.Slot) bool { return y.Kid == x.Kid }); i >= 0 && i < len(outs) {
				c.For = outs[i].Kid
			}
			out = append(out, c)
		}
	}
	return out
}

func (pl *Plan) savedRoles(s int) map[string]string {
	was := map[string]string{}
	for _, x := range pl.saved.Series[s].Slots {
		was[x.Kid] = x.Role
	}
	return was
}

// slots are the cells of a series in the order of its spots.
func (pl *Plan) slots(s int, plan rotation.Plan) []games.Slot {
	var out []games.Slot
	for _, c := range pl.spotted(s, plan[s]) {
		out = append(out, games.Slot{Role: pl.Game.Roles[c.Role], Kid: pl.IDs[c.Kid]})
	}
	return out
}

// turnover is who comes onto the field in series s and who goes off it, compared with the saved plan. The i-th to come is
// in for the i-th to go: those of the same role first. There may be more of one than of the other.
func (pl *Plan) turnover(s int, plan rotation.Plan) (ins, outs []games.Slot) {
	now, old := pl.slots(s, plan), pl.saved.Series[s].Slots
	has := func(list []games.Slot, kid string) bool {
		return slices.ContainsFunc(list, func(x games.Slot) bool { return x.Kid == kid })
	}
	var come, leave []games.Slot
	for _, x := range now {
		if !has(old, x.Kid) {
			come = append(come, x)
		}
	}
	for _, x := range old {
		if !has(now, x.Kid) {
			leave = append(leave, x)
		}
	}
	take := func(role string) bool {
		i := slices.IndexFunc(come, func(x games.Slot) bool { return role == "" || x.Role == role })
		j := slices.IndexFunc(leave, func(x games.Slot) bool { return role == "" || x.Role == role })
		if i < 0 || j < 0 {
			return false
		}
		ins, outs = append(ins, come[i]), append(outs, leave[j])
		come, leave = slices.Delete(come, i, i+1), slices.Delete(leave, j, j+1)
		return true
	}
	for _, role := range pl.Game.Roles {
		for take(role) {
		}
	}
	for take("") {
	}
	return append(ins, come...), append(outs, leave...)
}

// ChangeWords says the changes as an assistant calls them out, a sentence for each series that has any.
func (pl *Plan) ChangeWords(plan rotation.Plan) []string {
	var out []string
	if pl.Bare() {
		return pl.nextWords(plan)
	}
	for s := pl.Over; s < len(plan); s++ {
		var parts []string
		ins, outs := pl.turnover(s, plan)
		for i := range max(len(ins), len(outs)) {
			switch {
			case i >= len(ins):
				parts = append(parts, pl.kid(outs[i].Kid)+" out, nobody in")
			case i >= len(outs):
				parts = append(parts, fmt.Sprintf("%s in at %s", pl.kid(ins[i].Kid), ins[i].Role))
			default:
				parts = append(parts, fmt.Sprintf("%s in for %s at %s", pl.kid(ins[i].Kid), pl.kid(outs[i].Kid), ins[i].Role))
			}
		}
		was := pl.savedRoles(s)
		for _, x := range pl.slots(s, plan) {
			if from := was[x.Kid]; from != "" && from != x.Role {
				parts = append(parts, fmt.Sprintf("%s moves from %s to %s", pl.kid(x.Kid), from, x.Role))
			}
		}
		if len(parts) > 0 {
			out = append(out, fmt.Sprintf("Series %d: %s.", s+1, strings.TrimSuffix(strings.Join(parts, "; "), ".")))
		}
	}
	return out
}

// nextWords says who goes onto the field in the next series, where there is no plan to compare with.
func (pl *Plan) nextWords(plan rotation.Plan) []string {
	var parts []string
	now := pl.slots(pl.Over, plan)
	for _, role := range pl.Game.Roles {
		var kids []string
		for _, x := range now {
			if x.Role == role {
				kids = append(kids, pl.kid(x.Kid))
			}
		}
		if len(kids) > 0 {
			parts = append(parts, role+" "+prose.And(kids))
		}
	}
	return []string{fmt.Sprintf("Series %d: %s.", pl.Over+1, strings.TrimSuffix(strings.Join(parts, "; "), "."))}
}
