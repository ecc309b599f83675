package played

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// presence gives a kid's stretches.
func presence(kids []games.Presence, kid string) [][2]int {
	var out [][2]int
	for _, p := range kids {
		if p.Kid == kid {
			out = append(out, [2]int{p.First, p.Last})
		}
	}
	return out
}

// TestHurtOnTheBench: a kid hurt on the bench was there up to the series before; one hurt before its first series, for that one.
func TestHurtOnTheBench(t *testing.T) {
	for _, x := range []struct {
		kid    string
		series int
		want   [][2]int
	}{{"6", 3, [][2]int{{1, 2}}}, {"6", 2, [][2]int{{1, 1}}}, {"6", 1, [][2]int{{1, 1}}}, {"8", 1, [][2]int{{4, 4}}}, {"8", 4, [][2]int{{4, 4}}}, {"1", 3, [][2]int{{1, 3}}}, {"1", 1, [][2]int{{1, 1}}}} {
		told := Told{Plan: plan(4), Played: max(1, x.series), Hurt: []gameplan.At{{Kid: x.kid, Series: x.series}}}
		c, a := build(t, &games.Record{}, told)
		require.Equal(t, x.want, presence(c.Kids, x.kid), "kid %s hurt in series %d", x.kid, x.series)
		require.Equal(t, []games.Mark{{Kid: x.kid, Series: x.series}}, c.Hurt)
		require.Equal(t, []string{x.kid}, a.Hurt)
	}
	require.Contains(t, refused(t, on(t), Told{Hurt: []gameplan.At{{Kid: "7", Series: 2}}}), "kid 7 is not there; a kid who is not there cannot be hurt")
}

// TestSwapOfASpotThatCannotBeTold: where the record is otherwise than the plan in more than one spot, or has fewer spots, a person says which.
func TestSwapOfASpotThatCannotBeTold(t *testing.T) {
	was := func(text string) *games.Record {
		rec := on(t)
		rec.Games[0].Series[0].Slots = slots(text)
		rec.Games[0].Attendance = append(rec.Games[0].Attendance, games.Presence{Kid: "7", First: 1}, games.Presence{Kid: "8", First: 1}, games.Presence{Kid: "9", First: 1})
		return rec
	}
	pl := plan(2)
	pl.Kids[7].Available[0] = 1
	told := func(swap string) Told { return Told{Plan: pl, Swaps: swaps(t, swap)} }

	both := was("front:6 front:7 corner:3 corner:4 deep:5")
	require.Contains(t, refused(t, both, told("1:8@1")), "on record several kids play front in series 1 otherwise than planned, so it cannot be told who is in kid 1's spot; say who gives way: ⟦swap 6:8@1⟧ or ⟦swap 7:8@1⟧")
	require.Contains(t, refused(t, both, told("1:-@1")), "⟦swap 6:-@1⟧ or ⟦swap 7:-@1⟧")
	require.Contains(t, refused(t, both, told("1:6@1")), "kid 1 has no spot in series 1 as it is on record, and kid 6 has one there already")
	require.Contains(t, refused(t, was("front:6 corner:3 corner:4 deep:5"), told("1:8@1")), "nobody there is in the plan's spot; type the series as it was played: ⟦line ")
	require.Contains(t, refused(t, both, told("9:8@1")), "kid 9 has no spot in series 1; a swap goes by what is on record: say who is there in the spot, or give the plan again with ⟦from⟧")
	require.Contains(t, refused(t, &games.Record{}, told("9:8@1")), "kid 9 has no spot in series 1; look up who was on the field")
	require.Contains(t, refused(t, was("deep:1 front:2 corner:3 corner:4 front:5"), told("1:8@1")), "by the plan kid 1 plays front in series 1, and on record deep: it cannot be told which spot is meant; without ⟦from⟧")

	_, a := build(t, was("front:2 corner:3 corner:4 deep:5"), told("1:8@1"))
	require.ElementsMatch(t, slots("front:8 front:2 corner:3 corner:4 deep:5"), a.Series[0].Slots)
	require.Equal(t, []Spot{{1, "front", "8", ""}}, a.Swaps)
	require.Contains(t, strings.Join(a.Warnings, "\n"), "by the plan the spot at front is kid 1's, and on record nobody did")
	c, a := build(t, was("front:2 corner:3 corner:4 deep:5"), told("1:-@1"))
	require.Nil(t, c, "nobody has it already")
	require.Empty(t, a.Swaps)

	_, a = build(t, was("front:6 front:2 corner:3 corner:4 deep:5"), told("1:8@1"))
	require.Equal(t, []Spot{{1, "front", "8", "6"}}, a.Swaps)
	require.Contains(t, strings.Join(a.Warnings, "\n"), "and on record kid 6 played in it; the swap is taken to be about that spot")
	require.Contains(t, refused(t, was("front:6"), Told{Swaps: swaps(t, "6:-@1")}), "nobody is left in series 1; make the series void with ⟦void⟧ instead")
}

