package gameplan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// handMade is a plan as somebody may write it by hand: kids and roles alone, kids 1 to 5 in every series of so many, and others there beside them.
func handMade(series, kids int) *Saved {
	sv := &Saved{Schema: report.LineupSchema, Team: "Terns"}
	for k := range kids {
		sv.Kids = append(sv.Kids, SavedKid{Kid: fmt.Sprint(k + 1), Available: [2]int{1, series}})
	}
	for s := range series {
		line := SavedSeries{Number: s + 1, Formation: "2-3"}
		for i, role := range []string{"front", "front", "corner", "corner", "deep"} {
			line.Slots = append(line.Slots, games.Slot{Role: role, Kid: fmt.Sprint(i + 1)})
		}
		sv.Series = append(sv.Series, line)
	}
	return sv
}

// inFile writes a plan down, and gives the text with it.
func inFile(t require.TestingT, sv *Saved) []byte {
	data, err := json.MarshalIndent(sv, "", " ")
	require.NoError(t, err)
	return data
}

// readBack reads a plan that has to be fit to read.
func readBack(t require.TestingT, sv *Saved) *Saved {
	out, err := ReadSaved("dir/plan.json", inFile(t, sv))
	require.NoError(t, err)
	return out
}

// told is a problem that a file must have: what is said, and what stands on the line that is named; "": no line.
type told struct{ what, line string }

func requireTold(t *testing.T, data []byte, err error, want ...told) {
	t.Helper()
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	require.Len(t, ps, len(want), "%v", err)
	lines := strings.Split(string(data), "\n")
	for i, x := range want {
		require.Equal(t, "dir/plan.json", ps[i].At.File)
		require.Contains(t, ps[i].What, x.what)
		require.NotEmpty(t, ps[i].Do)
		if x.line == "" {
			require.Zero(t, ps[i].At.Line, ps[i].What)
			continue
		}
		require.Positive(t, ps[i].At.Line, ps[i].What)
		require.Contains(t, lines[ps[i].At.Line-1], x.line, ps[i].What)
	}
}

