package draftplan

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/fixtures"
	"sevenyard/optimize/draft"
)

func demo(t testing.TB) *Plan {
	t.Helper()
	p, err := drills.ReadPool(fixtures.Pool())
	require.NoError(t, err)
	pl, err := New(p)
	require.NoError(t, err)
	return pl
}

// pool reads a pool from texts; nobody was tested.
func pool(t testing.TB, league, sheet string) *Plan {
	t.Helper()
	p, err := drills.ReadPool(fstest.MapFS{
		"league.toml": {Data: []byte(league)}, "pool.csv": {Data: []byte(sheet)}, "results.csv": {Data: []byte("kid,drill,value\n")},
	})
	require.NoError(t, err)
	pl, err := New(p)
	require.NoError(t, err)
	return pl
}

func TestNumbers(t *testing.T) {
	pl := pool(t, "max_returning = 2\nformation = \"2-3\"\n[[team]]\nname = \"Egrets\"\nnights = [\"tue\"]\n[[team]]\nname = \"Terns\"\n[[fixed]]\nkid = \"4\"\nteam = \"Terns\"\n"+
		"[evenness]\noverall = 2\ncarpools = 0\n",
		"kid,name,grade,siblings,coach_of,nights,apart,carpool,returning,hold,never\n"+
			"1,A,3,f,Egrets,,2,c,Old,,\n2,B,4,,,mon,1;3,c,old,,deep\n3,C,,F,,,2,,,ill,\n4,D,3,,,tue;wed,,,,,\n")
	n := pl.Numbers
	require.Equal(t, []string{"Egrets", "Terns"}, n.Teams)
	require.Equal(t, []draft.Measure{{Label: "overall", Weight: 200}}, n.Measures, "nobody was tested in any trait")
	require.Equal(t, []draft.Role{{Label: "front", Need: 2}, {Label: "deep", Need: 1}, {Label: "corner", Need: 2}}, n.Roles)
	require.Equal(t, [][]int{{0, 2}}, n.Siblings)
	require.Equal(t, [][]int{{0, 1}}, n.Carpools)
	require.Equal(t, [][2]int{{0, 1}, {1, 2}}, n.Apart, "each pair once")
	require.Equal(t, []draft.Fixed{{Kid: 0, Team: 0, Coach: true}, {Kid: 3, Team: 1}}, n.Fixed)
	require.Equal(t, 2, n.MaxReturning)
	require.Equal(t, 0, n.Weights.Carpool)
	require.Equal(t, draft.DefaultWeights().Grades, n.Weights.Grades)
	require.Nil(t, n.Kids[0].Teams)
	require.Equal(t, []bool{false, true}, n.Kids[1].Teams)
	require.Equal(t, "Old", n.Kids[1].Returning, "case does not count")
	require.Equal(t, []bool{true, false, true}, n.Kids[1].Plays)
	require.Equal(t, []bool{false, false, false}, n.Kids[2].Plays, "on hold")
	require.Equal(t, -1, n.Kids[2].Grade)
	for _, k := range n.Kids {
		require.True(t, k.Untested)
		require.Equal(t, []float64{50}, k.Scores)
	}
}

// Two siblings who can only practise on Tuesday, and two Tuesday teams that are full with fixed kids.
func TestConflictInWords(t *testing.T) {
	league := "[[team]]\nname = \"Egrets\"\nnights = [\"tue\"]\n[[team]]\nname = \"Terns\"\nnights = [\"tue\"]\n[[team]]\nname = \"Plovers\"\nnights = [\"wed\"]\n"
	sheet := "kid,name,siblings,nights\n1,Ann,f,tue\n2,Ben,f,tue\n"
	for i := range 4 {
		sheet += fmt.Sprintf("%d,,,\n", 3+i)
		league += fmt.Sprintf("[[fixed]]\nkid = \"%d\"\nteam = %q\n", 3+i, []string{"Egrets", "Terns"}[i/2])
	}
	pl := pool(t, league, sheet)
	res, err := draft.Draft(context.Background(), pl.Numbers, draft.Settings{})
	require.NoError(t, err)
	require.Equal(t, draft.Infeasible, res.Status)
	require.NotNil(t, res.Conflict)
	names := map[string]string{"1": "Ann", "2": "Ben"}
	pl.Call = func(id string) string { return names[id] }
	text := ConflictHead(res.Conflict) + "\n" + strings.Join(pl.RulesWords(res.Conflict.Rules), "\n") + "\n" + strings.Join(pl.Facts(res.Conflict), "\n")
	require.Contains(t, text, "these rules cannot hold together")
	require.Regexp(t, `(1 Ann|2 Ben).* can practise on Tuesday only: Egrets or Terns`, text)
	require.Contains(t, text, "fixed to Egrets (league.toml)")
	require.Regexp(t, `1 Ann and 2 Ben need 2 spots on one team, and left there are: Egrets [01], Terns [01]\.|where there is room for`, text)
	remedies := pl.Remedies(context.Background(), res.Conflict)
	require.Len(t, remedies, 1, "the Tuesday teams are full in more than one way")
	require.Len(t, remedies[0], 2, "two of the fixed kids, and no more")
	require.True(t, pl.holds(context.Background(), remedies[0]))
	for i := range remedies[0] {
		require.False(t, pl.holds(context.Background(), slices.Delete(slices.Clone(remedies[0]), i, i+1)), "none is left out for nothing")
	}
	c := pl.Conflict(res.Conflict, nil)
	require.NotContains(t, fmt.Sprint(c), "Ann", "programs get ids")
	require.Equal(t, "1 Ann", pl.Kid(0), "and people still get names")
	require.Len(t, c.Rules, len(res.Conflict.Rules))
}

