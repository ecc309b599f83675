package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// decode reads one JSON object that has no key the type does not know, and nothing after it.
func decode[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	d := json.NewDecoder(bytes.NewBufferString(text))
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&v))
	_, err := d.Token()
	require.ErrorIs(t, err, io.EOF)
	require.NoError(t, keepsSchemas(text))
	return v
}

func TestLineupJSONAddsUp(t *testing.T) {
	for _, args := range [][]string{
		{}, {"--late", "9@3", "--leaves", "2@6"}, {"--favor", "total"}, {"--favor", "even"}, {"--absent", "2,3,4,5,7,8,11"},
	} {
		l := decode[report.Lineup](t, done(t, append([]string{"lineup", "--demo", "--format", "json", "--seed", "5"}, args...)...))
		require.Equal(t, "sevenyard.lineup/1", l.Schema)
		require.EqualValues(t, 5, l.Seed)
		total, weakest := 0.0, math.Inf(1)
		onField := map[string]int{}
		for i, s := range l.Series {
			require.Equal(t, i+1, s.Number)
			sum, imp := 0, 0.0
			var kids []string
			for _, x := range s.Slots {
				require.EqualValues(t, math.Round(10*x.Importance*x.Fit), x.Value, "%+v", x)
				sum += x.Value
				imp += x.Importance
				kids = append(kids, x.Kid)
				onField[x.Kid]++
				require.Positive(t, x.SE)
			}
			n := float64(len(s.Slots))
			require.InDelta(t, n, imp, 1e-9, "the importances of a series sum to its slots")
			require.InDelta(t, float64(sum)/(10*n), s.Strength, 1e-9)
			for _, k := range l.Kids {
				there := k.Available[0] <= s.Number && s.Number <= k.Available[1]
				on, off := slices.Contains(kids, k.Kid), slices.Contains(s.Bench, k.Kid)
				require.Equal(t, there, on != off, "kid %s in series %d", k.Kid, s.Number)
				require.False(t, on && off)
			}
			total += s.Strength
			weakest = min(weakest, s.Strength)
		}
		require.InDelta(t, total, l.Total.Value, 1e-9)
		require.InDelta(t, weakest, l.Weakest.Value, 1e-9)
		require.InDelta(t, weakest, l.Series[l.Weakest.Series-1].Strength, 1e-9)
		require.GreaterOrEqual(t, l.Total.Bound, l.Total.Value)
		require.GreaterOrEqual(t, l.Weakest.Bound, l.Weakest.Value)
		share, spots := 0.0, 0
		for _, k := range l.Kids {
			n := 0
			for _, x := range k.Roles {
				n += x
			}
			require.Equal(t, k.Series, n)
			require.Equal(t, onField[k.Kid], k.Series)
			if len(l.Loosened) == 0 {
				require.InDelta(t, k.Share, float64(k.Series), 1-1e-9, "kid %s", k.Kid)
				require.LessOrEqual(t, k.LongestOn, l.Rules.MaxOn)
				require.LessOrEqual(t, k.LongestOff, l.Rules.MaxOff)
			}
			share += k.Share
			spots += k.Series
		}
		require.InDelta(t, float64(spots), share, 1e-9, "fair shares sum to the spots")
	}
}