// TestWhatIsWrongWithAPlan: whatever cannot be in a plan is refused, with the kid, the series and the line; both sides of each border.
func TestWhatIsWrongWithAPlan(t *testing.T) {
	loose := func(rule string, to int) func(*Saved) {
		return func(sv *Saved) { sv.Loosening = []report.Loosening{{Rule: rule, To: to}} }
	}
	for name, x := range map[string]struct {
		edit func(*Saved)
		want []told
	}{
		"nothing":               {edit: func(*Saved) {}},
		"no series":             {func(sv *Saved) { sv.Series = nil }, []told{{"no series", `"series"`}}},
		"as many as can be":     {edit: func(sv *Saved) { *sv = *handMade(64, 6) }},
		"more than can be":      {func(sv *Saved) { *sv = *handMade(65, 6) }, []told{{"65 series; at most 64", `"series"`}}},
		"no kids":               {func(sv *Saved) { sv.Kids = nil }, []told{{"no kids", `"kids"`}}},
		"one series over":       {edit: func(sv *Saved) { sv.Played = 1 }},
		"all over":              {edit: func(sv *Saved) { sv.Played = 4 }},
		"more over":             {func(sv *Saved) { sv.Played = 5 }, []told{{"played is 5, and the plan has 4 series", `"played": 5`}}},
		"fewer than none over":  {func(sv *Saved) { sv.Played = -1 }, []told{{"played is -1", `"played": -1`}}},
		"an aim":                {edit: func(sv *Saved) { sv.Favor = "even" }},
		"no such aim":           {func(sv *Saved) { sv.Favor = "luck" }, []told{{`favor is "luck"`, `"luck"`}}},
		"the last loose rule":   {edit: loose("equal_series", 64)},
		"the first, given up":   {edit: loose("season_roles", -1)},
		"never loosened":        {loose("min_share", 1), []told{{`the rule "min_share" is never loosened`, `"min_share"`}}},
		"no rule":               {loose("luck", 1), []told{{`the rule "luck"`, `"luck"`}}},
		"loosened to nothing":   {loose("max_on", -2), []told{{"max_on is loosened to -2", `"to": -2`}}},
		"loosened beyond games": {loose("max_off", 65), []told{{"max_off is loosened to 65", `"to": 65`}}},
		"two at once":           {func(sv *Saved) { sv.Played, sv.Favor = 5, "luck" }, []told{{"played is 5", "5"}, {"luck", "luck"}}},
		"the second loose rule": {func(sv *Saved) {
			sv.Loosening = []report.Loosening{{Rule: "cover", To: 0}, {Rule: "never", To: 7}}
		}, []told{{`"never"`, `"never"`}}},
		"a kid without an id":     {func(sv *Saved) { sv.Kids[5].Kid = "" }, []told{{`kid "" stands there twice or has no id`, `"kid": ""`}}},
		"a kid twice":             {func(sv *Saved) { sv.Kids[5].Kid = "2" }, []told{{`kid "2" stands there twice`, `"kid": "2"`}}},
		"there for one series":    {edit: func(sv *Saved) { sv.Kids[5].Available = [2]int{4, 4} }},
		"there too early":         {func(sv *Saved) { sv.Kids[5].Available = [2]int{0, 4} }, []told{{"kid 6 is available for series 0 to 4 of 4", `"available"`}}},
		"there too late":          {func(sv *Saved) { sv.Kids[5].Available = [2]int{1, 5} }, []told{{"kid 6 is available for series 1 to 5 of 4", `"available"`}}},
		"there backwards":         {func(sv *Saved) { sv.Kids[5].Available = [2]int{3, 2} }, []told{{"kid 6 is available for series 3 to 2 of 4", `"available"`}}},
		"series in another order": {func(sv *Saved) { sv.Series[1].Number = 7 }, []told{{"series 2 is numbered 7", `"number": 7`}}},
		"a kid from nowhere":      {func(sv *Saved) { sv.Series[2].Slots[4].Kid = "8" }, []told{{`kid "8" plays in series 3 and is not among the plan's kids`, `"kid": "8"`}}},
		"a kid who has left": {func(sv *Saved) { sv.Kids[4].Available = [2]int{1, 3} },
			[]told{{"kid 5 plays in series 4 and is not available for it", `"kid": "5"`}}},
		"a kid who is away": {func(sv *Saved) { sv.Kids[0].Away = [][2]int{{2, 2}} },
			[]told{{"kid 1 plays in series 2 and is not available for it", `"kid": "1"`}}},
		"a kid in two spots": {func(sv *Saved) { sv.Series[3].Slots[4].Kid = "1" }, []told{{"kid 1 stands in two spots of series 4", `"kid": "1"`}}},
	} {
		t.Run(name, func(t *testing.T) {
			sv := handMade(4, 6)
			x.edit(sv)
			data := inFile(t, sv)
			_, err := ReadSaved("dir/plan.json", data)
			if x.want == nil {
				require.NoError(t, err)
				return
			}
			requireTold(t, data, err, x.want...)
		})
	}
}

// TestTheLineIsOfTheRightSpot: of equal lines, that of the series and the spot in question is named.
func TestTheLineIsOfTheRightSpot(t *testing.T) {
	sv := handMade(4, 6)
	sv.Series[2].Slots[3].Kid = "3"
	data := inFile(t, sv)
	_, err := ReadSaved("dir/plan.json", data)
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	before := strings.Join(strings.Split(string(data), "\n")[:ps[0].At.Line], "\n")
	require.Equal(t, 3, strings.Count(before, `"formation"`), "series 3")
	require.Equal(t, 14, strings.Count(before, `"role"`), "its fourth spot")
}

