package drills

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoTeams = "[[team]]\nname = \"Egrets\"\n[[team]]\nname = \"Terns\"\n"

// More leagues and pools, most of them with one problem each, on the line given and with the words given; with no words there is none.
func TestLeagueBorders(t *testing.T) {
	teams := func(n int) string {
		s := ""
		for i := range n {
			s += fmt.Sprintf("[[team]]\nname = \"T%d\"\n", i)
		}
		return s
	}
	coaches := func(n int) string {
		s := twoTeams
		for i := range n {
			s += fmt.Sprintf("[[coach]]\nname = \"C%d\"\n", i)
		}
		return s
	}
	kids := func(n int) string {
		s := "kid\n2\n7\n10\n"
		for i := range n {
			s += fmt.Sprintf("a%d\n", i)
		}
		return s
	}
	n := func(n int) string { return strings.Repeat("n", n) }
	for _, c := range []struct {
		league, sheet string
		line          int
		words         string
	}{
		{teams(60), kids(57), 0, ""}, {teams(61), kids(58), 121, "61 teams, more than 60"}, {teams(3), kids(0), 0, ""}, {teams(4), kids(0), 0, "3 kids for 4 teams"},
		{coaches(60), kids(0), 0, ""}, {coaches(61), kids(0), 125, "61 coaches, more than 60"},
		{"[[team]]\nname = \"" + n(80) + "\"\n" + teams(1), kids(0), 0, ""}, {"[[team]]\nname = \"" + n(81) + "\"\n" + teams(1), kids(0), 2, "name in [[team]] is 81 letters long"},
		{"[[team]]\nname = \"\"\n" + teams(1), kids(0), 2, "a team's name is empty"}, {"[[team]]\nname = 7\n" + teams(1), kids(0), 2, "name in [[team]] is a whole number"},
		{twoTeams + "[[coach]]\nname = \"" + n(80) + "\"\n", kids(0), 0, ""}, {twoTeams + "[[coach]]\nname = \"" + n(81) + "\"\n", kids(0), 6, "name in [[coach]] is 81 letters long"},
		{twoTeams + "[[coach]]\nname = \"\"\n", kids(0), 6, "a coach's name is empty"}, {twoTeams + "[[coach]]\nname = 7\n", kids(0), 6, "name in [[coach]] is a whole number"},
		{twoTeams + "[[coach]]\nname = \"A\"\nkid = 2\n[[coach]]\nname = \"B\"\nkid = \"2\"\n", kids(0), 8, `coach "B" is already on line 5, or has the same kid`},
		{twoTeams + "[[coach]]\nname = \"A\"\nkid = \"\"\n[[coach]]\nname = \"B\"\nkid = \"\"\n", kids(0), 0, ""}, {twoTeams + "[[coach]]\nname = \"A\"\nkid = 2\n[[coach]]\nname = \"B\"\nkid = 7\n", kids(0), 0, ""},
		{twoTeams + "[[fixed]]\nteam = \"Terns\"\n", kids(0), 5, "[[fixed]] has no kid"}, {twoTeams + "[[fixed]]\nkid = true\nteam = \"Terns\"\n", kids(0), 6, "kid in [[fixed]] is true or false"},
		{twoTeams + "[[fixed]]\nkid = 2\nteam = \"TERNS\"\n[[fixed]]\nkid = 7\nteam = \"Terns\"\n", kids(0), 0, ""},
		{twoTeams + "[evenness]\nCarpools = 1\n", kids(0), 6, "did you mean carpools?"}, {twoTeams + "[evenness]\ngrades = \"1\"\n", kids(0), 6, "grades in [evenness] is text"},
		{twoTeams, "kid,siblings\n2," + n(80) + "\n7," + n(80) + "\n", 0, ""}, {twoTeams, "kid,siblings\n2," + n(81) + "\n7\n", 2, `kid "2": siblings is 81 letters long`},
		{twoTeams, "kid,returning\n2," + n(81) + "\n7\n", 2, "returning is 81 letters long"}, {twoTeams, "kid,carpool\n2,a;" + n(81) + "\n7\n", 2, "carpool is 81 letters long"},
		{twoTeams, "kid,coach_of,nights\n2,Gulls,foo\n7\n", 2, ""}, {twoTeams, "kid,apart\n2,7 10\n7\n", 2, `unknown kid "10"`}, {twoTeams, "kid,siblings,apart\n2,a,7\n7,b,\n", 0, ""},
		{twoTeams, "kid,siblings,apart\n2,,7\n7,,\n", 0, ""}, {strings.Replace(twoTeams, "Terns\"\n", "Terns\"\nnights = [\"mon\", \"tue\"]\n", 1), "kid,nights\n2,wed\n7\n", 0, ""},
		{twoTeams + "[[fixed]]\nkid = 2\nteam = \"Terns\"\n", "kid,coach_of\n2,Terns\n7\n", 0, ""}, {"name = \"" + n(81) + "\"\n" + twoTeams, kids(0), 1, "name is 81 letters long"},
		{twoTeams, "kid,name\n2,b,c,d\n7\n", 2, "4 cells, and the header names 2"},
	} {
		_, err := ReadPool(pool(c.league, c.sheet, "kid,drill,value\n"))
		ps := problemsOf(t, err)
		switch {
		case c.words != "":
			if assert.Len(t, ps, 1, "%s%s%v", c.league, c.sheet, ps) {
				assert.Equal(t, c.line, ps[0].At.Line, c.words)
				assert.Contains(t, ps[0].Error(), c.words)
			}
		case c.line > 0:
			assert.Len(t, ps, 2, "both problems of the row")
		default:
			assert.Empty(t, ps, "%s%s", c.league, c.sheet)
		}
	}
}

