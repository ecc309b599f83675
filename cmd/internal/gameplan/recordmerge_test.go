package gameplan

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// onRecord is a game with so many series on record, in which kids 1 to 5 play, and are there to the end.
func onRecord(over int) *games.Game {
	g := &games.Game{ID: "g", At: drills.Place{File: games.File, Line: 7}}
	for s := range over {
		line := games.Series{Number: s + 1}
		for i, role := range []string{"front", "front", "corner", "corner", "deep"} {
			line.Slots = append(line.Slots, games.Slot{Role: role, Kid: fmt.Sprint(i + 1)})
		}
		g.Series = append(g.Series, line)
	}
	for k := range 5 {
		g.Attendance = append(g.Attendance, games.Presence{Kid: fmt.Sprint(k + 1), First: 1})
	}
	return g
}

// presence is when a kid is there by a plan of six series; "": it is not in it.
func presence(sv *Saved, kid string) string {
	out := ""
	for _, k := range sv.Kids {
		if k.Kid == kid {
			for _, here := range k.There(6) {
				out += map[bool]string{true: "1", false: "0"}[here]
			}
		}
	}
	return out
}

// TestWhoIsThereByTheRecord: what the record says of a kid counts; where it says no more than that the kid is there to the end, the plan may
// know of an earlier one, and of a kid who is still to come. Two of six series are over.
func TestWhoIsThereByTheRecord(t *testing.T) {
	type there [][2]int
	for name, x := range map[string]struct {
		from, to int // by the plan; 0: not in it
		away     [][2]int
		record   there // first and last; 0: to the end
		silent   bool  // the record has no attendance at all
		plays    []int // on record
		want     string
		note     bool
	}{
		"there all the time":            {from: 1, to: 6, record: there{{1, 0}}, want: "111111"},
		"gone":                          {from: 1, to: 6, record: there{{1, 2}}, want: "110000"},
		"goes later":                    {from: 1, to: 6, record: there{{1, 4}}, want: "111100"},
		"came late":                     {from: 1, to: 6, record: there{{2, 0}}, want: "011111"},
		"is to leave":                   {from: 1, to: 4, record: there{{1, 0}}, want: "111100"},
		"is to leave now":               {from: 1, to: 2, record: there{{1, 0}}, want: "110000"},
		"was to leave, and stayed":      {from: 1, to: 1, record: there{{1, 0}}, want: "111111"},
		"is to leave, and is back":      {from: 1, to: 6, away: [][2]int{{3, 4}}, record: there{{1, 0}}, want: "110011"},
		"was to be away, and is not":    {from: 1, to: 6, away: [][2]int{{2, 3}}, record: there{{1, 0}}, want: "110111"},
		"still to come":                 {from: 4, to: 6, record: there{{1, 0}}, want: "000111"},
		"still to come, next":           {from: 3, to: 6, record: there{{1, 0}}, want: "001111"},
		"was to come, and came before":  {from: 2, to: 6, record: there{{1, 0}}, want: "111111"},
		"to come, and came before":      {from: 5, to: 6, record: there{{2, 0}}, want: "011111"},
		"to come, and comes for next":   {from: 5, to: 6, record: there{{3, 0}}, want: "001111"},
		"to come, before, and to leave": {from: 4, to: 5, record: there{{2, 0}}, want: "011110"},
		"to come, and leaves":           {from: 4, to: 6, record: there{{1, 5}}, want: "000110"},
		"to come, came, and leaves":     {from: 4, to: 6, record: there{{2, 5}}, want: "011110"},
		"left and came back":            {from: 1, to: 6, record: there{{1, 1}, {3, 0}}, want: "101111"},
		"leaves and comes back":         {from: 1, to: 6, record: there{{1, 3}, {5, 0}}, want: "111011"},
		"two times":                     {from: 1, to: 6, record: there{{2, 3}, {5, 6}}, want: "011011"},
		"two times, to leave":           {from: 1, to: 5, record: there{{1, 1}, {3, 0}}, want: "101110"},
		"played without being there":    {from: 1, to: 6, record: there{{2, 0}}, plays: []int{1}, want: "111111"},
		"not on record":                 {from: 1, to: 6, note: true},
		"not on record, was to come":    {from: 2, to: 6, note: true},
		"not on record, is to come":     {from: 3, to: 6, want: "001111"},
		"not on record, and played":     {from: 2, to: 5, plays: []int{1}, want: "111110"},
		"not planned, there":            {record: there{{1, 0}}, want: "111111"},
		"not planned, from now on":      {record: there{{3, 0}}, want: "001111"},
		"not planned, was there":        {record: there{{1, 2}}, want: "110000"},
		"not planned, played":           {plays: []int{2}, want: "111111"},
		"nothing is known":              {},
		"no attendance":                 {from: 2, to: 5, silent: true, want: "011110"},
		"no attendance, not planned":    {silent: true},
		"no attendance, and played":     {from: 2, to: 5, silent: true, plays: []int{1}, want: "111110"},
		"no attendance, only played":    {silent: true, plays: []int{1}, want: "111111"},
	} {
		t.Run(name, func(t *testing.T) {
			sv := handMade(6, 5)
			if x.from > 0 {
				sv.Kids = append(sv.Kids, SavedKid{Kid: "6", Available: [2]int{x.from, x.to}, Away: x.away})
			}
			g := onRecord(2)
			for _, w := range x.record {
				g.Attendance = append(g.Attendance, games.Presence{Kid: "6", First: w[0], Last: w[1]})
			}
			if x.silent {
				g.Attendance = nil
			}
			for _, s := range x.plays {
				g.Series[s-1].Slots[4].Kid = "6"
			}
			out, err := readBack(t, sv).WithRecord(g)
			require.NoError(t, err)
			require.Equal(t, x.want, presence(out, "6"))
			require.Equal(t, "111111", presence(out, "1"))
			said := fmt.Sprint(out.notes)
			require.Equal(t, x.note, len(out.notes) > 0 && len(x.plays) == 0, said)
			if x.note {
				require.Contains(t, said, "kid 6 is not there according to the record of game g")
			}
		})
	}
}

