package gameplan

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// edited is a saved plan changed by hand, without a sum, read back.
func edited(t *testing.T, file []byte, edit func(*report.Lineup)) (*Saved, []byte) {
	t.Helper()
	sv, err := ReadSaved("dir/plan.json", file)
	require.NoError(t, err)
	l := sv.said
	edit(l)
	l.Sum = ""
	data := saved(t, l)
	sv, err = ReadSaved("dir/plan.json", data)
	require.NoError(t, err)
	return sv, data
}

// TestWhereAFileContradictsItself: each number that does not follow from the others is told, once, with its kid, series and line, and with both numbers in so many
// digits that they differ.
func TestWhereAFileContradictsItself(t *testing.T) {
	f, _, files := savedTeam(t)
	c := &f.Team.Catalogue
	sv, err := ReadSaved("dir/plan.json", files[0])
	require.NoError(t, err)
	whole := sv.said
	again := func() (series, slot int, kid, role string) { // a kid's last series in a role that it has more than one of
		seen := map[string]bool{}
		for i, s := range whole.Series {
			for j, x := range s.Slots {
				if key := x.Kid + " " + x.Role; seen[key] {
					series, slot, kid, role = i, j, x.Kid, x.Role
				}
				seen[x.Kid+" "+x.Role] = true
			}
		}
		require.NotEmpty(t, kid, "no kid is in a role twice")
		return series, slot, kid, role
	}
	si, sj, skid, srole := again()
	fit := whole.Series[si].Slots[sj].Fit
	low := slices.IndexFunc(whole.Series, func(s report.LineupSeries) bool { return s.Strength == whole.Weakest.Value })
	strength := whole.Series[3].Strength
	bench := whole.Series[2].Bench[0]
	value := whole.Series[1].Slots[0].Value
	for name, x := range map[string]struct {
		edit func(*report.Lineup)
		want []told // of the contradictions
	}{
		"nothing": {edit: func(*report.Lineup) {}},
		"a fit": {func(l *report.Lineup) {
			l.Series[si].Slots[sj].Fit = fit + 0.01
			l.Series[si].Slots[sj].Value = int(rotation.SlotValue(l.Series[si].Slots[sj].Importance, fit+0.01))
		},
			[]told{{fmt.Sprintf("kid %s has two fits as %s, %s and %s", skid, srole, pts(fit, fit+0.01), pts(fit+0.01, fit)), `"fit"`}}},
		"a fit to rounding": {edit: func(l *report.Lineup) { l.Series[si].Slots[sj].Fit = fit * (1 + 1e-12) }},
		"a value": {func(l *report.Lineup) { l.Series[1].Slots[0].Value++; l.Series[1].Slots[1].Value-- },
			[]told{{fmt.Sprintf("the value of kid %s in series 2 is %d, and its fit makes %d", whole.Series[1].Slots[0].Kid, value+1, value), fmt.Sprintf(`"value": %d`, value+1)},
				{"in series 2", `"value"`}}},
		"a strength": {func(l *report.Lineup) {
			l.Series[3].Strength += 0.001
			l.Total.Value += 0.001
			l.Total.Bound = l.Total.Value
			fixWeakest(l)
		},
			[]told{{fmt.Sprintf("the strength of series 4 is %s, and its spots make %s", pts(strength+0.001, strength), pts(strength, strength+0.001)), `"strength"`}}},
		"the weakest": {func(l *report.Lineup) { l.Weakest.Value += 1; l.Weakest.Bound += 1 },
			[]told{{fmt.Sprintf("the weakest series is said to have %.1f, and has %.1f", whole.Weakest.Value+1, whole.Weakest.Value), `"value"`}}},
		"the weakest, which is over": {func(l *report.Lineup) { l.Played = low + 1 }, []told{{"the weakest series is said to have", `"value"`}, {"the total is said to be", `"value"`}}},
		"the total": {func(l *report.Lineup) { l.Total.Value -= 2; l.Total.Bound -= 2 },
			[]told{{fmt.Sprintf("the total is said to be %.1f, and the series make %.1f", whole.Total.Value-2, whole.Total.Value), `"value"`}}},
		"a bound below": {func(l *report.Lineup) { l.Weakest.Proven = false; l.Weakest.Bound -= 3 },
			[]told{{fmt.Sprintf("the bound of %.1f, the weakest, does not go with its value, %.1f", whole.Weakest.Value-3, whole.Weakest.Value), `"bound"`}}},
		"a bound below by rounding": {edit: func(l *report.Lineup) { l.Weakest.Proven = false; l.Weakest.Bound *= 1 - 1e-12 }},
		"a bound above":             {edit: func(l *report.Lineup) { l.Weakest.Proven = false; l.Weakest.Bound += 3 }},
		"a bound above a proof": {func(l *report.Lineup) { l.Total.Bound += 3 },
			[]told{{fmt.Sprintf("the bound of %.1f, the total, does not go with its value, %.1f", whole.Total.Value+3, whole.Total.Value), `"bound"`}}},
		"a kid from nowhere on the bench": {func(l *report.Lineup) { l.Series[2].Bench[0] = "Otis" }, []told{{"the bench of series 3 has a kid who is not in the plan", `"Otis"`}}},
		"a kid on bench and field": {func(l *report.Lineup) { l.Series[2].Bench[0] = l.Series[2].Slots[0].Kid },
			[]told{{fmt.Sprintf("kid %s is on the bench of series 3, and on the field", whole.Series[2].Slots[0].Kid), `"` + whole.Series[2].Slots[0].Kid + `"`}}},
	} {
		t.Run(name, func(t *testing.T) {
			sv, data := edited(t, files[0], x.edit)
			ps := sv.contradictions(c)
			if x.want == nil {
				require.Empty(t, ps)
				return
			}
			for i := range ps {
				ps[i].Do = "x" // said in one sentence for all
			}
			requireTold(t, data, ps, x.want...)
			require.NotContains(t, fmt.Sprint(sv.ByHand(c)), "Otis", "whatever stands there may be a name")
		})
	}
	// Whoever is put into another's spot is counted.
	in, out := bench, whole.Series[2].Slots[1].Kid
	role := whole.Series[2].Slots[1].Role
	sv, data := edited(t, files[0], func(l *report.Lineup) { l.Series[2].Slots[1].Kid = in })
	ps := sv.contradictions(c)
	text := fmt.Sprint(ps)
	counts := map[string]int{}
	for _, k := range whole.Kids {
		counts[k.Kid] = k.Roles[role]
	}
	require.Contains(t, text, fmt.Sprintf("kid %s stands in the series %s as %s, and %d are counted", in, times(counts[in]+1), role, counts[in]))
	require.Contains(t, text, fmt.Sprintf("kid %s stands in the series %s as %s, and %d are counted", out, times(counts[out]-1), role, counts[out]))
	require.Contains(t, text, fmt.Sprintf("kid %s is on the bench of series 3, and on the field", in))
	for _, p := range ps[:2] {
		require.Contains(t, strings.Split(string(data), "\n")[p.At.Line-1], `"roles"`)
	}
	require.Equal(t, []string{"0 times", "once", "2 times"}, []string{times(0), times(1), times(2)})
}

