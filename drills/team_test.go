package drills

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each document has one problem, on the line given and with the words given.
func TestTeamProblems(t *testing.T) {
	for _, c := range []struct {
		toml  string
		line  int
		words []string
	}{
		{"name = \"A\"\nnmae = \"B\"", 2, []string{`unknown key "nmae"`, "did you mean name?"}},
		{"wholly = 1", 1, []string{"unknown key", "known keys are name, division"}},
		{"name = \"A\"\nseries = ", 2, []string{"not readable as TOML"}},
		{"name = \"A\"\n\nname = \"B\"", 3, []string{"not readable as TOML"}},
		{"name = 7", 1, []string{"name is a whole number, not text", `"text in quotes"`}},
		{"name = \"a\\u0007b\"", 1, []string{"control character (U+0007)"}},
		{"division = \"4-3\"", 1, []string{"run backwards"}},
		{"division = \"third\"", 1, []string{`"third"`}},
		{"division = 3.5", 1, []string{"division is a number"}},
		{"series = 0", 1, []string{"series is 0", "from 1 to 60"}},
		{"series = 8.5", 1, []string{"series is a number, not a whole number"}},
		{"series = 99999999999999999999", 1, []string{"not readable as TOML"}},
		{"formation = \"2-33\"", 1, []string{`unknown formation "2-33"`, "did you mean 2-3"}},
		{"formation = []", 1, []string{"lists 0 formations"}},
		{"formation = [\n\"2-3\",\n3]", 3, []string{"formation is a whole number"}},
		{"favor = \"totl\"", 1, []string{"did you mean total?"}},
		{"favor = \"strongest\"", 1, []string{"write weakest, total or even"}},
		{"together = [\"2\", \"9\"]", 1, []string{"pairs in a list"}},
		{"together = [[\"2\", \"2\"]]", 1, []string{"with the same kid"}},
		{"together = [[\"2\", \"9\"],\n[\"9\", \"2\"]]", 2, []string{"twice", "line 1"}},
		{"together = [[\"2\", \"9\"]]\napart = [[\"9\", \"2\"]]", 2, []string{"together on line 1"}},
		{"[rules]\nmax_on = 0", 2, []string{"max_on in [rules] is 0"}},
		{"[rules]\nmax_of = 1", 2, []string{"did you mean max_o"}},
		{"[rules]\nmin_share = 50", 2, []string{"from 0 to 1"}},
		{"[rules]\nmin_share = nan", 2, []string{"from 0 to 1"}},
		{"[rules]\nmin_share = inf", 2, []string{"from 0 to 1"}},
		{"[rules]\nseason_roles = 5", 2, []string{"season_roles is 5", "there are 4 roles"}},
		{"[rules]\nseason_role = 2", 2, []string{"season_roles"}},
		{"season_roles = 2", 1, []string{"[rules]"}},
		{"[rules]\nmin_roles = 4", 2, []string{"the formations have 3 roles"}},
		{"[[rules]]\nmax_on = 3", 1, []string{"rules is a list, not a table"}},
		{"[[cover]]\nat_least = 1", 1, []string{"names no kids"}},
		{"[[cover]]\nkids = [\"3\"]\nat_least = 2", 1, []string{"wants 2 of 1 kid"}},
		{"[[cover]]\nkids = [\"3\", \"3\"]", 2, []string{"stands twice"}},
		{"[cover]\nkids = [\"3\"]", 1, []string{"[[cover]], with two brackets"}},
		{"[[pin]]\nkid = \"3\"", 1, []string{"has no series"}},
		{"series = 4\n[[pin]]\nkid = \"3\"\nseries = 5", 4, []string{"series in [[pin]] is 5", "from 1 to 4"}},
		{"[[pin]]\nkid = \"3\"\nseries = 1\nrole = \"fornt\"", 4, []string{"did you mean front?"}},
		{"[[pin]]\nkid = \"3\"\nseries = 1\nrole = \"rusher\"", 1, []string{"whose formation 2-3 has none"}},
		{"[[pin]]\nkid = \"3\"\nseries = 1\nmust = \"no\"", 4, []string{"must in [[pin]] is text, not true or false"}},
		{pins("3", "front", "true", "3", "front", "true"), 6, []string{"same pin stands on line 1"}},
		{pins("3", "front", "true", "3", "deep", "true"), 6, []string{"pinned as deep here, as front on line 1"}},
		{pins("3", "front", "true", "3", "", "false"), 6, []string{"barred"}},
		{pins("3", "deep", "true", "4", "deep", "true"), 6, []string{"series 1 has 1 deep spot"}},
		{"[importance]\nfornt = 1", 2, []string{"did you mean front?"}},
		{"[importance]\nfront = 0", 2, []string{"from 0.001"}},
		{"[weights.front]\npulling = -1", 2, []string{"pulling in [weights.front] is -1"}},
		{"[weights.front]\npuling = 1", 2, []string{"did you mean pulling?"}},
		{"[weights.fornt]\npulling = 1", 1, []string{"did you mean front?"}},
		{"[weights]\nfront = 1", 2, []string{"not a table of weights"}},
		{"[weights.front]\npulling = 0\nagility = 0\nreading = 0", 1, []string{"role front asks for no trait"}},
		{"[[drills]]\nkind = \"timed\"", 1, []string{"has no name"}},
		{"[[drills]]\nname = \"My Drill\"", 2, []string{"lower-case letters"}},
		{"[[drills]]\nname = \"shuttel\"\ntrials = 3", 1, []string{"did you mean shuttle?"}},
		{"[[drills]]\nname = \"shuttle\"\nkind = \"rated\"", 3, []string{"cannot change"}},
		{"[[drills]]\nname = \"ladder\"\nkind = \"tmed\"\nloads = {agility = 1}", 3, []string{`kind in drill ladder is "tmed"`}},
		{"[[drills]]\nname = \"ladder\"\nkind = \"timed\"\nloads = {agility = 1}", 1, []string{"has no range"}},
		{"[[drills]]\nname = \"sprint\"\nrange = [9, 3]", 3, []string{"smaller one first"}},
		{"[[drills]]\nname = \"sprint\"\nrange = [3]", 3, []string{"range = [least, most]"}},
		{"[[drills]]\nname = \"sprint\"\nattempts = 3", 3, []string{"not counted"}},
		{"[[drills]]\nname = \"sprint\"\nloads = {sped = 1, speed = 1}", 3, []string{"did you mean speed?"}},
		{"[[drills]]\nname = \"sprint\"\nloads = {agility = 1}", 0, []string{"no drill measures trait speed"}},
		{"[[traits]]\nname = \"grit\"", 1, []string{"no drill measures trait grit"}},
		{"[[roles]]\nname = \"sweep\"", 1, []string{"lacks run, pass or weights"}},
		{"[[roles]]\nname = \"flat\"\nrun = 1\npass = 1\nweights = {speed = 1}", 1, []string{"letter F of role front"}},
		{"[[roles]]\nname = \"front\"\nletter = \"FR\"", 3, []string{"one letter"}},
		{"[[roles]]\nname = \"front\"\nrun = 0\npass = 0", 1, []string{"worth nothing"}},
		{"[[formations]]\nname = \"3-3\"\nroles = [\"front\", \"deep\"]", 1, []string{"counts 6 players and lists 2 roles"}},
		{"[[formations]]\nname = \"own\"\nroles = [\"front\", \"dep\"]", 3, []string{"did you mean deep?"}},
		{"formation = \"own\"\n[[formations]]\nname = \"own\"\nroles = [\"dep\"]", 4, []string{"did you mean deep?"}},
		{"[[formations]]\nname = \"own\"\nroles = []", 1, []string{"formation own has 0 roles"}},
		{"[[formations]]\nname = \"2-3\"\ndeep = [1, 2]", 3, []string{"lists 2 numbers for 5 roles"}},
		{"[[formations]]\nname = \"2-3\"\nacross = [-30, 0, 0, 0, 0]", 3, []string{"across in formation 2-3 is -30"}},
		{"[[formations]]\nname = \"2-3\"\n[[formations]]\nname = \"2-3\"", 3, []string{"already on line 1"}},
	} {
		_, _, err := ReadTeam(strings.NewReader(c.toml))
		ps := problemsOf(t, err)
		sound(t, "team.toml", ps)
		if assert.Len(t, ps, 1, "%s\n%v", c.toml, ps) {
			assert.Equal(t, c.line, ps[0].At.Line, "%s\n%v", c.toml, ps)
			for _, w := range c.words {
				assert.Contains(t, ps[0].Error(), w, c.toml)
			}
		}
	}
}

