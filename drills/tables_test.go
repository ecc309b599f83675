package drills

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func okKids(t *testing.T) []Kid {
	t.Helper()
	kids, _, err := ReadRoster(strings.NewReader(okRoster), Default())
	require.NoError(t, err)
	return kids
}

func TestRosterProblems(t *testing.T) {
	const head = "kid,name,grade,hold,never,notes\n"
	for _, c := range []struct {
		csv   string
		line  int
		words []string
	}{
		{"", 0, []string{"roster.csv is empty"}},
		{head, 0, []string{"no kids yet"}},
		{"name,grade\nAnn,3", 1, []string{"column kid is missing"}},
		{"kid,nmae\n2,Ann", 1, []string{`unknown column "nmae"`, "did you mean name?"}},
		{"kid,,name\n2,,Ann", 1, []string{"column 2 has no name"}},
		{"kid,name,Name\n2,Ann,Ann", 1, []string{"column name stands twice"}},
		{head + ",Ann,3,,,", 2, []string{"the row has no kid"}},
		{head + "2,Ann,3,,,\n\n2,Bea,3,,,", 4, []string{`kid "2" is already on line 2`}},
		{head + "2 a,Ann,3,,,", 2, []string{`"2 a" is no id`}},
		{head + "9@3,Ann,3,,,", 2, []string{`"@" cannot stand there`}},
		{head + "x,Ann,3,,,", 2, []string{"means 'not done'"}},
		{head + "2,Ann,3rd,,,", 2, []string{`grade is "3rd"`}},
		{head + "2,Ann,13,,,", 2, []string{`grade is "13"`}},
		{head + "2,Ann,3,,frnt,", 2, []string{`unknown role "frnt"`, "did you mean front?"}},
		{head + "2,A\x07n,3,,,", 2, []string{"control character (U+0007)"}},
		{head + "2,A\u202en,3,,,", 2, []string{"control character (U+202E)"}},
		{head + "2,Jos\xe9,3,,,", 2, []string{"not UTF-8", "save the file as CSV UTF-8"}},
		{head + "2,\"A\nB\",3,,,", 2, []string{"control character (U+000A)"}},
		{head + "2,Ann,3,,,,more", 2, []string{"7 cells, and the header names 6"}},
		{head + "2,\"Ann,3,,,\n3,Bea,3,,,\n", 2, []string{"quotation mark", "lines 2 to 3 were not read"}},
		{head + "2,An\"n,3,,,\n3,Bea,3,,,", 2, []string{"quotation mark", "the row was not read"}},
		{head + "2," + strings.Repeat("n", 81) + ",3,,,", 2, []string{"81 letters long"}},
		{"\xff\xfek\x00i\x00", 0, []string{"UTF-16"}},
	} {
		_, _, err := ReadRoster(strings.NewReader(c.csv), Default())
		ps := problemsOf(t, err)
		sound(t, "roster.csv", ps)
		if assert.Len(t, ps, 1, "%q\n%v", c.csv, ps) {
			assert.Equal(t, c.line, ps[0].At.Line, c.csv)
			for _, w := range c.words {
				assert.Contains(t, ps[0].Error(), w, c.csv)
			}
		}
	}
}

func TestRosterWarnings(t *testing.T) {
	kids, warn, err := ReadRoster(strings.NewReader("kid,name,hold\n7,Ben,no\n#8,Cy,\n# 9,Di,\n"), Default())
	require.NoError(t, err)
	require.Len(t, warn, 2)
	assert.Equal(t, "no", kids[0].Hold, "any entry is a hold until a person takes it out")
	assert.Contains(t, warn[0].Error(), "roster.csv:2")
	assert.Contains(t, warn[1].Error(), "roster.csv:3: a line that starts with # is a note")
}

