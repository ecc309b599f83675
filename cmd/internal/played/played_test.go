package played

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// team has kids 1 to n, of whom the last is on hold; kid 1 never plays deep.
func team(n int) *drills.Folder {
	f := &drills.Folder{}
	f.Team.Name = "Sandpipers"
	f.Team.Catalogue = drills.Default()
	f.Team.Series = 8
	f.Team.Formations = f.Team.Catalogue.Formations[:1]
	for i := range n {
		f.Roster = append(f.Roster, drills.Kid{ID: fmt.Sprint(i + 1), Name: "Kid " + string(rune('A'+i))})
	}
	f.Roster[0].Never = []string{"deep"}
	f.Roster[n-1].Hold = "wrist"
	return f
}

func slots(text string) []games.Slot {
	var out []games.Slot
	for _, part := range strings.Fields(text) {
		role, kid, _ := strings.Cut(part, ":")
		out = append(out, games.Slot{Role: role, Kid: kid})
	}
	return out
}

const five = "front:1 front:2 corner:3 corner:4 deep:5"

// plan has so many series, all with kids 1 to 5 on the field and 6 to 8 on the bench; kid 8 comes for the last one.
func plan(series int) *gameplan.Saved {
	sv := &gameplan.Saved{Team: "Sandpipers"}
	for s := range series {
		line := gameplan.SavedSeries{Number: s + 1}
		line.Slots = append(line.Slots, slots(five)...)
		sv.Series = append(sv.Series, line)
	}
	for k := range 8 {
		sv.Kids = append(sv.Kids, gameplan.SavedKid{Kid: fmt.Sprint(k + 1), Available: [2]int{1, series}})
	}
	sv.Kids[7].Available[0] = series
	return sv
}

func build(t *testing.T, rec *games.Record, told Told) (*games.Change, *Account) {
	t.Helper()
	if told.Played == 0 {
		told.Played = -1
	}
	told.Game = "3"
	c, a, err := Build(team(10), rec, &told)
	require.NoError(t, err)
	return c, a
}

func refused(t *testing.T, rec *games.Record, told Told) string {
	t.Helper()
	if told.Played == 0 {
		told.Played = -1
	}
	told.Game = "3"
	c, a, err := Build(team(10), rec, &told)
	require.Error(t, err)
	require.Nil(t, c)
	require.Nil(t, a)
	return err.Error()
}

func swaps(t *testing.T, text string) []Swap {
	t.Helper()
	out, err := gameplan.ParseSwaps(text)
	require.NoError(t, err)
	return out
}

func TestBuildFromPlan(t *testing.T) {
	c, a := build(t, &games.Record{}, Told{Plan: plan(3), Played: 2, Swaps: swaps(t, "1:6@1-2,2:5@2")})
	require.Equal(t, []games.Series{{Number: 1, Slots: slots("front:6 front:2 corner:3 corner:4 deep:5")}, {Number: 2, Slots: slots("front:6 front:5 corner:3 corner:4 deep:2")}}, c.Series)
	require.Equal(t, []Spot{{1, "front", "6", "1"}, {2, "front", "6", "1"}, {2, "front", "5", "2"}, {2, "deep", "2", "5"}}, a.Swaps)
	require.Len(t, c.Kids, 8)
	require.Equal(t, games.Presence{Kid: "8", First: 3}, c.Kids[7], "still to come")
	require.Len(t, a.Kids, 7, "not there in what was played")
	require.Equal(t, []string{"1", "7"}, a.Series[0].Bench)
	require.Equal(t, []string{"8", "9"}, append([]string{"8"}, a.Away...)[0:2], "9 is in no plan; 10 is on hold")

	c, _ = build(t, &games.Record{}, Told{Plan: plan(2), Swaps: swaps(t, "3:-@2")})
	require.Equal(t, slots("front:1 front:2 corner:4 deep:5"), c.Series[1].Slots, "nobody in the spot")
}

// on is a record of game 3 with two series as planned.
func on(t *testing.T) *games.Record {
	t.Helper()
	return &games.Record{Games: []games.Game{{ID: "3", Date: "2026-09-12", Series: []games.Series{{Number: 1, Slots: slots(five)}, {Number: 2, Slots: slots(five)}},
		Attendance: []games.Presence{{Kid: "1", First: 1}, {Kid: "2", First: 1}, {Kid: "3", First: 1}, {Kid: "4", First: 1}, {Kid: "5", First: 1}, {Kid: "6", First: 1}}}}}
}

