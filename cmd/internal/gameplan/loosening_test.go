package gameplan

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// TestWhichRulesMayGiveWay: a name is that of its rule, and of those that are never loosened none may.
func TestWhichRulesMayGiveWay(t *testing.T) {
	for kind := rotation.RuleSeasonRoles; kind <= rotation.RuleWindow; kind++ {
		got, may := mayGiveWay(kind.String())
		require.Equal(t, kind <= rotation.RuleShare, may, kind)
		if may {
			require.Equal(t, kind, got)
		}
	}
	_, may := mayGiveWay("")
	require.False(t, may)
}

// TestWhatIsKeptLoose: what a file has loosened is kept as long as the team asks for the same rule; where it asks for another number by now, a note says that this
// counts, and where it asks for none there is nothing to say.
func TestWhatIsKeptLoose(t *testing.T) {
	two := 2
	ref := func(kind rotation.RuleKind, index, value int, kids ...int) rotation.RuleRef {
		return rotation.RuleRef{Kind: kind, Index: index, Kids: kids, Value: value, Lo: -1, Hi: -1}
	}
	for name, x := range map[string]struct {
		file report.Loosening
		team func(*drills.Team)
		want *rotation.Loosened // nil: not kept
		note string
	}{
		"a rest":               {file: report.Loosening{Rule: "max_off", From: 2, To: 3}, team: func(t *drills.Team) { t.Rules.MaxOff = &two }, want: &rotation.Loosened{Rule: ref(rotation.RuleMaxOff, -1, 2), To: 3}},
		"another rest":         {file: report.Loosening{Rule: "max_off", From: 1, To: 3}, team: func(t *drills.Team) { t.Rules.MaxOff = &two }, note: "the plan was made with max_off loosened from 1, and it is 2 by now: that counts"},
		"no rest any more":     {file: report.Loosening{Rule: "max_off", From: 2, To: 3}},
		"a limit on the field": {file: report.Loosening{Rule: "max_on", Kids: []string{"3"}, From: 2, To: 4}, team: func(t *drills.Team) { t.Rules.MaxOn = &two }, want: &rotation.Loosened{Rule: ref(rotation.RuleMaxOn, -1, 2, 2), To: 4}},
		"of a kid not planned": {file: report.Loosening{Rule: "max_on", Kids: []string{"7"}, From: 2, To: 4}, team: func(t *drills.Team) { t.Rules.MaxOn = &two }},
		"another limit":        {file: report.Loosening{Rule: "max_on", From: 3, To: 4}, team: func(t *drills.Team) { t.Rules.MaxOn = &two }, note: "max_on loosened from 3, and it is 2"},
		"roles":                {file: report.Loosening{Rule: "min_roles", From: 2, To: 1}, team: func(t *drills.Team) { t.Rules.MinRoles = 2 }, want: &rotation.Loosened{Rule: ref(rotation.RuleMinRoles, -1, 2), To: 1}},
		"other roles":          {file: report.Loosening{Rule: "min_roles", From: 3, To: 1}, team: func(t *drills.Team) { t.Rules.MinRoles = 1 }, note: "min_roles loosened from 3, and it is 1"},
		"one role":             {file: report.Loosening{Rule: "max_same_role", From: 2, To: 3}, team: func(t *drills.Team) { t.Rules.MaxSameRole = 2 }, want: &rotation.Loosened{Rule: ref(rotation.RuleSameRole, -1, 2), To: 3}},
		"shares":               {file: report.Loosening{Rule: "equal_series", To: 1}, want: &rotation.Loosened{Rule: ref(rotation.RuleShare, -1, 0), To: 1}},
		"a pair":               {file: report.Loosening{Rule: "apart", Kids: []string{"1", "4"}, To: -1}, want: &rotation.Loosened{Rule: ref(rotation.RuleApart, -1, 0, 0, 3), To: -1}},
		"a pair of one":        {file: report.Loosening{Rule: "together", Kids: []string{"1", "7"}, To: -1}},
		"season roles":         {file: report.Loosening{Rule: "season_roles", Kids: []string{"6"}, From: 1, To: -1}, want: &rotation.Loosened{Rule: ref(rotation.RuleSeasonRoles, -1, 1, 5), To: -1}},
		"a cover": {file: report.Loosening{Rule: "cover", Kids: []string{"3", "4"}, From: 2, To: 1}, team: func(t *drills.Team) {
			t.Covers = []drills.Cover{{Kids: []string{"1", "2"}, AtLeast: 2}, {Kids: []string{"3", "4"}, AtLeast: 1}, {Kids: []string{"3", "4"}, AtLeast: 2}}
		}, want: &rotation.Loosened{Rule: ref(rotation.RuleCover, 2, 2, 2, 3), To: 1}},
		"another cover": {file: report.Loosening{Rule: "cover", Kids: []string{"3", "4"}, From: 2, To: 1}, team: func(t *drills.Team) {
			t.Covers = []drills.Cover{{Kids: []string{"3", "4", "5"}, AtLeast: 2}}
		}},
	} {
		t.Run(name, func(t *testing.T) {
			f, prof := small(7, func(f *drills.Folder) {
				f.Team.Series = 6
				if x.team != nil {
					x.team(&f.Team)
				}
			})
			sv := handMade(6, 6)
			sv.Loosening = []report.Loosening{x.file}
			pl, err := newFrom(f, prof, Wishes{}, readBack(t, sv), -1)
			require.NoError(t, err)
			if x.want == nil {
				require.Empty(t, pl.Game.Loose)
			} else {
				require.Equal(t, []rotation.Loosened{*x.want}, pl.Game.Loose)
			}
			require.Equal(t, x.note != "", len(pl.Notes) > 0, "%q", pl.Notes)
			require.Contains(t, strings.Join(pl.Notes, "\n"), x.note)
		})
	}
	// A plan from the record alone has nothing to keep.
	f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 6; f.Team.Rules.MaxOff = &two })
	sv, err := FromRecord(onRecord(2), f)
	require.NoError(t, err)
	sv.Loosening = []report.Loosening{{Rule: "max_off", From: 2, To: 3}}
	pl, err := newFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.Empty(t, pl.Game.Loose)
}