// TestLinesTellOneProblemOnce: a slip is told of once, with its line, and what follows it is still read.
func TestLinesTellOneProblemOnce(t *testing.T) {
	f := team(10)
	for line, want := range map[string]string{
		"1: 2 3 F 4":     "x:1: kid 2 has no role; a line is " + Grammar,
		"1: 2 2 F 4":     "x:1: kid 2 has no role; a line is " + Grammar,
		"1: 2 F 2":       "x:1: kid 2 has no role; a line is " + Grammar,
		"1: F 2 2":       "x:1: kid 2 is there twice; a kid has one spot in a series",
		"1: F 2 3 2":     "x:1: kid 2 is there twice; a kid has one spot in a series",
		"1: F 2, C 2":    "x:1: kid 2 is there twice; a kid has one spot in a series",
		"1: F 2, C, D 3": "x:1: no kid follows corner; write the role's kids behind it, or leave it out",
		"1: F 2, C":      "x:1: no kid follows corner; write the role's kids behind it, or leave it out",
		"1:":             "x:1: series 1 names no kid; a line is " + Grammar,
		"0: F 2":         "x:1: series is 0; series are counted 1, 2, 3",
		"100: F 2":       "x:1: series is 100; series are counted 1, 2, 3",
		"series x F 2":   `x:1: the line begins with "x"`,
		"late":           "x:1: nothing follows late; such as absent 4, late 9@3, left 6@5, hurt 2@5, void 4",
		"series":         "x:1: nothing follows series",
		"absnt 4":        `x:1: the line begins with "absnt"; did you mean absent?`,
		"1: F Z":         `x:1: "Z" is no role and no kid; roles are`,
		"1: F 2, frontt": `x:1: "frontt" is no role and no kid; did you mean front?`,
		"late 9":         "x:1: ⟦line-late⟧: ",
		"void x":         `x:1: ⟦void⟧: "x" is no series`,
		"absent 4@2":     "x:1: ⟦line-absent⟧: ",
		"1: F 2\x1b 3":   "x:1: the line ",
	} {
		_, err := ReadLines("x", strings.NewReader(line), f)
		require.Error(t, err, line)
		require.True(t, strings.HasPrefix(err.Error(), want), "%s: %s", line, err)
		require.NotContains(t, err.Error(), "\n", line)
	}
	_, err := ReadLines("x", strings.NewReader(strings.Repeat("#", MaxTyped+1)), f)
	require.ErrorContains(t, err, "x: more than 1 MiB of lines; is this the right file?")
	_, err = ReadLines("x", strings.NewReader(strings.Repeat(" \n", MaxTyped/2)), f)
	require.NoError(t, err)
	_, err = ReadLines("x", strings.NewReader(strings.Repeat("what\n", drills.MaxProblems+100)), f)
	require.Equal(t, drills.MaxProblems+1, strings.Count(err.Error(), "\n")+1)
	require.ErrorContains(t, err, "and 100 more")
	_, err = ReadLines("x", strings.NewReader(strings.Repeat("what\n", drills.MaxProblems)), f)
	require.NotContains(t, err.Error(), " more")

	got, err := ReadLines("x", strings.NewReader("series 99: f 2\nvoid 3\nvoid all\nvoid 5\n"), f)
	require.NoError(t, err)
	require.Equal(t, 99, got.Lines[0].Number)
	require.True(t, got.VoidGame)
	require.Equal(t, []int{3, 5}, got.Void)
}

