package gameplan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// oddRecord has gaps between series, a kid who is not on the roster, a role the team does not know, a game with nobody in it, and a
// kid who is there for series that were not played.
func oddRecord() *games.Record {
	return &games.Record{Games: []games.Game{
		{ID: "a", Kids: []games.Presence{{Kid: "1", First: 1, Last: 9}, {Kid: "2", First: 3, Last: 9}, {Kid: "old", First: 1, Last: 2}}, Series: []games.Series{
			{Number: 2, Slots: []games.Slot{{Role: "front", Kid: "1"}}},
			{Number: 3},
			{Number: 5, Slots: []games.Slot{{Role: "sweeper", Kid: "2"}}},
		}},
		{ID: "b", Kids: []games.Presence{{Kid: "1", First: 1, Last: 1}}},
		{ID: "c", Kids: []games.Presence{{Kid: "1", First: 1, Last: 1}, {Kid: "2", First: 1, Last: 1}, {Kid: "3", First: 2, Last: 3}}, Series: []games.Series{
			{Number: 1, Slots: []games.Slot{{Role: "front", Kid: "1"}}},
		}},
	}}
}

func TestSeasonFromARecord(t *testing.T) {
	f, prof := small(6, nil)
	s, err := NewSeason(f, oddRecord(), "")
	require.NoError(t, err)
	require.Equal(t, []string{"1", "2", "3", "4", "5", "6", "old"}, s.Kids)
	require.Equal(t, "sweeper", s.Roles[len(s.Roles)-1])
	out := s.Report("Terns")
	require.Equal(t, []report.SeasonGame{{Game: "a", Series: []int{2, 5}}, {Game: "c", Series: []int{1}}}, out.Games, "game b has no series on record")
	// Game a: series 2 and 5, a spot each. Kid 1 is there for both, 2 for the second, old for the first: 2/3 each. Game c: 1/2 for kids 1 and 2.
	share := []float64{2./3 + 0.5, 2./3 + 0.5, 0, 0, 0, 0, 2. / 3}
	for k, series := range []int{2, 1, 0, 0, 0, 0, 0} {
		require.InDelta(t, share[k], out.Kids[k].Share, 1e-12, k)
		require.Equal(t, series, out.Kids[k].Series)
		require.InDelta(t, share[k]-float64(series), out.Kids[k].Owed, 1e-12)
		require.Equal(t, k == 6, out.Kids[k].Gone)
	}
	require.Equal(t, &[2]int{5, 5}, out.Kids[1].Games[0].There, "from series 3 on, of which only 5 was played")
	require.Nil(t, out.Kids[2].Games[1].There, "there only for series that were not played")
	require.Equal(t, map[string]int{"sweeper": 1}, out.Kids[1].Roles)
	require.Equal(t, 1, out.Kids[0].LongestOff)

	without, err := NewSeason(f, oddRecord(), "c")
	require.NoError(t, err)
	require.Len(t, without.Games, 1)

	pl, err := New(f, prof, Wishes{Absent: []string{"1"}})
	require.NoError(t, err)
	pl.Owe(s)
	require.InDelta(t, 1./6, pl.Game.Kids[0].Owed, 1e-12, "kid 2 is the first of this game")
	require.NotContains(t, pl.Game.Kids[0].Played, true, "the team knows no sweeper")
	pl, err = New(f, prof, Wishes{})
	require.NoError(t, err)
	pl.Owe(s)
	require.Equal(t, pl.Game.Roles[0] == "front", pl.Game.Kids[0].Played[0])

	none, err := NewSeason(f, &games.Record{}, "")
	require.NoError(t, err)
	pl.Season = nil
	pl.Owe(none)
	require.Nil(t, pl.Season)
	require.Nil(t, none.Report("").Jain)
}

