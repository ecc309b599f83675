package drills

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A role with a name that cannot be one is one problem, though rows use it, as they do a drill's.
func TestSpoiltNamesAreKnownAgain(t *testing.T) {
	_, err := ReadFolder(folder("team.toml", okTeam+"[[roles]]\nname = \"My Spy\"\n[[drills]]\nname = \"Cone Run\"\n",
		"roster.csv", "kid,never\n2,my-spy\n7,\n", "results.csv", "kid,drill,value\n2,cone_run,7\n7,CONE run,8\n7,Cone-Run,9\n", "fits.csv", "kid,role,fit,se\n2,My Spy,50,5\n"))
	ps := problemsOf(t, err)
	require.Len(t, ps, 2, "%v", err)
	assert.Equal(t, []int{3, 5}, []int{ps[0].At.Line, ps[1].At.Line})
}

// Documents that contradict themselves are refused with a line, and never break the reader.
func TestContradictionsInTOML(t *testing.T) {
	for _, text := range []string{
		"pin = []\n[pin.a]\nb = 1\n", "pin = []\n[[pin]]\nkid = 3\n", "pin = 1\n[pin]\nkid = 3\n", "pin = 1\n[[pin]]\nkid = 3\n", "pin.kid = 3\n[[pin]]\nkid = 3\n", "pin.kid = 3\npin = 4\n", "pin.kid = 3\npin.kid.a = 4\n",
		"[[pin]]\nkid = 3\n[pin]\nkid = 4\n", "[pin]\n[[pin]]\n", "pin = {}\n[pin.a]\n", "[pin.a.b]\n[[pin.a]]\n",
	} {
		_, _, err := ReadTeam(strings.NewReader(text))
		require.Error(t, err, text)
		sound(t, "team.toml", problemsOf(t, err))
	}
}

// A division that the catalogue says nothing of is half and half.
func TestRunShareOfNowhere(t *testing.T) {
	cat := Catalogue{RunShares: []RunShare{{Grades: Grades{0, 1}, Share: .8}}}
	for g, want := range map[Grades]float64{{0, 1}: .8, {1, 2}: .8, {2, 3}: .5, {-5, 0}: .8, {0, 99}: .8, {3, 2}: .5} {
		assert.InDelta(t, want, cat.RunShare(g), 1e-12, "%v", g)
	}
}

// Titles are the entry's own, or stay what they were.
func TestTitles(t *testing.T) {
	text := ""
	for _, kind := range []string{"traits", "drills", "roles", "formations"} {
		name := map[string]string{"traits": "pulling", "drills": "pull", "roles": "front", "formations": "4-1"}[kind]
		text += "[[" + kind + "]]\nname = \"" + name + "\"\n"
	}
	same, _, err := ReadTeam(strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, Default(), same.Catalogue, "an entry that says nothing changes nothing")
	own, _, err := ReadTeam(strings.NewReader(strings.ReplaceAll(text, "\"\n", "\"\ntitle = \"Own\"\n")))
	require.NoError(t, err)
	trait, drill, role, formation := own.Catalogue.Traits[0], own.Catalogue.Drills[0], own.Catalogue.Roles[0], own.Catalogue.Formations
	assert.Equal(t, []string{"Own", "Own", "Own"}, []string{trait.Title, drill.Title, role.Title})
	for _, f := range formation {
		assert.Equal(t, f.Name == "4-1", f.Title == "Own", f.Name)
	}
}

// A kindergartner outside the division is pointed out as any other kid is; one without a grade is not.
func TestGradesOutsideTheDivision(t *testing.T) {
	f, err := ReadFolder(folder("team.toml", okTeam, "roster.csv", "kid,grade\n1,k\n2,2\n3,3\n4,4\n5,5\n6,\n", "results.csv", okLong[:strings.Index(okLong, "\n")+1]))
	require.NoError(t, err)
	var lines []int
	for _, w := range f.Warnings {
		if strings.Contains(w.What, "the division is 3-4") {
			lines = append(lines, w.At.Line)
		}
	}
	assert.Equal(t, []int{2, 3, 6}, lines)
	night, do := parseNight("mday")
	assert.Equal(t, []string{"", "did you mean monday?"}, []string{night, do})
}