// A rule is offered to be left out only where all others can then hold, and every such rule of the conflict is.
func TestRemedies(t *testing.T) {
	ctx := context.Background()
	pl := pool(t, "[[team]]\nname = \"Egrets\"\nnights = [\"tue\"]\n[[team]]\nname = \"Plovers\"\nnights = [\"wed\"]\n[[fixed]]\nkid = \"3\"\nteam = \"Egrets\"\n",
		"kid,siblings,nights,apart\n1,f,tue,\n2,f,,\n3,,,\n4,,,3\n")
	res, err := draft.Draft(ctx, pl.Numbers, draft.Settings{})
	require.NoError(t, err)
	require.NotNil(t, res.Conflict)
	remedies := pl.Remedies(ctx, res.Conflict)
	require.NotEmpty(t, remedies)
	offered := map[string]bool{}
	for _, r := range remedies {
		require.Len(t, r, 1)
		offered[pl.RuleWords(r[0])] = true
	}
	for _, r := range res.Conflict.Rules {
		without, err := draft.Draft(ctx, pl.without([]draft.Rule{r}), draft.Settings{})
		require.NoError(t, err)
		require.Equal(t, offered[pl.RuleWords(r)], without.Split != nil, pl.RuleWords(r))
	}
	require.Len(t, pl.Conflict(res.Conflict, remedies).Remedies, len(remedies))
}

// Every rule and refusal reads differently, and none is empty.
func TestWordsDiffer(t *testing.T) {
	pl := demo(t)
	seen := map[string]bool{}
	for _, r := range []draft.Rule{
		{Kind: draft.Sizes, Least: 8, Most: 9}, {Kind: draft.Sizes, Least: 9, Most: 9}, {Kind: draft.Siblings, Kids: []int{0, 4}},
		{Kind: draft.Settled, Kids: []int{1}, Teams: []int{0}, Coach: true}, {Kind: draft.Settled, Kids: []int{44}, Teams: []int{3}}, {Kind: draft.Settled, Kids: []int{7}, Teams: []int{3}},
		{Kind: draft.Nights, Kids: []int{6}, Teams: []int{0, 1}}, {Kind: draft.Nights, Kids: []int{6}}, {Kind: draft.Apart, Kids: []int{0, 4}}, {Kind: draft.Returning, Old: "Terns", Most: 3},
	} {
		words := pl.RuleWords(r)
		require.NotEmpty(t, words)
		require.False(t, seen[words], words)
		seen[words] = true
	}
	for kind := draft.RefusedOver; kind <= draft.RefusedOpen; kind++ {
		words := pl.RefusalWords(0, &draft.Refusal{Kind: kind, Team: 1, Rules: []draft.Rule{{Kind: draft.Apart, Kids: []int{0, 4}}}})
		require.NotEmpty(t, words)
		require.False(t, seen[words], words)
		seen[words] = true
	}
}

func TestRulesOfOneKindAreGathered(t *testing.T) {
	pl := demo(t)
	all := pl.Rules()
	words := pl.RulesWords(all)
	require.Less(t, len(words), len(all))
	text := strings.Join(words, "\n")
	for _, r := range all {
		for _, k := range r.Kids {
			if r.Kind != draft.Returning {
				require.Regexp(t, `(^|\D)`+pl.IDs[k]+`($|\D)`, text)
			}
		}
	}
}