// TestNothingIsTakenOfAWrongFlag: what cannot be read says so and gives nothing.
func TestNothingIsTakenOfAWrongFlag(t *testing.T) {
	for _, text := range []string{"all,x", "2,x", "x"} {
		all, ns, err := ParseVoid(text)
		require.ErrorContains(t, err, `"x" is no series`)
		require.False(t, all)
		require.Empty(t, ns)
	}
	_, ns, err := ParseVoid("97-99")
	require.NoError(t, err)
	require.Equal(t, []int{97, 98, 99}, ns)
	_, err = gameplan.ParseSwaps("1:2")
	require.ErrorContains(t, err, `"1:2" is no swap`)
	out, err := gameplan.ParseSwaps("1:2@3,x")
	require.ErrorContains(t, err, `"x" is no swap`)
	require.Empty(t, out)
	_, err = gameplan.ParseSwaps("1:2@0")
	require.ErrorContains(t, err, `"0" is no series`)
	out, err = gameplan.ParseSwaps("1:-@4-6, 2:7@99")
	require.NoError(t, err)
	require.Equal(t, []Swap{{Out: "1", First: 4, Last: 6, Text: "1:-@4-6"}, {Out: "2", In: "7", First: 99, Last: 99, Text: "2:7@99"}}, out)
}

// TestJoinPlan: a newer plan says who has left since, who was away in between and who is still to come; what is on record of series that are over stays.
func TestJoinPlan(t *testing.T) {
	pl := plan(6)
	for i := range pl.Series {
		pl.Series[i].Slots[0].Kid = []string{"1", "1", "7", "7", "7", "7"}[i]
	}
	pl.Kids[0].Available[1] = 4                                            // has left since
	pl.Kids[5].Available, pl.Kids[5].Away = [2]int{1, 6}, [][2]int{{4, 4}} // away in between
	pl.Kids[6].Available[0] = 3                                            // new
	pl.Kids[7].Available[0] = 6                                            // still to come
	c, _ := build(t, on(t), Told{Plan: pl, Played: 4})
	require.Equal(t, [][2]int{{1, 4}}, presence(c.Kids, "1"))
	require.Equal(t, [][2]int{{1, 0}}, presence(c.Kids, "2"))
	require.Equal(t, [][2]int{{1, 3}, {5, 0}}, presence(c.Kids, "6"))
	require.Equal(t, [][2]int{{3, 0}}, presence(c.Kids, "7"))
	require.Equal(t, [][2]int{{6, 0}}, presence(c.Kids, "8"))

	c, _ = build(t, on(t), Told{Plan: pl, Played: 4, Swaps: swaps(t, "7:6@4")})
	require.Equal(t, [][2]int{{1, 0}}, presence(c.Kids, "6"), "on the field in it, so it was there")

	early := on(t) // who was there is on record, and no series yet
	early.Games[0].Series = nil
	c, _ = build(t, early, Told{Plan: pl, Played: 4})
	require.Equal(t, [][2]int{{1, 3}, {5, 0}}, presence(c.Kids, "6"))
	require.Len(t, c.Series, 4)

	gone := on(t) // the record knows better of what is over
	gone.Games[0].Attendance[5] = games.Presence{Kid: "6", First: 1, Last: 1}
	c, _ = build(t, gone, Told{Plan: pl, Played: 4})
	require.Equal(t, [][2]int{{1, 1}}, presence(c.Kids, "6"))
}