// TestARecordInAPlan: the series on record stand in the plan as they were played, the others as planned; notes say what differs, and the plan
// that was given is as it was.
func TestARecordInAPlan(t *testing.T) {
	sv := readBack(t, handMade(6, 7))
	sv.Note("before")
	sv.Hurt = []string{"7"}
	was := string(inFile(t, sv))
	g := onRecord(4)
	g.Series[0].Slots[0], g.Series[0].Slots[1] = g.Series[0].Slots[1], g.Series[0].Slots[0] // the same in another order
	g.Series[3].Slots[4].Kid = "6"
	g.Series[1].Slots = nil
	g.Series = append(g.Series, games.Series{Number: 6})
	g.Hurt = []string{"7", "5"}
	g.Attendance = append(g.Attendance, games.Presence{Kid: "6", First: 1}, games.Presence{Kid: "7", First: 1})
	out, err := sv.WithRecord(g)
	require.NoError(t, err)
	require.Equal(t, was, string(inFile(t, sv)))
	require.Equal(t, []string{"note: before"}, sv.notes)
	require.Equal(t, []string{"note: before", "note: game g has no series 2 on record: it counts as planned", "note: series 4 was played otherwise than planned: the record counts"}, out.notes)
	require.Equal(t, 4, out.Played)
	require.Equal(t, []string{"7", "5"}, out.Hurt)
	for s, line := range out.Series {
		want := sv.Series[s].Slots
		if s < 4 && s != 1 {
			want = nil
			want = append(want, g.Series[s].Slots...)
		}
		require.Equal(t, want, line.Slots, "series %d", s+1)
	}
	require.Same(t, sv, out.from)
	g.Series[2].Slots[4].Kid = "6"
	twice, err := out.WithRecord(g)
	require.NoError(t, err)
	require.Same(t, sv, twice.from, "the plan in the file, whatever was merged in between")
	both, err := sv.WithRecord(g)
	require.NoError(t, err)
	require.Contains(t, both.notes, "note: series 3-4 were played otherwise than planned: the record counts")
	sv.Played = 5
	later, err := sv.WithRecord(g)
	require.NoError(t, err)
	require.Equal(t, 5, later.Played, "the plan may know of more")
}