// Labels that stand alone ask for nothing, which is said; a slip is guessed unless only the digits differ, as they do between families.
func TestLonelyLabels(t *testing.T) {
	p, err := ReadPool(pool("division = \"3-4\"\n"+twoTeams, "kid,siblings,carpool,returning\n2,fam 1,red;Blue,Egrets\n7,FAM 1,blue,\n10,fam 2,reed,Old Boys\n11,fam 3,,Egretz\n", "kid,drill,value\n"))
	require.NoError(t, err)
	var got []string
	for _, w := range p.Warnings {
		if w.At.File == "pool.csv" {
			got = append(got, w.Error())
		}
	}
	const alone, if1 = ", so it asks for nothing; ", "if another kid belongs to it, write the same there"
	require.ElementsMatch(t, []string{
		`pool.csv:2: kid 2: nobody else has carpool "red"` + alone + `did you mean "reed"?`, `pool.csv:4: kid 10: nobody else has carpool "reed"` + alone + `did you mean "red"?`,
		`pool.csv:4: kid 10: nobody else has siblings "fam 2"` + alone + if1, `pool.csv:5: kid 11: nobody else has siblings "fam 3"` + alone + if1,
		`pool.csv:5: kid 11: last season's team is "Egretz", which is no team of league.toml but close to Egrets; if it is that team, write it the same way`,
	}, got)
	require.Equal(t, [][]int{{0, 1}}, p.Families())
	require.Equal(t, [][]int{{0, 1}}, p.Cars())
}

// Who is fixed, coaches or weighs what, as read.
func TestLeagueAsRead(t *testing.T) {
	p, err := ReadPool(pool("division = \"3-4\"\nmin_nights = 1\n"+twoTeams+"nights = [\"Sundays\", \"mon\", \"sun\"]\n[[fixed]]\nkid = 7\nteam = \"egrets\"\n[[fixed]]\nkid = \"2\"\nteam = \"Terns\"\n"+
		"[[coach]]\nname = \"A\"\n[[coach]]\nname = \"B\"\nkid = 10\n[evenness]\ncarpools = 3\nspeed = 2\noverall = 0.0\n",
		"kid,nights,carpool,apart\n2,\"sun, mon; Sunday\",a; A ;b,7|10/7\n7,,,\n10,M.,,\n", "kid,drill,value\n"))
	require.ErrorContains(t, err, `pool.csv:4: kid "10": nights has "M."`, "one letter is no day")
	l := p.League
	require.Equal(t, []string{"mon", "sun"}, l.Teams[1].Nights)
	require.Equal(t, []FixedKid{{"7", 0, Place{"league.toml", 8}}, {"2", 1, Place{"league.toml", 11}}}, l.Fixed)
	require.Equal(t, []Coach{{"A", "", Place{"league.toml", 14}}, {"B", "10", Place{"league.toml", 16}}}, l.Coaches)
	require.Equal(t, []Weight{{"overall", 0}, {"speed", 2}, {"carpools", 3}}, l.Evenness, "in the order of the catalogue")
	require.Equal(t, []string{"mon", "sun"}, p.Kids[0].Nights)
	require.Equal(t, []string{"a", "b"}, p.Kids[0].Carpools)
	require.Equal(t, []string{"7", "10"}, p.Kids[0].Apart)
	for i, day := range weekdays {
		night, _ := parseNight(day)
		require.Equal(t, week[i], night)
		require.Equal(t, day, strings.ToLower(NightName(night)))
	}
	require.Equal(t, "someday", NightName("someday"))
}

// The problems of one file are told one by one up to two hundred, and then counted.
func TestManyProblemsAreCounted(t *testing.T) {
	for n, want := range map[int]int{199: 199, 200: 200, 201: 201, 202: 201, 10_500: 201} {
		c := &collector{file: "x.csv"}
		for i := range n {
			c.add(n-i, "", "wrong %d", i)
			if n < 300 {
				c.add(n-i, "", "wrong %d", i) // the same again is told once
			}
		}
		ps := c.finish()
		require.Len(t, ps, want, n)
		if n < 300 {
			require.Equal(t, 1, ps[0].At.Line)
		}
		if n > 200 && n < 300 {
			require.Equal(t, fmt.Sprintf("x.csv: and %d more; put the ones above right first", n-200), ps[200].Error())
		}
	}
}
