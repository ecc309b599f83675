package drills

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Values of the wrong kind, each one problem with its line and what it is.
func TestWrongKinds(t *testing.T) {
	for _, c := range []struct {
		toml  string
		line  int
		words string
	}{
		{"\ndrills = 7", 2, "drills is a whole number; write [[drills]]"}, {"\nformations = [7]", 2, "formations holds a whole number; write [[formations]]"}, {"[pin]\nkid = 3", 1, "[pin] stands once"},
		{"name = 2026-08-29", 1, "name is a date, not text"}, {"series = true", 1, "series is true or false, not a whole number"}, {"[rules]\nmin_share = \"half\"", 2, "min_share in [rules] is text, not a number"},
		{"formation = { a = 1 }", 1, "formation is a table"}, {"[[formations]]\nname = \"A B\"\nroles = [\"front\"]", 2, "cannot be the name of a formation"}, {"[[traits]]\nname = \"A\"", 2, "cannot be the name of a trait"},
		{"[[formations]]\nname = \"own\"\nroles = [\"deep\"]\ndeep = [\"far\"]", 4, "deep in formation own is text, not a number"}, {"division = [3, 4]", 1, "division is a list"}, {"division = 13", 1, `"13" is no grade`},
		{"[[pin]]\nkid = [3]\nseries = 1", 2, "kid in [[pin]] is a list, not a kid's id"}, {"[[drills]]\nname = \"sprint\"\nranges = 7", 3, "ranges is a whole number; write [[ranges]]"}, {"importance = 1", 1, "importance is a whole number, not a table"},
	} {
		_, _, err := ReadTeam(strings.NewReader(c.toml))
		ps := problemsOf(t, err)
		sound(t, "team.toml", ps)
		if assert.Len(t, ps, 1, "%s\n%v", c.toml, ps) {
			assert.Equal(t, c.line, ps[0].At.Line, c.toml)
			assert.Contains(t, ps[0].Error(), c.words)
		}
	}
	many := func(n int) string {
		s := "[weights.front]\n"
		for i := range n {
			s += fmt.Sprintf("k%d = 1\n", i)
		}
		return s
	}
	_, _, err := ReadTeam(strings.NewReader(many(2001)))
	assert.ErrorContains(t, err, "more than 2000 keys in one table")
	_, _, err = ReadTeam(strings.NewReader(many(2000)))
	assert.NotContains(t, err.Error(), "more than 2000 keys")
}

// More rows with one problem each, and what is read of the rest.
func TestMoreRows(t *testing.T) {
	for row, says := range map[string]string{
		"2,pull,1,7/x,": "attempts in \"7/x\" are no count", "2,pull,1,7,x": `attempts is "x"`, "2,pull,1,7/,": `attempts in "7/" are no count`, "2,pull,1,/7,": `"/7" is no count`,
	} {
		_, err := ReadResults(strings.NewReader("kid,drill,trial,value,attempts\n"+row+"\n7,shuttle,1,6.4,\n"), Default(), okKids(t), Grades{3, 4})
		ps := problemsOf(t, err)
		require.Len(t, ps, 1, row)
		assert.Contains(t, ps[0].What, says)
		assert.Equal(t, 2, ps[0].At.Line)
	}
	for column, bad := range map[string]string{"timer": strings.Repeat("n", 81), "date": "a\x07b"} {
		res, err := ReadResults(strings.NewReader("kid,drill,value,"+column+"\n2,shuttle,6.4,"+bad+"\n7,shuttle,6.4,"+strings.Repeat("n", 80)+"\n"), Default(), okKids(t), Grades{3, 4})
		ps := problemsOf(t, err)
		require.Len(t, ps, 1)
		assert.True(t, strings.HasPrefix(ps[0].What, column+" "), ps[0].What)
		require.Len(t, res.Trials, 1, "the row is not counted")
		assert.Equal(t, "7", res.Trials[0].Kid)
	}
	for _, c := range []struct {
		csv   string
		line  int
		words string
	}{
		{"kid,shuttle\n2,6.4\n2,6.5\n", 3, "kid 2 has a row on line 2 already, with trials that this row has too"},
		{"kid,drill,value\n2,shuttle,6.4\n2,shuttle,6.5\n", 3, "kid 2, shuttle, trial 1 is already on line 2; take one of them out, or add a column trial"},
		{"kid,drill,value,trial\n2,shuttle,6.4,1\n2,shuttle,6.5,1\n2,shuttle,6.5,2\n", 3, "trial 1 is already on line 2; take one of them out, or give it another trial number"},
	} {
		_, err := ReadResults(strings.NewReader(c.csv), Default(), okKids(t), Grades{3, 4})
		ps := problemsOf(t, err)
		require.Len(t, ps, 1, c.csv)
		assert.Equal(t, c.line, ps[0].At.Line)
		assert.Contains(t, ps[0].Error(), c.words)
	}
	_, _, err := ReadFits(strings.NewReader("kid,role,fit,se\n2,front,50,5,5\n7,front,55,5\n"), Default(), okKids(t))
	ps := problemsOf(t, err)
	require.Len(t, ps, 1)
	assert.Equal(t, Place{"fits.csv", 2}, ps[0].At)
	assert.Contains(t, ps[0].Error(), "5 cells, and the header names 4; the row was not read; a decimal comma or a comma in a text needs quotes")
	_, _, err = ReadFits(strings.NewReader("kid\trole\tfit\tse\n2\tfront\t50\t5\t5\n"), Default(), okKids(t))
	assert.ErrorContains(t, err, "take out what is too much")
	_, _, err = ReadRoster(strings.NewReader("kid"+strings.Repeat(",", 499)+"\n2\n"), Default())
	assert.NoError(t, err, "five hundred columns, and those without a name at the end do not count")
	_, _, err = ReadRoster(strings.NewReader("kid"+strings.Repeat(",", 500)+"\n2\n"), Default())
	assert.ErrorContains(t, err, "501 columns, more than 500")
	r := (&Drill{}).RangeFor(Grades{3, 4})
	assert.Greater(t, r.Min, r.Max, "a drill without ranges: nothing lies inside")
}