// TestASeriesThatIsNotOnRecord: whoever was planned for it counts as there, since nothing else is known.
func TestASeriesThatIsNotOnRecord(t *testing.T) {
	sv := handMade(6, 6)
	sv.Series[0].Slots[4].Kid = "6"
	g := onRecord(2)
	g.Series[0].Slots = nil
	out, err := readBack(t, sv).WithRecord(g)
	require.NoError(t, err)
	require.Equal(t, "111111", presence(out, "6"), "played in series 1, as planned")
	require.Len(t, out.notes, 1)
}

// TestARecordBeyondThePlan: a record of more series than the plan has, or of all of them, leaves nothing to plan.
func TestARecordBeyondThePlan(t *testing.T) {
	sv := readBack(t, handMade(6, 6))
	_, err := sv.WithRecord(onRecord(6))
	require.ErrorIs(t, err, ErrOver)
	_, err = sv.WithRecord(onRecord(7))
	require.ErrorContains(t, err, "the plan has 6 series, and game g is recorded up to series 7")
	_, err = sv.WithRecord(onRecord(5))
	require.NoError(t, err)
}

// TestFromARecordAlone: the series on record, then the team's formations in turn; who is there is told by the record, or else all who are not on hold.
func TestFromARecordAlone(t *testing.T) {
	f, _ := small(7, func(f *drills.Folder) {
		f.Team.Series = 6
		f.Roster[6].Hold = "knee"
		for _, x := range f.Team.Catalogue.Formations {
			if x.Name == "1-3-1" {
				f.Team.Formations = append(f.Team.Formations, x)
			}
		}
	})
	g := onRecord(2)
	sv, err := FromRecord(g, f)
	require.NoError(t, err)
	require.Equal(t, "Terns", sv.Team)
	require.Empty(t, sv.notes)
	require.Equal(t, 2, sv.Played)
	require.Len(t, sv.Series, 6)
	for s, line := range sv.Series {
		require.Equal(t, s+1, line.Number)
		require.Equal(t, []string{"2-3", "1-3-1"}[s%2], line.Formation)
		require.Len(t, line.Slots, map[bool]int{true: 5, false: 0}[s < 2])
	}
	require.Equal(t, "", presence(sv, "6"), "the record has others there")
	g.Attendance = nil
	sv, err = FromRecord(g, f)
	require.NoError(t, err)
	require.Equal(t, []string{"111111", "111111", ""}, []string{presence(sv, "1"), presence(sv, "6"), presence(sv, "7")})
	sv, err = FromRecord(onRecord(0), f)
	require.NoError(t, err)
	require.Zero(t, sv.Played)
	_, err = FromRecord(onRecord(6), f)
	require.ErrorIs(t, err, ErrOver)
	_, err = FromRecord(onRecord(8), f)
	require.ErrorIs(t, err, ErrOver)

	g = onRecord(3)
	g.Series[1].Slots = nil
	_, err = FromRecord(g, f)
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	require.Equal(t, drills.Place{File: games.File, Line: 7}, ps[0].At)
	require.Equal(t, "game g has series 3 on record and not series 2", ps[0].What)
}

// TestWhatTheRecordCannotTell: without a plan nobody knows who played in a series that is over and not on record.
func TestWhatTheRecordCannotTell(t *testing.T) {
	f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 6 })
	sv, err := FromRecord(onRecord(2), f)
	require.NoError(t, err)
	for played, ok := range map[int]bool{-1: true, 2: true, 3: false} {
		pl, err := NewFrom(f, prof, Wishes{}, sv, played)
		if ok {
			require.NoError(t, err)
			require.True(t, pl.Bare())
			require.Nil(t, pl.Game.Kept, "there is no plan to keep to")
			continue
		}
		require.ErrorContains(t, err, "⟦played⟧: series 3 is over, but it is not in the record, and there is no plan that tells who played")
	}
	f.Roster[0].Hold = "knee" // and so out, with a record without a plan too
	pl, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.Equal(t, []Away{{"1", OnHold}}, pl.Gone)
}