// TestLooseningIsWrittenAndReadBack: whatever a plan had loosened stands in its file with the ids of the kids, and a rebuild in which nothing happens keeps it,
// changes nobody's turns, and says that it is kept.
func TestLooseningIsWrittenAndReadBack(t *testing.T) {
	one := 1
	f, prof := small(9, func(f *drills.Folder) {
		f.Team.Series = 6
		f.Team.Rules.MaxOff = &one // nine kids, five spots: four rest, but with together and apart it does not go
		f.Team.Together = []drills.Pair{{"2", "3"}}
		f.Team.Apart = []drills.Pair{{"3", "2"}}
		f.Team.Covers = []drills.Cover{{Kids: []string{"8", "9"}, AtLeast: 2}}
	})
	set := rotation.Settings{Seed: 1}
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	require.NoError(t, pl.Arrange(context.Background(), set, false))
	l := pl.Lineup(set)
	require.NotEmpty(t, l.Loosening)
	for i, x := range l.Loosening {
		require.Equal(t, pl.Outcome.Loosened[i].Rule.Kind.String(), x.Rule)
		require.Len(t, x.Kids, len(pl.Outcome.Loosened[i].Rule.Kids))
		require.NotNil(t, x.Kids)
		for j, k := range pl.Outcome.Loosened[i].Rule.Kids {
			require.Equal(t, fmt.Sprint(k+1), x.Kids[j])
		}
		require.False(t, x.Kept)
	}
	require.NoError(t, l.Seal(l))
	sv, err := ReadSaved("plan.json", saved(t, l))
	require.NoError(t, err)
	require.True(t, slices.EqualFunc(l.Loosening, sv.Loosening, func(a, b report.Loosening) bool { return fmt.Sprint(a) == fmt.Sprint(b) }))
	re, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.NoError(t, re.Rearrange(context.Background(), set, false, 0))
	now := re.Rebuild(set, 0, nil, nil)
	require.Zero(t, now.Changes.Value)
	require.Len(t, now.Loosening, len(l.Loosening))
	for i, x := range now.Loosening {
		require.True(t, x.Kept)
		x.Kept = false
		require.Equal(t, l.Loosening[i], x)
	}
}