func TestSavedTeams(t *testing.T) {
	pl := demo(t)
	res, err := draft.Draft(context.Background(), pl.Numbers, draft.Settings{Seed: 1})
	require.NoError(t, err)
	d := pl.Draft(res.Split, res.Balance, 1)
	text, err := json.MarshalIndent(d, "", " ")
	require.NoError(t, err)
	sv, err := ReadSaved("teams.json", text)
	require.NoError(t, err)
	back, gone, err := pl.Split(sv)
	require.NoError(t, err)
	require.Equal(t, res.Split, back)
	require.Empty(t, gone)

	// A smaller pool: who left is told with the team; a larger one has kids without a team.
	small, err := New(Without(pl.Pool, []string{"9"}))
	require.NoError(t, err)
	_, gone, err = small.Split(sv)
	require.NoError(t, err)
	require.Equal(t, []report.Moved{{Kid: "9", From: pl.Numbers.Teams[res.Split[8]]}}, gone)
	first, _ := pl.Find(sv.Teams[0].Kids[0])
	sv.Teams[0].Kids = sv.Teams[0].Kids[1:]
	part, _, err := pl.Split(sv)
	require.NoError(t, err)
	require.Equal(t, []int{first}, pl.Unplaced(part))

	for _, c := range []struct{ from, to, words string }{
		{`"sevenyard.draft/1"`, `"sevenyard.lineup/1"`, `teams.json:1: schema is "sevenyard.lineup/1"`},
		{`"team": "Egrets"`, `"team": "Egret"`, "did you mean Egrets?"},
		{`"team": "Egrets"`, `"team": "terns"`, `team "Terns" stands there twice`},
		{`"Harbor Flats fall league"`, `"Another league"`, "teams.json:3: these are the teams of"},
		{`"kids": [`, `"kids": ["\u001b[31mx",`, "no kid's id"},
		{`"teams": [`, `"teams": 3, "x": [`, `"teams" is a number`},
		{`{`, `[`, "not whole JSON"},
	} {
		bad := strings.Replace(string(text), c.from, c.to, 1)
		sv, err := ReadSaved("teams.json", []byte(bad))
		if err == nil {
			_, _, err = pl.Split(sv)
		}
		var ps drills.Problems
		require.True(t, errors.As(err, &ps), "%v", c)
		require.Contains(t, err.Error(), c.words)
		require.NotContains(t, err.Error(), "\x1b")
	}
}

// Two head coaches' own kids are kept apart, as each coach has the team of the kid; not siblings, and not kids who are settled.
func TestCoachesKidsApart(t *testing.T) {
	const league = "[[team]]\nname = \"Egrets\"\n[[team]]\nname = \"Terns\"\n[[coach]]\nname = \"A\"\nkid = \"1\"\n[[coach]]\nname = \"B\"\nkid = \"2\"\n"
	pl := pool(t, league, "kid\n1\n2\n3\n4\n")
	require.Equal(t, [][2]int{{0, 1}}, pl.Numbers.Apart)
	require.Contains(t, pl.RuleWords(draft.Rule{Kind: draft.Apart, Kids: []int{0, 1}}), "the own kids of two head coaches")
	res, err := draft.Draft(context.Background(), pl.Numbers, draft.Settings{})
	require.NoError(t, err)
	require.NotEqual(t, res.Split[0], res.Split[1])
	for _, sheet := range []string{"kid,siblings\n1,f\n2,f\n3,\n4,\n", "kid,coach_of\n1,Terns\n2,Egrets\n3,\n4,\n"} {
		require.Empty(t, pool(t, league, sheet).Numbers.Apart)
	}
	named := pool(t, league, "kid,apart\n1,2\n2,\n3,\n4,\n")
	require.Len(t, named.Numbers.Apart, 1)
	require.Contains(t, named.RuleWords(draft.Rule{Kind: draft.Apart, Kids: []int{0, 1}}), "(apart)")
}

func FuzzReadSaved(f *testing.F) {
	f.Add([]byte(`{"schema":"sevenyard.draft/1","teams":[{"team":"Egrets","kids":["1","1"]},{"team":"egrets"}]}`))
	f.Add([]byte(`{"schema":"sevenyard.draft/1","league":7}`))
	f.Add([]byte("\xef\xbb\xbf[{"))
	pl := demo(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		sv, err := ReadSaved("teams.json", data)
		if err != nil {
			return
		}
		split, _, err := pl.Split(sv)
		var ps drills.Problems
		if err != nil && !errors.As(err, &ps) || err == nil && len(split) != len(pl.IDs) {
			t.Fatalf("%v, %d", err, len(split))
		}
	})
}

