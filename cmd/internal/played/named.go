package played

import (
	"cmp"
	"slices"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
)

// named gives what was said with kids by the ids of the roster, however they were typed. A kid who cannot be found stays as typed: what is wrong is
// told where the word is read; more than one who may be meant is told here.
func (b *builder) named(told *Told) *Told {
	out := *told
	find := func(at asked.Where, typed string) string {
		id, which := drills.FindKid(typed, b.folder.Roster)
		if len(which) > 1 {
			what, do := drills.KidError(typed, which, b.folder.Roster)
			b.problemAt(at, do, "%s", what)
			return which[0]
		}
		return cmp.Or(id, typed)
	}
	kids := func(field asked.Field, list []string) []string {
		list = slices.Clone(list)
		for i := range list {
			list[i] = find(asked.Where{Field: field}, list[i])
		}
		return list
	}
	ats := func(field asked.Field, list []gameplan.At) []gameplan.At {
		list = slices.Clone(list)
		for i := range list {
			list[i].Kid = find(asked.Where{Field: field}, list[i].Kid)
		}
		return list
	}
	out.Absent, out.BeforeHold = kids(asked.Absent, told.Absent), kids(asked.Hold, told.BeforeHold)
	out.Late, out.Left, out.Hurt = ats(asked.Late, told.Late), ats(asked.Left, told.Left), ats(asked.Hurt, told.Hurt)
	out.Swaps = slices.Clone(told.Swaps)
	for i, x := range out.Swaps {
		at := asked.Where{Field: asked.Swap, Value: x.Text}
		if out.Swaps[i].Out = find(at, x.Out); x.In != "" {
			out.Swaps[i].In = find(at, x.In)
		}
	}
	return &out
}
