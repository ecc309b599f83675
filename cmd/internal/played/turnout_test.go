package played

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills/games"
)

// TestStretchesTellTheTurnout: the stretches of any turnout are in order, apart, and hold just its series.
func TestStretchesTellTheTurnout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var turn turnout
		for range rapid.IntRange(0, 4).Draw(t, "parts") {
			first := rapid.IntRange(1, maxSeries).Draw(t, "first")
			last := rapid.SampledFrom([]int{0, first, min(maxSeries, first+3)}).Draw(t, "last")
			there := rapid.Bool().Draw(t, "there")
			was := turn
			turn.put(first, last, there)
			for n := 1; n <= maxSeries; n++ {
				if in := n >= first && (last == 0 || n <= last); in {
					require.Equal(t, there, turn[n])
				} else {
					require.Equal(t, was[n], turn[n])
				}
			}
		}
		all := turn.stretches("7")
		for n := 1; n <= maxSeries; n++ {
			require.Equal(t, turn[n], games.There(all, "7", n), "series %d of %v", n, all)
		}
		for i, p := range all {
			require.True(t, p.Last == 0 && i == len(all)-1 || p.First <= p.Last)
			require.True(t, i == 0 || all[i-1].Last+1 < p.First, "no series between")
			require.Equal(t, p.Last == 0, i == len(all)-1 && turn[maxSeries], "to the end")
		}
		first := maxSeries + 1
		if len(all) > 0 {
			first = all[0].First
		}
		for n := 0; n <= maxSeries+1; n++ {
			require.Equal(t, first < n, turn.before(n), n)
		}
	})
}

// TestComings: who came late was not there before; who had left comes back, and the time away stays; a later leave that is known stays too.
func TestComings(t *testing.T) {
	at := func(series int) []gameplan.At { return []gameplan.At{{Kid: "6", Series: series}} }
	type stretch [2]int
	for name, x := range map[string]struct {
		was        []games.Presence
		late, left []gameplan.At
		want       []stretch
	}{
		"late":                     {was: []games.Presence{{Kid: "6", First: 1}}, late: at(3), want: []stretch{{3, 0}}},
		"late, from the first":     {was: []games.Presence{{Kid: "6", First: 1}}, late: at(1), want: []stretch{{1, 0}}},
		"earlier than said":        {was: []games.Presence{{Kid: "6", First: 4}}, late: at(2), want: []stretch{{2, 0}}},
		"later than said":          {was: []games.Presence{{Kid: "6", First: 2}}, late: at(4), want: []stretch{{4, 0}}},
		"left":                     {was: []games.Presence{{Kid: "6", First: 1}}, left: at(4), want: []stretch{{1, 4}}},
		"left later than said":     {was: []games.Presence{{Kid: "6", First: 1, Last: 2}}, left: at(4), want: []stretch{{1, 4}}},
		"back":                     {was: []games.Presence{{Kid: "6", First: 1, Last: 2}}, late: at(5), want: []stretch{{1, 2}, {5, 0}}},
		"back at once":             {was: []games.Presence{{Kid: "6", First: 1, Last: 2}}, late: at(3), want: []stretch{{3, 0}}},
		"back for one series":      {was: []games.Presence{{Kid: "6", First: 1, Last: 1}}, late: at(3), left: at(3), want: []stretch{{1, 1}, {3, 3}}},
		"back as is known":         {was: []games.Presence{{Kid: "6", First: 1, Last: 2}, {Kid: "6", First: 5}}, late: at(5), want: []stretch{{1, 2}, {5, 0}}},
		"left and back at once":    {was: []games.Presence{{Kid: "6", First: 1}}, left: at(2), late: at(3), want: []stretch{{1, 0}}},
		"left early, back at once": {was: []games.Presence{{Kid: "6", First: 2, Last: 5}}, left: at(3), late: at(4), want: []stretch{{2, 0}}},
		"back for a while":         {was: []games.Presence{{Kid: "6", First: 1, Last: 1}}, late: at(3), left: at(4), want: []stretch{{1, 1}, {3, 4}}},
		"away in between":          {was: []games.Presence{{Kid: "6", First: 1}}, left: at(2), late: at(5), want: []stretch{{1, 2}, {5, 0}}},
		"comes and leaves":         {was: []games.Presence{{Kid: "6", First: 1}}, late: at(2), left: at(5), want: []stretch{{2, 5}}},
		"late, and leaves as was":  {was: []games.Presence{{Kid: "6", First: 1, Last: 6}}, late: at(3), want: []stretch{{3, 6}}},
		"was not there, and came":  {late: at(3), want: []stretch{{3, 0}}},
		"was not there, and left":  {left: at(3), want: []stretch{{1, 3}}},
	} {
		rec := on(t)
		g := &rec.Games[0]
		g.Attendance = append(g.Attendance[:5:5], x.was...)
		c, _ := build(t, rec, Told{Late: x.late, Left: x.left, Date: "2026-09-13"})
		var got []stretch
		for _, p := range c.Kids {
			if p.Kid == "6" {
				got = append(got, stretch{p.First, p.Last})
			}
		}
		require.Equal(t, x.want, got, name)
	}
}