// TestBefore: a game has those before it that were played earlier, by date where both have one and by their place otherwise.
func TestBefore(t *testing.T) {
	ids := func(rec *games.Record) (out string) {
		for _, g := range rec.Games {
			out += g.ID
		}
		return out
	}
	rec := &games.Record{Games: []games.Game{{ID: "d", Date: "2026-09-26"}, {ID: "a", Date: "2026-09-05"}, {ID: "x"}, {ID: "c", Date: "2026-09-19"}, {ID: "y", Date: "12.9.2026"},
		{ID: "b", Date: "2026-09-12"}, {ID: "B", Date: "2026-09-12"}}}
	for id, want := range map[string]string{"": "daxcybB", "nobody": "daxcybB", "d": "acbB", "a": "", "c": "axbB", "b": "axy", "B": "axyb", "x": "da", "y": "daxc"} {
		require.Equal(t, want, ids(Before(rec, id)), id)
	}
	require.Equal(t, "daxcybB", ids(rec), "the record itself stands")
	require.Equal(t, rec.Warnings, Before(rec, "c").Warnings)
}

// TestOwedInThePlan: eight kids share 20 turns in four series: four of them play three times. They are the kids owed most, and the
// plan's object says so.
func TestOwedInThePlan(t *testing.T) {
	f, prof := small(8, nil)
	rec := &games.Record{Games: []games.Game{{ID: "1"}}}
	for k := 1; k <= 8; k++ {
		rec.Games[0].Kids = append(rec.Games[0].Kids, games.Presence{Kid: fmt.Sprint(k), First: 1, Last: 1})
	}
	line := games.Series{Number: 1}
	for _, kid := range []string{"1", "2", "6", "8"} {
		line.Slots = append(line.Slots, games.Slot{Role: "front", Kid: kid})
	}
	rec.Games[0].Series = []games.Series{line}
	s, err := NewSeason(f, rec, "")
	require.NoError(t, err)
	pl, err := New(f, prof, Wishes{})
	require.NoError(t, err)
	pl.Owe(s)
	require.NoError(t, pl.Arrange(t.Context(), rotation.Settings{}, false))
	l := pl.Lineup(rotation.Settings{})
	require.Equal(t, &report.LineupSeason{Games: 1, Larger: []string{"3", "4", "5", "7"}, Passed: []string{}}, l.Season)
	for _, k := range l.Kids {
		larger := strings.Contains("3457", k.Kid)
		require.Equal(t, map[bool]int{true: 3, false: 2}[larger], k.Series)
		require.InDelta(t, map[bool]float64{true: 0.5, false: -0.5}[larger], *k.Owed, 1e-12)
	}
	require.Contains(t, pl.RulesInForce(), "the larger shares to those owed most")
}

// twoSeasons is a record of about so many rows: 15 kids there in every game, eight series of five spots.
func twoSeasons(rows int) (string, *drills.Folder) {
	f, _ := small(15, nil)
	var b strings.Builder
	b.WriteString("game,date,opponent,series,role,kid\n")
	n := 0
	for game := 1; n < rows; game++ {
		for k := range 15 {
			fmt.Fprintf(&b, "%d,2026-09-12,Egrets,1-8,present,%d\n", game, k+1)
			n++
		}
		for s := range 8 {
			for i, role := range []string{"front", "front", "corner", "corner", "deep"} {
				fmt.Fprintf(&b, "%d,2026-09-12,Egrets,%d,%s,%d\n", game, s+1, role, (game+5*s+i)%15+1)
				n++
			}
		}
	}
	return b.String(), f
}

// BenchmarkSeason reads a record of 10,000 rows, compares it with the team, and sums it up; two seasons of a team are far fewer.
func BenchmarkSeason(b *testing.B) {
	text, f := twoSeasons(10_000)
	b.ReportMetric(float64(strings.Count(text, "\n")), "rows")
	for b.Loop() {
		rec, err := games.Read(games.File, strings.NewReader(text))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := rec.Check(f); err != nil {
			b.Fatal(err)
		}
		s, err := NewSeason(f, rec, "")
		if err != nil || math.IsNaN(s.Table.Jain) {
			b.Fatal(err)
		}
		_ = s.Report("Terns")
	}
}