// fixWeakest has the weakest series be what the strengths make it.
func fixWeakest(l *report.Lineup) {
	l.Weakest.Value = l.Series[0].Strength
	for _, s := range l.Series {
		l.Weakest.Value = min(l.Weakest.Value, s.Strength)
	}
	l.Weakest.Bound = l.Weakest.Value
}

// TestAFileThatSaysNothing: numbers that a file does not have contradict nothing.
func TestAFileThatSaysNothing(t *testing.T) {
	f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 4 })
	sv := readBack(t, handMade(4, 7))
	require.Empty(t, sv.contradictions(&f.Team.Catalogue))
	require.Empty(t, sv.ByHand(&f.Team.Catalogue))
	pl, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.Empty(t, sv.otherNow(pl.asInFile(t)))
	_, _, files := savedTeam(t)
	whole := string(files[0])
	for _, key := range []string{"fit", "value", "strength", "bound"} { // each by itself
		data := regexp.MustCompile(`(?m)^ *"`+key+`": [0-9.]+,?\n`).ReplaceAllString(whole, "")
		data = regexp.MustCompile(`,(\s*[}\]])`).ReplaceAllString(sumLine.ReplaceAllString(data, `"sum": ""`), "$1")
		require.NotContains(t, data, `"`+key+`"`)
		sv, err := ReadSaved("plan.json", []byte(data))
		require.NoError(t, err, key)
		require.NotContains(t, fmt.Sprint(sv.contradictions(&f.Team.Catalogue)), "fits as", key)
		if key == "bound" || key == "strength" {
			require.NotContains(t, fmt.Sprint(sv.contradictions(&f.Team.Catalogue)), key+" of", key)
		}
	}
}

