package gameplan

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

func saved(t testing.TB, object any) []byte {
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, object))
	return b.Bytes()
}

// TestRebuildAgainAndAgain plays random games to their end: before each series something happens, and the plan is rebuilt from the
// one before. What was played must stay, those who are out must stay out, and every plan must be legal (which the solver checks itself).
func TestRebuildAgainAndAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	set := rotation.Settings{Seed: 1, Limit: 5 * time.Second}
	for range 25 {
		n := 7 + rng.IntN(4)
		f, prof := small(n, func(f *drills.Folder) { f.Team.Series = 6 })
		for i := range prof.Kids {
			for r := range prof.Kids[i].Fits {
				prof.Kids[i].Fits[r].T = 35 + 30*rng.Float64()
			}
		}
		pl, err := New(f, prof, Wishes{})
		require.NoError(t, err)
		require.NoError(t, pl.Arrange(context.Background(), set, false))
		last := pl.Lineup(set)
		data := saved(t, last)
		out := map[string]int{} // last series, from 1, of those who are out
		for over := 0; over < 6; over++ {
			id, w := fmt.Sprint(1+rng.IntN(n)), Wishes{}
			if _, gone := out[id]; !gone && len(out) < n-4 {
				switch rng.IntN(4) {
				case 0:
					w.Hurt, out[id] = []At{{id, over + 1}}, over
				case 1:
					w.Absent, out[id] = []string{id}, over
				case 2:
					w.Leaves, out[id] = []At{{id, over + 1}}, over+1
				}
			}
			sv, err := ReadSaved("plan.json", data)
			require.NoError(t, err)
			pl, err := NewFrom(f, prof, w, sv, over)
			require.NoError(t, err, "%+v", w)
			require.NoError(t, pl.Rearrange(context.Background(), set, false, 0))
			require.NotNil(t, pl.Outcome.Result)
			re := pl.Rebuild(set, 0, nil, nil)
			require.Equal(t, last.Series[:over], re.Series[:over])
			require.Equal(t, over, re.Played)
			require.Len(t, re.Changes.List, re.Changes.Value)
			if re.Changes.Value > 0 { // with none there may still be a kid out whom nobody replaces
				require.NotEmpty(t, pl.ChangeWords(pl.Outcome.Result.Plan))
			}
			for _, s := range re.Series[over:] {
				for _, x := range s.Slots {
					if end, gone := out[x.Kid]; gone {
						require.LessOrEqual(t, s.Number, end, "kid %s is out", x.Kid)
					}
				}
			}
			last, data = &re.Lineup, saved(t, re)
		}
	}
}

func TestChangeWords(t *testing.T) {
	f, prof := small(7, nil)
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	pl.saved = &Saved{Series: []SavedSeries{
		{Slots: []games.Slot{{Role: "front", Kid: "1"}, {Role: "front", Kid: "2"}, {Role: "corner", Kid: "3"}, {Role: "corner", Kid: "4"}, {Role: "deep", Kid: "5"}}},
		{Slots: []games.Slot{{Role: "front", Kid: "1"}, {Role: "front", Kid: "2"}, {Role: "corner", Kid: "3"}, {Role: "corner", Kid: "4"}, {Role: "deep", Kid: "5"}}},
		{Slots: []games.Slot{{Role: "front", Kid: "1"}, {Role: "front", Kid: "2"}, {Role: "corner", Kid: "3"}, {Role: "corner", Kid: "4"}, {Role: "deep", Kid: "5"}}},
		{Slots: []games.Slot{{Role: "front", Kid: "1"}, {Role: "front", Kid: "2"}, {Role: "corner", Kid: "3"}, {Role: "corner", Kid: "4"}, {Role: "deep", Kid: "5"}}},
	}}
	front, corner, deep := pl.role("front"), pl.role("corner"), pl.role("deep")
	plan := rotation.Plan{
		{{Kid: 0, Role: front}, {Kid: 1, Role: front}, {Kid: 2, Role: corner}, {Kid: 6, Role: corner}, {Kid: 4, Role: deep}}, // 7 for 4
		{{Kid: 0, Role: front}, {Kid: 1, Role: front}, {Kid: 2, Role: corner}, {Kid: 3, Role: corner}, {Kid: 4, Role: deep}}, // as it was
		{{Kid: 0, Role: deep}, {Kid: 5, Role: front}, {Kid: 1, Role: front}, {Kid: 2, Role: corner}, {Kid: 3, Role: corner}}, // 1 moves back, 6 in for 5
		{{Kid: 0, Role: front}, {Kid: 1, Role: front}, {Kid: 2, Role: corner}, {Kid: 4, Role: deep}},                         // 4 out, short
	}
	require.Equal(t, []string{
		"Series 1: 7 in for 4 at corner.",
		"Series 3: 6 in for 5 at front; 1 moves from front to deep.",
		"Series 4: 4 out, nobody in.",
	}, pl.ChangeWords(plan))
	require.Equal(t, []report.Change{
		{Series: 1, Kid: "7", Role: "corner", For: "4"},
		{Series: 3, Kid: "6", Role: "front", For: "5"},
		{Series: 3, Kid: "1", Role: "deep", Was: "front"},
	}, pl.Changes(plan))
	pl.Call = func(id string) string { return "Name" + id }
	require.Equal(t, "Series 1: 7 Name7 in for 4 Name4 at corner.", pl.ChangeWords(plan)[0])
}

