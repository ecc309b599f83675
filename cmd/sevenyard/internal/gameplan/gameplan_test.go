package gameplan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// small is an invented team of n kids, ids 1 to n, every fit 50 plus the kid's number.
func small(n int, edit func(*drills.Folder)) (*drills.Folder, *assess.Profile) {
	c := drills.Default()
	f := &drills.Folder{Team: drills.Team{Name: "Terns", Division: drills.Grades{Low: 3, High: 4}, Series: 4, Favor: "weakest", Catalogue: c}}
	for _, x := range c.Formations {
		if x.Name == "2-3" {
			f.Team.Formations = []drills.Formation{x}
		}
	}
	p := &assess.Profile{}
	for k := 1; k <= n; k++ {
		id := fmt.Sprint(k)
		f.Roster = append(f.Roster, drills.Kid{ID: id, Name: "Name" + id})
		kid := assess.Kid{ID: id}
		for _, r := range c.Roles {
			kid.Fits = append(kid.Fits, assess.Score{Name: r.Name, T: 50 + float64(k), SE: 4, Tested: true})
		}
		p.Kids = append(p.Kids, kid)
	}
	if edit != nil {
		edit(f)
	}
	return f, p
}

func arranged(t *testing.T, n int, w Wishes, strict bool, edit func(*drills.Folder)) *Plan {
	t.Helper()
	f, p := small(n, edit)
	pl, err := New(f, p, w)
	require.NoError(t, err)
	require.NoError(t, pl.Arrange(context.Background(), rotation.Settings{Seed: 1}, strict))
	return pl
}

func TestWhoIsPlanned(t *testing.T) {
	pl := arranged(t, 9, Wishes{Absent: []string{"4"}, Late: []At{{"9", 3}}, Leaves: []At{{"2", 2}}}, false, func(f *drills.Folder) {
		f.Roster[6].Hold = "yes"
	})
	require.Equal(t, []string{"1", "2", "3", "5", "6", "8", "9"}, pl.IDs)
	require.Equal(t, []Away{{"4", false}, {"7", true}}, pl.Away)
	l := pl.Lineup(1)
	require.Equal(t, [2]int{1, 2}, l.Kids[1].Available, "leaves 2@2: series 2 is the last one")
	require.Equal(t, [2]int{3, 4}, l.Kids[6].Available, "late 9@3: series 3 is the first one")
	for _, s := range l.Series {
		for _, x := range s.Slots {
			require.NotContains(t, []string{"4", "7"}, x.Kid)
			// Fit 50 + number: the fit came from that kid's row, whoever is away.
			require.Equal(t, "5"+x.Kid, fmt.Sprint(x.Fit))
		}
	}
}

// TestRulesOfKidsWhoAreAway: what cannot be kept is said, the rest goes on.
func TestRulesOfKidsWhoAreAway(t *testing.T) {
	pl := arranged(t, 9, Wishes{Absent: []string{"4", "5"}}, false, func(f *drills.Folder) {
		f.Team.Together = []drills.Pair{{"1", "2"}, {"3", "4"}, {"4", "5"}}
		f.Team.Apart = []drills.Pair{{"6", "4"}, {"6", "7"}}
		f.Team.Covers = []drills.Cover{{Kids: []string{"4", "8"}, AtLeast: 1}, {Kids: []string{"4", "5"}, AtLeast: 1}}
		f.Team.Pins = []drills.Pin{{Kid: "4", Series: 1, Must: true}, {Kid: "4", Series: 1}, {Kid: "8", Series: 9, Must: true}, {Kid: "8", Role: "deep", Series: 2, Must: true}}
	})
	require.Equal(t, [][2]int{{0, 1}}, pl.Game.Together)
	require.Equal(t, [][2]int{{3, 4}}, pl.Game.Apart)
	require.Equal(t, []rotation.Cover{{Kids: []int{5}, AtLeast: 1}}, pl.Game.Covers)
	require.Len(t, pl.Game.Pins, 1)
	require.Equal(t, "deep", pl.Game.Roles[pl.Game.Pins[0].Role])
	require.Len(t, pl.Notes, 4, "%q", pl.Notes)
}

func TestNobody(t *testing.T) {
	f, p := small(2, nil)
	_, err := New(f, p, Wishes{Absent: []string{"1", "2"}})
	require.ErrorIs(t, err, ErrNobody)
	f, p = small(65, nil)
	_, err = New(f, p, Wishes{})
	require.ErrorIs(t, err, ErrRoster)
}