func TestBuildOnRecord(t *testing.T) {
	c, a := build(t, on(t), Told{Plan: plan(2)})
	require.Nil(t, c, "all of it is on record")
	require.Equal(t, Kept, a.Series[0].State)

	other := plan(3)
	other.Series[0].Slots[0].Kid = "6"
	c, a = build(t, on(t), Told{Plan: other})
	require.Equal(t, []games.Series{{Number: 3, Slots: slots(five)}}, c.Series, "what is on record stays")
	require.Contains(t, strings.Join(a.Warnings, "\n"), "series 1 is on record otherwise than planned, and stays so")
	require.Equal(t, games.Presence{Kid: "8", First: 3}, c.Kids[len(c.Kids)-1], "who is to come by the plan comes")

	c, a = build(t, on(t), Told{Lines: []Line{{Number: 2, Slots: slots("front:6 front:2 corner:3 corner:4 deep:5")}}})
	require.Len(t, c.Series, 1)
	require.Empty(t, c.Kids, "attendance is as it was")
	require.Equal(t, Corrected, a.Series[1].State)
	require.Equal(t, "2026-09-12", c.Date)

	c, _ = build(t, on(t), Told{Date: "2026-09-13"})
	require.Equal(t, "2026-09-13", c.Date)
	require.Len(t, c.Kids, 6)

	c, a = build(t, on(t), Told{VoidGame: true, Lines: []Line{{Number: 1, Slots: slots(five)}}})
	require.True(t, c.VoidGame)
	require.Len(t, c.Kids, 9, "everybody not on hold")
	require.Equal(t, Corrected, a.Series[0].State)

	left := plan(4)
	left.Kids[1].Available[1] = 2
	for i := 2; i < 4; i++ {
		left.Series[i].Slots[1].Kid = "6"
	}
	left.Hurt = []string{"2"}
	c, a = build(t, on(t), Told{Plan: left})
	require.Contains(t, c.Kids, games.Presence{Kid: "2", First: 1, Last: 2}, "the plan knows who has left since")
	require.Equal(t, []string{"2"}, a.Hurt)
	require.Equal(t, []games.Mark{{Kid: "2", Series: 3}}, c.Hurt)
}

func TestBuildHurt(t *testing.T) {
	at := []gameplan.At{{Kid: "1", Series: 2}}
	c, a := build(t, &games.Record{}, Told{Plan: plan(2), Hurt: at})
	require.Contains(t, c.Kids, games.Presence{Kid: "1", First: 1, Last: 2}, "hurt on the field: the series counts")
	require.Equal(t, []string{"1"}, a.Hurt)
	c, _ = build(t, &games.Record{}, Told{Plan: plan(2), Hurt: at, Swaps: swaps(t, "1:6@2")})
	require.Contains(t, c.Kids, games.Presence{Kid: "1", First: 1, Last: 1}, "replaced: it does not")
}

// TestHurtStays: an entry replaces all attendance of its game, and must not lift a hold in passing; nor does it get lost where the kid had left
// before anybody said why.
func TestHurtStays(t *testing.T) {
	hurt := on(t)
	hurt.Games[0].Attendance[1].Last, hurt.Games[0].Hurt, hurt.Games[0].Marks = 2, []string{"2"}, []games.Mark{{Kid: "2", Series: 2}}
	for name, told := range map[string]Told{
		"somebody else left": {Left: []gameplan.At{{Kid: "5", Series: 2}}},
		"another date":       {Date: "2026-09-13"},
		"a newer plan":       {Plan: func() *gameplan.Saved { p := plan(3); p.Series[2].Slots[1].Kid = "6"; return p }()},
		"said again":         {Hurt: []gameplan.At{{Kid: "2", Series: 2}}, Date: "2026-09-13"},
	} {
		c, a := build(t, hurt, told)
		require.Empty(t, c.Hurt, "%s: the mark is on record already, and nothing takes it away", name)
		require.Equal(t, []string{"2"}, a.Hurt, name)
		require.Contains(t, c.Kids, games.Presence{Kid: "2", First: 1, Last: 2}, name)
		require.Empty(t, strings.Join(a.Warnings, ""), name)
	}
	_, a := build(t, hurt, Told{Left: []gameplan.At{{Kid: "2", Series: 3}}})
	require.Equal(t, []string{"2"}, a.Hurt)
	require.Contains(t, strings.Join(a.Warnings, "\n"), "kid 2 is on record as hurt in this game")

	left := on(t)
	left.Games[0].Attendance[1].Last = 2
	c, a := build(t, left, Told{Hurt: []gameplan.At{{Kid: "2", Series: 2}}})
	require.NotNil(t, c, "the same attendance, and now hurt")
	require.Equal(t, []games.Mark{{Kid: "2", Series: 2}}, c.Hurt)
	require.Equal(t, []string{"2"}, a.Hurt)
	c, _ = build(t, hurt, Told{Hurt: []gameplan.At{{Kid: "2", Series: 2}}})
	require.Nil(t, c, "on record already")
}

