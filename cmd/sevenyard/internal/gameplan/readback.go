package gameplan

import (
	"fmt"
	"slices"

	"sevenyard/cmd/sevenyard/internal/jsonlines"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
)

// ReadLineup reads a saved plan whole, to show it as it is. A plan whose counts do not fit its series was changed by hand: its strengths
// and proofs are no longer those of what it says, so that it is refused.
func ReadLineup(file string, data []byte, f *drills.Folder) (*report.Lineup, error) {
	sv, err := ReadSaved(file, data)
	if err != nil {
		return nil, err
	}
	if _, err := sv.match(f); err != nil {
		return nil, err
	}
	l := &report.Lineup{}
	if line, wrong := jsonlines.Decode(data, l); wrong != "" {
		return nil, sv.problems(line, wrong, "save the plan anew with sevenyard lineup --save")
	}
	ps := finder{sv: sv}
	const anew = "make the change with sevenyard rebuild --save, or save a new plan"
	for i, k := range l.Kids {
		played := map[string]int{}
		for _, s := range l.Series {
			for _, x := range s.Slots {
				if x.Kid == k.Kid {
					played[x.Role]++
				}
			}
		}
		for _, r := range f.Team.Catalogue.Roles {
			if n := k.Roles[r.Name]; n != played[r.Name] {
				ps.add(fmt.Sprintf("kids.%d.roles", i), anew, "kid %s stands in the series %s as %s, and %d are counted: the plan was changed by hand", k.Kid, times(played[r.Name]), r.Name, n)
			}
		}
	}
	for i, s := range l.Series {
		for j, id := range s.Bench {
			onField := slices.ContainsFunc(s.Slots, func(x report.Slot) bool { return x.Kid == id })
			if onField || !slices.ContainsFunc(l.Kids, func(k report.LineupKid) bool { return k.Kid == id }) {
				ps.add(fmt.Sprintf("series.%d.bench.%d", i, j), anew, "kid %q is on the bench of series %d, and on the field or not in the plan", id, i+1)
			}
		}
	}
	if len(ps.ps) > 0 {
		return nil, ps.ps
	}
	return l, nil
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