// TestWhatIsNoPlan: a file that is no plan at all is refused with its line where there is one.
func TestWhatIsNoPlan(t *testing.T) {
	good := inFile(t, handMade(4, 6))
	large := append(slices.Clone(good), bytes.Repeat([]byte(" "), 4<<20-len(good))...)
	_, err := ReadSaved("dir/plan.json", large)
	require.NoError(t, err, "4 MiB")
	large = append(large, ' ')
	_, err = ReadSaved("dir/plan.json", large)
	requireTold(t, large, err, told{"too large", ""})
	for was, want := range map[string]told{
		`"schema": "sevenyard.lineup/1"`: {"schema is", `"{"`},
		`"played": 0`:                    {"which does not belong there", `"played": "x"`},
		`"favor": ""`:                    {"not whole JSON", `x"favor"`},
		`"hurt": null`:                   {"which does not belong there", `"weakest": 1`}, // of the numbers that are only held against it
	} {
		now := map[string]string{`"schema": "sevenyard.lineup/1"`: `"schema": "sevenyard.season/1"`, `"played": 0`: `"played": "x"`, `"favor": ""`: `x"favor": ""`, `"hurt": null`: `"weakest": 1`}[was]
		data := bytes.Replace(good, []byte(was), []byte(now), 1)
		require.NotEqual(t, good, data)
		want.line = strings.ReplaceAll(want.line, `"{"`, "{")
		_, err := ReadSaved("dir/plan.json", data)
		requireTold(t, data, err, want)
	}
	_, err = ReadSaved("dir/plan.json", bytes.Replace(good, []byte("lineup/1"), []byte("rebuild/1"), 1))
	require.NoError(t, err)
}

// TestWhoIsThereInAFile: what is written down of a kid's presence comes back, and a kid who is never there is none.
func TestWhoIsThereInAFile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		there := rapid.SliceOfN(rapid.Bool(), 1, 9).Draw(t, "there")
		k, ok := savedKid("7", there)
		require.Equal(t, slices.Contains(there, true), ok)
		if !ok {
			return
		}
		require.Equal(t, there, k.There(len(there)))
		require.Equal(t, "7", k.Kid)
		require.Equal(t, [2]int{1 + slices.Index(there, true), len(there) - slices.Index(reversed(there), true)}, k.Available)
		for _, w := range k.Away {
			require.LessOrEqual(t, w[0], w[1])
		}
	})
}

func reversed(list []bool) []bool {
	out := slices.Clone(list)
	slices.Reverse(out)
	return out
}

// TestTheSumOfAFile: a file with its sum is unchanged however it is laid out, with a byte order mark too; a digit more is a change, and
// without a sum nothing is known.
func TestTheSumOfAFile(t *testing.T) {
	_, _, files := savedTeam(t)
	data := files[0]
	var flat bytes.Buffer
	require.NoError(t, json.Compact(&flat, data))
	for _, x := range []struct {
		data []byte
		want seal
	}{
		{data, unchanged}, {append([]byte("\ufeff"), data...), unchanged}, {flat.Bytes(), unchanged},
		{bytes.Replace(data, []byte(`"warnings": []`), []byte(`"warnings": ["x"]`), 1), unchanged}, // told anew whenever a plan is read
		{bytes.Replace(data, []byte(`"seed": 1`), []byte(`"seed": 2`), 1), changed},
		{sumLine.ReplaceAll(data, []byte(`"sum": "00000000"`)), changed},
		{sumLine.ReplaceAll(data, []byte(`"sum": ""`)), noSum},
	} {
		sv, err := ReadSaved("plan.json", x.data)
		require.NoError(t, err)
		require.Equal(t, x.want, sv.seal)
		require.Equal(t, x.want == changed, len(sv.ByHand(nil)) > 0)
	}
}