// TestSaidTwice: two series for the same kid contradict each other, and nothing is guessed; the same said twice is said once.
func TestSaidTwice(t *testing.T) {
	two := []gameplan.At{{Kid: "2", Series: 2}, {Kid: "2", Series: 3}}
	for _, told := range []Told{{Late: two}, {Left: two}, {Hurt: two}, {Left: two[:1], Hurt: two[1:]}} {
		require.Contains(t, refused(t, on(t), told), "kid 2 is also said to have series")
	}
	same := []gameplan.At{two[0], two[0]}
	c, a := build(t, on(t), Told{Hurt: same, Left: same})
	require.Contains(t, c.Kids, games.Presence{Kid: "2", First: 1, Last: 2})
	require.Equal(t, []string{"2"}, a.Hurt)
}

// TestVoidAndReplaced: a series that is void and recorded anew in one run is corrected, and said once.
func TestVoidAndReplaced(t *testing.T) {
	c, a := build(t, on(t), Told{Void: []int{2, 2}, Lines: []Line{{Number: 2, Slots: slots("front:6 front:2 corner:3 corner:4 deep:5")}}})
	require.Empty(t, c.Void)
	require.Empty(t, a.Void)
	require.Equal(t, Corrected, a.Series[1].State)
	c, a = build(t, on(t), Told{Void: []int{2, 1, 2}, Lines: []Line{{Number: 3, Slots: slots(five)}}})
	require.Equal(t, []int{1, 2}, c.Void)
	require.Equal(t, New, a.Series[0].State)
}

// TestFormationsOfTwoSizes: a series fits if any formation of the team has as many spots.
func TestFormationsOfTwoSizes(t *testing.T) {
	f := team(10)
	f.Team.Formations = append(slices.Clone(f.Team.Formations), drills.Formation{Name: "2-1", Spots: f.Team.Formations[0].Spots[:3]})
	for text, says := range map[string]bool{"front:1 front:2 deep:5": false, five: false, "front:1 front:2 corner:3 deep:5": true} {
		_, a, err := Build(f, &games.Record{}, &Told{Game: "3", Played: -1, Lines: []Line{{Number: 1, Slots: slots(text)}}})
		require.NoError(t, err)
		require.Equal(t, says, strings.Contains(strings.Join(a.Warnings, ""), "on the field"), text)
	}
}

