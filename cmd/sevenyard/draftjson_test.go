package main

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

// TestDraftJSONAddsUp works the teams' numbers out again from the profile of the pool.
func TestDraftJSONAddsUp(t *testing.T) {
	p, err := drills.ReadPool(fixtures.Pool())
	require.NoError(t, err)
	profile := assess.Assess(p.Folder())
	overall := assess.Overall(&p.League.Common.Catalogue, profile)
	csvFile := filepath.Join(t.TempDir(), "teams.csv")
	d := decode[report.Draft](t, done(t, "draft", "--demo", "--format", "json", "--seed", "5", "--csv", csvFile, "--effort", "1", "--play-seconds", "0.2"))
	require.Equal(t, "sevenyard.draft/1", d.Schema)
	require.EqualValues(t, 5, d.Seed)
	require.Equal(t, []string{"overall", "pulling", "agility", "backpedal", "hands", "speed", "reading"}, d.Measures)
	index := map[string]int{}
	for i, k := range profile.Kids {
		index[k.ID] = i
	}
	seen := map[string]string{}
	for _, x := range d.Teams {
		require.Len(t, x.Kids, 9)
		sums, squares, grades, untested, returning := make([]float64, 7), 0.0, map[string]int{}, 0, 0
		for _, id := range x.Kids {
			require.Empty(t, seen[id], "kid %s is on two teams", id)
			seen[id] = x.Team
			k := index[id]
			sums[0] += overall[k].T
			squares += overall[k].SE * overall[k].SE
			for j, trait := range profile.Kids[k].Traits {
				sums[1+j] += trait.T
			}
			grades[fmt.Sprint(p.Kids[k].Grade)]++
			if !slices.ContainsFunc(p.Trials, func(t drills.Trial) bool { return t.Kid == id }) {
				untested++
			}
			if p.Kids[k].Returning != "" {
				returning++
			}
		}
		for j, m := range d.Measures {
			require.InDelta(t, sums[j]/9, x.Means[m], 1e-9, "%s of %s", m, x.Team)
		}
		require.InDelta(t, math.Sqrt(squares)/9, x.SE["overall"], 1e-9)
		require.Equal(t, grades, x.Grades)
		require.Equal(t, untested, x.Untested)
		require.Equal(t, returning, x.Returning)
	}
	require.Len(t, seen, 72)
	for _, m := range d.Measures {
		require.InDelta(t, spanOfMeans(d.Teams, m), d.Spread[m], 1e-9)
		require.Equal(t, d.Spread[m] < d.Error[m].Range, d.Error[m].Even)
		require.Less(t, d.Error[m].Range, d.Error[m].Range95)
	}
	sum := 0.0
	for _, x := range d.Parts {
		sum += x.Cost
		require.GreaterOrEqual(t, x.Cost, x.Bound-1e-9)
	}
	require.InDelta(t, d.Objective, sum, 1e-9)
	require.Less(t, d.Objective, d.Snake.Objective)
	require.LessOrEqual(t, d.Bound, d.Objective)
	playedAddsUp(t, d.Play)
	rulesHold(t, p, &d, seen)
	csvAgrees(t, csvFile, p, seen)
}

func playedAddsUp(t *testing.T, p *report.PlayedOut) {
	t.Helper()
	for _, x := range []*report.Played{p.Draft, p.Snake, p.Random} {
		require.Len(t, x.Teams, 8)
		low, high := math.Inf(1), math.Inf(-1)
		kids := 0
		for _, y := range x.Teams {
			require.LessOrEqual(t, y.Weakest, y.Average+1e-9)
			low, high, kids = min(low, y.Weakest), max(high, y.Weakest), kids+y.Kids
		}
		require.InDelta(t, high-low, x.WeakestSpread, 1e-9)
		require.Equal(t, 71, kids, "all but the kid on medical hold")
	}
	require.Less(t, p.Draft.WeakestSpread, p.Random.WeakestSpread)
}

// rulesHold looks at every rule that the draft says it keeps, by the files alone.
func rulesHold(t *testing.T, p *drills.Pool, d *report.Draft, team map[string]string) {
	t.Helper()
	count := map[string]int{}
	for _, r := range d.Rules {
		count[r.Rule]++
		switch r.Rule {
		case "siblings", "coach", "fixed", "nights":
			for _, id := range r.Kids {
				require.Contains(t, r.Teams, team[id], "%+v", r)
			}
		case "apart":
			require.NotEqual(t, team[r.Kids[0]], team[r.Kids[1]])
		case "returning":
			from := map[string]int{}
			for _, id := range r.Kids {
				from[team[id]]++
				require.LessOrEqual(t, from[team[id]], p.League.MaxReturning)
			}
		}
	}
	require.Equal(t, map[string]int{"sizes": 1, "siblings": 6, "coach": 11, "fixed": 2, "nights": 16, "apart": 5, "returning": 8}, count)
	for _, k := range p.Kids {
		for i := range p.League.Teams {
			if p.League.Teams[i].Name == team[k.ID] {
				require.True(t, p.League.CanPlay(k.Nights, i), "kid %s", k.ID)
			}
		}
	}
}