func TestWithoutForgetsTheKid(t *testing.T) {
	pl := demo(t)
	p := Without(pl.Pool, []string{"45", "2"})
	require.Len(t, p.Kids, 70)
	require.Len(t, p.League.Fixed, 1)
	require.Empty(t, p.League.Coaches[0].Kid, "the coach's own kid")
	require.NotEmpty(t, pl.Pool.League.Coaches[0].Kid, "the pool itself stays")
	for _, x := range p.Trials {
		require.NotContains(t, []string{"45", "2"}, x.Kid)
	}
}

// Names count for nothing, anything else does.
func TestFingerprint(t *testing.T) {
	pl := demo(t)
	was := pl.Fingerprint()
	pl.Pool.Kids[3].Name = "Another"
	again, err := New(pl.Pool)
	require.NoError(t, err)
	require.Equal(t, was, again.Fingerprint())
	pl.Pool.Kids[3].Apart = []string{"9"}
	changed, err := New(pl.Pool)
	require.NoError(t, err)
	require.NotEqual(t, was, changed.Fingerprint())
}

// A team of which nobody can be planned has no game, and that is an error and no number.
func TestPlay(t *testing.T) {
	pl := demo(t)
	s, err := draft.Random(context.Background(), pl.Numbers, 1)
	require.NoError(t, err)
	p, err := pl.Play(context.Background(), s, time.Second, 1)
	require.NoError(t, err)
	require.Len(t, p.Teams, 8)
	for k := range pl.Folder.Roster {
		if s[k] == 0 {
			pl.Folder.Roster[k].Hold = "ill"
		}
	}
	_, err = pl.Play(context.Background(), s, time.Second, 1)
	require.ErrorIs(t, err, ErrNoGame)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = demo(t).Play(ctx, s, time.Second, 1)
	require.ErrorIs(t, err, context.Canceled)
}

// The price of a point is what moving one team's overall mean by a point adds, all others being even.
func TestPointPrice(t *testing.T) {
	pl := pool(t, "[[team]]\nname = \"A\"\n[[team]]\nname = \"B\"\n", "kid\n1\n2\n3\n4\n")
	require.Zero(t, pl.PointPrice(), "nobody differs")
	for k, x := range []float64{40, 60, 45, 55} {
		pl.Numbers.Kids[k].Scores[0] = x
	}
	pl.Numbers.Weights = draft.Weights{}
	b := pl.Numbers.Measure(draft.Split{0, 0, 1, 1})
	c := pl.Numbers.Measure(draft.Split{0, 1, 0, 1}) // means 42.5 and 57.5
	require.Zero(t, b.Objective)
	require.InDelta(t, 2*7.5*7.5*pl.PointPrice(), c.Objective, 1e-6, "two teams, each off by 7.5")
}

// A limit of returning kids that cannot hold is answered with the least one that can, for people and for programs, with its kids.
func TestLimitOfReturning(t *testing.T) {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(5, 6))
	answered := 0
	for i := range 60 {
		league, kids := fmt.Sprintf("max_returning = %d\n", 1+rng.IntN(2)), "kid,returning,nights\n"
		for n := range 3 {
			league += fmt.Sprintf("[[team]]\nname = \"T%d\"\nnights = [\"%s\"]\n", n, []string{"mon", "tue", "wed"}[n])
		}
		for k := range 9 + rng.IntN(4) {
			kids += fmt.Sprintf("%d,%s,%s\n", k+1, []string{"Owls", "Owls", "Larks", ""}[rng.IntN(4)], []string{"", "", "mon", "tue;wed"}[rng.IntN(4)])
		}
		pl := pool(t, league, kids)
		res, err := draft.Draft(ctx, pl.Numbers, draft.Settings{})
		require.NoError(t, err)
		if res.Conflict == nil {
			continue
		}
		remedies := pl.Remedies(ctx, res.Conflict)
		for _, set := range remedies {
			at := slices.IndexFunc(set, func(r draft.Rule) bool { return r.Kind == draft.Returning })
			if at < 0 {
				continue
			}
			answered++
			most := set[at].Most
			p := pl.without(set)
			for _, n := range []int{most, most - 1} {
				p.MaxReturning = n
				res, err := draft.Draft(ctx, p, draft.Settings{})
				require.NoError(t, err)
				require.Equal(t, n == most, res.Split != nil, "pool %d: max_returning = %d", i, n)
			}
			require.Contains(t, strings.Join(pl.RemedyWords(set), "; "), fmt.Sprintf("max_returning = %d in league.toml", most))
		}
		for i, x := range pl.Conflict(res.Conflict, remedies).Remedies {
			for j, s := range x.Steps {
				require.Equal(t, pl.ids(remedies[i][j].Kids), s.Kids)
				require.NotEmpty(t, s.Kids)
				require.Equal(t, s.Rule == "returning", s.To > 0)
			}
		}
	}
	require.Greater(t, answered, 10)
}