// TestRebuildJSONAddsUp applies the listed changes to the saved plan and compares with the new one.
func TestRebuildJSONAddsUp(t *testing.T) {
	saved := savedPlan(t, "--demo")
	data, err := os.ReadFile(saved)
	require.NoError(t, err)
	old := decode[report.Lineup](t, string(data))
	for _, args := range [][]string{
		{}, {"--hurt", "2@5"}, {"--absent", "4,5,8"}, {"--absent", "4,5,7,8,17,3", "--played", "2"}, {"--late", "9@1"}, {"--played", "5", "--leaves", "3@6", "--hurt", "7@6"},
		{"--hurt", "2@5", "--change-costs", "0.2", "--tradeoffs"}, {"--absent", "3,14", "--hurt", "11@5", "--changes", "12"},
	} {
		r := decode[report.Rebuild](t, done(t, append([]string{"rebuild", "--demo", "--from", saved, "--format", "json"}, args...)...))
		require.Equal(t, "sevenyard.rebuild/1", r.Schema)
		require.Len(t, r.Changes.List, r.Changes.Value, "%v", args)
		require.LessOrEqual(t, r.Changes.Bound, r.Changes.Value)
		now, was := map[[2]string]string{}, map[[2]string]string{} // role by series and kid
		put := func(l *report.Lineup, into map[[2]string]string) {
			for _, s := range l.Series {
				for _, x := range s.Slots {
					into[[2]string{fmt.Sprint(s.Number), x.Kid}] = x.Role
				}
			}
		}
		put(&r.Lineup, now)
		put(&old, was)
		changed := map[[2]string]string{}
		for _, c := range r.Changes.List {
			require.Greater(t, c.Series, r.Played)
			at := [2]string{fmt.Sprint(c.Series), c.Kid}
			require.Equal(t, was[at], c.Was, "%v", c)
			require.NotEqual(t, c.Was, c.Role)
			changed[at] = c.Role
			if c.For != "" {
				require.NotEmpty(t, was[[2]string{at[0], c.For}], "%v", c)
				require.Empty(t, now[[2]string{at[0], c.For}], "%v", c)
			}
		}
		for at, role := range now {
			if want, ok := changed[at]; ok {
				require.Equal(t, want, role)
			} else {
				require.Equal(t, was[at], role, "%v is no listed change", at)
			}
		}
		require.Equal(t, old.Series[:r.Played], r.Series[:r.Played], "what was played stays")
		require.NotNil(t, r.Fresh)
		require.InDelta(t, r.Fresh.Weakest.Value-r.Weakest.Value, r.Fresh.GainWeakest, 1e-9)
		require.InDelta(t, r.Fresh.Total.Value-r.Total.Value, r.Fresh.GainTotal, 1e-9)
		require.GreaterOrEqual(t, r.Fresh.Weakest.Bound, r.Weakest.Value-1e-9)
		sum, weakest := 0.0, math.Inf(1)
		for _, s := range r.Series[r.Played:] {
			sum, weakest = sum+s.Strength, min(weakest, s.Strength)
		}
		require.InDelta(t, sum, r.Total.Value, 1e-9)
		require.InDelta(t, weakest, r.Weakest.Value, 1e-9)
		last := -1.0
		for i, x := range r.Tradeoffs {
			if x.Weakest.Value == r.Fresh.Weakest.Value && x.Total == r.Fresh.Total.Value {
				require.GreaterOrEqual(t, x.Changes, r.Fresh.Changes, "no plan of the list is as good as the fresh one for fewer changes")
			}
			require.Greater(t, x.Weakest.Value, last)
			last = x.Weakest.Value
			if i > 0 {
				require.Greater(t, x.Changes, r.Tradeoffs[i-1].Changes)
			}
		}
	}
}

func TestWhyJSON(t *testing.T) {
	l := decode[report.Lineup](t, done(t, "lineup", "--demo", "--format", "json"))
	for _, kid := range []string{"2", "4", "11"} {
		w := decode[report.Why](t, done(t, "why", "--demo", "--kid", kid, "--format", "json"))
		require.Equal(t, "sevenyard.why/1", w.Schema)
		require.Equal(t, l.Weakest, w.Weakest)
		for _, p := range w.Plays {
			for _, s := range p.Series {
				require.Contains(t, fmt.Sprint(l.Series[s-1].Slots), "{"+p.Role+" "+kid+"}")
			}
		}
		require.Len(t, w.Wishes, 3)
		for _, x := range w.Wishes {
			// The plan is the best there is, so no wish lifts the weakest series, and none that keeps it lifts the total.
			require.True(t, x.Proven)
			require.LessOrEqual(t, x.Weakest, 0.0)
			if x.Weakest == 0 {
				require.LessOrEqual(t, x.Total, 0.0)
			}
		}
		for _, f := range w.Fits {
			require.NotContains(t, f.TooClose, kid)
			require.LessOrEqual(t, f.Rank, f.Of)
		}
		for _, p := range w.Rules { // without a rule nothing gets worse
			require.True(t, p.Proven)
			require.GreaterOrEqual(t, p.Weakest, 0.0)
		}
		last := w.Rules[len(w.Rules)-1]
		require.Contains(t, last.Rules, "equal_series")
		require.Greater(t, len(last.Rules), 1)
	}
}

// Asked about a saved plan, why is about that plan; a fresh one beside it is never weaker.
func TestWhyJSONFromAPlan(t *testing.T) {
	first, two := savedPlan(t, "--demo"), filepath.Join(t.TempDir(), "two.json")
	re := decode[report.Rebuild](t, done(t, "rebuild", "--demo", "--from", first, "--absent", "3,14", "--hurt", "11@5", "--format", "json", "--save", two))
	w := decode[report.Why](t, done(t, "why", "--demo", "--from", two, "--kid", "7", "--format", "json"))
	require.Equal(t, re.Weakest, w.Weakest)
	require.Equal(t, re.Total.Value, w.Total.Value)
	require.Equal(t, two, w.From.File)
	require.Equal(t, re.Played, w.From.Played)
	require.Zero(t, w.From.Changes)
	require.Equal(t, re.Fresh.GainWeakest, w.From.Fresh.GainWeakest)
	for _, x := range w.Wishes {
		require.LessOrEqual(t, x.Weakest, w.From.Fresh.GainWeakest, "no wish lifts it above a fresh plan")
	}
	require.Equal(t, []string{"11"}, re.Hurt)
	again := decode[report.Rebuild](t, done(t, "rebuild", "--demo", "--from", two, "--absent", "4", "--played", "6", "--format", "json"))
	require.Equal(t, []string{"11"}, again.Hurt, "the hold is for the rest of the day")
}