func TestBuildRefuses(t *testing.T) {
	all := refused(t, &games.Record{}, Told{Plan: plan(3), Date: "12 Sep", Absent: []string{"1", "77"}, Late: []gameplan.At{{Kid: "2", Series: 3}}, Left: []gameplan.At{{Kid: "3", Series: 1}},
		Swaps: swaps(t, "9:6@1,6:1@1,4:7@9,4:4x@1")})
	for _, want := range []string{`⟦date⟧: "12 Sep" is no date`, `⟦absent⟧: no kid "77"`, "⟦of-series 1⟧: kid 1 is said to be absent and has a spot in series 1", "⟦of-series 2⟧: kid 2 has a spot in series 2 and was there from series 3 on",
		"⟦of-series 3⟧: kid 3 has a spot in series 3, and series 1 was the last one", "kid 9 has no spot in series 1", "did you mean ⟦swap 1:6@1⟧?", "series 9 is not on record and not among", `no kid "4x"`} {
		require.Contains(t, all, want)
	}
	require.Contains(t, refused(t, on(t), Told{Lines: []Line{{Number: 3, Slots: slots("front:7")}}}), "kid 7 has a spot in series 3 and was not there; if the kid was: ⟦late 7@3⟧")
	again := refused(t, on(t), Told{Swaps: swaps(t, "6:1@1")})
	require.Contains(t, again, "kid 6 has no spot in series 1; if that is what you mean, it is on record; only to put 6 back in for 1: ⟦swap 1:6@1⟧")
	require.NotContains(t, again, "did you mean", "a swap said twice must not be undone")
	require.Contains(t, refused(t, on(t), Told{Void: []int{9}}), "series 9 of game 3 is not on record")
	require.Contains(t, refused(t, &games.Record{}, Told{VoidGame: true}), "no series of game 3 is on record")
	require.Contains(t, refused(t, &games.Record{}, Told{Plan: plan(2), Played: 5}), "5, and the plan has 2 series")
	require.Contains(t, refused(t, &games.Record{}, Told{Lines: []Line{{Number: 1, Slots: slots("front:2 deep:2")}}}), "kid 2 is there twice")
	require.Contains(t, refused(t, &games.Record{}, Told{Plan: plan(2), Left: []gameplan.At{{Kid: "8", Series: 1}}}), "kid 8 would come for series 2 and leave after series 1")
	foreign := plan(1)
	foreign.Team = "Egrets"
	require.Contains(t, refused(t, &games.Record{}, Told{Plan: foreign}), "this is a plan of Egrets")
}

// TestBuildWarns: what is odd and may have been so is recorded, with a warning.
func TestBuildWarns(t *testing.T) {
	lines := []Line{{Number: 2, Slots: slots("deep:1 front:10")}}
	require.Contains(t, refused(t, &games.Record{}, Told{Lines: lines}), "kid 10 has a spot in series 2 and a hold in roster.csv; mend the series; if the kid played before the hold was written, add ⟦before-hold 10⟧")
	_, a := build(t, &games.Record{}, Told{BeforeHold: []string{"10"}, Lines: lines})
	all := strings.Join(a.Warnings, "\n")
	for _, want := range []string{"kid 1 played deep in series 2, which roster.csv says it never does", "series 2 has 2 kids on the field", "series 1 is not on record yet"} {
		require.Contains(t, all, want)
	}
	require.True(t, a.Everybody)
	require.True(t, slices.ContainsFunc(a.Kids, func(p games.Presence) bool { return p.Kid == "10" }))
}

func TestParse(t *testing.T) {
	for _, bad := range []string{"", "2", "2:7", "2@4", ":7@4", "2:@4", "2:2@4", "2:7@0", "2:7@5-4", "2:7@x", "2:7@100", "2:7@4,"} {
		_, err := gameplan.ParseSwaps(bad)
		require.Error(t, err, bad)
	}
	for _, bad := range []string{"", "x", "0", "4-3", "1,", "-"} {
		_, _, err := ParseVoid(bad)
		require.Error(t, err, bad)
	}
	all, ns, err := ParseVoid("2-3, 5,ALL")
	require.NoError(t, err)
	require.True(t, all)
	require.Equal(t, []int{2, 3, 5}, ns)
}

func TestReadLines(t *testing.T) {
	f := team(10)
	f.Roster = append(f.Roster, drills.Kid{ID: "F"})
	got, err := ReadLines("x", strings.NewReader("\ufeff# a note\n1: FRONT 1 2, C 3 4; D 5 # as shouted\r\n2 front #F,2 | corner:3 4 deep 5\n\nabsent 6, 7\nlate 8@2\nleft 1@2 2@2\nhurt 3@2\nvoid 4-5\n"), f)
	require.NoError(t, err)
	require.Equal(t, slots("front:1 front:2 corner:3 corner:4 deep:5"), got.Lines[0].Slots)
	require.Equal(t, slots("front:F front:2 corner:3 corner:4 deep:5"), got.Lines[1].Slots)
	require.Equal(t, []string{"6", "7"}, got.Absent)
	require.Equal(t, []gameplan.At{{Kid: "8", Series: 2}}, got.Late)
	require.Equal(t, []gameplan.At{{Kid: "1", Series: 2}, {Kid: "2", Series: 2}}, got.Left)
	require.Equal(t, []gameplan.At{{Kid: "3", Series: 2}}, got.Hurt)
	require.Equal(t, []int{4, 5}, got.Void)
	_, err = ReadLines("x", strings.NewReader("1: F 1\n"), f)
	require.ErrorContains(t, err, "x:1: F is a role and a kid; write #F for the kid, front for the role")
}