func csvAgrees(t *testing.T, file string, p *drills.Pool, team map[string]string) {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"team", "kid", "name", "grade", "practice", "returning"}, rows[0])
	require.Len(t, rows, 1+len(p.Kids))
	for _, r := range rows[1:] {
		require.Equal(t, team[r[1]], r[0])
	}
}

func TestCellIsNoFormula(t *testing.T) {
	require.Equal(t, "'=1+1", drills.GuardCell("=1+1"))
	require.Equal(t, "'@x", drills.GuardCell("@x"))
	require.Equal(t, "Ann", drills.GuardCell("Ann"))
	require.Empty(t, drills.GuardCell(""))
}

// TestTradeJSON makes a trade by hand and compares.
func TestTradeJSON(t *testing.T) {
	teams := teamsOf(t, "--demo")
	data, err := os.ReadFile(teams)
	require.NoError(t, err)
	d := decode[report.Draft](t, string(data))
	free := freeKids(t, &d)
	tr := decode[report.Trade](t, done(t, "draft", "swap", "--demo", "--from", teams, free[0]+":"+free[1], "--format", "json"))
	require.Equal(t, "sevenyard.draft.trade/1", tr.Schema)
	require.Len(t, tr.Moves, 2)
	require.Equal(t, tr.Moves[0].From, tr.Moves[1].To)
	require.InDelta(t, tr.After.Objective-tr.Before.Objective, tr.Price, 1e-9)
	require.InDelta(t, d.Objective, tr.Before.Objective, 1e-9)
	for m, x := range d.Spread {
		require.InDelta(t, x, tr.Before.Spread[m], 1e-9)
	}
	last := tr.After
	for i, o := range tr.Counters {
		require.NotEmpty(t, o.Moves)
		if i > 0 {
			require.Greater(t, len(o.Moves), len(tr.Counters[i-1].Moves))
		}
		require.Less(t, o.After.Objective, last.Objective+1e-9)
		last = o.After
	}
	// And back: the price is the same with the other sign.
	again := filepath.Join(t.TempDir(), "again.json")
	if tr.Allowed {
		done(t, "draft", "swap", "--demo", "--from", teams, free[0]+":"+free[1], "--save", again)
		back := decode[report.Trade](t, done(t, "draft", "swap", "--demo", "--from", again, free[0]+":"+free[1], "--format", "json"))
		require.InDelta(t, -tr.Price, back.Price, 1e-9)
	}
}

// freeKids are two kids of two teams about whom there is no rule.
func freeKids(t testing.TB, d *report.Draft) []string {
	t.Helper()
	bound := map[string]bool{}
	for _, r := range d.Rules {
		for _, id := range r.Kids {
			bound[id] = bound[id] || r.Rule != "returning"
		}
	}
	var out []string
	for _, x := range d.Teams {
		i := slices.IndexFunc(x.Kids, func(id string) bool { return !bound[id] })
		if i >= 0 && len(out) < 2 {
			out = append(out, x.Kids[i])
		}
	}
	require.Len(t, out, 2)
	return out
}

// TestLateKidsMoveNobodyElseUnlessSaid: an option moves whom it says it moves, and the teams saved are the option's.
func TestLateKidsMoveNobodyElseUnlessSaid(t *testing.T) {
	teams := teamsOf(t, "--demo")
	dir := poolCopy(t, late)
	was := decode[report.Draft](t, readFile(t, teams))
	for take := 1; take <= 3; take++ {
		file := filepath.Join(t.TempDir(), "new.json")
		got := say(t, "draft", "add", dir, "--from", teams, "--format", "json", "--save", file, "--take", fmt.Sprint(take))
		if got.status == tty.ExitUsage {
			require.Greater(t, take, 1)
			break
		}
		require.Equal(t, tty.ExitDone, got.status, got.err)
		pl := decode[report.Placement](t, got.out)
		require.Equal(t, "sevenyard.draft.place/1", pl.Schema)
		require.Equal(t, []string{"73", "74", "75"}, pl.New)
		require.Equal(t, take, pl.Taken)
		o := pl.Options[take-1]
		require.LessOrEqual(t, len(o.Moves), 2)
		now := decode[report.Draft](t, readFile(t, file))
		require.Equal(t, moves(&was, &now), append(append([]report.Moved{}, sortMoved(o.Moves)...), o.Placed...))
		require.Equal(t, len(o.Moves)+3, len(now.Moved))
		require.InDelta(t, o.After.Objective, now.Objective, 1e-9)
		teamOf := where(&now)
		require.Equal(t, teamOf["74"], teamOf["75"], "siblings stay together")
		for i, x := range pl.Options {
			if i > 0 {
				require.Greater(t, len(x.Moves), len(pl.Options[i-1].Moves))
				require.Less(t, x.After.Objective, pl.Options[i-1].After.Objective)
			}
		}
		// All three leave again.
		drop := decode[report.Placement](t, done(t, "draft", "drop", "--demo", "--from", file, "--format", "json"))
		require.Len(t, drop.Gone, 3)
		require.Empty(t, drop.New)
	}
}