// TestASeriesWithNobody: a series that is over and that nobody played in has no strength, and that is no contradiction.
func TestASeriesWithNobody(t *testing.T) {
	f, _, files := savedTeam(t)
	sv, _ := edited(t, files[0], func(l *report.Lineup) {
		l.Played = 1
		for i := range l.Kids {
			for _, x := range l.Series[0].Slots {
				if x.Kid == l.Kids[i].Kid {
					l.Kids[i].Roles[x.Role]--
				}
			}
		}
		l.Series[0].Slots, l.Series[0].Strength = nil, 0
		l.Weakest.Bound, l.Weakest.Value, l.Total.Value = 1e3, 1e3, 0
		l.Weakest.Proven, l.Total.Proven, l.Total.Bound = false, false, 1e3
		for _, s := range l.Series[1:] {
			l.Weakest.Value = min(l.Weakest.Value, s.Strength)
			l.Total.Value += s.Strength
		}
	})
	require.Empty(t, sv.contradictions(&f.Team.Catalogue))
	sv, _ = edited(t, files[0], func(l *report.Lineup) { l.Series[0].Slots = l.Series[0].Slots[:1] })
	require.Contains(t, fmt.Sprint(sv.contradictions(&f.Team.Catalogue)), "the strength of series 1 is ", "of one kid it does")
}

// asInFile is the plan as it stands in its file, valued and unproven.
func (pl *Plan) asInFile(t *testing.T) *report.Lineup {
	out, _, err := pl.Game.Inspect(pl.old)
	require.NoError(t, err)
	pl.Outcome = out
	return pl.Lineup(rotation.Settings{})
}

// TestPoints: a tenth where that tells two numbers apart, else more digits, up to eight; the same number reads the same.
func TestPoints(t *testing.T) {
	for _, x := range []struct {
		a, b float64
		want string
	}{{50, 50, "50.0"}, {50.12, 50.12, "50.1"}, {50, 51, "50.0"}, {50.14, 50.11, "50.14"}, {50.1, 50.2, "50.1"}, {50.1, 50.14, "50.10"}, {50.0000001, 50, "50.0000001"},
		{50.0000000001, 50, "50.00000000"}, {-1, 1, "-1.0"}} {
		require.Equal(t, x.want, pts(x.a, x.b))
	}
	for _, x := range []struct {
		a, b float64
		want bool
	}{{1, 1, true}, {0, 1e-10, true}, {0, 1e-9, true}, {0, 1e-8, false}, {1000, 1000.0000005, true}, {1000.0000005, 1000, true}, {1000, 1000.00001, false}, {-1000, 1000, false}, {-1000, -1000.0000005, true}} {
		require.Equal(t, x.want, near(x.a, x.b), "%v %v", x.a, x.b)
	}
}

