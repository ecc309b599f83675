package drills

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whom an unknown id may mean: who has it as a name, or as a number written otherwise, if they are three at most.
func TestKidAdvice(t *testing.T) {
	roster := []Kid{{ID: "7", Name: "Ann"}, {ID: "08", Name: "Ben"}, {ID: "B5"}, {ID: "100"}}
	const others = "add the kid to roster.csv or mend the id; there are 7, 08, B5 and 100" // of numbers, a digit more or less is no slip
	for id, want := range map[string]string{
		"ann": "did you mean 7?", "#7": "did you mean 7?", "007": "did you mean 7?", "7.0": "did you mean 7?", "8": "did you mean 08?", "b5": "did you mean B5?", "b6": "did you mean B5?", "1000": others,
		"zebra": "add the kid to roster.csv or mend the id", "10": others, "": "add the kid to roster.csv or mend the id",
	} {
		assert.Equal(t, want, KidAdvice(id, roster), id)
	}
	var anns []Kid
	for n := 1; n <= 4; n++ {
		anns = append(anns, Kid{ID: fmt.Sprint(n * 111), Name: "Ann"})
		got := KidAdvice("ANN", anns)
		assert.Equal(t, n <= 3, strings.HasPrefix(got, "did you mean 111"), "%d of the name: %s", n, got)
	}
}

// Rows without an id are each told, and not as twins.
func TestRowsWithoutAnID(t *testing.T) {
	_, _, err := ReadRoster(strings.NewReader("kid,name\n,A\n,B\n2,C\n"), Default())
	ps := problemsOf(t, err)
	require.Len(t, ps, 2)
	for i, p := range ps {
		assert.Equal(t, Place{"roster.csv", i + 2}, p.At)
		assert.Equal(t, "the row has no kid", p.What)
	}
	f, err := ReadResults(strings.NewReader("kid,name,drill,value,attempts\n2,Ann B,shuttle,6.4,-\n7,,pull,7/10,10\n"), Default(), okKids(t), Grades{3, 4})
	require.NoError(t, err, "a mark for 'not done' says nothing of attempts, and attempts may stand twice if they are the same")
	assert.Empty(t, f.Warnings, "a longer name, or none, may be the same kid's")
	assert.Len(t, f.Trials, 2)
	for a, same := range map[[2]string]bool{{"Ann", "ann b"}: true, {"Ann B", "Ann C"}: false, {"", "Ann"}: true, {"Ann", "Anne"}: false, {"B Ann", "Ann"}: false} {
		assert.Equal(t, same, sameName(a[0], a[1]), "%v", a)
	}
}

// A key outside of its table is sent home, where there is such a table; else it is an unknown key like any other.
func TestKeysAreSentHome(t *testing.T) {
	for text, says := range map[string]string{
		"max_on = 3": "put it under a line [rules]", "at_least = 1": "put it under a line [[cover]]", "must = true": "put it under a line [[pin]]",
		"[rules]\nmax_onn = 3": "did you mean max_on?", "[[pin]]\nkid = 3\nseries = 1\nmax_on = 3": "known keys are kid, role, series and must",
	} {
		_, _, err := ReadTeam(strings.NewReader(text))
		assert.ErrorContains(t, err, says)
		assert.Len(t, problemsOf(t, err), 1)
	}
	_, err := ReadPool(pool("max_on = 3\n"+twoTeams, "kid\n2\n7\n10\n", ""))
	assert.NotContains(t, err.Error(), "[rules]", "a league has none")
	for digits, cut := range map[int]bool{38: false, 39: true} {
		value := "2." + strings.Repeat("0", digits)
		_, _, err := ReadTeam(strings.NewReader("[rules]\nmin_share = " + value))
		assert.Equal(t, cut, strings.Contains(err.Error(), "min_share in [rules] is "+value[:40]+"..."), digits)
		assert.Equal(t, !cut, strings.Contains(err.Error(), "is "+value+";"), digits)
	}
}

// Lines are those of the file, whatever a value is written over.
func TestLinesOfValues(t *testing.T) {
	_, _, err := ReadTeam(strings.NewReader("name = \"\"\"A\nB\"\"\"\n\ntogether = [\n  [\"2\", \"9\"],\n  [\"3\",\n   \"3\"],\n  [\n   \"4\", \"4\"]]\nx.y = 1\nrules = { max_on = 0,\n max_of = 1 }\n[importance]\n\nfornt = 1\n"))
	var lines []int
	for _, p := range problemsOf(t, err) {
		lines = append(lines, p.At.Line)
	}
	assert.Equal(t, []int{6, 9, 10, 11, 12, 15}, lines, "%v", err)
	team, _, err := ReadTeam(strings.NewReader("name = \"\"\"A\nB\"\"\"\nseries = 1_0\n[rules]\nmin_share = 0.2_5\nmax_off = 0x0A\n"))
	require.NoError(t, err)
	assert.Equal(t, []any{"A B", 10, 0.25, 10}, []any{team.Name, team.Series, team.Rules.MinShare, *team.Rules.MaxOff})
}

// A folder without results needs every fit that somebody may play: not of kids on hold, not of roles that a kid never plays or no formation has.
func TestWhichFitsAreMissing(t *testing.T) {
	for fits, says := range map[string]string{
		"-":                             "and a row a trial",
		"kid,role,fit,se\n":             "and a row a trial",
		"kid,role,fit,se\n2,front,50,5": ", or complete fits.csv: 3 fits missing, the first is kid 2 as corner",
		"kid,role,fit,se\n2,front,50,5\n2,corner,50,5\n2,deep,50,5":                             ", or complete fits.csv: 1 fit missing, the first is kid 7 as front",
		"kid,role,fit,se\n2,front,50,5\n2,corner,50,5\n2,deep,50,5\n7,front,50,5":               "",
		"kid,role,fit,se\n2,front,50,5\n2,corner,50,5\n2,deep,50,5\n10,front,50,5":              "1 fit missing, the first is kid 7",
		"kid,role,fit,se\n2,front,50,5\n2,corner,50,5\n2,rusher,50,5\n7,front,50,5\n7,deep,5,5": "1 fit missing, the first is kid 2 as deep",
	} {
		files := []string{"team.toml", okTeam, "roster.csv", okRoster}
		if fits != "-" {
			files = append(files, "fits.csv", fits)
		}
		_, err := ReadFolder(folder(files...))
		if says == "" {
			assert.NoError(t, err, fits)
			continue
		}
		ps := problemsOf(t, err)
		require.Len(t, ps, 1, fits)
		assert.Equal(t, Place{"results.csv", 0}, ps[0].At)
		assert.Contains(t, ps[0].Do, says, fits)
	}
}
