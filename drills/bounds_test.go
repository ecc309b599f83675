package drills

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every number of team.toml and league.toml may be its least and its most, and nothing beyond. The problem names both.
func TestBordersOfKeys(t *testing.T) {
	const timed = "[[drills]]\nname = \"own\"\nkind = \"timed\"\nloads = { agility = 1 }\n"
	team := func(text string) error { _, _, err := ReadTeam(strings.NewReader(text)); return err }
	league := func(text string) error {
		_, err := ReadPool(pool(text+"\n[[team]]\nname = \"A\"\n[[team]]\nname = \"B\"\n", "kid\n2\n7\n10\n", ""))
		return err
	}
	for _, c := range []struct {
		read                  func(string) error
		text                  string
		least, most           string
		below, above          string
		leastNamed, mostNamed string // where they are named otherwise than they are written
	}{
		{team, "series = %s", "1", "60", "0", "61", "", ""},
		{team, "series = 60\n[rules]\nmax_on = %s", "1", "60", "0", "61", "", ""},
		{team, "series = 60\n[rules]\nmax_off = %s", "0", "60", "-1", "61", "", ""},
		{team, "series = 60\n[rules]\nmax_same_role = %s", "0", "60", "-1", "61", "", ""},
		{team, "[rules]\nmin_share = %s", "0.0", "1.0", "-0.01", "1.01", "0", "1"},
		{team, "[importance]\nfront = %s", "0.001", "1000", "0.0009", "1000.1", "", ""},
		{team, "[weights.front]\npulling = %s", "0", "1000", "-0.1", "1000.1", "", ""},
		{team, "[[pin]]\nkid = 3\nseries = %s", "1", "8", "0", "9", "", ""},
		{team, "[[cover]]\nkids = [\"1\", \"2\", \"3\", \"4\", \"5\"]\nat_least = %s", "1", "5", "0", "12", "", "11"},
		{team, timed + "range = [%s, 9]", "0.1", "8.9", "0.09", "3600.1", "", "3600"},
		{team, timed + "range = [1, %s]", "1.1", "3600", "0.09", "3600.1", "0.1", ""},
		{team, timed + "ranges = [{ min = %s, max = 9 }]", "0.1", "8.9", "0.09", "3600.1", "", "3600"},
		{team, timed + "ranges = [{ min = 1, max = %s }]", "1.1", "3600", "0.09", "3600.1", "0.1", ""},
		{team, timed + "range = [1, 9]\ntrials = %s", "1", "20", "0", "21", "", ""},
		{team, timed + "range = [1, 9]\nreliability = %s", "0.01", "0.99", "0.009", "0.991", "", ""},
		{team, timed + "range = [1, 9]\nminutes = %s", "0.1", "60", "0.09", "60.1", "", ""},
		{team, strings.Replace(timed, "timed", "counted", 1) + "attempts = %s", "1", "1000", "0", "1001", "", ""},
		{team, strings.Replace(timed, "timed", "counted", 1) + "range = [%s, 1000]", "1", "999", "0.9", "1000.1", "", "1000"},
		{team, strings.Replace(timed, "timed", "rated", 1) + "range = [1, %s]", "1.1", "5", "0.9", "5.1", "1", ""},
		{team, "[[roles]]\nname = \"front\"\nrun = %s", "0", "1", "-0.01", "1.01", "", ""},
		{team, "[[roles]]\nname = \"front\"\npass = %s", "0", "1", "-0.01", "1.01", "", ""},
		{team, "[[formations]]\nname = \"own\"\nroles = [\"deep\"]\ndeep = [%s]", "0", "40", "-0.1", "40.1", "", ""},
		{team, "[[formations]]\nname = \"own\"\nroles = [\"deep\"]\nacross = [%s]", "-27", "27", "-27.1", "27.1", "", ""},
		{league, "max_returning = %s", "0", "5000", "-1", "5001", "", ""},
		{league, "min_nights = %s", "0", "7", "-1", "8", "", ""},
		{league, "evenness = { overall = %s }", "0", "100", "-0.1", "100.1", "", ""},
	} {
		for _, good := range []string{c.least, c.most} {
			require.NoError(t, c.read(fmt.Sprintf(c.text, good)), c.text+" "+good)
		}
		least, most := c.least, c.most
		if c.leastNamed != "" {
			least = c.leastNamed
		}
		if c.mostNamed != "" {
			most = c.mostNamed
		}
		for _, bad := range []string{c.below, c.above} {
			ps := problemsOf(t, c.read(fmt.Sprintf(c.text, bad)))
			require.Len(t, ps, 1, c.text+" "+bad)
			assert.Contains(t, ps[0].Error(), " number from "+least+" to "+most, c.text)
			assert.Contains(t, ps[0].What, " is "+bad)
		}
	}
}