func readFile(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

func where(d *report.Draft) map[string]string {
	out := map[string]string{}
	for _, x := range d.Teams {
		for _, id := range x.Kids {
			out[id] = x.Team
		}
	}
	return out
}

// moves compares two drafts kid by kid: those who change, then those who are new.
func moves(was, now *report.Draft) []report.Moved {
	before := where(was)
	var changed, came []report.Moved
	for id, team := range where(now) {
		switch {
		case before[id] == "":
			came = append(came, report.Moved{Kid: id, To: team})
		case before[id] != team:
			changed = append(changed, report.Moved{Kid: id, From: before[id], To: team})
		}
	}
	return append(sortMoved(changed), sortMoved(came)...)
}

func sortMoved(list []report.Moved) []report.Moved {
	slices.SortFunc(list, func(a, b report.Moved) int { return strings.Compare(a.Kid, b.Kid) })
	return list
}

// TestDrawCanBeRedone redoes the draw from its record, by its own steps.
func TestDrawCanBeRedone(t *testing.T) {
	teams := teamsOf(t, "--demo")
	sum := sha256.Sum256([]byte(readFile(t, teams)))
	d := decode[report.Draw](t, done(t, "draft", "draw", "--demo", "--from", teams, "--seed-words", "Four  TWO six", "--format", "json"))
	require.Equal(t, "sevenyard.draft.draw/1", d.Schema)
	require.Equal(t, hex.EncodeToString(sum[:]), d.Input.SHA256)
	require.Equal(t, "four two six", d.Seed)
	require.Len(t, d.Open, 5)
	require.Len(t, d.Drawn, 5)
	list := slices.Clone(d.Open)
	for _, s := range d.Steps {
		list[s.At], list[s.With] = list[s.With], list[s.At]
	}
	has := map[string]string{}
	for _, x := range d.Coaches {
		has[x.Coach] = x.Team
	}
	for i, c := range d.Drawn {
		require.Equal(t, list[i], has[c])
	}
	require.Equal(t, "Sandpipers", has["Rosa T."], "her kid 2 is there")
	require.Len(t, has, 8)
	other := decode[report.Draw](t, done(t, "draft", "draw", "--demo", "--from", teams, "--seed-words", "four two seven", "--format", "json"))
	require.NotEqual(t, d.Steps, other.Steps)
	// Names left out change nothing of the draw.
	hidden := decode[report.Draw](t, done(t, "draft", "draw", "--demo", "--from", teams, "--seed-words", "four two six", "--format", "json", "--ids-only"))
	for i, x := range hidden.Coaches {
		require.Equal(t, d.Coaches[i].Team, x.Team)
		require.Equal(t, fmt.Sprintf("coach %d", i+1), x.Coach)
	}
}

// A coach has the same number on the list to post as in the draw, whether the record of the draw has names or not.
func TestCoachesKeepTheirNumbers(t *testing.T) {
	teams, dir := teamsOf(t, "--demo"), t.TempDir()
	for _, hide := range [][]string{nil, {"--ids-only"}} {
		draw := filepath.Join(dir, fmt.Sprint(len(hide), ".json"))
		said := done(t, slices.Concat([]string{"draft", "draw", "--demo", "--from", teams, "--seed-words", "dice 3 5", "--save", draw, "--format", "json"}, hide)...)
		drawn := decode[report.Draw](t, done(t, "draft", "draw", "--demo", "--from", teams, "--seed-words", "dice 3 5", "--format", "json", "--ids-only"))
		require.Len(t, decode[report.Draw](t, said).Coaches, len(drawn.Coaches))
		number := map[string]string{}
		for _, x := range drawn.Coaches {
			number[x.Team] = x.Coach
		}
		for _, x := range decode[report.Draft](t, done(t, "draft", "post", "--demo", "--from", teams, "--draw", draw, "--format", "json", "--ids-only")).Teams {
			require.Equal(t, number[x.Team], x.Coach, "%v", hide)
		}
	}
}

// What saved teams break is told to programs too.
func TestPostTellsWhatIsBroken(t *testing.T) {
	pool := smallPool(t)
	teams := teamsOf(t, pool)
	was := decode[report.Draft](t, readFile(t, teams))
	require.Empty(t, was.Broken)
	a, b := was.Teams[0].Kids[0], was.Teams[0].Kids[1]
	p, err := drills.ReadPool(os.DirFS(pool))
	require.NoError(t, err)
	sheet := "kid,apart\n"
	for _, k := range p.Kids {
		sheet += k.ID + "," + map[bool]string{true: b}[k.ID == a] + "\n"
	}
	require.NoError(t, os.WriteFile(filepath.Join(pool, "pool.csv"), []byte(sheet), 0o644))
	now := decode[report.Draft](t, done(t, "draft", "post", pool, "--from", teams, "--format", "json"))
	require.Len(t, now.Broken, 1)
	require.Equal(t, "apart", now.Broken[0].Rule)
	require.ElementsMatch(t, []string{a, b}, now.Broken[0].Kids)
	require.Contains(t, done(t, "draft", "post", pool, "--from", teams), "1 rule broken")
}

func spanOfMeans(teams []report.DraftTeam, measure string) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range teams {
		low, high = min(low, x.Means[measure]), max(high, x.Means[measure])
	}
	return high - low
}

