package gameplan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/drills"
	"sevenyard/drills/prose"
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
	require.Equal(t, []Away{{"4", Absent}, {"7", OnHold}}, pl.Away)
	l := pl.Lineup(rotation.Settings{Seed: 1})
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
			"at most 1 series in a row on the bench (max_off)", "12 kids, 5 spots, series 1-2: somebody must sit out both, but at most 1 in a row is allowed."},
		{"field", 6, func(f *drills.Folder) { f.Team.Rules.MaxOn = number(2) },
			"at most 2 series in a row on the field (max_on)", "6 kids, 5 spots, series 1-3: somebody must play all 3, but at most 2 in a row are allowed."},
		{"never", 7, func(f *drills.Folder) {
			for i := range f.Roster {
				f.Roster[i].Never = []string{"deep"}
			}
		}, "never plays deep (never, in roster.csv)", "1 spot of deep, and 0 kids there may play it."},
		{"share", 10, func(f *drills.Folder) { f.Team.Rules.MinShare = 1 },
			"on the field for at least 4 series (min_share)", "40 turns, and the game has 20."},
		{"pins", 7, func(f *drills.Folder) {
			f.Team.Pins = []drills.Pin{{Kid: "3", Role: "front", Series: 2, Must: true}, {Kid: "3", Role: "front", Series: 2}}
		}, "kid 3 plays front in series 2 (pin)", "Kid 3 is pinned to what another pin rules out in series 2."},
		{"roles", 7, func(f *drills.Folder) { f.Team.Rules.MinRoles, f.Roster[2].Never = 2, []string{"corner", "deep"} },
			"kid 3 never plays corner and deep", "Kid 3 may play 1 role in this game's formations, and 2 different roles are asked for."},
		{"one role", 7, func(f *drills.Folder) {
			f.Team.Rules.MaxSameRole = 1
		}, "at most 1 series in one role (max_same_role)", "The game has 8 spots of front, and 7 kids may play it, at most 1 series each: that makes 7."},
		{"cover", 10, func(f *drills.Folder) { f.Team.Covers = []drills.Cover{{Kids: []string{"3", "4"}, AtLeast: 2}} },
			"at least 2 of kids 3 and 4", "The cover asks for 8 turns of kids 3 and 4, and equal series give them at most 4."},
		{"pair", 10, func(f *drills.Folder) {
			f.Team.Together, f.Team.Apart = []drills.Pair{{"1", "2"}}, []drills.Pair{{"2", "1"}}
		}, "kids 1 and 2 on the field together", "Kids 1 and 2 are to be together and apart."},
		{"apart", 7, func(f *drills.Folder) { f.Team.Apart = []drills.Pair{{"1", "2"}, {"2", "3"}, {"1", "3"}} },
			"kids 1 and 3 never on the field together", "Kids 1 and 3 are to play 5 series between them, never two at a time, and the game has 4."},
		{"barred", 6, func(f *drills.Folder) {
			f.Team.Pins = []drills.Pin{{Kid: "3", Series: 1}, {Kid: "3", Series: 3}}
		}, "kid 3 is kept off the field in series 1 (pin)", "Kid 3 is kept off the field in all but 2 series, and equal series ask for at least 3."},
		{"spots", 7, func(f *drills.Folder) {
			f.Team.Pins = []drills.Pin{{Kid: "3", Role: "deep", Series: 2, Must: true}, {Kid: "4", Role: "deep", Series: 2, Must: true}}
		}, "kid 4 plays deep in series 2 (pin)", "Series 2 has 1 spot of deep, and 2 pins for it."},
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