// A drill of the team's own that leaves out what it may: what the template says that it then is.
func TestNewDrillsHaveUsualValues(t *testing.T) {
	own := func(kind, more string) Drill {
		team, _, err := ReadTeam(strings.NewReader("[[drills]]\nname = \"own\"\nkind = \"" + kind + "\"\nloads = { agility = 1 }\n" + more))
		require.NoError(t, err)
		d, ok := team.Catalogue.Drill("own")
		require.True(t, ok)
		return d
	}
	all := Grades{0, MaxGrade}
	timed, counted, rated := own("timed", "range = [3, 30]"), own("counted", ""), own("rated", "")
	assert.Equal(t, []string{"s", "successes", "mark"}, []string{timed.Unit, counted.Unit, rated.Unit})
	assert.Equal(t, "hops", own("counted", "unit = \"hops\"").Unit)
	assert.Equal(t, [][]Range{{{all, 3, 30}}, {{all, 1, 50}}, {{all, 1, 5}}}, [][]Range{timed.Ranges, counted.Ranges, rated.Ranges})
	assert.Equal(t, []int{0, 10, 0}, []int{timed.Attempts, counted.Attempts, rated.Attempts})
	assert.Equal(t, 7, own("counted", "attempts = 7").Attempts)
	assert.Equal(t, []Range{{Grades{0, 1}, 4, 30}, {all, 3, 20}}, own("timed", "ranges = [{ grades = \"k-1\", min = 4, max = 30 }, { min = 3, max = 20 }]").Ranges)
	for _, d := range Default().Drills {
		team, _, err := ReadTeam(strings.NewReader("[[drills]]\nname = \"" + d.Name + "\"\ntrials = 7\n"))
		require.NoError(t, err)
		got, _ := team.Catalogue.Drill(d.Name)
		d.Trials = 7
		assert.Equal(t, d, got, "what a change does not name stays")
	}
	for _, r := range Default().Roles {
		team, _, err := ReadTeam(strings.NewReader("[[roles]]\nname = \"" + r.Name + "\"\nrun = 0.25\n"))
		require.NoError(t, err)
		got, _ := team.Catalogue.Role(r.Name)
		r.RunValue = 0.25
		assert.Equal(t, r, got)
	}
	for _, f := range Default().Formations {
		team, _, err := ReadTeam(strings.NewReader("[[formations]]\nname = \"" + f.Name + "\"\ntitle = \"x\"\n"))
		require.NoError(t, err)
		got, _ := team.Catalogue.Formation(f.Name)
		f.Title = "x"
		assert.Equal(t, f, got)
	}
	for _, x := range Default().Traits {
		team, _, err := ReadTeam(strings.NewReader("[[traits]]\nname = \"" + x.Name + "\"\ntitle = \"x\"\n"))
		require.NoError(t, err)
		assert.Contains(t, team.Catalogue.Traits, Trait{Name: x.Name, Title: "x"})
		assert.Len(t, team.Catalogue.Traits, len(Default().Traits))
	}
}

