package gameplan

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// savedTeam is an invented team with rules of its own, its scores, and what was saved for it: a plan, one that had to loosen a rule, one that was
// rebuilt at the field, and one for another order of objectives. Each is sealed.
func savedTeam(t testing.TB) (*drills.Folder, *assess.Profile, [][]byte) {
	f, prof := small(8, func(f *drills.Folder) {
		f.Team.Series = 5
		one := 1
		f.Team.Rules.MaxOff = &one
		f.Team.Together = []drills.Pair{{"1", "2"}}
		f.Team.Covers = []drills.Cover{{Kids: []string{"3", "4", "8"}, AtLeast: 1}}
		f.Roster[6].Never = []string{"deep"}
	})
	rng := rand.New(rand.NewPCG(8, 8))
	for i := range prof.Kids {
		for r := range prof.Kids[i].Fits {
			prof.Kids[i].Fits[r].T = 35 + 30*rng.Float64()
		}
	}
	var files [][]byte
	keep := func(l *report.Lineup, whole any) {
		require.NoError(t, l.Seal(whole))
		files = append(files, saved(t, whole))
	}
	for _, x := range []struct {
		w     Wishes
		favor rotation.Favor
	}{{Wishes{}, rotation.Weakest}, {Wishes{Late: []At{{"1", 3}}, Absent: []string{"8"}}, rotation.Weakest}, {Wishes{}, rotation.Total}, {Wishes{}, rotation.Even}} {
		pl, err := New(f, prof, x.w)
		require.NoError(t, err)
		set := rotation.Settings{Seed: 1, Favor: x.favor}
		require.NoError(t, pl.Arrange(context.Background(), set, false))
		l := pl.Lineup(set)
		keep(l, l)
	}
	sv, err := ReadSaved("plan.json", files[0])
	require.NoError(t, err)
	pl, err := NewFrom(f, prof, Wishes{Hurt: []At{{"5", 3}}}, sv, -1)
	require.NoError(t, err)
	require.NoError(t, pl.Rearrange(context.Background(), rotation.Settings{Seed: 1}, false, 0))
	re := pl.Rebuild(rotation.Settings{Seed: 1}, 0, nil, nil)
	keep(&re.Lineup, re)
	return f, prof, files
}

// TestVerifyOfWhatWasSaved: a file that nobody touched comes back as it was, without a note. Only what was proven among plans with few
// changes is proven no more, since that needs the plan before.
func TestVerifyOfWhatWasSaved(t *testing.T) {
	f, prof, files := savedTeam(t)
	loosened := 0
	for i, data := range files {
		l, pl, err := ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{Seed: 1})
		require.NoError(t, err)
		require.Empty(t, pl.Broken)
		require.Empty(t, pl.Notes)
		if i == len(files)-1 {
			require.Equal(t, report.RebuildSchema, l.Schema)
			continue
		}
		require.True(t, l.Weakest.Proven && l.Total.Proven)
		loosened += len(l.Loosening)
		require.NoError(t, l.Seal(l))
		require.Equal(t, string(data), string(saved(t, l)))
	}
	require.Positive(t, loosened)
}

// leaf is a number, word or truth value of a file with its key.
var leaf = regexp.MustCompile(`("[A-Za-z]+": |^ *)(-?[0-9][0-9.e+-]*|true|false|"[^"\n]*")(,?)$`)

// mutate changes one leaf of a file; same: what stands in its place is as good as what was there.
func mutate(rng *rand.Rand, data []byte) (out []byte, key, now string) {
	lines := strings.Split(string(data), "\n")
	for {
		i := rng.IntN(len(lines))
		m := leaf.FindStringSubmatch(lines[i])
		if m == nil || strings.Contains(m[1], "sum") {
			continue
		}
		was, value := m[2], ""
		switch {
		case was == "true":
			value = "false"
		case was == "false":
			value = "true"
		case was[0] == '"':
			value = []string{`"1"`, `"3"`, `"7"`, `"8"`, `"99"`, `""`, `"front"`, `"corner"`, `"deep"`, `"rusher"`, `"3-2"`, `"total"`, `"even"`, `"never"`, `"max_on"`}[rng.IntN(15)]
		default:
			var x float64
			fmt.Sscan(was, &x)
			value = fmt.Sprint([]float64{x + 1, x - 1, x * 1.02, x - 0.1, 0, -x, float64(rng.IntN(12)), 1e9, x / 2}[rng.IntN(9)])
		}
		if value == was {
			continue
		}
		lines[i] = strings.Replace(lines[i], m[0], m[1]+value+m[3], 1)
		return []byte(strings.Join(lines, "\n")), strings.Trim(m[1], `": `), value
	}
}

