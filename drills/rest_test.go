package drills

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// With problems a reader gives what could be read: a refused value leaves what was there before, a refused row is not there.
func TestRefusedLeavesWhatWas(t *testing.T) {
	for _, text := range []string{
		"series = 0", "[rules]\nmax_on = 0", "[rules]\nmax_off = 61", "[rules]\nmin_share = 2", "division = \"x\"", "favor = \"x\"", "formation = \"x\"", "formation = [\"2-3\", \"x\"]", "formation = []", "formation = [7]",
		"[[pin]]\nkid = 3\nseries = 99", "[[pin]]\nkid = true\nseries = 1", "[[pin]]\nkid = 3\nseries = 1\nrole = \"x\"", "[[pin]]\nkid = 3\nseries = 1\nrole = \"rusher\"", "[[cover]]\nat_least = 1",
		"[[cover]]\nkids = [\"3\"]\nat_least = 2", "together = [[\"2\", \"2\"]]", "together = [[\"2\"]]", "apart = [[\"2\", true]]", "[importance]\nfront = 0", "[[drills]]\nname = \"x\"", "[[roles]]\nname = \"x\"", "[[traits]]\nname = \"X\"",
		"[[formations]]\nname = \"x\"\nroles = []", "[[formations]]\nname = \"x\"\nroles = [\"x\"]", "[[drills]]\nname = \"sprint\"\nrange = [9, 3]", "[[drills]]\nname = \"sprint\"\ntrials = 0", "[weights]\nfront = 1", "name = 7",
		"[[drills]]\nname = \"sprint\"\nkind = \"rated\"", "[[drills]]\nname = \"a\\u0007b\"", "name = \"a\\u0007b\"", "together = [[]]", "apart = [[], [[]]]",
	} {
		got, _, err := ReadTeam(strings.NewReader(text))
		require.Error(t, err, text)
		want := defaultTeam()
		want.Catalogue.spoilt, got.Catalogue.spoilt = nil, nil
		if strings.HasPrefix(text, "[weights]") { // whose weights are refused whole
			continue
		}
		assert.Equal(t, want, got, text)
	}
	fits, _, err := ReadFits(strings.NewReader("kid,role,fit,se\n2,front,500,5\n2,deep,50,-1\n7,front,,\n99,front,50,5\n2,x,50,5\n2,corner,51,6\n2,corner,52,6\n"), Default(), okKids(t))
	require.Len(t, problemsOf(t, err), 7)
	assert.Equal(t, []OwnFit{{"2", "corner", 51, 6, Place{"fits.csv", 7}}}, fits)
	res, err := ReadResults(strings.NewReader("kid,drill,value,attempts\n2,shuttle,64,\n2,pull,11,10\n2,pull,x,10\n2,catch,5,\n99,shuttle,6.4,\n2,x,6.4,\n2,sprint,4,5\n7,shuttle,6.5,\n7,shuttle,6.6,\n"), Default(), okKids(t), Grades{3, 4})
	require.Error(t, err)
	assert.Equal(t, []Trial{{Kid: "7", Drill: "shuttle", Number: 1, Value: 6.5, At: Place{"results.csv", 9}}}, res.Trials, "without a column trial the first is trial 1")
	kids, _, err := ReadRoster(strings.NewReader("kid,name,grade\n2,A,13\n7,B,3\n7,C,4\n10,D,k,x\n"), Default())
	require.Len(t, problemsOf(t, err), 3)
	assert.Equal(t, []Kid{{ID: "7", Name: "B", Grade: 3, Line: 3}}, kids)
}

