package drills

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadFolder(t *testing.T) {
	f, err := ReadFolder(folder("team.toml", okTeam, "roster.csv", okRoster, "results.csv", okLong))
	require.NoError(t, err)
	assert.Equal(t, []Kid{
		{ID: "2", Name: "Ann", Grade: 3, Line: 2},
		{ID: "7", Name: "Ben", Grade: 4, Never: []string{"corner", "deep"}, Notes: "left-handed", Line: 3},
		{ID: "10", Name: "Cy", Grade: -1, Hold: "sprained ankle", Line: 4},
	}, f.Roster)
	assert.Equal(t, []Trial{
		{Kid: "2", Drill: "shuttle", Number: 1, Value: 6.4, Timer: "Kim", Date: "2026-08-29", At: Place{"results.csv", 2}},
		{Kid: "2", Drill: "shuttle", Number: 2, Value: 6.5, Timer: "Lee", Date: "2026-08-29", At: Place{"results.csv", 3}},
		{Kid: "7", Drill: "pull", Number: 1, Value: 7, Attempts: 10, At: Place{"results.csv", 4}},
	}, f.Trials)
	assert.Empty(t, f.Warnings)
	assert.Equal(t, DefaultSeries, f.Team.Series)
	assert.Equal(t, DefaultFormation, f.Team.Formations[0].Name)
}

// The folder in testdata/ok uses every key of team.toml.
func TestReadFolderWithEveryKey(t *testing.T) {
	f, err := ReadFolder(os.DirFS("testdata/ok"))
	require.NoError(t, err)
	assert.Empty(t, f.Warnings)
	team := f.Team
	assert.Equal(t, "Plovers", team.Name)
	assert.Equal(t, Grades{0, 1}, team.Division)
	assert.Equal(t, 10, team.Series)
	assert.Equal(t, []string{"2-3", "3-1-1", "2-3"}, names(team.Formations, func(f *Formation) string { return f.Name }))
	assert.Equal(t, "even", team.Favor)
	assert.Equal(t, []Pair{{"2", "9"}}, team.Together)
	assert.Equal(t, []Pair{{"1", "4"}}, team.Apart)
	on, off := 4, 2
	assert.Equal(t, Rules{MaxOn: &on, MaxOff: &off, MinRoles: 2, SeasonRoles: 3, MaxSameRole: 5, MinShare: .4, PayBack: 2}, team.Rules)
	require.Len(t, team.Covers, 1)
	assert.Equal(t, []string{"3", "7", "8"}, team.Covers[0].Kids)
	require.Len(t, team.Pins, 2)
	assert.True(t, team.Pins[0].Must && team.Pins[0].Role == "front" && team.Pins[0].Series == 2)
	assert.False(t, team.Pins[1].Must)
	assert.Equal(t, map[string]float64{"front": 1.5}, team.Importance)

	front, _ := team.Catalogue.Role("front")
	// pulling .9 beside the house's agility .15 and reading .25, scaled by their sum 1.3
	assert.InDeltaSlice(t, []float64{.9 / 1.3, .15 / 1.3, .25 / 1.3}, weightsOf(front.Weights), 1e-12)
	kicker, ok := team.Catalogue.Role("sweep")
	require.True(t, ok)
	assert.Equal(t, []Share{{"agility", .25}, {"grit", .75}}, kicker.Weights)
	ladder, ok := team.Catalogue.Drill("ladder")
	require.True(t, ok)
	assert.Equal(t, Timed, ladder.Kind)
	shuttle, _ := team.Catalogue.Drill("shuttle")
	assert.Equal(t, 3, shuttle.Trials)
	assert.Equal(t, "5-10-5 shuttle", shuttle.Title, "what a change does not name stays")
	// agility: shuttle .8, backpedal .2, ladder 1.0
	assert.InDelta(t, .8/2, weightsOf(shuttle.Loads)[0], 1e-12)
	assert.InDelta(t, 1.0/2, weightsOf(ladder.Loads)[0], 1e-12)
	own, _ := team.Catalogue.Formation("3-1-1")
	assert.Equal(t, Spot{"front", 1, -5}, own.Spots[0])
	line, _ := team.Catalogue.Formation("wall")
	assert.Equal(t, []Spot{{"front", 1, -6.7}, {"front", 1, 0}, {"front", 1, 6.7}, {"sweep", 5, -5}, {"sweep", 5, 5}}, line.Spots,
		"players without yards stand where their role usually does")
	assert.Len(t, f.Fits, 2)
}