// TestTheFirstFewOfMany: four are told, and the rest counted where there are more than one.
func TestTheFirstFewOfMany(t *testing.T) {
	for n, want := range []string{"", "1", "1; 2", "1; 2; 3", "1; 2; 3; 4", "1; 2; 3; 4; 5", "1; 2; 3; 4; and 2 more", "1; 2; 3; 4; and 3 more"} {
		var words []string
		for i := range n {
			words = append(words, strconv.Itoa(i+1))
		}
		require.Equal(t, want, someOf(words))
	}
}

// TestAPlanThatIsOver: nothing of it is still to be shown.
func TestAPlanThatIsOver(t *testing.T) {
	f, prof := small(7, nil)
	sv := handMade(4, 7)
	sv.Played = 4
	data := inFile(t, sv)
	_, err := Reopen(f, prof, availability.Out{}, readBack(t, sv))
	requireTold(t, data, err, told{"all 4 series of the plan are over", `"played": 4`})
	sv.Played = 3
	_, err = Reopen(f, prof, availability.Out{}, readBack(t, sv))
	require.NoError(t, err)
}

// TestOtherNumbersByNow: every strength that is another by now is told; where the sums are the same, the first fit that is.
func TestOtherNumbersByNow(t *testing.T) {
	f, prof, files := savedTeam(t)
	sv, err := ReadSaved("plan.json", files[0])
	require.NoError(t, err)
	pl, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	for name, x := range map[string]struct {
		edit func(*report.Lineup)
		want []string
	}{
		"nothing":     {edit: func(*report.Lineup) {}},
		"one series":  {func(l *report.Lineup) { l.Series[1].Strength++ }, []string{"series 2 is "}},
		"the weakest": {func(l *report.Lineup) { l.Weakest.Value++ }, []string{"the weakest series is "}},
		"the total":   {func(l *report.Lineup) { l.Total.Value++ }, []string{"the total is "}},
		"all of them": {func(l *report.Lineup) {
			l.Series[4].Strength++
			l.Weakest.Value++
			l.Total.Value++
			l.Series[0].Slots[0].Fit++
		}, []string{"series 5 is ", "the weakest", "the total"}},
		"a fit":           {func(l *report.Lineup) { l.Series[3].Slots[2].Fit++ }, []string{"the fit of kid "}},
		"an error":        {func(l *report.Lineup) { l.Series[3].Slots[2].SE++ }, []string{"the fit of kid "}},
		"whose fit it is": {func(l *report.Lineup) { l.Series[3].Slots[2].Own = true }, []string{"the fit of kid "}},
		"whether tested":  {func(l *report.Lineup) { l.Series[3].Slots[2].Tested = false }, []string{"the fit of kid "}},
		"a value":         {func(l *report.Lineup) { l.Series[3].Slots[2].Value++ }, []string{"the fit of kid "}},
		"two fits":        {func(l *report.Lineup) { l.Series[3].Slots[2].Fit++; l.Series[4].Slots[2].Fit++ }, []string{"the fit of kid "}},
		"another kid":     {edit: func(l *report.Lineup) { l.Series[3].Slots[2].Kid, l.Series[3].Slots[2].Fit = l.Series[3].Bench[0], 3 }},
	} {
		t.Run(name, func(t *testing.T) {
			now := pl.asInFile(t)
			x.edit(now)
			got := sv.otherNow(now)
			require.Len(t, got, len(x.want), "%q", got)
			for i := range got {
				require.True(t, strings.HasPrefix(got[i], x.want[i]), "%q", got)
				require.Contains(t, got[i], "by the numbers of today, the file says ")
			}
			if name == "a fit" {
				at, was := now.Series[3].Slots[2], sv.said.Series[3].Slots[2]
				require.Equal(t, fmt.Sprintf("the fit of kid %s as %s is %.1f ±%.1f by the numbers of today, the file says %.1f ±%.1f", at.Kid, at.Role, at.Fit, at.SE, was.Fit, was.SE), got[0])
			}
		})
	}
}