// A formation of the team's own puts its players where the catalogue's 2-3 and 2-1-2 do: front, corner, deep and rusher, the rest with the corners.
func TestUsualYards(t *testing.T) {
	team, _, err := ReadTeam(strings.NewReader("[[roles]]\nname = \"spy\"\nrun = 1\npass = 1\nweights = { speed = 1 }\n[[formations]]\nname = \"own\"\nroles = [\"front\", \"corner\", \"deep\", \"rusher\", \"spy\", \"front\"]\n"))
	require.NoError(t, err)
	own, _ := team.Catalogue.Formation("own")
	cat := Default()
	deep := map[string]float64{}
	for _, f := range cat.Formations {
		for _, s := range f.Spots {
			if s.Role != "deep" || f.Name == "2-3" {
				deep[s.Role] = max(deep[s.Role], s.Deep)
			}
		}
	}
	rush, _ := cat.Rule("rusher-distance")
	corner := own.Spots[1].Deep
	assert.Equal(t, []float64{1, corner, deep["deep"], rush.Value, corner, 1}, []float64{own.Spots[0].Deep, own.Spots[1].Deep, own.Spots[2].Deep, own.Spots[3].Deep, own.Spots[4].Deep, own.Spots[5].Deep})
	f, _ := cat.Formation("2-3")
	for _, s := range f.Spots {
		assert.True(t, s.Role != "corner" || s.Deep == corner)
	}
	assert.Equal(t, []float64{-5, 0, 0, 0, 0, 5}, []float64{own.Spots[0].Across, own.Spots[1].Across, own.Spots[2].Across, own.Spots[3].Across, own.Spots[4].Across, own.Spots[5].Across}, "evenly over twenty yards")
	team, _, err = ReadTeam(strings.NewReader("[[drills]]\nname = \"shuttle\"\nranges = [{ grades = \"3\", min = 4, max = 20 }]\n"))
	require.NoError(t, err)
	d, _ := team.Catalogue.Drill("shuttle")
	assert.Equal(t, []Range{{Grades{3, 3}, 4, 20}}, d.Ranges, "its own ranges replace the catalogue's")
}

// A drill's name may end in a number that is no trial.
func TestNumberInADrillsName(t *testing.T) {
	cat := Catalogue{Drills: []Drill{{Name: "hop-2", Kind: Timed, Ranges: []Range{{Grades{0, 12}, 1, 9}}}}}
	res, err := ReadResults(strings.NewReader("kid,hop-2,Hop 2 2,hop_2_3\n2,6.4,6.5,6.6\n"), cat, okKids(t), Grades{3, 4})
	require.NoError(t, err)
	var got []int
	for _, x := range res.Trials {
		got = append(got, x.Number)
	}
	assert.Equal(t, []int{1, 2, 3}, got)
}

// Pins that bar kids ask for no spot, and many may stand on one.
func TestBarsTakeNoSpot(t *testing.T) {
	team, _, err := ReadTeam(strings.NewReader(pins("3", "front", "false", "4", "front", "false", "5", "front", "false", "6", "", "false")))
	require.NoError(t, err)
	assert.Len(t, team.Pins, 4)
}

// What a warning is about: the file as a whole, or the line that names it, and each formation once.
func TestWarningsHaveTheirPlace(t *testing.T) {
	for text, want := range map[string]Problems{
		"": {{At: Place{"team.toml", 0}, What: "no division is given; taken as grades 3-4", Do: `write division = "3-4" or your own`}},
		"division = \"3-4\"\nformation = [\"own\", \"2-3\", \"own\"]\n[[formations]]\nname = \"own\"\nroles = [\"front\", \"corner\"]\ngrades = \"5-8\"\n": {
			{At: Place{"team.toml", 2}, What: "formation own is used in grades 5-8, the division is 3-4", Do: "check the league's rules"}},
		"division = \"3-4\"\nformation = \"own\"\n[[formations]]\nname = \"own\"\nroles = [\"front\", \"rusher\", \"corner\"]\ndeep = [1, 7, 5]\n": nil,
		"division = \"3\"\n": {{At: Place{"roster.csv", 3}, What: "kid 7 is in grade 4, the division is 3"}},
	} {
		f, err := ReadFolder(folder("team.toml", text, "roster.csv", okRoster, "results.csv", okLong))
		require.NoError(t, err, text)
		assert.Equal(t, want, f.Warnings, text)
	}
	f, err := ReadFolder(folder("roster.csv", okRoster, "results.csv", okLong, "teem.toml", ""))
	require.NoError(t, err)
	assert.ErrorContains(t, f.Warnings, `team.toml: team.toml is not there, but "teem.toml" is: the usual rules count`)
}