func TestResultsProblems(t *testing.T) {
	const head = "kid,drill,trial,value,attempts\n"
	for _, c := range []struct {
		csv   string
		line  int
		words []string
	}{
		{"", 0, []string{"results.csv is empty"}},
		{"kid,drill\n2,shuttle", 1, []string{"column value is missing"}},
		{"kid,drill,value,trail\n2,shuttle,6.4,1", 1, []string{"did you mean trial?"}},
		{head + "2,shuttle,1,7:05,", 2, []string{`"7:05" reads as minutes and seconds, which is 425 s, outside the possible 4.3 to 25 s`, "in seconds"}},
		{head + "2,shuttle,1,64,", 2, []string{"64 s is outside 4.3 to 25 s", "in grade 3", "would make it 6.4"}},
		{head + "2,shuttle,1,0.64,", 2, []string{"0.64 s is outside", "would make it 6.4"}},
		{head + "2,shuttle,1,-6.4,", 2, []string{"-6.4 s is outside"}},
		{head + "2,shuttle,1,NaN,", 2, []string{`"NaN" is not a number`}},
		{head + "2,shuttle,1,Inf,", 2, []string{`"Inf" is not a number`}},
		{head + "2,shuttle,1,1e9,", 2, []string{`"1e9" is not a number`}},
		{head + "2,shuttle,1,6.4s,", 2, []string{"the number alone"}},
		{head + "2,shuttle,1,6.4,10", 2, []string{"attempts are for counted drills"}},
		{head + "2,shuttle,0,6.4,", 2, []string{`trial is "0"`}},
		{head + "2,shuttle,one,6.4,", 2, []string{`trial is "one"`}},
		{head + "2,shutle,1,6.4,", 2, []string{`unknown drill "shutle"; did you mean shuttle?`}},
		{head + "3,shuttle,1,6.4,", 2, []string{`unknown kid "3"; add the kid to roster.csv or mend the id`}},
		{head + "Ben,shuttle,1,6.4,\nBen,shuttle,2,6.4,", 2, []string{`unknown kid "Ben" (also on line 3); did you mean 7?`}},
		{head + ",shuttle,1,6.4,", 2, []string{"no kid is named"}},
		{head + "2,shuttle,1,6.4,\n2,shuttle,2,6.4,\n2,shuttle,1,6.5,", 4, []string{"kid 2, shuttle, trial 1 is already on line 2"}},
		{head + "2,shuttle,1,6.4,\n2,shuttle,1,DNF,", 3, []string{"already on line 2"}},
		{"kid,drill,value\n2,shuttle,6.4\n2,shuttle,6.5", 3, []string{"add a column trial"}},
		{head + "2,pull,1,7,", 2, []string{"without attempts", "7/10"}},
		{head + "2,pull,1,11,10", 2, []string{"11 of 10 attempts succeeded"}},
		{head + "2,pull,1,-1,10", 2, []string{"no count"}},
		{head + "2,pull,1,7-Oct,", 2, []string{`"7-Oct" is no count`, "made a date of 7/10"}},
		{head + "2,pull,1,2026-07-10,", 2, []string{"made a date of 7/10"}},
		{head + "2,pull,1,7.5,10", 2, []string{"no count"}},
		{head + "2,pull,1,7/10,12", 2, []string{"10 attempts in the value, 12 beside it"}},
		{head + "2,pull,1,7,100", 2, []string{"100 attempts are outside 1 to 50"}},
		{head + "2,pull,1,0,0", 2, []string{"0 attempts are outside"}},
		{head + "2,pull,1,7/0,", 2, []string{"0 attempts are outside"}},
		{head + "2,shuttle,1,6,4,\n", 2, []string{"is timed"}}, // an unquoted decimal comma lands in attempts
		{head + "2,shuttle,1,6,4,,\n", 2, []string{"attempts"}},
		{"kid,shuttle 1,shutle 2\n2,6.4,6.5", 1, []string{`unknown column "shutle 2"; did you mean shuttle?`}},
		{"kid,shuttle 1,shuttle 1\n2,6.4,6.5", 1, []string{"the same trial"}},
		{"kid,shuttle,shuttle 1\n2,6.4,6.5", 1, []string{"the same trial"}},
		{"kid,shuttle 0\n2,6.4", 1, []string{"is unclear"}},
		{"kid,shuttle 1/10\n2,6.4", 1, []string{"shuttle is not counted"}},
		{"name,shuttle 1\nAnn,6.4", 1, []string{"column kid is missing"}},
		{"kid,pull 1\n2,7", 2, []string{"without attempts"}},
		{"kid,pull 1/10\n2,11", 2, []string{"11 of 10"}},
		{"kid,shuttle 1\n2,6.4\n2,6.5", 3, []string{"kid 2 has a row on line 2 already"}},
	} {
		_, err := ReadResults(strings.NewReader(c.csv), Default(), okKids(t), Grades{3, 4})
		ps := problemsOf(t, err)
		sound(t, "results.csv", ps)
		if assert.Len(t, ps, 1, "%q\n%v", c.csv, ps) {
			assert.Equal(t, c.line, ps[0].At.Line, c.csv)
			for _, w := range c.words {
				assert.Contains(t, ps[0].Error(), w, c.csv)
			}
		}
	}
}

func TestUntestedCells(t *testing.T) {
	for _, mark := range []string{"DNF", "dns", "-", "x", "X", "n/a", "–", ""} {
		res, err := ReadResults(strings.NewReader("kid,drill,trial,value\n2,shuttle,1,"+mark+"\n"), Default(), okKids(t), Grades{3, 4})
		require.NoError(t, err, mark)
		assert.Empty(t, res.Trials)
		assert.Equal(t, []Untested{{"2", "shuttle", 1, mark, Place{"results.csv", 2}}}, res.Untested)
		require.Len(t, res.Warnings, 1)
		assert.Contains(t, res.Warnings[0].Error(), "counted as not done")
	}
	res, err := ReadResults(strings.NewReader("kid,shuttle 1,shuttle 2\n2,,DNF\n"), Default(), okKids(t), Grades{3, 4})
	require.NoError(t, err)
	assert.Equal(t, []Untested{{"2", "shuttle", 2, "DNF", Place{"results.csv", 2}}}, res.Untested, "an empty cell of a wide sheet says nothing")
}