func FuzzReadLines(f *testing.F) {
	for _, s := range []string{"1: F 2 3, C 4 8, D 14", "absent 4", "late 9@3\nvoid all", "series 2 front 2", "#", "1: # #1", "\x00"} {
		f.Add(s)
	}
	folder := team(10)
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ReadLines("x", strings.NewReader(s), folder)
		if err != nil {
			require.Error(t, err)
			return
		}
		told := &Told{Game: "1", Played: -1, Lines: got.Lines, Absent: got.Absent, Late: got.Late, Left: got.Left, Hurt: got.Hurt, Void: got.Void, VoidGame: got.VoidGame}
		c, a, err := Build(folder, &games.Record{}, told)
		if err == nil && c != nil && a == nil {
			t.Fatal("an entry without an account")
		}
	})
}

// TestSwapIsCorrectedByThePlan: whatever swap of a spot was recorded, with the plan the right one takes its place, and the rest of the series
// stays; without the plan nothing is guessed.
func TestSwapIsCorrectedByThePlan(t *testing.T) {
	pl := plan(2)
	slots := pl.Series[0].Slots
	bench := []string{}
	for k := 1; k <= 10; k++ {
		id := strconv.Itoa(k)
		if !slices.ContainsFunc(slots, func(x games.Slot) bool { return x.Kid == id }) && slices.ContainsFunc(pl.Kids, func(x gameplan.SavedKid) bool { return x.Kid == id && x.Available[0] == 1 }) {
			bench = append(bench, id)
		}
	}
	require.GreaterOrEqual(t, len(bench), 2)
	for i, out := range slots {
		for _, wrong := range bench {
			for _, right := range bench {
				told := func(in string) Told { return Told{Plan: pl, Swaps: swaps(t, out.Kid+":"+in+"@1")} }
				_, first := build(t, &games.Record{}, told(wrong))
				rec := &games.Record{Games: []games.Game{{ID: "3", Series: []games.Series{first.Series[0].Series, first.Series[1].Series}, Attendance: first.Kids}}}
				c, a := build(t, rec, told(right))
				want := slices.Clone(first.Series[0].Slots)
				want[i].Kid = right
				require.ElementsMatch(t, want, a.Series[0].Slots, "%s:%s, then %s", out.Kid, wrong, right)
				if wrong == right {
					require.Nil(t, c, "said twice is said once")
				}
				require.Contains(t, refused(t, rec, Told{Swaps: swaps(t, out.Kid+":"+right+"@1")}), "kid "+out.Kid+" has no spot in series 1")
			}
		}
	}
}

// TestTodayIsTheDate: a game without a date is of today, and one with a date keeps it; a date to come is warned of.
func TestTodayIsTheDate(t *testing.T) {
	line := []Line{{Number: 1, Slots: slots("front:1 front:2 corner:3 corner:4 deep:5")}}
	c, a := build(t, &games.Record{}, Told{Lines: line, Today: "2026-11-30"})
	require.Equal(t, "2026-11-30", c.Date)
	require.True(t, a.Dated)
	rec := &games.Record{Games: []games.Game{{ID: "3", Date: "2026-09-12"}}}
	c, a = build(t, rec, Told{Lines: line, Today: "2026-11-30"})
	require.Equal(t, "2026-09-12", c.Date)
	require.False(t, a.Dated)
	c, a = build(t, rec, Told{Lines: line, Date: "2026-12-01", Today: "2026-11-30"})
	require.Equal(t, "2026-12-01", c.Date)
	require.Contains(t, strings.Join(a.Warnings, "\n"), "2026-12-01 is still to come (today is 2026-11-30)")
}
