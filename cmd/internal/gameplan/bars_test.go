package gameplan

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/availability"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// TestNobodyWhoIsOutIsShown: a plan that has somebody on the field who may not be there is refused with the kid, the reason, the series and the line, whatever is said
// of its sum; what is over is past.
func TestNobodyWhoIsOutIsShown(t *testing.T) {
	hurtToday := &games.Record{Games: []games.Game{{ID: "g", Date: "2026-09-12", Marks: []games.Mark{{Kid: "3", Series: 1}}}}}
	for name, x := range map[string]struct {
		edit func(*Saved, *drills.Folder)
		rec  *games.Record
		bars []Bar
		want []told
	}{
		"nobody":           {edit: func(*Saved, *drills.Folder) {}},
		"on hold":          {edit: func(_ *Saved, f *drills.Folder) { f.Roster[2].Hold = "knee" }, want: []told{{"kid 3 is on medical hold, and the plan has the kid on the field in series 3", `"3"`}, {"in series 4", `"3"`}}},
		"hurt by the plan": {edit: func(sv *Saved, f *drills.Folder) { sv.Hurt = []string{"3"} }, want: []told{{"kid 3 is hurt, and the plan has the kid on the field in series 3", `"3"`}, {"in series 4", `"3"`}}},
		"hurt on record":   {edit: func(*Saved, *drills.Folder) {}, rec: hurtToday, want: []told{{"kid 3 is hurt", `"3"`}, {"kid 3 is hurt", `"3"`}}},
		"hurt, and off it": {edit: func(sv *Saved, f *drills.Folder) { sv.Hurt = []string{"6"} }},
		"barred by the caller": {edit: func(*Saved, *drills.Folder) {}, bars: []Bar{bar(9, "is nobody"), bar(4, "is out"), bar(4, "is not asked about"), bar(1, "is past")},
			want: []told{{"kid 5 is out, and the plan has the kid on the field in series 4", `"5"`}}},
	} {
		t.Run(name, func(t *testing.T) {
			f, prof := small(7, nil)
			sv := handMade(4, 7)
			sv.Played = 2
			x.edit(sv, f)
			data := inFile(t, sv)
			pl, err := Reopen(f, prof, availability.Of(f.Roster, x.rec, "g", "2026-09-12", 4), readBack(t, sv))
			require.NoError(t, err)
			err = pl.Verify(context.Background(), rotation.Settings{Seed: 1}, x.bars...)
			if x.want == nil {
				require.NoError(t, err)
				return
			}
			requireTold(t, data, err, x.want...)
		})
	}
}

// bar is one of kid 5 in one series.
func bar(in int, why string) Bar {
	return func(kid string, series int) string {
		if kid == "5" && series == in {
			return why
		}
		return ""
	}
}

// TestSpotsThatNobodyCanHave: a kid of a file without its sum whose counts do not fit is refused before anything is shown; with a true sum nothing is said of counts.
func TestSpotsThatNobodyCanHave(t *testing.T) {
	f, prof, files := savedTeam(t)
	sv, err := ReadSaved("dir/plan.json", files[0])
	require.NoError(t, err)
	l := sv.said
	l.Kids[3].Roles["front"] += 2
	l.Sum = ""
	data := saved(t, l)
	_, _, err = ReadLineup(context.Background(), "dir/plan.json", data, f, prof, rotation.Settings{Seed: 1})
	requireTold(t, data, err, told{"kid 4 stands in the series ", `"roles"`})
	require.NoError(t, l.Seal(l))
	_, pl, err := ReadLineup(context.Background(), "dir/plan.json", saved(t, l), f, prof, rotation.Settings{Seed: 1})
	require.NoError(t, err, "the counts are worked out again anyway")
	require.Empty(t, pl.Broken)
	f.Team.Name = "Gulls"
	_, _, err = ReadLineup(context.Background(), "dir/plan.json", files[0], f, prof, rotation.Settings{Seed: 1})
	require.ErrorContains(t, err, "this is a plan of Terns")
	_, _, err = ReadLineup(context.Background(), "dir/plan.json", []byte("{"), f, prof, rotation.Settings{Seed: 1})
	require.ErrorContains(t, err, "not whole JSON")
}