func pins(words ...string) string {
	s := ""
	for i := 0; i < len(words); i += 3 {
		s += "[[pin]]\nkid = \"" + words[i] + "\"\nseries = 1\n"
		s += "role = \"" + words[i+1] + "\"; must = " + words[i+2] + "\n"
	}
	return strings.ReplaceAll(s, "; must", "\nmust")
}

// Together with the roster: kids that are not there, holds, never roles.
func TestTeamAgainstTheRoster(t *testing.T) {
	for _, c := range []struct {
		toml string
		line int
		want string
	}{
		{"together = [[\"2\", \"77\"]]", 2, `unknown kid "77"; add the kid to roster.csv or mend the id; there are 2, 7 and 10`},
		{"apart = [[\"2\", \"Ben\"]]", 2, `unknown kid "Ben"; did you mean 7?`},
		{"[[cover]]\nkids = [\"2\",\n\"07\"]", 4, `unknown kid "07"; did you mean 7?`},
		{"[[pin]]\nkid = 5\nseries = 1", 3, `unknown kid "5"`},
		{"[[pin]]\nkid = 10\nseries = 1", 2, "on medical hold (roster.csv, line 4)"},
		{"[[pin]]\nkid = 7\nseries = 1\nrole = \"deep\"", 2, "never plays (roster.csv, line 3)"},
	} {
		_, err := ReadFolder(folder("team.toml", okTeam+c.toml, "roster.csv", okRoster, "results.csv", okLong))
		ps := problemsOf(t, err)
		if assert.Len(t, ps, 1, "%s\n%v", c.toml, ps) {
			assert.Equal(t, Place{"team.toml", c.line}, ps[0].At)
			assert.Contains(t, ps[0].Error(), c.want)
		}
	}
	for _, c := range [][2]string{
		{"[[pin]]\nkid = 10\nseries = 1\nmust = false", ""},
		{"together = [[\"2\", \"10\"]]", "on hold"},
		{"formation = \"2-1-2\"\n[[formations]]\nname = \"2-1-2\"\ndeep = [1, 10, 1, 10, 5]", "rule books say 7 yd"},
		{"formation = \"own\"\n[[formations]]\nname = \"own\"\nroles = [\"deep\"]", "kid 7 plays none of the roles"},
		{"formation = \"own\"\n[[formations]]\nname = \"own\"\nroles = [\"front\"]\ngrades = \"k-1\"", "the division is 3-4"},
	} {
		f, err := ReadFolder(folder("team.toml", okTeam+c[0], "roster.csv", okRoster, "results.csv", okLong))
		require.NoError(t, err, c[0])
		if c[1] == "" {
			assert.Empty(t, f.Warnings)
		} else if assert.Len(t, f.Warnings, 1, c[0]) {
			assert.Contains(t, f.Warnings[0].Error(), c[1])
		}
	}
}