// TestConflictWords asks for rules that cannot hold, and for the words and the counting fact about them.
func TestConflictWords(t *testing.T) {
	number := func(n int) *int { return &n }
	for _, c := range []struct {
		name  string
		kids  int
		edit  func(*drills.Folder)
		words string
		fact  string
	}{
		{"bench", 12, func(f *drills.Folder) { f.Team.Rules.MaxOff = number(1) },
			"at most 1 series in a row on the bench (max_off)", "10 spots for 12 kids, so somebody sits out 2 in a row."},
		{"field", 6, func(f *drills.Folder) { f.Team.Rules.MaxOn = number(2) },
			"at most 2 series in a row on the field (max_on)", "3 rests on the bench to 6 kids, so somebody plays 3 in a row."},
		{"never", 7, func(f *drills.Folder) {
			for i := range f.Roster {
				f.Roster[i].Never = []string{"deep"}
			}
		}, "never plays deep (never, in roster.csv)", "1 spot of deep, and 0 kids there may play it."},
		{"share", 10, func(f *drills.Folder) { f.Team.Rules.MinShare = 1 },
			"on the field for at least 4 series (min_share)", "40 turns, and the game has 20."},
		{"pins", 7, func(f *drills.Folder) {
			f.Team.Pins = []drills.Pin{{Kid: "3", Role: "front", Series: 2, Must: true}, {Kid: "3", Role: "front", Series: 2}}
		}, "kid 3 plays front in series 2 (pin)", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			pl := arranged(t, c.kids, Wishes{}, true, c.edit)
			require.Nil(t, pl.Outcome.Result)
			require.NotNil(t, pl.Outcome.Conflict)
			require.Contains(t, fmt.Sprint(pl.ConflictWords(pl.Outcome.Conflict.Rules)), c.words)
			if c.fact != "" {
				require.Contains(t, fmt.Sprint(pl.Facts(pl.Outcome.Conflict.Rules)), c.fact)
			}
		})
	}
}

// TestFactsAreTrue: a fact is told only of a game in which the rule in question cannot hold.
func TestFactsAreTrue(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	told := 0
	for range 150 {
		n, on, off := 5+rng.IntN(8), 1+rng.IntN(3), 1+rng.IntN(2)
		f, p := small(n, func(f *drills.Folder) { f.Team.Rules.MaxOn, f.Team.Rules.MaxOff = &on, &off })
		w := Wishes{Late: []At{{"1", 1 + rng.IntN(4)}}, Leaves: []At{{"2", 1 + rng.IntN(4)}}}
		pl, err := New(f, p, w)
		require.NoError(t, err)
		facts := pl.Facts([]rotation.RuleRef{{Kind: rotation.RuleMaxOn, Value: on}, {Kind: rotation.RuleMaxOff, Value: off}})
		if len(facts) == 0 {
			continue
		}
		told++
		problem, _, err := pl.Game.Problem()
		require.NoError(t, err)
		for k := range problem.Kids { // without equal series: the fact speaks of rest alone
			problem.Kids[k].Lo, problem.Kids[k].Hi = 0, len(problem.Series)
		}
		require.Equal(t, rotation.No, rotation.Feasible(context.Background(), problem), "%d kids, on %d, off %d: %q", n, on, off, facts)
	}
	require.Greater(t, told, 20)
}

func TestEveryRuleHasWords(t *testing.T) {
	pl := arranged(t, 9, Wishes{}, false, func(f *drills.Folder) {
		f.Team.Together = []drills.Pair{{"1", "2"}}
		f.Team.Apart = []drills.Pair{{"3", "4"}}
		f.Team.Covers = []drills.Cover{{Kids: []string{"5", "6", "7"}, AtLeast: 1}}
		f.Team.Pins = []drills.Pin{{Kid: "8", Series: 2}}
		f.Team.Rules.MinRoles, f.Team.Rules.MaxSameRole, f.Team.Rules.MinShare = 1, 4, 0.1
	})
	seen := map[string]bool{}
	for kind := rotation.RuleMinRoles; kind <= rotation.RuleWindow; kind++ {
		for _, index := range []int{-1, 0, 99} {
			r := rotation.RuleRef{Kind: kind, Index: index, Value: 2, Lo: -1, Hi: -1}
			for _, kids := range [][]int{nil, {0, 1}} {
				r.Kids = kids
				require.NotEmpty(t, pl.RuleWords(r), "%v", r)
				require.NotEmpty(t, pl.RemedyWords(rotation.Loosened{Rule: r, To: 3}))
				require.NotEmpty(t, pl.LoosenedWords(rotation.Loosened{Rule: r, To: -1}))
			}
		}
		seen[pl.RuleWords(rotation.RuleRef{Kind: kind, Index: 0, Value: 2, Lo: -1, Hi: -1})] = true
	}
	require.Len(t, seen, int(rotation.RuleWindow)+1, "no two rules read alike")
	require.Contains(t, pl.RulesInForce(), "kids 1 and 2 together or not at all")
}

func TestRanges(t *testing.T) {
	require.Equal(t, "1-3, 5, 7-8", Ranges([]int{1, 2, 3, 5, 7, 8}))
	require.Equal(t, "", Ranges(nil))
	require.Equal(t, "a, b and c", And([]string{"a", "b", "c"}))
	require.Equal(t, "1 kid", Count(1, "kid"))
	require.Equal(t, "2 series", Count(2, "series"))
}