// TestBrokenRulesByName: a rule that a plan does not keep is told with its kids, its series and its name, in the plan and in a note, and nothing is proven of it.
func TestBrokenRulesByName(t *testing.T) {
	two := 2
	f, prof := small(7, func(f *drills.Folder) {
		f.Team.Covers = []drills.Cover{{Kids: []string{"1", "2"}, AtLeast: 1}, {Kids: []string{"6", "7"}, AtLeast: 1}}
		f.Team.Rules.MaxOff = &two
		f.Team.Apart = []drills.Pair{{"1", "2"}}
	})
	sv := handMade(4, 7)
	sv.Series[1].Slots[4].Kid = "6"
	pl, err := Reopen(f, prof, availability.Out{}, readBack(t, sv))
	require.NoError(t, err)
	require.NoError(t, pl.Verify(context.Background(), rotation.Settings{Seed: 1}))
	all := strings.Join(pl.Broken, "\n")
	for _, s := range []int{1, 3, 4} {
		require.Contains(t, all, fmt.Sprintf("at least 1 of kids 6 and 7 are to be on the field, and are not in series %d (cover)", s))
	}
	require.NotContains(t, all, "not in series 2 (cover)")
	require.NotContains(t, all, "of kids 1 and 2 are to be")
	require.Contains(t, all, "(apart)")
	require.Contains(t, all, "(max_off)")
	require.Contains(t, strings.Join(pl.Notes, "\n"), "note: the plan in plan.json does not keep every rule as it stands now: ")
	require.False(t, pl.Outcome.Result.Weakest.Proven || pl.Outcome.Result.Total.Proven)
	f.Roster[2].Never = []string{"corner"} // kid 3 is in corner in every series
	sv = handMade(4, 7)
	sv.Played = 2
	data := inFile(t, sv)
	pl, err = Reopen(f, prof, availability.Out{}, readBack(t, sv))
	require.NoError(t, err)
	err = pl.Verify(context.Background(), rotation.Settings{Seed: 1})
	requireTold(t, data, err, told{"kid 3 never plays corner, and series 3 has it so (never)", `"kid": "3"`}, told{"series 4 has it so", `"kid": "3"`})
	first := handMade(4, 7)
	data = inFile(t, first)
	pl, err = Reopen(f, prof, availability.Out{}, readBack(t, first))
	require.NoError(t, err)
	err = pl.Verify(context.Background(), rotation.Settings{Seed: 1})
	requireTold(t, data, err, told{"series 1 has it so", `"kid": "3"`}, told{"series 2 has", `"3"`}, told{"series 3 has", `"3"`}, told{"series 4 has", `"3"`})
	// A rebuild of it is told of the same, and not of who is there.
	re, err := NewFrom(f, prof, Wishes{}, readBack(t, sv), -1)
	require.NoError(t, err)
	require.Contains(t, strings.Join(re.Notes, "\n"), "kid 3 never plays corner, and series 3 has it so (never)")
	require.NotContains(t, strings.Join(re.Notes, "\n"), "(presence)")
}

// TestDoubtsAreOfTheFile: where the record has changed the plan, what is told of the file is told of what stands in the file.
func TestDoubtsAreOfTheFile(t *testing.T) {
	f, prof, files := savedTeam(t)
	sv, err := ReadSaved("dir/plan.json", files[0])
	require.NoError(t, err)
	g := &games.Game{ID: "g"}
	line := games.Series{Number: 1}
	line.Slots = append(line.Slots, sv.Series[0].Slots...)
	line.Slots[0].Kid, line.Slots[1].Kid = line.Slots[1].Kid, line.Slots[0].Kid
	line.Slots[2].Kid = sv.said.Series[0].Bench[0]
	g.Series = []games.Series{line}
	merged, err := sv.WithRecord(g)
	require.NoError(t, err)
	require.Empty(t, merged.doubts(f, prof), "the file is as it was saved")
	require.Empty(t, sv.doubts(f, prof))
	f.Roster[0].ID = "new"
	require.Empty(t, sv.doubts(f, prof), "what is in the way of the plan is told elsewhere")
}

// TestOfARebuiltPlanNoProofIsTaken: what a rebuild proved, it proved of plans with few changes; that is nothing to hold a file against.
func TestOfARebuiltPlanNoProofIsTaken(t *testing.T) {
	f, prof, files := savedTeam(t)
	l, pl, err := ReadLineup(context.Background(), "plan.json", files[4], f, prof, rotation.Settings{Seed: 1})
	require.NoError(t, err)
	require.Empty(t, pl.Notes)
	require.Equal(t, pl.SavedAs(), l.Schema)
	require.False(t, pl.OutOfTime(rotation.Settings{Limit: 1}), "a plan that is shown is as it is")
	for _, x := range pl.Outcome.Loosened {
		require.False(t, x.Kept, "what is loose in a plan that is shown is so by itself")
	}
	sv, err := ReadSaved("plan.json", files[0])
	require.NoError(t, err)
	require.False(t, sv.CountsSeason())
	require.False(t, (&Saved{}).CountsSeason())
}

// TestSeasonOfAFile tells a plan that earlier games counted in from one for itself.
func TestSeasonOfAFile(t *testing.T) {
	f, prof := small(8, nil)
	s, err := NewSeason(f, oddRecord(), "")
	require.NoError(t, err)
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	pl.Owe(s)
	require.NoError(t, pl.Arrange(context.Background(), rotation.Settings{Seed: 1}, false))
	sv, err := ReadSaved("plan.json", saved(t, pl.Lineup(rotation.Settings{})))
	require.NoError(t, err)
	require.True(t, sv.CountsSeason())
}