// TestAPlanAndItsTeam: a plan goes with its team, its kids and its formations; what is over may have been played in any way.
func TestAPlanAndItsTeam(t *testing.T) {
	for name, x := range map[string]struct {
		edit  func(*Saved, *drills.Folder)
		want  []told
		forms string // the last formation of those found
	}{
		"nothing":                 {edit: func(*Saved, *drills.Folder) {}, forms: "2-3 2-3 2-3 2-3"},
		"another team":            {edit: func(sv *Saved, f *drills.Folder) { f.Team.Name = "Gulls" }, want: []told{{"this is a plan of Terns, and the folder is Gulls's", `"team": "Terns"`}}},
		"a file without a team":   {edit: func(sv *Saved, f *drills.Folder) { sv.Team = "" }, forms: "2-3 2-3 2-3 2-3"},
		"a folder without a name": {edit: func(sv *Saved, f *drills.Folder) { f.Team.Name = "" }, forms: "2-3 2-3 2-3 2-3"},
		"a kid who is on no roster": {edit: func(sv *Saved, f *drills.Folder) { f.Roster[1].ID = "20" },
			want: []told{{`kid "2" is not in roster.csv any more`, `"kid": "2"`}}},
		"no such formation": {edit: func(sv *Saved, f *drills.Folder) { sv.Series[2].Formation = "9-9" }, want: []told{{`no formation "9-9"`, `"formation": "9-9"`}}},
		"no such formation, and over": {edit: func(sv *Saved, f *drills.Folder) { sv.Played, sv.Series[2].Formation = 3, "9-9" },
			forms: "2-3 2-3 2-3 2-3"},
		"no such formation, and the next one": {edit: func(sv *Saved, f *drills.Folder) { sv.Played, sv.Series[2].Formation = 2, "9-9" },
			want: []told{{`no formation "9-9"`, `"formation": "9-9"`}}},
		"the first formation there is": {edit: func(sv *Saved, f *drills.Folder) {
			sv.Series[3].Formation = "4-1"
			for i, role := range []string{"front", "front", "front", "front", "deep"} {
				sv.Series[3].Slots[i].Role = role
			}
		}, forms: "2-3 2-3 2-3 4-1"},
		"other roles": {edit: func(sv *Saved, f *drills.Folder) { sv.Series[1].Slots[0].Role = "deep" },
			want: []told{{"series 2 in 2-3 has the roles corner, corner, deep, deep, front, and it should be corner, corner, deep, front, front", `"slots"`}}},
		"a role of nobody": {edit: func(sv *Saved, f *drills.Folder) { sv.Series[1].Slots[0].Role = "Otis" },
			want: []told{{`"Otis", corner`, `"slots"`}}},
		"a kid too few": {edit: func(sv *Saved, f *drills.Folder) { sv.Series[3].Slots = sv.Series[3].Slots[:4] },
			want: []told{{"series 4 has 4 spots filled, and 6 kids in 2-3: it should be 5", `"slots"`}}},
		"nobody there": {edit: func(sv *Saved, f *drills.Folder) {
			sv.Series[3].Slots = nil
			for k := range sv.Kids {
				sv.Kids[k].Available[1] = 3
			}
		}, want: []told{{"series 4 has 0 spots filled, and 0 kids in 2-3: it should be 0", `"slots"`}}},
		"one kid alone": {edit: func(sv *Saved, f *drills.Folder) {
			sv.Series[3].Slots = sv.Series[3].Slots[:1]
			for k := range sv.Kids[1:] {
				sv.Kids[1+k].Available[1] = 3
			}
		}, forms: "2-3 2-3 2-3 2-3"},
		"over, in another formation": {edit: func(sv *Saved, f *drills.Folder) {
			sv.Played = 1
			for i, role := range []string{"front", "front", "front", "front", "deep"} {
				sv.Series[0].Slots[i].Role = role
			}
		}, forms: "4-1 2-3 2-3 2-3"},
		"over, a kid short": {edit: func(sv *Saved, f *drills.Folder) { sv.Played, sv.Series[0].Slots = 1, sv.Series[0].Slots[:4] }, forms: "as played 2-3 2-3 2-3"},
		"over, in a role of nobody": {edit: func(sv *Saved, f *drills.Folder) { sv.Played, sv.Series[0].Slots[2].Role = 1, "sweeper" },
			want: []told{{`no role "sweeper"`, `"role": "sweeper"`}}},
		"two problems": {edit: func(sv *Saved, f *drills.Folder) { sv.Series[0].Formation, sv.Series[1].Formation = "9-9", "8-8" }, want: []told{{"9-9", "9-9"}, {"8-8", "8-8"}}},
	} {
		t.Run(name, func(t *testing.T) {
			sv := handMade(4, 6)
			f, _ := small(6, nil)
			x.edit(sv, f)
			data := inFile(t, sv)
			sv, err := ReadSaved("dir/plan.json", data)
			require.NoError(t, err)
			forms, err := sv.match(f)
			if x.want != nil {
				requireTold(t, data, err, x.want...)
				require.Nil(t, forms)
				return
			}
			require.NoError(t, err)
			var names []string
			for s, form := range forms {
				names = append(names, form.Name)
				var have, spots []string
				for i, y := range sv.Series[s].Slots {
					have, spots = append(have, y.Role), append(spots, form.Spots[i].Role)
				}
				require.ElementsMatch(t, have, spots, "series %d", s+1)
			}
			require.Equal(t, x.forms, strings.Join(names, " "))
		})
	}
}
