package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/pages"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/fixtures"
	"sevenyard/optimize/rotation"
)

func TestSheetJSON(t *testing.T) {
	for _, kind := range []string{"game", "kid", "team", "draft"} {
		file := t.TempDir() + "/page.html"
		s := decode[report.Sheet](t, done(t, "sheet", kind, "--demo", "--out", file, "--format", "json"))
		require.Equal(t, "sevenyard.sheet/1", s.Schema)
		require.Equal(t, kind, s.Sheet)
		require.Equal(t, file, s.File)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Len(t, data, s.Bytes)
		require.NotEmpty(t, s.Kids)
		require.NotEmpty(t, s.Warnings)
		require.Positive(t, s.Pages)
	}
}

// A page of a saved plan is the page of the plan itself. A plan changed by hand is no longer what its numbers say.
func TestSheetOfASavedPlan(t *testing.T) {
	dir := demoCopy(t, nil)
	plan := filepath.Join(t.TempDir(), "plan.json")
	done(t, "lineup", dir, "--save", plan)
	for _, kind := range []string{"game", "team"} {
		require.Equal(t, done(t, "sheet", kind, dir, "--out", "-"), done(t, "sheet", kind, dir, "--from", plan, "--out", "-"))
	}
	data, err := os.ReadFile(plan)
	require.NoError(t, err)
	l := decode[report.Lineup](t, string(data))
	on, off := l.Series[2].Slots[0].Kid, l.Series[2].Bench[0]
	at := strings.Index(string(data), `"number": 3`)
	edited := string(data[:at]) + strings.Replace(string(data[at:]), `"kid": "`+on+`"`, `"kid": "`+off+`"`, 1)
	require.NoError(t, os.WriteFile(plan, []byte(edited), 0o644))
	got := say(t, "sheet", "game", dir, "--from", plan, "--out", "-")
	require.Equal(t, tty.ExitInput, got.status)
	require.Empty(t, got.out)
	require.Contains(t, got.err, "kid "+off)
	require.Contains(t, got.err, "changed by hand; make the change with sevenyard rebuild")
}

// Numbers and proofs typed into a saved plan get onto no page; what does not hold any more is said.
func TestSheetShowsNothingThatWasTyped(t *testing.T) {
	dir := demoCopy(t, nil)
	plan := filepath.Join(t.TempDir(), "plan.json")
	done(t, "lineup", dir, "--save", plan)
	data, err := os.ReadFile(plan)
	require.NoError(t, err)
	want := done(t, "sheet", "team", dir, "--from", plan, "--out", "-")
	for _, typed := range [][2]string{
		{`"strength": `, `"strength": 1`}, {`"value": `, `"value": 1`}, {`"bound": `, `"bound": 2`}, {`"fit": `, `"fit": 1`}, {`"se": `, `"se": 1`}, {`"own": false`, `"own": true`},
		{`"loosened": []`, `"loosened": ["everything"]`}, {`"share": `, `"share": 1`}, {`"importance": `, `"importance": 1`}, {`"longestOn": `, `"longestOn": 1`},
	} {
		edited := strings.ReplaceAll(string(data), typed[0], typed[1])
		require.NotEqual(t, string(data), edited)
		require.NoError(t, os.WriteFile(plan, []byte(edited), 0o644))
		got := say(t, "sheet", "team", dir, "--from", plan, "--out", "-")
		require.Equal(t, tty.ExitDone, got.status, got.err)
		require.Equal(t, want, got.out, typed[0])
		require.Contains(t, strings.Join(strings.Fields(got.err), " "), "plan.json was changed after it was saved")
	}

	// The total falls, but the file calls it the best possible: so it is said, on the page too, only where it is proven again.
	require.NoError(t, os.WriteFile(plan, data, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "fits.csv"), []byte("kid,role,fit,se\n2,front,80,2\n"), 0o644))
	got := say(t, "sheet", "team", dir, "--from", plan, "--out", "-")
	require.Equal(t, tty.ExitDone, got.status, got.err)
	require.Contains(t, strings.Join(strings.Fields(got.err), " "), "the scores, weights or fits have changed since plan.json was saved: series ")
	require.Contains(t, strings.Join(strings.Fields(got.err), " "), "plan.json calls its weakest series the best possible, and that was not proven again: at most ")
	require.Contains(t, readPage(t, got.out).words(), "that this plan is the best one is not proven")

	// A rule of today that the plan does not keep stands on the page.
	toml, err := os.ReadFile(filepath.Join(dir, "team.toml"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "team.toml"), append([]byte("apart = [[\"2\", \"11\"]]\n"), toml...), 0o644))
	for _, kind := range []string{"game", "team"} {
		require.Contains(t, sheetOf(t, kind, dir, "--from", plan).words(), "Not kept: kids 2 and 11 are both on in series ")
	}
}

