package drills

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	okLeague = "name = \"Harbor\"\ndivision = \"3-4\"\nmax_returning = 2\n[[team]]\nname = \"Egrets\"\nnights = [\"thu\", \"Tuesday\"]\n[[team]]\nname = \"Terns\"\n" +
		"[[fixed]]\nkid = 10\nteam = \"terns\"\n[evenness]\ngrades = 0.5\n"
	okPool = "kid,name,grade,siblings,coach_of,nights,apart,carpool,returning,hold,never,notes\n" +
		"2,Ann,3,fam 1,,tue;thu,7,car 1,Egrets,,,\n10,Cy,,fam 1,,,,car 1;car 2,,sprained ankle,,\n7,Ben,4,,egrets,\"Thursdays, tues.\",10,Car 2,Old Boys,,deep,left-handed\n"
)

// pool makes a pool folder; what is "" is as it should be, and "-" is left out.
func pool(league, sheet, results string) fs.FS {
	var files []string
	for _, x := range [][3]string{{"league.toml", league, okLeague}, {"pool.csv", sheet, okPool}, {"results.csv", results, okLong}} {
		text := x[1]
		if text == "" {
			text = x[2]
		}
		if text != "-" {
			files = append(files, x[0], text)
		}
	}
	return folder(files...)
}

func TestReadPool(t *testing.T) {
	p, err := ReadPool(pool("", "", ""))
	require.NoError(t, err)
	require.Empty(t, p.Warnings)
	l := p.League
	require.Equal(t, "Harbor", l.Common.Name)
	require.Equal(t, Grades{3, 4}, l.Common.Division)
	require.Equal(t, 2, l.MaxReturning)
	require.Equal(t, []Weight{{"grades", 0.5}}, l.Evenness)
	require.Equal(t, []string{"tue", "thu"}, l.Teams[0].Nights, "in the order of the week")
	require.Empty(t, l.Teams[1].Nights)
	require.Equal(t, FixedKid{"10", 1, Place{"league.toml", 9}}, l.Fixed[0])
	require.Len(t, p.Kids, 3)
	ann, ben, cy := p.Kids[0], p.Kids[1], p.Kids[2]
	require.Equal(t, PoolKid{Kid: Kid{ID: "2", Name: "Ann", Grade: 3, Line: 2}, Siblings: "fam 1", CoachOf: -1, Nights: []string{"tue", "thu"},
		Apart: []string{"7"}, Carpools: []string{"car 1"}, Returning: "Egrets"}, ann)
	require.Equal(t, 0, ben.CoachOf)
	require.Equal(t, []string{"tue", "thu"}, ben.Nights)
	require.Equal(t, []string{"deep"}, ben.Never)
	require.Equal(t, "sprained ankle", cy.Hold)
	require.Equal(t, [][]int{{0, 2}}, p.Families())
	require.Equal(t, [][]int{{0, 2}, {1, 2}}, p.Cars(), "case does not count, and a kid may go in two cars")
	require.Len(t, p.Trials, 3)
	require.Len(t, p.Folder().Roster, 3)
}