func TestSavedFavor(t *testing.T) {
	f, prof := small(7, nil)
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	set := rotation.Settings{Favor: rotation.Total}
	require.NoError(t, pl.Arrange(context.Background(), set, false))
	data := saved(t, pl.Lineup(set))
	sv, err := ReadSaved("plan.json", data)
	require.NoError(t, err)
	require.Equal(t, "total", sv.Favor)
	_, err = ReadSaved("plan.json", bytes.Replace(data, []byte(`"favor": "total"`), []byte(`"favor": "luck"`), 1))
	require.ErrorContains(t, err, `favor is "luck"; weakest, total and even are known`)
	require.ErrorContains(t, err, "plan.json:")
}

// FuzzReadSaved: any file is a plan that can be rebuilt from, or a problem of that file with a line that it has.
func FuzzReadSaved(f *testing.F) {
	fo, prof := small(7, nil)
	pl, err := New(fo, prof, Wishes{})
	require.NoError(f, err)
	require.NoError(f, pl.Arrange(context.Background(), rotation.Settings{Seed: 1}, false))
	f.Add(saved(f, pl.Lineup(rotation.Settings{})), -1)
	for _, s := range []string{"", "{", "null", "[]", `{"schema":"sevenyard.lineup/1"}`, `{"schema":"sevenyard.lineup/1","played":-1,"kids":[{}],"series":[{}]}`,
		`{"schema":"sevenyard.rebuild/1","played":9e9}`, `{"kids":{"a":[[[[`, "\ufeff{}"} {
		f.Add([]byte(s), 1)
	}
	f.Fuzz(func(t *testing.T, data []byte, played int) {
		lines := 1 + bytes.Count(data, []byte("\n"))
		check := func(err error) {
			var ps drills.Problems
			var w *asked.Problem
			switch {
			case errors.As(err, &ps):
				require.NotEmpty(t, ps)
				for _, p := range ps {
					require.Equal(t, "plan.json", p.At.File)
					require.LessOrEqual(t, p.At.Line, lines)
					require.NotEmpty(t, p.Do)
				}
			case !errors.As(err, &w):
				t.Fatalf("%v", err)
			}
		}
		sv, err := ReadSaved("plan.json", data)
		if err != nil {
			check(err)
			return
		}
		pl, err := NewFrom(fo, prof, Wishes{Absent: []string{"3"}}, sv, max(-1, played))
		if err != nil {
			if !errors.Is(err, ErrNobody) {
				check(err)
			}
			return
		}
		err = pl.Rearrange(context.Background(), rotation.Settings{Seed: 1, Limit: 20 * time.Millisecond}, false, 0)
		if err != nil && !errors.Is(err, rotation.ErrNobody) {
			t.Fatalf("%v", err)
		}
		if err == nil && pl.Outcome.Result != nil && pl.Outcome.Result.Plan != nil {
			re := pl.Rebuild(rotation.Settings{}, 0, nil, nil)
			require.Len(t, re.Changes.List, re.Changes.Value)
		}
	})
}