// TestWhatAFileIsTold: of a change in the file, of the numbers of today, of rules not kept and of proofs that do not hold, each by its own words.
func TestWhatAFileIsTold(t *testing.T) {
	f, prof, files := savedTeam(t)
	set := rotation.Settings{Seed: 1}
	read := func(data []byte) (*Plan, string) {
		_, pl, err := ReadLineup(context.Background(), "dir/plan.json", data, f, prof, set)
		require.NoError(t, err)
		return pl, strings.Join(pl.Notes, "\n")
	}
	// One number by hand: told as such, and worked out again.
	_, data := edited(t, files[0], func(l *report.Lineup) { l.Total.Value++; l.Total.Bound++ })
	_, notes := read(data)
	require.Contains(t, notes, "note: plan.json was changed by hand: its own numbers count for nothing. line ")
	require.Contains(t, notes, "worked out again from the folder: the total is ")
	require.NotContains(t, notes, "have changed since")
	data = regexp.MustCompile(`"seed": \d+`).ReplaceAll(files[0], []byte(`"seed": 77`))
	require.NotEqual(t, string(data), string(files[0]))
	_, notes = read(data)
	require.Equal(t, "note: plan.json was changed after it was saved: its own numbers count for nothing", notes, "nothing contradicts it")
	// A proof that is not one.
	data = swapped(t, f, prof, files[0])
	pl, notes := read(data)
	require.False(t, pl.Outcome.Result.Weakest.Proven && pl.Outcome.Result.Total.Proven)
	require.Regexp(t, `plan.json calls its (weakest series|total) the best possible, and that was not proven again: at most \d`, notes)
	// The same of a plan that is only to be changed: no search, and so no word about proofs.
	sv, err := ReadSaved("dir/plan.json", data)
	require.NoError(t, err)
	re, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.NotContains(t, strings.Join(re.Notes, "\n"), "not proven again")
	require.Equal(t, sv.doubts(f, prof), re.Notes)
	// A file of a team that cannot be worked out again is told as changed all the same.
	require.Equal(t, []string{"note: plan.json was changed after it was saved: its own numbers count for nothing"}, (&Saved{file: "x/plan.json", seal: changed}).told(nil, true))
	require.Nil(t, (&Saved{file: "x/plan.json"}).told(nil, true))
}

// swapped moves kids of a saved plan between spots of one series until it is weaker and breaks no rule, and writes down numbers that follow from it, proofs and all.
func swapped(t *testing.T, f *drills.Folder, prof *assess.Profile, file []byte) []byte {
	sv, err := ReadSaved("dir/plan.json", file)
	require.NoError(t, err)
	for s := range sv.said.Series {
		for j := 1; j < len(sv.said.Series[s].Slots); j++ {
			_, data := edited(t, file, func(l *report.Lineup) {
				x := l.Series[s].Slots
				x[0].Kid, x[j].Kid = x[j].Kid, x[0].Kid
				for i := range l.Kids {
					l.Kids[i].Roles = map[string]int{}
					for _, y := range l.Series {
						for _, z := range y.Slots {
							if z.Kid == l.Kids[i].Kid {
								l.Kids[i].Roles[z.Role]++
							}
						}
					}
				}
			})
			l, pl, err := ReadLineup(context.Background(), "dir/plan.json", data, f, prof, rotation.Settings{Seed: 1})
			if err != nil || len(pl.Broken) > 0 || l.Weakest.Proven && l.Total.Proven {
				continue
			}
			l.Weakest.Bound, l.Weakest.Proven, l.Total.Bound, l.Total.Proven = l.Weakest.Value, true, l.Total.Value, true
			require.NoError(t, l.Seal(l))
			return saved(t, l)
		}
	}
	t.Fatal("every plan with two kids in each other's spots is as good, or breaks a rule")
	return nil
}