// TestWhoWasThere: a kid in a spot of a series it was not there for is a problem, with the flag that would say otherwise.
func TestWhoWasThere(t *testing.T) {
	rec := func(p ...games.Presence) *games.Record {
		r := on(t)
		r.Games[0].Attendance = append(r.Games[0].Attendance[:5:5], p...)
		return r
	}
	line := []Line{{Number: 4, Slots: slots("front:6 front:2 corner:3 corner:4 deep:5")}}
	require.Contains(t, refused(t, rec(games.Presence{Kid: "6", First: 5}), Told{Lines: line}),
		"⟦of-series 4⟧: kid 6 has a spot in series 4 and was there from series 5 on; say who played in the spot (⟦swap 6:KID@4⟧), or when the kid was there (⟦late 6@4⟧)")
	require.Contains(t, refused(t, rec(games.Presence{Kid: "6", First: 1, Last: 2}), Told{Lines: line}), "kid 6 has a spot in series 4, and series 2 was the last one; say who played in the spot (⟦swap 6:KID@4⟧), that the kid came back (⟦late 6@4⟧), or, if it had never left, ⟦left 6@4⟧")
	require.Contains(t, refused(t, rec(games.Presence{Kid: "6", First: 1, Last: 2}, games.Presence{Kid: "6", First: 5}), Told{Lines: line}), "and series 2 was the last one")
	_, a := build(t, rec(games.Presence{Kid: "6", First: 1, Last: 2}, games.Presence{Kid: "6", First: 4}), Told{Lines: line})
	require.Contains(t, strings.Join(a.Warnings, "\n"), "series 3 is not on record yet")
	line[0].Number = 5
	_, a = build(t, rec(games.Presence{Kid: "6", First: 5}), Told{Lines: line})
	require.Contains(t, strings.Join(a.Warnings, "\n"), "series 3 to 4 are not on record yet")
	require.True(t, slices.Equal([]State{Kept, Kept, New}, []State{a.Series[0].State, a.Series[1].State, a.Series[2].State}))
}

// TestOtherTeamsWords: a plan of a role that the team has no more, an opponent and an id that cannot be written.
func TestOtherTeamsWords(t *testing.T) {
	odd := plan(1)
	odd.Series[0].Slots[0].Role = "scout"
	require.Contains(t, refused(t, &games.Record{}, Told{Plan: odd, PlanName: "p.json"}), `p.json: series 1 has a role "scout", which the team does not know`)
	odd = plan(1)
	odd.Series[0].Slots[0].Kid = "77"
	require.Contains(t, refused(t, &games.Record{}, Told{Plan: odd, PlanName: "p.json"}), `p.json: no kid "77" in the roster`)
	require.Contains(t, refused(t, on(t), Told{Opponent: "a\x1bb"}), "⟦opponent⟧: it ")
	_, _, err := Build(team(10), &games.Record{}, &Told{Game: "a b", Lines: []Line{{Number: 1, Slots: slots(five)}}})
	require.ErrorContains(t, err, "⟦game⟧: ")
	require.Contains(t, refused(t, on(t), Told{Late: []gameplan.At{{Kid: "6", Series: 100}}}), "series are counted 1, 2, 3")
	require.Contains(t, refused(t, on(t), Told{Absent: []string{"6"}, Late: []gameplan.At{{Kid: "6", Series: 2}}}), "kid 6 is also in ⟦absent⟧")
	twice := []Line{{Number: 3, Slots: slots(five)}, {Number: 3, Slots: slots(five)}}
	require.Contains(t, refused(t, on(t), Told{Lines: twice}), "series 3 is there twice")
	_, a := build(t, on(t), Told{Plan: func() *gameplan.Saved { p := plan(2); p.Series[1].Slots[0].Kid = "6"; return p }()})
	require.Contains(t, strings.Join(a.Warnings, "\n"), "series 2 is on record otherwise than planned, and stays so")
}