var sumLine = regexp.MustCompile(`"sum": "[0-9a-f]*"`)

// TestVerifyOfChangedFiles changes any number, kid, role or flag of a saved plan. Either the file is refused with its line, or all
// that comes back is true of the folder, whatever the file says, nothing is proven that is not, and the change is told.
func TestVerifyOfChangedFiles(t *testing.T) {
	f, prof, files := savedTeam(t)
	cases, refused, shown, broken := 300, 0, 0, 0
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		cases = 6000
	}
	var whole []*report.Lineup
	for _, data := range files {
		l, _, err := ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{Seed: 1})
		require.NoError(t, err)
		whole = append(whole, l)
	}
	for n := range cases {
		rng := rand.New(rand.NewPCG(uint64(n), 3))
		i := rng.IntN(len(files))
		data, key, value := mutate(rng, files[i])
		told := "was changed after it was saved"
		switch rng.IntN(4) {
		case 0: // as old files are
			data, told = sumLine.ReplaceAll(data, []byte(`"sum": ""`)), ""
		case 1: // as somebody does who means to deceive
			if sum, err := report.SumOf(data); err == nil {
				data, told = sumLine.ReplaceAll(data, []byte(`"sum": "`+sum+`"`)), ""
			}
		}
		what := fmt.Sprintf("case %d: %s is %s in file %d", n, key, value, i)
		l, pl, err := ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{Seed: 1})
		if err != nil {
			var ps drills.Problems
			require.True(t, errors.As(err, &ps), "%s: %v", what, err)
			for _, p := range ps {
				require.Equal(t, "plan.json", p.At.File)
				require.True(t, p.At.Line >= 1 && p.At.Line <= 1+bytes.Count(data, []byte("\n")), "%s: %v", what, p)
				require.NotEmpty(t, p.Do)
			}
			refused++
			continue
		}
		shown++
		if len(l.Broken) > 0 {
			broken++
		}
		if told != "" {
			require.Contains(t, strings.Join(pl.Notes, "\n"), told, what)
		}
		isTrue(t, what, f, prof, l, pl)
		if slices.Contains([]string{"strength", "fit", "se", "own", "tested", "importance", "value", "bound", "proven", "share", "longestOn", "longestOff", "levels", "limited", "seed", "maxOn", "minRoles", "kept"}, key) {
			require.Equal(t, whole[i], l, what)
		}
		if key == "strength" || key == "fit" {
			require.NotEmpty(t, pl.Notes, what)
		}
	}
	t.Logf("%d files refused, %d shown, %d of them with rules not kept", refused, shown, broken)
	require.Greater(t, refused, cases/10)
	require.Greater(t, shown, cases/3)
	require.Positive(t, broken)
}