// More documents with one problem each.
func TestOneProblemEach(t *testing.T) {
	role := "[[roles]]\nname = \"own\"\nrun = 1\npass = 1\nweights = { speed = 1 }\n"
	spots := func(n int) string {
		return "[[formations]]\nname = \"own\"\nroles = [" + strings.Repeat("\"front\", ", n) + "]\n"
	}
	for _, c := range []struct {
		toml  string
		line  int
		words string
	}{
		{"[[formations]]\nname = \"own\"", 1, "formation own has 0 roles"},
		{"[[formations]]\nname = \"own\"\nroles = 7", 3, "roles in formation own is a whole number, not a list"},
		{"[[formations]]\nname = \"own\"\nroles = [7]", 3, "roles in formation own holds a whole number"},
		{spots(12), 1, "formation own has 12 roles"},
		{"formation = 7", 1, "formation is a whole number"},
		{"formation = [" + strings.Repeat("\"2-3\", ", 61) + "]", 1, "formation lists 61 formations"},
		{"[[roles]]\nname = \"own\"\nrun = 1\npass = 1", 1, "lacks run, pass or weights"},
		{"[[roles]]\nname = \"own\"\nrun = 1\nweights = { speed = 1 }", 1, "lacks run, pass or weights"},
		{"[[roles]]\nname = \"own\"\npass = 1\nweights = { speed = 1 }", 1, "lacks run, pass or weights"},
		{"[[drills]]\nname = \"own\"\nkind = \"timed\"", 1, "lacks kind or loads"},
		{"[[drills]]\nname = \"own\"\nloads = { speed = 1 }", 1, "lacks kind or loads"},
		{role + "letter = \"??\"", 6, `letter in role own is "??"`},
		{role + "letter = \"?\"", 6, `letter in role own is "?"`},
		{role + "letter = \"\"", 6, `letter in role own is ""`},
		{role + "letter = \"d\"", 1, "role own has the letter d of role deep"},
		{strings.Replace(role, "speed = 1", "speed = 0", 1), 1, "role own asks for no trait"},
		{"[[drills]]\nname = \"sprint\"\nrange = [9, 9]", 3, "9 to 9 in drill sprint is no range"},
		{"[[drills]]\nname = \"sprint\"\nranges = [{ min = 9, max = 9 }]", 3, "9 to 9 in ranges of drill sprint is no range"},
		{"[[drills]]\nname = \"sprint\"\nranges = [{ min = 9 }]", 3, "min or max is missing"},
		{"[[drills]]\nname = \"sprint\"\nranges = [{ max = 9 }]", 3, "min or max is missing"},
		{"[[drills]]\nname = \"sprint\"\nrange = [3, 9]\nranges = [{ min = 3, max = 9 }]", 4, "both range and ranges in drill sprint"},
		{"[[drills]]\nname = \"sprint\"\nranges = [{ grades = true, min = 3, max = 9 }]", 3, "grades in ranges of drill sprint is true or false"},
		{"[[drills]]\nname = \"" + strings.Repeat("a", 25) + "\"", 2, "cannot be the name of a drill"},
		{"[[drills]]\nname = \"a--b\"", 2, "cannot be the name of a drill"},
		{"[[drills]]\nname = \"shuttle\"\nloads = 7", 3, "loads in drill shuttle is a whole number, not a table of weights"},
		{"name = \"" + strings.Repeat("n", 81) + "\"", 1, "name is 81 letters long"},
		{"\nname = \"" + strings.Repeat("n", 2001) + "\"", 2, "name is 2001 letters long"},
		{"together = [[\"2\", true]]", 1, "together is true or false, not a kid's id"},
		{"together = [[\"2\", \"3\", \"4\"]]", 1, "pairs of kids"},
		{"together = 7", 1, "together is a whole number, not a list"},
		{"[rules]\nmin_roles = 5", 2, "min_roles is 5, and the formations have 3 roles"},
		{"series = 1\nformation = [\"4-1\", \"2-3\"]\n[rules]\nmin_roles = 3", 4, "the formations have 2 roles"},
		{"[[cover]]\nkids = [\"1\", \"2\", \"3\", \"4\", \"5\", \"6\"]\nat_least = 6", 1, "wants 6 kids on the field, a formation has 5 spots"},
		{"[[pin]]\nseries = 1", 1, "[[pin]] has no kid"},
		{pins("3", "", "true", "4", "", "true", "5", "", "true", "6", "", "true", "7", "", "true", "8", "", "true"), 26, "series 1 has 5 spots"},
		{pins("3", "front", "true", "4", "front", "true", "5", "front", "true"), 11, "series 1 has 2 front spots"},
		{pins("3", "front", "false", "3", "front", "true"), 6, "barred"},
		{"weights = 7", 1, "weights is a whole number, not a table"},
		{"name = A team", 1, `write text in quotes, "A team"; mend this line first`},
		{"\n[rules]\nmin_share = 0,5", 3, "write the number with a point, 0.5; mend this line first"},
		{"name = " + strings.Repeat("n", 81), 1, "  mend this line first"},
	} {
		_, _, err := ReadTeam(strings.NewReader(c.toml))
		ps := problemsOf(t, err)
		sound(t, "team.toml", ps)
		if assert.Len(t, ps, 1, "%s\n%v", c.toml, ps) {
			assert.Equal(t, c.line, ps[0].At.Line, c.toml)
			if c.words = strings.TrimPrefix(c.words, " "); c.words[0] == ' ' {
				assert.Equal(t, c.words[1:], ps[0].Do[:len(c.words)-1], "nothing is guessed of so long a text")
			} else {
				assert.Contains(t, ps[0].Error(), c.words, c.toml)
			}
		}
	}
	for _, good := range []string{
		pins("3", "", "true", "4", "", "true", "5", "", "true", "6", "", "true", "7", "", "true"), pins("3", "front", "true", "4", "front", "true", "5", "deep", "true"),
		pins("3", "front", "true", "3", "", "true"), pins("3", "front", "false", "3", "deep", "false"), pins("3", "front", "true", "3", "deep", "false"),
		spots(11), role + "letter = \"Q\"", role + "letter = \"7\"", "formation = [" + strings.Repeat("\"2-3\", ", 60) + "]", "[rules]\nmin_roles = 3\nseason_roles = 4",
		"[[drills]]\nname = \"" + strings.Repeat("a", 24) + "\"\nkind = \"rated\"\nloads = { speed = 1 }", "name = \"" + strings.Repeat("n", 80) + "\"",
		"[[traits]]\nname = \"speed\"\ntitle = \"" + strings.Repeat("n", 2000) + "\"", "together = [[\"2\", \"9\"], [\"2\", \"8\"]]\napart = [[\"9\", \"8\"]]",
		"series = 2\nformation = [\"4-1\", \"2-3\"]\n[rules]\nmin_roles = 3",
	} {
		_, _, err := ReadTeam(strings.NewReader(good))
		assert.NoError(t, err, good)
	}
}