// TestSwapTwiceInOneGo: what is not on record is no correction; and the first kid of a series changes places like any other.
func TestSwapTwiceInOneGo(t *testing.T) {
	rec := on(t)
	rec.Games[0].Series = rec.Games[0].Series[:1]
	require.Contains(t, refused(t, rec, Told{Plan: plan(2), Swaps: swaps(t, "1:6@2,1:7@2")}), "kid 1 has no spot in series 2")
	require.NotContains(t, refused(t, rec, Told{Swaps: swaps(t, "1:6@2")}), "\n", "one slip, one problem")
	pl := plan(3) // one series is on record, and the plan says who left in the next
	pl.Kids[5].Available[1] = 2
	c, _ := build(t, rec, Told{Plan: pl, Played: 2})
	require.Equal(t, [][2]int{{1, 2}}, presence(c.Kids, "6"))
	_, a := build(t, on(t), Told{Swaps: swaps(t, "5:1@2")})
	require.ElementsMatch(t, slots("front:5 front:2 corner:3 corner:4 deep:1"), a.Series[1].Slots)
}

// TestVoidGames: of a game that is void nothing is left, nobody was there, and it is of no day; what is recorded in its place is of one.
func TestVoidGames(t *testing.T) {
	rec := on(t)
	rec.Games[0].Date = ""
	c, a := build(t, rec, Told{VoidGame: true, Today: "2026-11-30"})
	require.True(t, c.VoidGame)
	require.True(t, a.VoidGame)
	require.Empty(t, c.Kids)
	require.Empty(t, c.Date)
	for n := 1; n < 3; n++ {
		var lines []Line
		for i := range n {
			lines = append(lines, Line{Number: i + 1, Slots: slots(five)})
		}
		c, a = build(t, rec, Told{VoidGame: true, Today: "2026-11-30", Lines: lines})
		require.Equal(t, "2026-11-30", c.Date)
		require.True(t, a.Dated)
		require.True(t, a.VoidGame)
		require.Len(t, c.Kids, 9)
	}
}

// TestTheLastSeries: the highest number that a series can have is one like others; and a void said beside that of the whole game is no problem.
func TestTheLastSeries(t *testing.T) {
	c, a := build(t, on(t), Told{Left: []gameplan.At{{Kid: "6", Series: 99}}, Late: []gameplan.At{{Kid: "7", Series: 99}}, Lines: []Line{{Number: 99, Slots: slots("front:7 front:2 corner:3 corner:4 deep:5")}}})
	require.Equal(t, [][2]int{{99, 0}}, presence(c.Kids, "7"))
	require.Equal(t, [][2]int{{99, 99}}, presence(a.Kids, "7"))
	require.Equal(t, []string{"1", "6"}, a.Series[2].Bench)
	_, a = build(t, on(t), Told{VoidGame: true, Void: []int{2, 3}})
	require.True(t, a.VoidGame)
	require.Empty(t, a.Void)
	require.Equal(t, "Egrets", func() string { _, a := build(t, on(t), Told{Opponent: "Egrets"}); return a.Opponent }())
	for _, first := range []string{"1", "2", "5"} { // whichever kid is named first in what contradicts itself
		require.Contains(t, refused(t, on(t), Told{Hurt: []gameplan.At{{Kid: first, Series: 2}, {Kid: "3", Series: 1}, {Kid: first, Series: 1}}}), "kid "+first+" is also said to have series")
	}
	require.Contains(t, refused(t, on(t), Told{Hurt: []gameplan.At{{Kid: "2", Series: 2}}, Left: []gameplan.At{{Kid: "2", Series: 1}}}), "kid 2 is also said to have series 1 there; say one of the two")
}