// Each pool has one problem, on the line given and with the words given.
func TestPoolProblems(t *testing.T) {
	teams := "[[team]]\nname = \"Egrets\"\nnights = [\"tue\", \"thu\"]\n[[team]]\nname = \"Terns\"\n"
	row := func(columns, cells string) string { return "kid," + columns + "\n2," + cells + "\n7\n10\n" }
	for _, c := range []struct {
		league, sheet, results string
		file                   string
		line                   int
		words                  []string
	}{
		{"-", "", "", "league.toml", 0, []string{"league.toml is not there", "[[team]]"}},
		{"", "-", "", "pool.csv", 0, []string{"pool.csv is not there", "kid,name,grade,siblings"}},
		{"", "", "-", "results.csv", 0, []string{"results.csv is not there"}},
		{"name = \"A\"\n", "kid\n2\n7\n", "", "league.toml", 0, []string{"0 teams to draft", "at least two"}},
		{"\n[[team]]\nname = \"A\"\n", "kid\n2\n7\n", "", "league.toml", 2, []string{"1 team to draft"}},
		{teams + "[[team]]\nname = \"terns\"\n", "", "", "league.toml", 7, []string{`team "terns" is already on line 4`}},
		{teams + "[[team]]\nnights = []\n", "", "", "league.toml", 6, []string{"[[team]] has no name"}},
		{"[[team]]\nname = \"Egrets\"\nnights = [\"wenesday\"]\n[[team]]\nname = \"Terns\"", "", "", "league.toml", 3, []string{`nights in [[team]] has "wenesday"`, "did you mean wednesday?"}},
		{"[[team]]\nname = \"Egrets\"\nnigths = [\"tue\"]\n[[team]]\nname = \"Terns\"", "", "", "league.toml", 3, []string{"did you mean nights?"}},
		{"[[team]]\nname = \"Egrets\"\nnights = \"tue\"\n[[team]]\nname = \"Terns\"", "", "", "league.toml", 3, []string{"nights in [[team]] is text, not a list"}},
		{"max_returnin = 2\n" + teams, "", "", "league.toml", 1, []string{"did you mean max_returning?"}},
		{"max_returning = -1\n" + teams, "", "", "league.toml", 1, []string{"max_returning is -1"}},
		{"min_nights = 8\n" + teams, "", "", "league.toml", 1, []string{"from 0 to 7"}},
		{teams + "[[fixed]]\nkid = \"2\"\nteam = \"Tern\"\n", "", "", "league.toml", 8, []string{`unknown team "Tern"`, "did you mean Terns?"}},
		{teams + "[[fixed]]\nkid = \"2\"\n", "", "", "league.toml", 6, []string{"[[fixed]] has no team"}},
		{teams + "[[fixed]]\nkid = \"20\"\nteam = \"Terns\"\n", "", "", "league.toml", 6, []string{`unknown kid "20"`, "there are 2, 7 and 10"}},
		{teams + "[[fixed]]\nkid = \"5555\"\nteam = \"Terns\"\n", "", "", "league.toml", 6, []string{`unknown kid "5555"`, "add the kid to pool.csv"}},
		{teams + "[[fixed]]\nkid = \"2\"\nteam = \"Terns\"\n[[fixed]]\nkid = \"2\"\nteam = \"Egrets\"\n", "", "", "league.toml", 9, []string{"already in [[fixed]] on line 6"}},
		{teams + "[[coach]]\nkid = \"2\"\n", "", "", "league.toml", 6, []string{"[[coach]] has no name"}},
		{teams + "[[coach]]\nname = \"Reed\"\nkid = \"22\"\n", "", "", "league.toml", 6, []string{`unknown kid "22"`, "add the kid to pool.csv or mend the id; there are 2, 7 and 10"}},
		{teams + "[[coach]]\nname = \"Reed\"\n[[coach]]\nname = \"reed\"\n", "", "", "league.toml", 8, []string{"already on line 6"}},
		{teams + "[evenness]\npuling = 1\n", "", "", "league.toml", 7, []string{"did you mean pulling?"}},
		{teams + "[[traits]]\nname = \"grades\"\n[[drills]]\nname = \"hop\"\nkind = \"timed\"\nrange = [1, 9]\nloads = { grades = 1.0 }\n", "", "", "league.toml", 6, []string{"a trait cannot be named grades in a league"}},
		{teams + "[evenness]\ngrades = -1\n", "", "", "league.toml", 7, []string{"from 0 to 100"}},
		{"", row("siblins", "x"), "", "pool.csv", 1, []string{"did you mean siblings?"}},
		{"", row("coach_of", "Egret"), "", "pool.csv", 2, []string{`unknown team "Egret"`, "did you mean Egrets?"}},
		{"", row("nights", "tue;wensday"), "", "pool.csv", 2, []string{`kid "2": nights has "wensday"`, "did you mean wednesday?"}},
		{"", row("nights", "12"), "", "pool.csv", 2, []string{"write mon, tue"}},
		{"", row("apart", "2"), "", "pool.csv", 2, []string{"names the kid itself"}},
		{"", row("apart", "70"), "", "pool.csv", 2, []string{`unknown kid "70"`, "add the kid to pool.csv or mend the id; there are 2, 7 and 10"}},
		{"", "kid,siblings,apart\n2,a,7\n7,A,\n10,,\n", "", "pool.csv", 2, []string{"kids 2 and 7 are siblings"}},
		{"", "kid,coach_of\n2,\n7,\n10,Egrets\n", "", "pool.csv", 4, []string{"a parent coaches Egrets", "line 9, fixes the kid to Terns"}},
		{"[[team]]\nname = \"A\"\nnights = [\"mon\"]\n[[team]]\nname = \"B\"\nnights = [\"tue\", \"wed\"]\n", row("nights", "tue"), "", "pool.csv", 2, []string{"can practise on Tuesday", "min_nights"}},
		{"", "kid\n2\n7\n10\n2\n", "", "pool.csv", 5, []string{"already on line 2"}},
		{"", "kid;nights\n2;tue;thu\n7;\n10;\n", "", "pool.csv", 2, []string{"3 cells, and the header names 2", "a semicolon within a cell needs quotes"}},
		{"", "kid,name\n2,a,b\n7\n10\n", "", "pool.csv", 2, []string{"3 cells, and the header names 2"}},
		{teams, "kid\n2\n", "kid,drill,trial,value,attempts\n", "pool.csv", 0, []string{"1 kid for 2 teams"}},
		{"", "", "kid,drill,value\n20,shuttle,6.5\n", "results.csv", 2, []string{`unknown kid "20"`}},
		{"name = \"A\nb", "", "", "league.toml", 1, []string{"not readable as TOML"}},
	} {
		name := c.words[0]
		_, err := ReadPool(pool(c.league, c.sheet, c.results))
		ps := problemsOf(t, err)
		require.Len(t, ps, 1, "%s: %v", name, ps)
		require.Equal(t, Place{c.file, c.line}, ps[0].At, name)
		for _, w := range c.words {
			require.Contains(t, ps[0].Error(), w)
		}
	}
}

