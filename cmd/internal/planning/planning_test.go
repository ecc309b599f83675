package planning_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/fixtures"
	"sevenyard/optimize/rotation"
)

// touched are the words of a front end that is touched.
type touched struct{}

func (touched) Say(f asked.Field, value string) string { return "[" + string(f) + " " + value + "]" }
func (touched) DateGame(game string) string            { return "give game " + game + " its day" }
func (touched) ReadFiles() string                      { return "" }
func (touched) PlanAlone() string                      { return "plan it alone" }
func (touched) NameGame(game string) string            { return "touch game " + game }
func (touched) RecordFirst() string                    { return "put one on record" }
func (touched) NoGame(what string) error               { return errors.New(what) }
func (touched) DateAgain() string                      { return "mend the day" }
func (touched) GiveHeat() string                       { return "give a reading" }
func (touched) GiveHeatAnew() string                   { return "give a new reading" }
func (touched) GiveHeatHourly() string                 { return "read again" }
func (touched) MoreTime() string                       { return "wait longer" }
func (touched) AskLess(uint64) string                  { return "ask less" }
func (touched) NonePlayed() string                     { return "none is played" }

func demo() (*planning.Game, *drills.Folder) {
	dir := fixtures.Demo()
	f, err := drills.ReadFolder(dir)
	if err != nil {
		panic(err)
	}
	return &planning.Game{Asked: planning.Asked{Set: rotation.Settings{Seed: 1}}, Words: touched{}, Today: "2026-09-12", Dir: dir}, f
}

func ExampleGame() {
	g, team := demo()
	g.Wishes.Absent = []string{"bao"} // kid 2
	if err := g.Load(team, planning.Anew); err != nil {
		fmt.Println(err)
		return
	}
	ctx := context.Background()
	if err := g.Settled(ctx, g.Arrange(ctx)); err != nil {
		fmt.Println(err)
		return
	}
	l := g.Lineup()
	fmt.Printf("%s: %d series, weakest %.1f, proven %t\n", l.Team, len(l.Series), l.Weakest.Value, l.Weakest.Proven)
	fmt.Println(g.Shown().Out)
	// Output:
	// Sandpipers: 8 series, weakest 53.9, proven true
	// [{2 absent 0} {12 on_hold 0}]
}

// TestRebuildingInOtherWords: a saved plan is changed without a terminal, what is said of it is in the front end's own words, and the solver's answer is
// the plan's.
func TestRebuildingInOtherWords(t *testing.T) {
	ctx := context.Background()
	g, team := demo()
	require.NoError(t, g.Load(team, planning.Anew))
	require.NoError(t, g.Settled(ctx, g.Arrange(ctx)))
	base := g.Lineup()

	g, team = demo()
	g.Wishes = gameplan.Wishes{Absent: []string{"4"}}
	var file bytes.Buffer
	require.NoError(t, base.Seal(base))
	require.NoError(t, report.Write(&file, base))
	saved, err := gameplan.ReadSaved("plan.json", file.Bytes())
	require.NoError(t, err)
	r, err := g.Rebuild(team, planning.Way{Played: 4, Changes: -1}, func() (*gameplan.Saved, error) { return saved, nil })
	require.NoError(t, err)
	require.NoError(t, g.Settled(ctx, r.Solve(ctx)))
	re, err := r.Report()
	require.NoError(t, err)
	require.Equal(t, 4, re.Played)
	require.Equal(t, base.Series[:4], re.Series[:4], "what was played is a fact")
	for _, s := range re.Series[4:] {
		for _, x := range s.Slots {
			require.NotEqual(t, "4", x.Kid)
		}
	}
	require.NotEmpty(t, re.Warnings)
	for _, w := range re.Warnings {
		require.NotContains(t, w, "⟦")
		require.NotContains(t, w, "--")
	}
	require.Contains(t, fmt.Sprint(re.Warnings), "[absent 4]: kid 4 played in series 3")
	require.NotEmpty(t, r.Shown().Calls)
}

// TestTooHotToPlay: a reading at which nobody should play ends everything, with the rows that say so.
func TestTooHotToPlay(t *testing.T) {
	g, team := demo()
	w, err := drills.ParseWBGT("95F")
	require.NoError(t, err)
	g.WBGT = &w
	var hot *planning.TooHot
	require.ErrorAs(t, g.Load(team, planning.Anew), &hot)
	require.NotEmpty(t, hot.Rules)
	require.Len(t, hot.Refusal().Problems, len(hot.Rules))
}

// TestNobodyBarredByTheRecord: who was hurt on the day is in no plan, whichever front end asks.
func TestNobodyBarredByTheRecord(t *testing.T) {
	g, team := demo()
	dir := fstest.MapFS{"games.csv": {Data: []byte("game,date,opponent,series,role,kid\n1,2026-09-12,,1,hurt,7\n")}}
	g.Dir = dir
	require.NoError(t, g.Load(team, planning.Anew))
	require.NoError(t, g.Settled(context.Background(), g.Arrange(context.Background())))
	for _, s := range g.Lineup().Series {
		for _, x := range s.Slots {
			require.NotEqual(t, "7", x.Kid)
		}
	}
}