// What is proven of a rebuilt plan is proven among plans rebuilt like it, of the series still to play; the page must not claim more.
func TestSheetOfARebuiltPlanClaimsNoMore(t *testing.T) {
	dir, next := demoCopy(t, nil), filepath.Join(t.TempDir(), "next.json")
	done(t, "rebuild", dir, "--from", savedPlan(t, dir), "--hurt", "2@5", "--save", next)
	text := sheetOf(t, "team", dir, "--from", next).words()
	require.Contains(t, text, "no plan rebuilt from the earlier one in this way lifts the weakest series still to play above")
	require.NotContains(t, text, "no plan under these rules")
	require.Contains(t, text, "The series still to play together: ")
}

// In the heat, the page says when there is water, as the plan does: whoever holds it at the field has nothing else.
func TestGameSheetInTheHeat(t *testing.T) {
	dir, plan := demoCopy(t, nil), filepath.Join(t.TempDir(), "hot.json")
	l := decode[report.Lineup](t, done(t, "lineup", dir, "--wbgt", "84F", "--format", "json"))
	require.NotEmpty(t, l.Breaks)
	done(t, "lineup", dir, "--wbgt", "84F", "--save", plan)
	for _, args := range [][]string{{"game", dir, "--wbgt", "84F"}, {"game", dir, "--from", plan}} {
		page := sheetOf(t, args...)
		var got []report.Break
		for i, row := range page.find("table", "plan")[0].find("tbody", "")[0].find("tr", "") {
			for _, w := range row.find("small", "water") {
				got = append(got, report.Break{After: l.Series[i].Number, Minutes: l.Heat.BreakMinutes})
				require.Equal(t, fmt.Sprintf("water %d min", l.Heat.BreakMinutes), w.words())
			}
		}
		require.Equal(t, l.Breaks, got)
		text := page.words()
		require.Contains(t, text, "WBGT 84.0 °F (28.9 °C)")
		require.Contains(t, text, fmt.Sprintf("At most %d in a row on the field", l.Heat.MaxOn))
		require.Contains(t, text, l.Heat.Caution)
	}
	require.NotContains(t, sheetOf(t, "game", dir).words(), "WBGT")

	few := sheetOf(t, "game", dir, "--wbgt", "84F", "--absent", "2,3,4,5").words()
	require.Contains(t, few, "Somebody is on the field for more than")
	require.NotContains(t, few, "At most")
}

// FuzzSheetOfASavedPlan takes any file for a plan: it becomes a page, or problems with a file and a line.
func FuzzSheetOfASavedPlan(f *testing.F) {
	folder, err := drills.ReadFolder(fixtures.Demo())
	require.NoError(f, err)
	scores := assess.Assess(folder)
	profile := team.ProfileReport(folder, scores)
	t := pages.PageTeam(folder, nil)
	data, err := os.ReadFile(savedPlan(f, "--demo"))
	require.NoError(f, err)
	f.Add(data)
	f.Add([]byte(strings.ReplaceAll(string(data), `"strength": 5`, `"strength": -1e300, "x": 5`)))
	f.Add([]byte(`{"schema":"sevenyard.lineup/1","kids":[{"kid":"2","available":[1,1],"roles":{"front":1}}],"series":[{"number":1,"formation":"2-3","slots":[{"role":"front","kid":"2"}]}]}`))
	f.Add([]byte(`{"schema":"sevenyard.lineup/1","kids":[{"kid":"2"}],"series":[null]}`))
	f.Add([]byte("\ufeff{}"))
	f.Fuzz(func(tt *testing.T, data []byte) {
		l, _, err := gameplan.ReadLineup(context.Background(), "plan.json", data, folder, scores, rotation.Settings{Limit: 50 * time.Millisecond})
		if errors.Is(err, rotation.ErrNobody) || errors.Is(err, gameplan.ErrNobody) {
			return
		}
		if err != nil {
			require.ErrorAs(tt, err, &drills.Problems{})
			return
		}
		for _, write := range []func() (*sheet.Page, error){
			func() (*sheet.Page, error) { return sheet.Game(l, t) },
			func() (*sheet.Page, error) { return sheet.TeamSheet(profile, l, pages.UsedRoles(folder), t) },
		} {
			page, err := write()
			require.NoError(tt, err)
			require.Positive(tt, page.Pages)
			readPage(tt, string(page.HTML))
		}
	})
}