func TestTeamTextForms(t *testing.T) {
	want, _, err := ReadTeam(strings.NewReader("name = \"A\"\nseries = 6\n[rules]\nmax_on = 2\n"))
	require.NoError(t, err)
	for _, text := range []string{
		"\ufeffname = \"A\"\r\nseries = 6\r\n[rules]\r\nmax_on = 2\r\n",
		"name = \"A\"\rseries = 6\r[rules]\rmax_on = 2",
		"rules.max_on = 2\nseries = +6\nname = 'A'",
		"rules = { max_on = 2 }\nseries = 0x6\nname = \"\"\"A\"\"\"",
	} {
		got, _, err := ReadTeam(strings.NewReader(text))
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
}

func TestTeamIsNoPlaceForMuchData(t *testing.T) {
	for _, text := range []string{
		strings.Repeat("# \n", maxTOML), strings.Repeat("[", 5000), "a = " + strings.Repeat("[", 400) + strings.Repeat("]", 400),
		"a = [" + strings.Repeat("{b={b={b={b=1}}}},", 3000) + "]", "a" + strings.Repeat(".a", 20000) + " = 1",
	} {
		_, _, err := ReadTeam(strings.NewReader(text))
		sound(t, "team.toml", problemsOf(t, err))
		assert.Error(t, err)
	}
}