// A kid's own grade sets the range; without one the division's does.
func TestRangeFollowsTheKidsGrade(t *testing.T) {
	read := func(grade, value, division string) error {
		g, err := ParseGrades(division)
		require.NoError(t, err)
		_, err = ReadResults(strings.NewReader("kid,drill,value\n2,shuttle,"+value+"\n"), Default(),
			rosterKids(t, "kid,grade\n2,"+grade+"\n"), g)
		return err
	}
	assert.NoError(t, read("k", "28", "5"))
	assert.Error(t, read("5", "28", "k"))
	assert.NoError(t, read("", "28", "k-1"))
	assert.Error(t, read("", "28", "5"))
}

func rosterKids(t *testing.T, csv string) []Kid {
	t.Helper()
	kids, _, err := ReadRoster(strings.NewReader(csv), Default())
	require.NoError(t, err)
	return kids
}

func TestOtherNameIsAWarning(t *testing.T) {
	res, err := ReadResults(strings.NewReader("kid,name,shuttle\n2,ann,6.4\n7,Ann,6.5\n"), Default(), okKids(t), Grades{3, 4})
	require.NoError(t, err)
	require.Len(t, res.Warnings, 1)
	assert.Contains(t, res.Warnings[0].Error(), `results.csv:3: kid 7 is "Ann" here and "Ben" in roster.csv`)
	assert.Len(t, res.Trials, 2, "it counts all the same")
}

func TestFitsProblems(t *testing.T) {
	for _, c := range [][2]string{
		{"kid,role,fit\n2,front,50", "column se is missing"},
		{"kid,role,fit,se\n2,fornt,50,5", `unknown role "fornt"; did you mean front?`},
		{"kid,role,fit,se\nBen,front,50,5", `unknown kid "Ben"; did you mean 7?`},
		{"kid,role,fit,se\n2,front,150,5", "fit is 150; write T points from 0 to 100"},
		{"kid,role,fit,se\n2,front,50,-1", "se is -1; write T points from 0 to 50"},
		{"kid,role,fit,se\n2,front,50,", "se is empty"},
		{"kid,role,fit,se\n2,front,high,5", `fit is "high", not a number`},
		{"kid,role,fit,se\n2,front,50,5\n2,front,51,5", "kid 2 as front is already on line 2"},
	} {
		_, _, err := ReadFits(strings.NewReader(c[0]), Default(), okKids(t))
		ps := problemsOf(t, err)
		sound(t, "fits.csv", ps)
		if assert.Len(t, ps, 1, c[0]) {
			assert.Contains(t, ps[0].Error(), c[1])
		}
	}
}

func TestGarbageDoesNotFlood(t *testing.T) {
	row := "kid,drill,trial,value,attempts\n" + strings.Repeat("2,shuttle,1,abc,\n", 30_000)
	_, err := ReadResults(strings.NewReader(row), Default(), okKids(t), Grades{3, 4})
	ps := problemsOf(t, err)
	require.Len(t, ps, MaxProblems+1)
	assert.Equal(t, "results.csv: and 29800 more; put the ones above right first", ps[MaxProblems].Error())
	assert.Equal(t, 2, ps[0].At.Line)
	assert.Equal(t, MaxProblems+1, ps[MaxProblems-1].At.Line)
}

func TestAbsurdSizes(t *testing.T) {
	_, _, err := ReadTeam(strings.NewReader(strings.Repeat("# no\n", maxTOML/5+1)))
	assert.ErrorContains(t, err, "team.toml: larger than 128 KiB")
	kids := "kid\n"
	for i := range maxKids + 1 {
		kids += "k" + number(float64(i)) + "\n"
	}
	for _, c := range [][2]string{
		{kids, "more than 5000 kids"},
		{"kid" + strings.Repeat(",n", maxColumns) + "\n", "501 columns"},
		{"kid\n" + strings.Repeat("7", maxLine+1), "a line of more than 1 MiB"},
		{strings.Repeat("kid\n", maxFile/4+1), "larger than 65536 KiB"},
	} {
		_, _, err := ReadRoster(strings.NewReader(c[0]), Default())
		ps := problemsOf(t, err)
		sound(t, "roster.csv", ps)
		require.Len(t, ps, 1)
		assert.Contains(t, ps[0].Error(), c[1])
	}
}
