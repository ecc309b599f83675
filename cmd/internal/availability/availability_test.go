package availability

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// TestNothingLiftsABar: whatever is said of a kid and in whatever order, it is there for just the series of a naive book, and once barred on the field in
// none that is still to come.
func TestNothingLiftsABar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "series")
		over := rapid.IntRange(0, n).Draw(t, "over")
		held := rapid.Bool().Draw(t, "held")
		roster := []drills.Kid{{ID: "07"}, {ID: "8"}}
		if held {
			roster[0].Hold = "knee"
		}
		out := Out{}.WithHolds(roster)
		k := NewKids(n, over, out)
		require.Equal(t, over, k.Over())
		book, barred := make([]bool, n+2), held
		why := NotInPlan
		for range rapid.IntRange(0, 8).Draw(t, "steps") {
			a, b := rapid.IntRange(-1, n+2).Draw(t, "a"), rapid.IntRange(-1, n+2).Draw(t, "b")
			set := func(from, to int, there bool) {
				for s := max(1, from); s <= min(n, to); s++ {
					book[s] = there
				}
			}
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0:
				k.Come("07", a)
				set(a, n, true)
			case 1:
				k.Leave("07", a, Absent)
				set(a+1, n, false)
				why = Absent
			case 2:
				k.Gap("07", a, b)
				set(a, b, false)
			case 3:
				k.Bar("07", Bar{Why: Hurt, Series: 3})
				barred = true
			}
		}
		first, last, any := 0, 0, false
		there, reason, ok := k.There("07")
		require.Len(t, there, n)
		for s := 1; s <= n; s++ {
			require.Equal(t, book[s], k.Present("07", s), "series %d", s)
			if book[s] {
				last = s
				if first == 0 {
					first = s
				}
			}
			got, may := k.May("07", s)
			require.Equal(t, book[s] && (s <= over || !barred), may, "series %d", s)
			require.Equal(t, may, there[s-1], "series %d", s)
			any = any || may
			switch {
			case may:
			case barred && s > over && held:
				require.Equal(t, OnHold, got, "a hold comes first")
			case barred && s > over:
				require.Equal(t, Hurt, got)
			default:
				require.Equal(t, why, got)
			}
		}
		require.Equal(t, any, ok)
		require.Equal(t, [2]int{first, last}, [2]int{k.First("07"), k.Last("07")})
		bar, is := k.Barred("7")
		require.Equal(t, barred, is, "07 and 7 are one kid")
		switch {
		case held:
			require.Equal(t, OnHold, reason)
		case barred:
			require.Equal(t, Bar{Why: Hurt, Series: 3}, bar)
			require.Equal(t, Hurt, reason)
		}
		_, now := out.Find("07")
		require.Equal(t, held, now, "who was given is not changed")
		for s := -1; s <= n+1; s++ {
			_, may := k.May("8", s)
			require.False(t, may || k.Present("8", s), "nothing was said of kid 8")
		}
		_, may := k.May("07", n+1)
		require.False(t, may)
		require.False(t, k.Present("07", 0) || k.Present("07", n+1))
	})
}

// record is one game with series 1 to n on record, and marks.
func record(id, date string, n int, marks ...games.Mark) games.Game {
	g := games.Game{ID: id, Date: date, Marks: marks}
	for s := 1; s <= n; s++ {
		g.Series = append(g.Series, games.Series{Number: s, Slots: []games.Slot{{Role: "front", Kid: "1"}}})
	}
	return g
}

// TestWhoIsOutOnADay: a hurt counts on its day, in every game of it; a game without a date may be of today for as long as it is not all on record; and
// what a person has cleared counts nowhere.
func TestWhoIsOutOnADay(t *testing.T) {
	const today, before, series = "2026-09-12", "2026-09-05", 4
	roster := []drills.Kid{{ID: "1"}, {ID: "02"}, {ID: "3", Hold: "x"}, {ID: "4"}}
	hurt := games.Mark{Kid: "2", Series: 3}
	cleared := games.Mark{Kid: "2", Series: 3, Cleared: true, By: "Ana"}
	for name, x := range map[string]struct {
		games []games.Game
		game  string
		want  Bar
		out   bool
	}{
		"today":                         {games: []games.Game{record("1", today, 4, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
		"cleared":                       {games: []games.Game{record("1", today, 4, cleared)}},
		"cleared, and hurt again":       {games: []games.Game{record("1", today, 4, cleared, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
		"another day":                   {games: []games.Game{record("1", before, 2, hurt)}},
		"the game itself":               {games: []games.Game{record("1", before, 2, hurt)}, game: "01", want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
		"another game of that day":      {games: []games.Game{record("1", before, 4, hurt), record("2", before, 1)}, game: "2", want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
		"that day, and not today":       {games: []games.Game{record("1", today, 4, hurt), record("2", before, 1)}, game: "2"},
		"no date, and on":               {games: []games.Game{record("1", "", 3, hurt), record("2", today, 1)}, want: Bar{Why: Hurt, Game: "1", Series: 3, Undated: true}, out: true},
		"no date, and over":             {games: []games.Game{record("1", "", 4, hurt)}},
		"a date that is none":           {games: []games.Game{record("1", "9/12/2026", 3, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3, Undated: true}, out: true},
		"a date that may be the day":    {games: []games.Game{record("1", "12/9/2026", 4, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3, Undated: true}, out: true},
		"or the other way round":        {games: []games.Game{record("1", "9/12/26", 4, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3, Undated: true}, out: true},
		"a date that is another day":    {games: []games.Game{record("1", "13/9/2026", 4, hurt)}},
		"a game that is not on record":  {games: []games.Game{record("1", today, 4, hurt)}, game: "9", want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
		"void, and nothing left but it": {games: []games.Game{record("1", today, 0, hurt)}, want: Bar{Why: Hurt, Game: "1", Series: 3}, out: true},
	} {
		out := Of(roster, &games.Record{Games: x.games}, x.game, today, series)
		for _, id := range []string{"2", "02", "2.0"} {
			bar, is := out.Find(id)
			require.Equal(t, x.out, is, name)
			require.Equal(t, x.want, bar, name)
		}
		bar, is := out.Find("3")
		require.True(t, is, name)
		require.Equal(t, Bar{Why: OnHold}, bar, name)
		_, is = out.Find("4")
		require.False(t, is, name)
	}
	out := Of(roster, nil, "", today, series)
	more := out.WithPlan("plan.json", []string{"3", "4"})
	bar, _ := more.Find("4")
	require.Equal(t, Bar{Why: Hurt, Plan: "plan.json"}, bar)
	bar, _ = more.Find("3")
	require.Equal(t, OnHold, bar.Why, "a hold comes first")
	_, is := out.Find("4")
	require.False(t, is, "who was given is not changed")
	require.Equal(t, fmt.Sprint(Out{}.WithHolds(roster)), fmt.Sprint(out), "without a record, the roster is all there is")
}

// TestRecorded is the last series with somebody on the field.
func TestRecorded(t *testing.T) {
	g := record("1", "", 3)
	g.Series = append(g.Series, games.Series{Number: 5})
	require.Equal(t, 3, Recorded(&g))
	require.Zero(t, Recorded(&games.Game{}))
}