// Where a formation repeats, series 1 has the first of the list.
func TestFormationsRepeat(t *testing.T) {
	team := Team{Formations: []Formation{{Name: "a"}, {Name: "b"}, {Name: "c"}}}
	for series, want := range map[int]string{-1: "a", 0: "a", 1: "a", 2: "b", 3: "c", 4: "a", 5: "b", 60: "c"} {
		assert.Equal(t, want, team.FormationAt(series).Name, series)
	}
}

// One drill column or another makes a wide sheet of it; one of the long form's own makes it long, whatever else there is.
func TestLongOrWide(t *testing.T) {
	for header, says := range map[string]string{
		"kid,trial,shuttle 1": "column drill is missing", "kid,value,shuttle 1": "column drill is missing", "kid,attempts,shuttle 1": "column drill is missing", "kid,drill,shuttle 1": "column value is missing",
		"kid,name": "column drill is missing", "kid,shutle 1": `unknown column "shutle 1"`, "kid,shuttle": "", "name,kid,notes,timer,date,shuttle_2": "", "kid,xylophone": "column drill is missing",
	} {
		_, err := ReadResults(strings.NewReader(header+"\n"), Default(), okKids(t), Grades{3, 4})
		if says == "" {
			assert.NoError(t, err, header)
		} else {
			assert.ErrorContains(t, err, says, header)
		}
	}
	for header, says := range map[string]string{
		"kid,shuttle 99": "", "kid,shuttle 100": "is unclear", "kid,shuttle 1,shuttle 2": "", "kid,pull 1/0,shuttle": "is unclear", "kid,pull 1/x,shuttle": "is unclear", "kid,pull 1 / 10": "", "kid,Pull 1/1": "",
		"kid,shuttle 1,,sprint": "column 3 has no name", "kid,kid,shuttle 1": "column kid stands twice",
	} {
		_, err := ReadResults(strings.NewReader(header+"\n"), Default(), okKids(t), Grades{3, 4})
		if says == "" {
			assert.NoError(t, err, header)
		} else {
			assert.ErrorContains(t, err, says, header)
		}
	}
	for trial, good := range map[string]bool{"1": true, "99": true, "100": false, "0": false} {
		_, err := ReadResults(strings.NewReader("kid,drill,trial,value\n2,shuttle,"+trial+",6.4\n"), Default(), okKids(t), Grades{3, 4})
		assert.Equal(t, good, err == nil, trial)
	}
}