func TestPoolWarnings(t *testing.T) {
	p, err := ReadPool(pool("[[team]]\nname = \"Egrets\"\n[[team]]\nname = \"Terns\"\n",
		"kid,siblings,carpool,returning,grade\n2,fam 1,car 1,Tern,3\n7,fam 1,car 2,TERNS,3\n10,fma 1,cra 2,Foxes,3\n", ""))
	require.NoError(t, err)
	var all []string
	for _, w := range p.Warnings {
		all = append(all, w.Error())
	}
	text := strings.Join(all, "\n")
	require.Len(t, all, 6, text)
	for _, w := range []string{
		"no division is given", `pool.csv:2: kid 2: nobody else has carpool "car 1", so it asks for nothing; if another kid`,
		`kid 10: nobody else has siblings "fma 1", so it asks for nothing; did you mean "fam 1"?`,
		`last season's team is "Tern", which is no team of league.toml but close to Terns`, `carpool "cra 2", so it asks for nothing; did you mean "car 2"?`,
	} {
		require.Contains(t, text, w)
	}
}

func TestNights(t *testing.T) {
	l := League{Teams: []LeagueTeam{{Nights: []string{"tue", "thu"}}, {}}}
	for _, c := range []struct {
		nights string
		least  int
		want   bool
	}{
		{"", 0, true}, {"tue", 0, false}, {"tue thu", 0, true}, {"mon tue thu", 0, true}, {"tue", 1, true}, {"mon", 1, false}, {"tue", 2, false}, {"tue thu", 5, true},
	} {
		l.MinNights = c.least
		require.Equal(t, c.want, l.CanPlay(strings.Fields(c.nights), 0), "%+v", c)
		require.True(t, l.CanPlay(strings.Fields(c.nights), 1), "no nights settled: any will do")
	}
	for word, want := range map[string]string{"Tue": "tue", "TUESDAYS": "tue", "thur.": "thu", "weds": "wed", "w": "", "sundaes": "", "sat": "sat",
		"tu": "tue", "Th.": "thu", "su": "sun", "SA": "sat", "we": "wed", "t": "", "s": "", "": "", "tz": "", "teu": ""} {
		got, do := parseNight(word)
		require.Equal(t, want, got, word)
		require.Equal(t, got == "", do != "", word)
	}
	require.Equal(t, "Tuesday", NightName("tue"))
	for word, do := range map[string]string{"t": "did you mean tue or thu?", "w": "did you mean wed?", "tuseday": "did you mean tuesday?"} {
		_, got := parseNight(word)
		require.Equal(t, do, got, word)
	}
}

// More nights than a team has are all of them, and that is said.
func TestMinNightsAboveATeamsNights(t *testing.T) {
	for least, told := range map[int]int{0: 0, 1: 0, 2: 1, 3: 2} {
		p, err := ReadPool(pool(fmt.Sprintf("min_nights = %d\n[[team]]\nname = \"Egrets\"\nnights = [\"tue\"]\n[[team]]\nname = \"Terns\"\nnights = [\"tue\", \"wed\"]\n[[team]]\nname = \"Knots\"\n", least), "", ""))
		require.NoError(t, err)
		n := 0
		for _, w := range p.Warnings {
			if strings.Contains(w.What, "min_nights is") {
				n++
				require.Equal(t, 1, w.At.Line)
			}
		}
		require.Equal(t, told, n, "%d", least)
	}
}