// Every refusal is one object of one schema, and says what standard error says otherwise.
func TestRefusalJSON(t *testing.T) {
	bad := demoCopy(t, func(name, text string) string {
		if name == "results.csv" {
			return text + "99,shuttle,1,6.4,,,\n"
		}
		return text
	})
	hard := demoCopy(t, func(name, text string) string {
		if name == "team.toml" {
			return text + "\n[rules]\nmin_share = 0.9\nmax_on = 2\n"
		}
		return text
	})
	plan := filepath.Join(t.TempDir(), "plan.json")
	require.NoError(t, os.WriteFile(plan, []byte("{\n \"schema\": \"x\"}"), 0o644))
	for _, c := range []struct {
		args     []string
		file     string
		conflict bool
	}{
		{[]string{"lineup", bad}, "results.csv", false}, {[]string{"profile", bad}, "results.csv", false}, {[]string{"why", bad, "--kid", "7"}, "results.csv", false},
		{[]string{"rebuild", "--demo", "--from", plan}, plan, false}, {[]string{"lineup", bad + "x"}, "", false},
		{[]string{"lineup", hard}, "", true}, {[]string{"lineup", hard, "--strict"}, "", true}, {[]string{"why", hard, "--kid", "7"}, "", true},
	} {
		text := say(t, c.args...)
		require.Equal(t, tty.ExitInput, text.status, "%v", c.args)
		require.Empty(t, text.out)
		got := say(t, append(c.args, "--format", "json")...)
		require.Equal(t, tty.ExitInput, got.status)
		require.Empty(t, got.err)
		r := decode[report.Refusal](t, got.out)
		require.Equal(t, "sevenyard.refusal/1", r.Schema)
		if c.conflict {
			require.Empty(t, r.Problems)
			require.NotEmpty(t, r.Conflict.Rules)
			for _, x := range r.Conflict.Remedies {
				require.NotEmpty(t, x.Steps)
				for _, s := range x.Steps {
					require.Equal(t, namesKids.MatchString(s.Words), len(s.Kids) > 0, "a step names the kids its words name: %v", s)
					for _, id := range s.Kids {
						require.Regexp(t, `\b`+regexp.QuoteMeta(id)+`\b`, s.Words)
					}
				}
			}
			for _, n := range rosterNames(t) {
				require.NotContains(t, got.out, n, "programs get ids")
			}
			continue
		}
		require.Nil(t, r.Conflict)
		require.Len(t, r.Problems, 1)
		require.Equal(t, c.file, r.Problems[0].File)
		require.Contains(t, strings.Join(strings.Fields(text.err), " "), strings.Join(strings.Fields(r.Problems[0].What), " "))
	}
}

func TestProfileJSON(t *testing.T) {
	p := decode[report.Profile](t, done(t, "profile", "--demo", "--format", "json"))
	require.Equal(t, "sevenyard.profile/1", p.Schema)
	require.Len(t, p.Kids, 11)
	require.Len(t, p.Drills, 7)
	untested := 0
	for _, k := range p.Kids {
		require.NotEmpty(t, k.Name)
		require.Len(t, k.Traits, 6)
		for _, x := range k.Traits {
			require.Positive(t, x.SE)
			if !x.Tested {
				untested++
			}
		}
		for role, f := range k.Fits {
			require.Positive(t, f.SE)
			fit := 0.0
			for trait, w := range p.Weights[role] {
				fit += w * k.Traits[trait].T
			}
			require.InDelta(t, fit, f.Fit, 1e-9, "kid %s as %s", k.Kid, role)
		}
	}
	require.Equal(t, 1, untested, "kid 14 did not catch")
	for role, ws := range p.Weights {
		sum := 0.0
		for _, w := range ws {
			sum += w
		}
		require.InDelta(t, 1, sum, 1e-9, role)
		require.Positive(t, p.Importance[role])
	}
}

func TestCheckJSON(t *testing.T) {
	c := decode[report.Check](t, done(t, "check", "--demo", "--format", "json"))
	require.True(t, c.OK)
	require.Equal(t, []string{"12"}, c.OnHold)
	require.Equal(t, []report.Untested{{Kid: "14", Drill: "catch"}}, c.Untested)

	dir := demoCopy(t, func(name, text string) string {
		if name == "results.csv" {
			return text + "99,shuttle,1,6.4,,,\n2,shutle,9,6.4,,,\n"
		}
		return text
	})
	got := say(t, "check", dir, "--format", "json")
	require.Equal(t, tty.ExitInput, got.status)
	bad := decode[report.Check](t, got.out)
	require.False(t, bad.OK)
	require.Len(t, bad.Problems, 2)
	for _, p := range bad.Problems {
		require.Equal(t, "results.csv", p.File)
		require.Positive(t, p.Line)
		require.NotEmpty(t, p.What)
		require.NotEmpty(t, p.Do)
	}
}

func TestJSONKeepsSigns(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, report.Check{Team: "Rock & <Roll>"}))
	require.Contains(t, b.String(), `"Rock & <Roll>"`)
}

// namesKids finds kids in the words of a step, where they go by their ids.
var namesKids = regexp.MustCompile(`\bkids? [0-9]`)