// isTrue works everything that is shown out again, from the folder alone.
func isTrue(t *testing.T, what string, f *drills.Folder, prof *assess.Profile, l *report.Lineup, pl *Plan) {
	t.Helper()
	weakest, total := math.Inf(1), 0.0
	for i, s := range l.Series {
		sum, imp := 0.0, 0.0
		for _, x := range s.Slots {
			imp += assess.Importance(&f.Team, x.Role)
		}
		on := map[string]bool{}
		for _, x := range s.Slots {
			k := slices.IndexFunc(prof.Kids, func(k assess.Kid) bool { return k.ID == x.Kid })
			fit := prof.Kids[k].Fits[slices.IndexFunc(f.Team.Catalogue.Roles, func(r drills.Role) bool { return r.Name == x.Role })]
			require.Equal(t, []any{fit.T, fit.SE, fit.Own, fit.Tested}, []any{x.Fit, x.SE, x.Own, x.Tested}, what)
			scaled := assess.Importance(&f.Team, x.Role) * float64(len(s.Slots)) / imp
			require.InDelta(t, scaled, x.Importance, 1e-12, what)
			require.Equal(t, int(math.Round(10*scaled*fit.T)), x.Value, what)
			require.Empty(t, f.Roster[k].Hold, what)
			require.False(t, i >= l.Played && slices.Contains(f.Roster[k].Never, x.Role), what)
			sum, on[x.Kid] = sum+float64(x.Value), true
		}
		require.InDelta(t, sum/float64(10*len(s.Slots)), s.Strength, 1e-9, what)
		if i >= l.Played {
			weakest, total = min(weakest, s.Strength), total+s.Strength
		}
		for _, k := range l.Kids {
			there := k.Available[0] <= i+1 && i+1 <= k.Available[1]
			require.Equal(t, there && !on[k.Kid], slices.Contains(s.Bench, k.Kid), what)
			require.False(t, on[k.Kid] && !there, what)
		}
	}
	require.InDelta(t, weakest, l.Weakest.Value, 1e-9, what)
	require.InDelta(t, total, l.Total.Value, 1e-9, what)
	require.Equal(t, l.Weakest.Value, l.Series[l.Weakest.Series-1].Strength, what)
	for _, k := range l.Kids {
		n, roles := 0, map[string]int{}
		for _, s := range l.Series {
			for _, x := range s.Slots {
				if x.Kid == k.Kid {
					n++
					roles[x.Role]++
				}
			}
		}
		require.Equal(t, []any{n, roles}, []any{k.Series, k.Roles}, what)
	}
	bad := rotation.Check(pl.Outcome.Problem, pl.old)
	require.Len(t, l.Broken, len(bad), what)
	if len(bad) > 0 {
		require.False(t, l.Weakest.Proven || l.Total.Proven, what)
	}
	favor, err := ParseFavor(l.Favor)
	require.NoError(t, err)
	best, err := rotation.Solve(context.Background(), pl.Outcome.Problem, rotation.Settings{Favor: favor, Seed: 5})
	require.NoError(t, err)
	if best.Plan == nil {
		require.NotEmpty(t, bad, what)
		return
	}
	scale := float64(pl.Outcome.Problem.Scale)
	top, topTotal := float64(best.Weakest.Value)/scale, float64(best.Total.Value)/scale
	if favor == rotation.Total {
		require.GreaterOrEqual(t, l.Total.Bound, topTotal, what)
		require.Equal(t, len(bad) == 0 && l.Total.Value == topTotal, l.Total.Proven, what)
		require.Equal(t, l.Total.Proven && l.Weakest.Value == top, l.Weakest.Proven, what)
		return
	}
	require.GreaterOrEqual(t, l.Weakest.Bound, top, what)
	require.Equal(t, len(bad) == 0 && l.Weakest.Value == top, l.Weakest.Proven, what)
	if favor == rotation.Weakest {
		require.Equal(t, l.Weakest.Proven && l.Total.Value == topTotal, l.Total.Proven, what)
	}
}

// TestVerifyOfCarefulHands has whoever changes the file put another kid into a spot, and mend counts, bench and sum with it, so that the file follows
// from itself. The rules that this breaks are named, and nothing is proven that is not.
func TestVerifyOfCarefulHands(t *testing.T) {
	f, prof, files := savedTeam(t)
	cases, broken, fine, refused := 80, 0, 0, 0
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		cases = 2000
	}
	for n := range cases {
		rng := rand.New(rand.NewPCG(uint64(n), 4))
		l := &report.Lineup{}
		sv, err := ReadSaved("plan.json", files[rng.IntN(4)])
		require.NoError(t, err)
		*l = *sv.said
		for range 1 + rng.IntN(2) {
			s := &l.Series[rng.IntN(len(l.Series))]
			if j := rng.IntN(len(s.Slots)); len(s.Bench) > 0 && rng.IntN(3) > 0 {
				b := rng.IntN(len(s.Bench))
				s.Slots[j].Kid, s.Bench[b] = s.Bench[b], s.Slots[j].Kid
			} else {
				other := rng.IntN(len(s.Slots))
				s.Slots[j].Kid, s.Slots[other].Kid = s.Slots[other].Kid, s.Slots[j].Kid
			}
		}
		for i := range l.Kids {
			l.Kids[i].Roles = map[string]int{}
			for _, s := range l.Series {
				for _, x := range s.Slots {
					if x.Kid == l.Kids[i].Kid {
						l.Kids[i].Roles[x.Role]++
					}
				}
			}
		}
		l.Sum = ""
		if rng.IntN(2) == 0 {
			require.NoError(t, l.Seal(l))
		}
		now, pl, err := ReadLineup(context.Background(), "plan.json", saved(t, l), f, prof, rotation.Settings{Seed: 1})
		if err != nil {
			require.ErrorContains(t, err, "(never)")
			refused++
			continue
		}
		isTrue(t, fmt.Sprint("case ", n), f, prof, now, pl)
		if len(now.Broken) > 0 {
			broken++
			require.Contains(t, strings.Join(pl.Notes, "\n"), "does not keep every rule")
		} else {
			fine++
		}
	}
	t.Logf("%d with rules not kept, %d fine, %d refused", broken, fine, refused)
	require.Greater(t, broken, cases/4)
	require.Greater(t, fine, cases/10)
	require.Positive(t, refused)
}