// Trials stand by kid, drill and number, as counted, however they are mixed in the file.
func TestOrderOfTrials(t *testing.T) {
	res, err := ReadResults(strings.NewReader("kid,drill,trial,value\n10,shuttle,1,6.1\n7,sprint,1,4\n7,shuttle,10,6.2\n7,shuttle,9,6.3\n2,sprint,99,DNF\n2,sprint,98,4.1\n2,shuttle,2,x\n"), Default(), okKids(t), Grades{3, 4})
	require.NoError(t, err)
	var got []string
	for _, x := range res.Trials {
		got = append(got, fmt.Sprint(x.Kid, " ", x.Drill, " ", x.Number, " ", x.At.Line))
	}
	for _, x := range res.Untested {
		got = append(got, fmt.Sprint(x.Kid, " ", x.Drill, " ", x.Number, " ", x.At.Line))
	}
	assert.Equal(t, []string{"2 sprint 98 7", "7 shuttle 9 5", "7 shuttle 10 4", "7 sprint 1 3", "10 shuttle 1 2", "2 shuttle 2 8", "2 sprint 99 6"}, got)
}

// As many kids as there may be are read, and the first coach, the right yards and weights where others are refused.
func TestBesideWhatIsRefused(t *testing.T) {
	rows := "kid\n"
	for i := range maxKids {
		rows += fmt.Sprintf("k%d\n", i)
	}
	kids, _, err := ReadRoster(strings.NewReader(rows), Default())
	require.NoError(t, err)
	require.Len(t, kids, maxKids)
	p, err := ReadPool(pool(twoTeams+"[[coach]]\nname = \"A\"\n[[coach]]\nname = \"a\"\n[[coach]]\nname = \"\"\n[[coach]]\nname = 7\n[[fixed]]\nkid = 2\nteam = \"Terns\"\n[[fixed]]\nkid = 2\nteam = \"Egrets\"\n"+
		"[[fixed]]\nkid = true\nteam = \"Terns\"\n[[fixed]]\nkid = 7\nteam = \"Gulls\"\n[evenness]\ngrades = \"1\"\nspeed = 101\noverall = 2\n", "kid\n2\n7\n10\n", ""))
	require.Len(t, problemsOf(t, err), 8, "%v", err)
	assert.Equal(t, []Coach{{"A", "", Place{"league.toml", 5}}}, p.League.Coaches)
	assert.Equal(t, []FixedKid{{"2", 1, Place{"league.toml", 13}}}, p.League.Fixed)
	assert.Equal(t, []Weight{{"overall", 2}}, p.League.Evenness)
	team, _, err := ReadTeam(strings.NewReader("[[formations]]\nname = \"own\"\nroles = [\"deep\", \"front\"]\ndeep = [\"far\", 2]\n[[drills]]\nname = \"sprint\"\nsource = \"ours\"\nsetup = \"20 yd\"\nsafety = \"flat ground\"\nunit = \"ms\"\n"))
	require.Len(t, problemsOf(t, err), 1)
	own, _ := team.Catalogue.Formation("own")
	assert.Equal(t, []float64{10, 2}, []float64{own.Spots[0].Deep, own.Spots[1].Deep})
	d, _ := team.Catalogue.Drill("sprint")
	assert.Equal(t, []string{"ours", "20 yd", "flat ground", "ms"}, []string{d.Source, d.Setup, d.Safety, d.Unit})
	for line, want := range map[int]string{-1: "", 0: "", 1: "write the number with a point, 0.5; ", 2: "", 3: ""} {
		assert.Equal(t, want, slip([]byte("a = 0,5\nb = 1"), line), line)
	}
	for text, want := range map[string]string{"a = true": "", "a = false": "", "a = 7": "", "a = x7 # note": `write text in quotes, "x7"; `, "a = -0,5 # note": "write the number with a point, -0.5; ",
		"a = " + strings.Repeat("n", 80): `write text in quotes, "` + strings.Repeat("n", 80) + `"; `, "a = " + strings.Repeat("n", 81): ""} {
		assert.Equal(t, want, slip([]byte(text), 1), text)
	}
}

// lockedFS has files that cannot be opened.
type lockedFS struct{ fs.FS }

func (lockedFS) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
}

// What cannot be opened is told, once for every file, and is not taken for a file that is not there.
func TestFilesThatCannotBeOpened(t *testing.T) {
	_, err := ReadFolder(lockedFS{})
	ps := problemsOf(t, err)
	require.Len(t, ps, 4, "%v", err)
	for i, file := range []string{"team.toml", "roster.csv", "results.csv", "fits.csv"} {
		assert.Equal(t, Place{file, 0}, ps[i].At)
		assert.Contains(t, ps[i].Error(), "cannot be read: open "+file+": permission denied; check that the file can be opened")
	}
	_, _, err = ReadTeam(strings.NewReader("[rules]\nmin_share = 1e999\n"))
	assert.Len(t, problemsOf(t, err), 1, "too large a number")
}