func weightsOf(list []Share) []float64 {
	var out []float64
	for _, s := range list {
		out = append(out, s.Weight)
	}
	return out
}

// All problems of all files come at once, in the order of files and lines. The list is kept as
// a file because it is what a coach reads; each of its lines is also checked alone elsewhere.
func TestReadFolderReportsEverything(t *testing.T) {
	_, err := ReadFolder(os.DirFS("testdata/bad"))
	got := problemsOf(t, err).Error() + "\n"
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile("testdata/bad/problems.txt", []byte(got), 0o644))
	}
	want, err := os.ReadFile("testdata/bad/problems.txt")
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// An entry of the team's own that lacks something is one problem; whatever names it is not unknown on top.
func TestSpoiltEntriesAreReportedOnce(t *testing.T) {
	const roster, results = "kid,never\n2,\n7,\n", "kid,drill,value\n2,shuttle,6.4\n"
	for name, c := range map[string]struct {
		team, roster, results, fits string
		wants                       []string
	}{
		"a drill without loads": {"[[drills]]\nname = \"ladder\"\nkind = \"timed\"\nrange = [3, 30]\n", roster,
			results + "2,ladder,7.5\n7,Ladder,8\n2,shuttle,7:05\n", "", []string{"team.toml:1: drill ladder is new", "results.csv:5:"}},
		"on a wide sheet": {"[[drills]]\nname = \"ladder\"\n", roster, "kid,ladder 1\n2,7.5\n", "", []string{"team.toml:1: drill ladder is new"}},
		"an entry without a name": {"[[drills]]\nkind = \"timed\"\n", roster, results + "2,,7.5\n", "",
			[]string{"team.toml:1: [[drills]] has no name", "results.csv:3: no drill is named"}},
		"a kind there is not": {"[[drills]]\nname = \"ladder\"\nkind = \"paced\"\nloads = { speed = 1 }\n", roster, results + "2,ladder,7.5\n", "",
			[]string{`team.toml:3: kind in drill ladder is "paced"`}},
		"a name that cannot be one": {"[[drills]]\nname = \"Cone Run\"\n", roster, "kid,cone run 1,Cone-Run 2\n2,7.5,7\n", "",
			[]string{`team.toml:2: "Cone Run" cannot be the name`}},
		"a trait that only it measures": {"[[traits]]\nname = \"grit\"\n[[drills]]\nname = \"ladder\"\nloads = { grit = 1 }\n", roster, results, "",
			[]string{"team.toml:3: drill ladder is new"}},
		"a role": {`formation = "1-1"
pin = [{ kid = "2", role = "spy", series = 1 }]
importance = { spy = 2, fornt = 1 }
weights = { spy = { speed = 1 } }
[[roles]]
name = "spy"
[[formations]]
name = "1-1"
roles = ["front", "spy"]
`, "kid,never\n2,spy\n7,\n", results, "kid,role,fit,se\n2,spy,50,5\n",
			[]string{`team.toml:3: unknown key "fornt" in [importance]`, "team.toml:5: role spy is new"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := []string{"team.toml", c.team, "roster.csv", c.roster, "results.csv", c.results}
			if c.fits != "" {
				files = append(files, "fits.csv", c.fits)
			}
			_, err := ReadFolder(folder(files...))
			ps := problemsOf(t, err)
			require.Len(t, ps, len(c.wants), "%v", ps)
			for i, want := range c.wants {
				assert.Contains(t, ps[i].Error(), want)
			}
		})
	}
}