// TestMayPlay: a kid out for the day or on hold is on record in no series that is new; what is on record stays, and what was before is a fact.
func TestMayPlay(t *testing.T) {
	line := func(n int, text string) []Line { return []Line{{Number: n, Slots: slots(text)}} }
	hurt := on(t)
	g := &hurt.Games[0]
	g.Hurt, g.Marks = []string{"2"}, []games.Mark{{Kid: "2", Series: 3}}
	c, _ := build(t, hurt, Told{Lines: line(3, five)})
	require.Len(t, c.Series, 1, "hurt in that series, and on the field in it")
	require.Contains(t, refused(t, hurt, Told{Lines: line(4, five)}), "kid 2 has a spot in series 4, and is on record as hurt in game 3 and out for the day")
	c, _ = build(t, hurt, Told{Lines: line(4, "front:1 front:6 corner:3 corner:4 deep:5")})
	require.Len(t, c.Series, 1)
	_, a := build(t, hurt, Told{Opponent: "Egrets"})
	require.Equal(t, []State{Kept, Kept}, []State{a.Series[0].State, a.Series[1].State}, "what is on record stays")

	morning := on(t)
	morning.Games = append([]games.Game{{ID: "2", Date: "2026-09-12", Hurt: []string{"2"}, Marks: []games.Mark{{Kid: "2", Series: 8}}}}, morning.Games...)
	require.Contains(t, refused(t, morning, Told{Lines: line(3, five)}), "is on record as hurt in game 2", "in another game of the day")
	morning.Games[0].Date = "2026-09-05"
	morning.Games[0].Series = []games.Series{{Number: 8, Slots: slots(five)}}
	c, _ = build(t, morning, Told{Lines: line(3, five)})
	require.Len(t, c.Series, 1, "on another day")

	held := Told{Lines: line(3, "front:1 front:10 corner:3 corner:4 deep:5"), Late: []gameplan.At{{Kid: "10", Series: 3}}}
	require.Contains(t, refused(t, on(t), held), "kid 10 has a spot in series 3 and a hold in roster.csv")
	held.BeforeHold = []string{"10"}
	c, a = build(t, on(t), held)
	require.Len(t, c.Series, 1)
	require.NotContains(t, strings.Join(a.Warnings, ""), "kid 10")
}

// TestPlansHurtGoOnRecord: whom a plan has as hurt, and not there to the end, is so on record; a kid who plays on by the plan is not.
func TestPlansHurtGoOnRecord(t *testing.T) {
	p := plan(4)
	p.Kids[5].Available[1] = 2
	p.Hurt = []string{"6", "7", "9"} // 7 is there to the end, 9 not at all
	c, a := build(t, &games.Record{}, Told{Plan: p})
	require.Equal(t, []games.Mark{{Kid: "6", Series: 3}}, c.Hurt)
	require.Equal(t, []string{"6"}, a.Hurt)
	_, a = build(t, &games.Record{}, Told{Lines: []Line{{Number: 1, Slots: slots(five)}}})
	require.True(t, a.Everybody)
	for _, k := range a.Kids {
		require.Equal(t, games.Presence{Kid: k.Kid, First: 1, Last: 1}, k, "everybody is there throughout")
	}
}
