package played

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/asked"
	"sevenyard/drills/games"
)

// A swap goes by what is on record. Where that is no longer as planned, and the plan is given again, a swap may as well mean the spot that the
// plan has the kid in: 2:7@5 was recorded, and now 2:8@5 is said, for it was 8 who played in 2's spot. Then whoever is on record in
// that spot gives way, and only there: what else was corrected in the series stays. Where it cannot be told which spot is meant, a person says it.

// otherwisePlanned gives the plan's series where it has the kid in it, and the record does not have the series as planned.
func (b *builder) otherwisePlanned(kid string, n int) ([]games.Slot, string, bool) {
	pl := b.told.Plan
	if pl == nil || n > len(pl.Series) || !slices.ContainsFunc(b.was.Series, func(s games.Series) bool { return s.Number == n }) || b.at[n].File != "" {
		return nil, "", false
	}
	var slots []games.Slot
	role := ""
	for _, x := range pl.Series[n-1].Slots {
		slots = append(slots, x)
		if x.Kid == kid {
			role = x.Role
		}
	}
	return slots, role, role != "" && !same(slots, b.series[n])
}

// correction makes the swap that is meant where the kid who is out is in that spot by the plan and not on record, or reports why that cannot be told.
// It gives false where the swap is about no such spot.
func (b *builder) correction(at asked.Where, x Swap, n int) bool {
	planned, role, otherwise := b.otherwisePlanned(x.Out, n)
	if !otherwise {
		return false
	}
	now := b.series[n]
	var instead []string // on record in the role, and not by the plan
	spots := 0           // of the role by the plan, less those on record
	for _, s := range now {
		if s.Role == role {
			spots--
			if !slices.Contains(planned, s) {
				instead = append(instead, s.Kid)
			}
		}
	}
	for _, s := range planned {
		if s.Role == role {
			spots++
		}
	}
	note := func(who string) {
		b.warn("note: series %d: by the plan the spot at %s is kid %s's, and on record %s; the swap is taken to be about that spot", n, role, x.Out, who)
	}
	line := fmt.Sprintf("type the series as it was played: ⟦line %q⟧", fmt.Sprintf("%d: ...", n))
	switch on := slices.ContainsFunc(now, func(s games.Slot) bool { return s.Kid == x.In }); {
	case len(instead) == 1 && spots == 0 && instead[0] == x.In:
		return true // on record already
	case on:
		b.problemAt(at, line, "kid %s has no spot in series %d as it is on record, and kid %s has one there already", x.Out, n, x.In)
	case len(instead) == 1 && spots == 0:
		note("kid " + instead[0] + " played in it")
		b.put(at, Swap{Out: instead[0], In: x.In}, n)
		return true
	case len(instead) == 0 && spots == 1 && x.In == "":
		return true // nobody has it already
	case len(instead) == 0 && spots == 1:
		note("nobody did")
		b.account.Swaps = append(b.account.Swaps, Spot{n, role, x.In, ""})
		b.series[n] = append(slices.Clone(now), games.Slot{Role: role, Kid: x.In})
		return true
	case len(instead) > 1:
		in := x.In
		if in == "" {
			in = "-"
		}
		var ways []string
		for _, kid := range instead {
			ways = append(ways, fmt.Sprintf("⟦swap %s:%s@%d⟧", kid, in, n))
		}
		b.problemAt(at, "say who gives way: "+strings.Join(ways, " or "), "on record several kids play %s in series %d otherwise than planned, so it cannot be told who is in kid %s's spot", role, n, x.Out)
	default:
		b.problemAt(at, line, "kid %s has no spot in series %d as it is on record, and nobody there is in the plan's spot", x.Out, n)
	}
	return true
}

// put changes a series as a swap of somebody in it says.
func (b *builder) put(at asked.Where, x Swap, n int) {
	slots := slices.Clone(b.series[n])
	find := func(kid string) int { return slices.IndexFunc(slots, func(s games.Slot) bool { return s.Kid == kid }) }
	i, j := find(x.Out), find(x.In)
	switch {
	case x.In == "":
		b.account.Swaps = append(b.account.Swaps, Spot{n, slots[i].Role, "", x.Out})
		slots = slices.Delete(slots, i, i+1)
	case j >= 0: // both on the field: they change places
		b.account.Swaps = append(b.account.Swaps, Spot{n, slots[i].Role, x.In, x.Out}, Spot{n, slots[j].Role, x.Out, x.In})
		slots[i].Kid, slots[j].Kid = x.In, x.Out
	default:
		b.account.Swaps = append(b.account.Swaps, Spot{n, slots[i].Role, x.In, x.Out})
		slots[i].Kid = x.In
	}
	if len(slots) == 0 {
		b.problemAt(at, "make the series void with ⟦void⟧ instead", "nobody is left in series %d", n)
		return
	}
	b.series[n] = slots
}

// elsewhere reports a kid whose spot by the plan is not the one on record: a swap may mean either.
func (b *builder) elsewhere(at asked.Where, x Swap, n int, role string) bool {
	_, planned, otherwise := b.otherwisePlanned(x.Out, n)
	if !otherwise || planned == role || b.changed(n) {
		return false
	}
	b.problemAt(at, fmt.Sprintf("without ⟦from⟧ a swap is about the spot on record; else type the series as it was played: ⟦line %q⟧", fmt.Sprintf("%d: ...", n)),
		"by the plan kid %s plays %s in series %d, and on record %s: it cannot be told which spot is meant", x.Out, planned, n, role)
	return true
}