// TestNoneOfThePlan: a plan of which no series was played says who was there, and no more.
func TestNoneOfThePlan(t *testing.T) {
	f := team(10)
	c, _, err := Build(f, &games.Record{}, &Told{Game: "3", Plan: plan(3), Played: 0})
	require.NoError(t, err)
	require.Empty(t, c.Series)
	require.Len(t, c.Kids, 8)
}

// TestSeriesThatNoGameHas: a series past the last that can be counted is a problem with its flag, whatever is said to have happened in it, and no crash.
func TestSeriesThatNoGameHas(t *testing.T) {
	for _, n := range []int{100, 101, 102, 999, 1 << 40} {
		for flag, told := range map[asked.Field]Told{asked.Hurt: {Hurt: []gameplan.At{{Kid: "1", Series: n}}}, asked.Left: {Left: []gameplan.At{{Kid: "1", Series: n}}}, asked.Late: {Late: []gameplan.At{{Kid: "7", Series: n}}}} {
			require.Contains(t, refused(t, on(t), told), fmt.Sprintf("@%d⟧: series is %d; series are counted 1, 2, 3", n, n), flag)
			told.Plan = plan(3)
			require.Contains(t, refused(t, &games.Record{}, told), fmt.Sprintf("series is %d", n), flag)
		}
	}
	c, _ := build(t, on(t), Told{Hurt: []gameplan.At{{Kid: "6", Series: 99}}})
	require.Equal(t, []games.Mark{{Kid: "6", Series: 99}}, c.Hurt)
}

// TestAwayByANewerPlan: what a newer plan knows of a kid's time away counts for the series that were not on record, but for those it has played; also where it
// plays after it, or leaves later.
func TestAwayByANewerPlan(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pl := plan(7)
		first := rapid.IntRange(3, 5).Draw(rt, "first away")
		last := rapid.IntRange(first, 5).Draw(rt, "last away")
		end := rapid.SampledFrom([]int{6, 7}).Draw(rt, "there up to")
		pl.Kids[5].Available[1], pl.Kids[5].Away = end, [][2]int{{first, last}}
		over := rapid.IntRange(2, 7).Draw(rt, "played")
		want := [8]bool{1: true, 2: true}
		for n := 3; n <= 7; n++ {
			want[n] = n <= end && (n < first || n > last)
			if want[n] && rapid.Bool().Draw(rt, "on") {
				pl.Series[n-1].Slots[0].Kid = "6"
			}
		}
		c, a := build(t, on(t), Told{Plan: pl, Played: over, Date: "2026-09-13"})
		for n := 1; n <= 7; n++ {
			require.Equal(rt, want[n], games.There(c.Kids, "6", n), "series %d of %v", n, c.Kids)
		}
		require.Equal(rt, end == 7, games.There(c.Kids, "6", 8))
		require.Empty(rt, a.Hurt)
	})
}

// TestStillHurtIsSaidOnce: that a kid on record as hurt is said to be there again is told when it is said, and not with every entry after that.
func TestStillHurtIsSaidOnce(t *testing.T) {
	const says = "kid 6 is on record as hurt in this game"
	rec := on(t)
	g := &rec.Games[0]
	g.Attendance[5].Last, g.Hurt, g.Marks = 1, []string{"6"}, []games.Mark{{Kid: "6", Series: 2}}
	c, a := build(t, rec, Told{Late: []gameplan.At{{Kid: "6", Series: 3}}})
	require.Equal(t, 1, strings.Count(strings.Join(a.Warnings, "\n"), says))
	require.Equal(t, []string{"6"}, a.Hurt)
	g.Attendance = c.Kids
	_, a = build(t, rec, Told{Opponent: "Egrets"})
	require.NotContains(t, strings.Join(a.Warnings, "\n"), says)
	require.Equal(t, []string{"6"}, a.Hurt, "and it stays so")
}
