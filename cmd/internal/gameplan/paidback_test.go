package gameplan

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// payingTeam are ten kids who share eight series, four each, and a season that owes kid 8 two series, which kid 4 has had.
func payingTeam(t *testing.T) (*drills.Folder, *assess.Profile, *Season) {
	f, prof := small(10, func(f *drills.Folder) { f.Team.Series, f.Team.Rules.PayBack = 8, 1 })
	g := games.Game{ID: "1"}
	for k := range 10 {
		g.Kids = append(g.Kids, games.Presence{Kid: fmt.Sprint(k + 1), First: 1, Last: 4})
	}
	for s, off := range []string{"1 2 3 8 9", "5 6 7 8 10", "1 2 5 8 9", "3 6 7 8 10"} {
		line := games.Series{Number: s + 1}
		for k := range 10 {
			if id := fmt.Sprint(k + 1); !strings.Contains(" "+off+" ", " "+id+" ") {
				line.Slots = append(line.Slots, games.Slot{Role: "front", Kid: id})
			}
		}
		g.Series = append(g.Series, line)
	}
	s, err := NewSeason(f, &games.Record{Games: []games.Game{g}}, "")
	require.NoError(t, err)
	return f, prof, s
}

// TestAPlanThatPaysBackIsShownAsItIs: a plan that was saved with a series paid back breaks no rule by it and is as good as it says, whether earlier games are at
// hand or not. Only the two kids whom the file names have another share, by one, and the word of a file that was changed counts for nothing.
func TestAPlanThatPaysBackIsShownAsItIs(t *testing.T) {
	f, prof, season := payingTeam(t)
	set := rotation.Settings{Seed: 1}
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	pl.Owe(season)
	require.NoError(t, pl.Arrange(context.Background(), set, false))
	l := pl.Lineup(set)
	require.Equal(t, []report.PaidBack{{To: "8", From: "4"}}, l.Season.PaidBack)
	require.Equal(t, [2]int{5, 3}, [2]int{l.Kids[7].Series, l.Kids[3].Series})
	require.NoError(t, l.Seal(l))
	data := saved(t, l)
	shown := func(data []byte, owe bool) (*report.Lineup, *Plan) {
		sv, err := ReadSaved("plan.json", data)
		require.NoError(t, err)
		pl, err := Reopen(f, prof, availability.Out{}, sv)
		require.NoError(t, err)
		if owe {
			pl.Owe(season)
		}
		require.NoError(t, pl.Verify(context.Background(), set))
		require.Equal(t, len(pl.Broken) == 0, len(sv.doubts(f, prof)) == 0, "a plan to be changed is told of the same")
		return pl.Lineup(set), pl
	}
	now, again := shown(data, true)
	require.Empty(t, again.Broken)
	require.Empty(t, again.Notes)
	require.NoError(t, now.Seal(now))
	require.Equal(t, string(data), string(saved(t, now)))
	now, again = shown(data, false)
	require.Empty(t, again.Broken)
	require.Equal(t, l.Weakest, now.Weakest)
	// Without the file's word for it, the shares are broken.
	for _, changed := range [][]byte{bytes.Replace(data, []byte(`"to": "8"`), []byte(`"to": "9"`), 1), sumLine.ReplaceAll(data, []byte(`"sum": ""`))} {
		_, again = shown(changed, false)
		require.Len(t, again.Broken, 2)
		require.Contains(t, strings.Join(again.Broken, "\n"), "kid 8 plays 5 series, not 4 to 4 (equal_series)")
		require.Contains(t, strings.Join(again.Broken, "\n"), "kid 4 plays 3 series, not 4 to 4 (equal_series)")
		require.False(t, again.Outcome.Result.Weakest.Proven)
	}
	// What is paid back excuses nobody else: with the word of the file for others, two kids more are off by one.
	l.Season.PaidBack[0].To = "9"
	require.NoError(t, l.Seal(l))
	_, again = shown(saved(t, l), false)
	require.NotEmpty(t, again.Broken)
	require.Contains(t, strings.Join(again.Broken, "\n"), "kid 8 plays 5 series")
}