// A slipped decimal point, by one place or two, either way, and only where it leads to something possible.
func TestSlippedDecimalPoints(t *testing.T) {
	for value, hint := range map[string]string{"64": "6.4", "0.64": "6.4", "640": "6.4", "0.064": "6.4", "6400": "", "0.0064": "", "4.2": "", "26": ""} {
		_, err := ReadResults(strings.NewReader("kid,drill,value\n2,shuttle,"+value+"\n"), Default(), okKids(t), Grades{3, 4})
		require.Error(t, err, value)
		if hint == "" {
			assert.NotContains(t, err.Error(), "slipped", value)
		} else {
			assert.Contains(t, err.Error(), "a slipped decimal point would make it "+hint, value)
		}
	}
	for value, good := range map[string]bool{"4.3": true, "25": true, "4.29": false, "25.01": false} {
		_, err := ReadResults(strings.NewReader("kid,drill,value\n2,shuttle,"+value+"\n"), Default(), okKids(t), Grades{3, 4})
		assert.Equal(t, good, err == nil, value)
	}
	for cell, good := range map[string]bool{"1/1": true, "0/1": true, "50/50": true, "51/51": false, "0/0": false, "7/7": true, "8/7": false} {
		_, err := ReadResults(strings.NewReader("kid,drill,value\n2,pull,"+cell+"\n"), Default(), okKids(t), Grades{3, 4})
		assert.Equal(t, good, err == nil, cell)
	}
	for value, where := range map[string]string{"0:04.3": "within", "0:25": "within", "0:04": "outside", "0:26": "outside"} {
		_, err := ReadResults(strings.NewReader("kid,drill,value\n2,shuttle,"+value+"\n"), Default(), okKids(t), Grades{3, 4})
		assert.ErrorContains(t, err, where+" the possible", value)
	}
}

// The points of fits.csv, on both sides of every border, and in the order of the roster and the roles.
func TestBordersOfFits(t *testing.T) {
	for row, good := range map[string]bool{"0,0": true, "100,50": true, "100.1,5": false, "-0.1,5": false, "50,50.1": false, "50,-0.1": false} {
		_, _, err := ReadFits(strings.NewReader("kid,role,fit,se\n2,front,"+row+"\n"), Default(), okKids(t))
		assert.Equal(t, good, err == nil, row)
	}
}

// The division is that of the kids' grades where team.toml has none, the highest grade too.
func TestDivisionOfTheHighestGrade(t *testing.T) {
	for grades, want := range map[string]Grades{"12": {12, 12}, "k": {0, 0}, "12,k": {0, 12}, "": {0, 8}, "5,": {5, 5}} {
		roster := "kid,grade\n"
		for i, g := range strings.Split(grades, ",") {
			roster += fmt.Sprintf("%d,%s\n", i+1, g)
		}
		f, err := ReadFolder(folder("roster.csv", roster, "team.toml", "", "results.csv", "kid,drill,value\n"))
		require.NoError(t, err)
		assert.Equal(t, want, f.Team.Division, grades)
		assert.ErrorContains(t, f.Warnings, "taken as grades "+want.String())
	}
}

// A sheet is ready when it has a header with the columns that it needs, and a spare column is there though the file has none.
func TestSheet(t *testing.T) {
	for text, ready := range map[string]bool{"": false, "b\n1\n": false, "a,c\n": true, "a\n": true, "b;a\n": true} {
		s := OpenSheet("x.csv", strings.NewReader(text), []string{"a", "b"}, []string{"a"})
		assert.Equal(t, ready, s.Ready(), "%q", text)
		assert.False(t, s.Next() && !ready)
	}
	s := OpenSheet("x.csv", strings.NewReader("b;a\n1;2\n1;2;3;4\n\n5;6;7\n"), []string{"a", "b"}, []string{"a"}, "c", "b")
	assert.Equal(t, []string{"b", "a", "c"}, s.Columns())
	assert.Equal(t, ';', s.Separator())
	require.True(t, s.Next())
	assert.Equal(t, []any{2, "1", "2", "", ""}, []any{s.Line(), s.Cell("b"), s.Cell("a"), s.Cell("c"), s.Cell("d")})
	require.True(t, s.Next())
	assert.Equal(t, []any{5, "5", "6", "7"}, []any{s.Line(), s.Cell("b"), s.Cell("a"), s.Cell("c")})
	require.False(t, s.Next())
	s.Warn(5, "", "odd")
	s.Problem(2, "mend it", "wrong")
	warn, err := s.Finish()
	assert.Equal(t, Problems{{Place{"x.csv", 5}, "odd", ""}}, warn)
	assert.Equal(t, Problems{{Place{"x.csv", 2}, "wrong", "mend it"}, {Place{"x.csv", 3}, "4 cells, and the header names 3; the row was not read",
		"a semicolon within a cell needs quotes around the cell; else take out what is too much"}}, err)
}