// everyRule lists the rules of a problem as parts of one conflict.
func everyRule(p *rotation.Problem) []rotation.RuleRef {
	ref := func(kind rotation.RuleKind, index, value int, kids ...int) rotation.RuleRef {
		return rotation.RuleRef{Kind: kind, Index: index, Value: value, Kids: kids, Lo: -1, Hi: -1}
	}
	out := []rotation.RuleRef{ref(rotation.RuleMaxOn, -1, p.MaxOn), ref(rotation.RuleMaxOff, -1, p.MaxOff), ref(rotation.RuleMinRoles, -1, p.MinRoles)}
	for i, c := range p.Covers {
		out = append(out, ref(rotation.RuleCover, i, c.AtLeast, c.Kids...))
	}
	for i, pr := range p.Together {
		out = append(out, ref(rotation.RuleTogether, i, 0, pr[0], pr[1]))
	}
	for i, pr := range p.Apart {
		out = append(out, ref(rotation.RuleApart, i, 0, pr[0], pr[1]))
	}
	for i, pin := range p.Pins {
		out = append(out, ref(rotation.RulePin, i, 0, pin.Kid))
	}
	for k, kid := range p.Kids {
		lo, hi := ref(rotation.RuleShare, -1, 0, k), ref(rotation.RuleShare, -1, 0, k)
		lo.Lo, hi.Hi = kid.Lo, kid.Hi
		out = append(out, lo, hi, ref(rotation.RuleMinShare, -1, kid.Least, k), ref(rotation.RuleNever, -1, 0, k), ref(rotation.RuleSameRole, -1, kid.Cap))
	}
	return out
}

// TestNoFactWhereAPlanExists makes random games with every rule: of those that can be planned no fact is told, and of those
// that cannot, many are.
func TestNoFactWhereAPlanExists(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	plans, told := 0, 0
	for range 600 {
		n := 5 + rng.IntN(5)
		id := func() string { return fmt.Sprint(1 + rng.IntN(n)) }
		some := func(p float64) bool { return rng.Float64() < p }
		f, prof := small(n, func(f *drills.Folder) {
			on, off := 2+rng.IntN(3), 1+rng.IntN(2)
			f.Team.Rules.MaxOn, f.Team.Rules.MaxOff = &on, &off
			f.Team.Rules.MinRoles, f.Team.Rules.MaxSameRole = rng.IntN(3), rng.IntN(4)
			for i := range f.Roster {
				if some(0.1) {
					f.Roster[i].Never = []string{"deep", "corner"}[:1+rng.IntN(2)]
				}
			}
			for range 3 {
				a, b := id(), id()
				if a != b && some(0.2) {
					f.Team.Apart = append(f.Team.Apart, drills.Pair{a, b})
				}
				if a != b && some(0.1) {
					f.Team.Together = append(f.Team.Together, drills.Pair{a, b})
				}
				if a != b && some(0.15) {
					f.Team.Covers = append(f.Team.Covers, drills.Cover{Kids: []string{a, b}, AtLeast: 1 + rng.IntN(2)})
				}
				if some(0.3) {
					f.Team.Pins = append(f.Team.Pins, drills.Pin{Kid: a, Role: []string{"", "deep", "front"}[rng.IntN(3)], Series: 1 + rng.IntN(4), Must: some(0.5)})
				}
			}
		})
		w := Wishes{}
		if some(0.3) {
			w.Late = []At{{"1", 1 + rng.IntN(3)}}
		}
		pl, err := New(f, prof, w)
		require.NoError(t, err)
		problem, _, err := pl.Game.Problem()
		require.NoError(t, err)
		pl.Outcome = &rotation.Outcome{Problem: problem}
		facts := pl.Facts(everyRule(problem))
		switch rotation.Feasible(context.Background(), problem) {
		case rotation.Yes:
			plans++
			require.Empty(t, facts)
		case rotation.No:
			if len(facts) > 0 {
				told++
			}
		}
	}
	require.Greater(t, plans, 40)
	require.Greater(t, told, 100)
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
	for kind := rotation.RuleSeasonRoles; kind <= rotation.RuleWindow; kind++ {
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
	require.Equal(t, "1-3, 5, 7-8", prose.Ranges([]int{1, 2, 3, 5, 7, 8}))
	require.Equal(t, "", prose.Ranges(nil))
	require.Equal(t, "a, b and c", prose.And([]string{"a", "b", "c"}))
	require.Equal(t, "1 kid", prose.Count(1, "kid"))
	require.Equal(t, "2 series", prose.Count(2, "series"))
}