// TestTryingAgain: more effort or another seed never gives less even teams, and where it finds nothing better it gives the very same ones.
func TestTryingAgain(t *testing.T) {
	run := func(more ...string) report.Draft {
		return decode[report.Draft](t, done(t, append([]string{"draft", "--demo", "--no-play", "--format", "json"}, more...)...))
	}
	little := run("--effort", "1")
	for _, more := range [][]string{{"--effort", "2"}, {"--effort", "1", "--seed", "5"}, {"--effort", "1", "--seed", "11"}} {
		again := run(more...)
		require.LessOrEqual(t, again.Objective, little.Objective, "%v", more)
		if again.Objective == little.Objective {
			require.Equal(t, little.Teams, again.Teams, "%v", more)
		}
	}
}

// TestTeamsEditedByHand: whatever two kids are exchanged in a file of teams that claims to be proven, the list has the numbers of the teams as they are and says
// that the file's are not, nothing is proven that is not so, and coaches are drawn exactly where the teams keep the rules.
func TestTeamsEditedByHand(t *testing.T) {
	pool, file := smallPool(t), filepath.Join(t.TempDir(), "teams.json")
	done(t, "draft", pool, "--no-play", "--effort", "1", "--save", file)
	was := decode[report.Draft](t, readFile(t, file))
	rng := rand.New(rand.NewPCG(4, 4))
	broken := 0
	for i := range 12 {
		d := decode[report.Draft](t, readFile(t, file))
		a, b := rng.IntN(len(d.Teams)), rng.IntN(len(d.Teams))
		x, y := &d.Teams[a].Kids[rng.IntN(8)], &d.Teams[b].Kids[rng.IntN(8)]
		*x, *y, d.Proven = *y, *x, true
		var text strings.Builder
		require.NoError(t, report.Write(&text, &d))
		hand := filepath.Join(t.TempDir(), "hand.json")
		require.NoError(t, os.WriteFile(hand, []byte(text.String()), 0o600))
		got := decode[report.Draft](t, done(t, "draft", "post", pool, "--from", hand, "--format", "json"))
		said := strings.Join(got.Warnings, "\n")
		require.Equal(t, got.Objective != was.Objective, strings.Contains(said, "the file was changed"), "edit %d", i)
		require.Equal(t, len(got.Broken) > 0, strings.Contains(said, "of the pool; trade kids"), "edit %d", i)
		require.False(t, got.Proven && (got.Better != nil || len(got.Broken) > 0))
		if len(got.Broken) == 0 && got.Objective > was.Objective*(1+1e-6) {
			require.NotNil(t, got.Better)
			require.LessOrEqual(t, got.Better.Objective, was.Objective)
		}
		status := tty.ExitDone
		if len(got.Broken) > 0 {
			status = tty.ExitInput
			broken++
		}
		require.Equal(t, status, say(t, "draft", "draw", pool, "--from", hand, "--seed-words", "x").status, "edit %d", i)
		require.Equal(t, status, say(t, "sheet", "draft", pool, "--from", hand, "--out", filepath.Join(t.TempDir(), "p.html")).status, "edit %d", i)
	}
	require.Positive(t, broken)
	require.Less(t, broken, 12)
}