// The order of the rows changes nothing.
func TestPoolRowsInAnyOrder(t *testing.T) {
	want, err := ReadPool(pool("", "", ""))
	require.NoError(t, err)
	plain := func(p *Pool) string {
		out := *p
		out.Kids = append([]PoolKid(nil), p.Kids...)
		for i := range out.Kids {
			out.Kids[i].Line = 0
		}
		out.Trials, out.Untested, out.Warnings = nil, nil, nil
		out.League.Common = Team{}
		return fmt.Sprintf("%+v", out)
	}
	lines := strings.Split(strings.TrimSpace(okPool), "\n")
	for range 6 {
		rand.Shuffle(3, func(i, j int) { lines[1+i], lines[1+j] = lines[1+j], lines[1+i] })
		got, err := ReadPool(pool("", strings.Join(lines, "\r\n"), ""))
		require.NoError(t, err)
		require.Equal(t, plain(want), plain(got))
	}
}

func FuzzReadPool(f *testing.F) {
	f.Add(okLeague, okPool, okLong)
	f.Add("[[team]]\nname = \"A\"\n[[team]]\nnights = [1]\n[fixed]\n", "kid;siblings;apart\n1;a;2 3\n2;A;1,\n", "kid,shuttle 1\n1,6\n")
	f.Add("[[fixed]]\nkid = 1\nteam = \"\"\n[evenness]\noverall = nan\n", "kid,nights,coach_of\n1,mon tue,A\n1,,\n", "")
	f.Fuzz(func(t *testing.T, league, sheet, results string) {
		p, err := ReadPool(folder("league.toml", league, "pool.csv", sheet, "results.csv", results))
		for _, ps := range []Problems{problemsOf(t, err), p.Warnings} {
			for _, x := range ps {
				sound(t, x.At.File, Problems{x})
			}
		}
		for i, k := range p.Kids {
			if badID(k.ID) != "" || i > 0 && !NaturalLess(p.Kids[i-1].ID, k.ID) || k.CoachOf >= len(p.League.Teams) || k.CoachOf < -1 {
				t.Fatalf("kid %+v", k)
			}
		}
		for _, x := range p.League.Fixed {
			if x.Team < 0 || x.Team >= len(p.League.Teams) {
				t.Fatalf("fixed %+v", x)
			}
		}
		if err == nil && (len(p.League.Teams) < 2 || len(p.Kids) < len(p.League.Teams)) {
			t.Fatalf("%d teams, %d kids", len(p.League.Teams), len(p.Kids))
		}
		p.Families()
		p.Cars()
	})
}

func TestPoolTemplates(t *testing.T) {
	_, err := ReadPool(PoolTemplates())
	ps := problemsOf(t, err)
	require.Len(t, ps, 2)
	require.Contains(t, ps[0].Error(), "0 teams to draft")
	require.Contains(t, ps[1].Error(), "pool.csv has no kids yet")

	// With the notes in front of keys and rows taken away, the templates read without a problem.
	var files []string
	for _, name := range []string{"league.toml", "pool.csv", "results.csv"} {
		data, err := fs.ReadFile(PoolTemplates(), name)
		require.NoError(t, err)
		text := regexp.MustCompile(`(?m)^# (\[+[a-z]+\]+|[a-z_]+ = |[27],)`).ReplaceAllString(string(data), "$1")
		if name != "league.toml" { // the example rows stand above the header
			lines := strings.Split(text, "\n")
			header := len(lines) - 2
			text = strings.Join(append([]string{lines[header]}, lines[:header]...), "\n")
		}
		if name == "pool.csv" {
			text += "\n17,Cy,3\n"
		}
		files = append(files, name, text)
	}
	p, err := ReadPool(folder(files...))
	require.NoError(t, err)
	require.Len(t, p.Kids, 3)
	require.Len(t, p.League.Teams, 2)
	require.Equal(t, []Coach{{"Coach Reed", "7", p.League.Coaches[0].At}}, p.League.Coaches)
	require.Len(t, p.League.Evenness, 7)
	require.Len(t, p.Trials, 2)
}