func TestMissingFiles(t *testing.T) {
	for _, c := range []struct {
		name  string
		dir   fs.FS
		wants []string
	}{
		{"nothing", folder(), []string{"roster.csv: roster.csv is not there", "results.csv: results.csv is not there"}},
		{"slip in the name", folder("rooster.csv", okRoster, "results.csv", okLong), []string{`roster.csv is not there, but "rooster.csv" is`}},
		{"no results", folder("team.toml", okTeam, "roster.csv", okRoster), []string{"results.csv: results.csv is not there"}},
		{"fits with a gap", folder("team.toml", okTeam, "roster.csv", okRoster, "fits.csv", "kid,role,fit,se\n2,front,50,5\n2,deep,51,5\n"),
			[]string{"results.csv: results.csv is not there; write one with the header line kid,drill,trial,value,attempts,timer,date, or complete fits.csv: 2 fits missing, the first is kid 2 as corner"}},
		{"a folder for a file", fstest.MapFS{"roster.csv": {Mode: fs.ModeDir}, "results.csv": {Data: []byte(okLong)}}, []string{"roster.csv: cannot be read"}},
		{"empty files", folder("team.toml", "", "roster.csv", "", "results.csv", " \n"), []string{"roster.csv is empty", "results.csv is empty"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadFolder(c.dir)
			ps := problemsOf(t, err)
			require.Len(t, ps, len(c.wants), "%v", ps)
			for i, want := range c.wants {
				assert.Contains(t, ps[i].Error(), want)
			}
		})
	}
}

// Ben (7) plays neither deep nor corner, Cy (10) is on hold: four fits are complete for 2-3.
func TestCompleteFitsStandInForResults(t *testing.T) {
	f, err := ReadFolder(folder("team.toml", okTeam, "roster.csv", okRoster,
		"fits.csv", "kid;role;fit;se\n7;front;55,5;4\n2;front;50;5\n2;deep;51;5\n2;corner;40;0\n"))
	require.NoError(t, err)
	assert.Equal(t, []OwnFit{
		{"2", "front", 50, 5, Place{"fits.csv", 3}}, {"2", "corner", 40, 0, Place{"fits.csv", 5}},
		{"2", "deep", 51, 5, Place{"fits.csv", 4}}, {"7", "front", 55.5, 4, Place{"fits.csv", 2}},
	}, f.Fits)
}

func TestDivisionFromTheRoster(t *testing.T) {
	f, err := ReadFolder(folder("team.toml", "", "roster.csv", okRoster, "results.csv", okLong))
	require.NoError(t, err)
	assert.Equal(t, Grades{3, 4}, f.Team.Division)
	require.Len(t, f.Warnings, 1)
	assert.Contains(t, f.Warnings[0].Error(), "taken as grades 3-4")
}

func TestTemplates(t *testing.T) {
	f, err := ReadFolder(Templates())
	ps := problemsOf(t, err)
	require.Len(t, ps, 1)
	assert.Contains(t, ps[0].Error(), "roster.csv has no kids yet")
	assert.Equal(t, *defaultTeam(), f.Team, "the template changes nothing")

	// With the notes in front of keys and rows taken away, the templates read without a problem.
	dir := fstest.MapFS{}
	for _, name := range []string{"team.toml", "roster.csv", "results.csv"} {
		data, err := fs.ReadFile(Templates(), name)
		require.NoError(t, err)
		open := regexp.MustCompile(`(?m)^# (\[|[a-z_]+ = |[27],)`).ReplaceAllString(string(data), "$1")
		if name != "team.toml" { // the example rows stand above the header
			lines := strings.Split(open, "\n")
			header := len(lines) - 2
			open = strings.Join(append([]string{lines[header]}, lines[:header]...), "\n")
		}
		if name == "roster.csv" {
			open += "\n1,D,3\n3,E,4\n4,F,3\n8,G,3\n9,H,4\n"
		}
		dir[name] = &fstest.MapFile{Data: []byte(open)}
	}
	f, err = ReadFolder(dir)
	require.NoError(t, err)
	assert.Len(t, f.Roster, 7)
	assert.Len(t, f.Trials, 2)
	assert.Equal(t, "Sandpipers", f.Team.Name)
	assert.Len(t, f.Team.Pins, 1)
	_, ok := f.Team.Catalogue.Drill("ladder")
	assert.True(t, ok)
}

// Every key that the reader knows is explained in the template, and the other way round.
func TestTemplateExplainsEveryKey(t *testing.T) {
	data, err := fs.ReadFile(Templates(), "team.toml")
	require.NoError(t, err)
	for _, key := range []string{"name", "division", "series", "formation", "favor", "together", "apart", "max_on", "max_off",
		"min_roles", "season_roles", "max_same_role", "min_share", "pay_back", "kids", "at_least", "kid", "role", "must"} {
		assert.Regexp(t, `(?m)^# `+key+` = `, string(data))
	}
	for _, key := range []string{"rules", "cover", "pin", "importance", "weights", "drills", "formations"} {
		assert.Regexp(t, `(?m)^# \[\[?`+key, string(data))
	}
}