// TestVerifyBars: whoever knows of a kid who may not play has the last word, with the line.
func TestVerifyBars(t *testing.T) {
	f, prof, files := savedTeam(t)
	kid := ""
	sv, err := ReadSaved("plan.json", files[0])
	require.NoError(t, err)
	kid = sv.Series[3].Slots[2].Kid
	bar := func(id string, series int) string {
		if id == kid && series == 4 {
			return "was hurt in the game that is on"
		}
		return ""
	}
	_, _, err = ReadLineup(context.Background(), "plan.json", files[0], f, prof, rotation.Settings{}, bar)
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	require.Len(t, ps, 1)
	require.Contains(t, ps[0].What, "kid "+kid+" was hurt in the game that is on, and the plan has the kid on the field in series 4")
	require.Contains(t, strings.Split(string(files[0]), "\n")[ps[0].At.Line-1], `"kid": "`+kid+`"`)
	// A hold set since the plan was saved is a bar of the folder's own.
	f.Roster[2].Hold = "wrist"
	_, _, err = ReadLineup(context.Background(), "plan.json", files[0], f, prof, rotation.Settings{})
	require.ErrorContains(t, err, "kid 3 is on medical hold, and the plan has the kid on the field in series ")
	f.Roster[2].Hold = ""
	f.Roster[2].Never = []string{"front", "corner", "deep"}
	_, _, err = ReadLineup(context.Background(), "plan.json", files[0], f, prof, rotation.Settings{})
	require.ErrorContains(t, err, "kid 3 never plays ")
}

// TestChangedScoresAreNoHandEdit: a team that was tested again since is told from a file that was changed.
func TestChangedScoresAreNoHandEdit(t *testing.T) {
	f, prof, files := savedTeam(t)
	for i := range prof.Kids {
		for r := range prof.Kids[i].Fits {
			prof.Kids[i].Fits[r].T += float64(i)
		}
	}
	for _, file := range [][]byte{files[0], sumLine.ReplaceAll(files[0], []byte(`"sum": ""`))} {
		l, pl, err := ReadLineup(context.Background(), "dir/plan.json", file, f, prof, rotation.Settings{})
		require.NoError(t, err)
		isTrue(t, "scored again", f, prof, l, pl)
		notes := strings.Join(pl.Notes, "\n")
		require.Contains(t, notes, "the scores, weights or fits have changed since plan.json was saved: series 1 is ")
		require.Contains(t, notes, " by the numbers of today, the file says ")
		require.NotContains(t, notes, "changed by hand")
		require.NotContains(t, notes, "changed after")
	}
	file := bytes.Replace(files[0], []byte(`"proven": false`), []byte(`"proven": true`), -1)
	file = sumLine.ReplaceAll(file, []byte(`"sum": ""`))
	at := bytes.Index(file, []byte(`"strength": `))
	file = append(append(slices.Clone(file[:at]), []byte(`"strength": 99.5,"x": `)...), file[at+len(`"strength": `):]...)
	_, pl, err := ReadLineup(context.Background(), "dir/plan.json", file, f, prof, rotation.Settings{})
	require.NoError(t, err)
	require.Regexp(t, `plan.json was changed by hand: .*line \d+: the strength of series 1 is 99\.5`, strings.Join(pl.Notes, "\n"))
}
