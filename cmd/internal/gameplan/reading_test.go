package gameplan

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// laid is a plan of five series for kids 1 to 8 of the small team, as handMade has it but for what edit changes, read from its file.
func laid(t testing.TB, edit func(*Saved)) *Saved {
	t.Helper()
	sv := handMade(5, 8)
	if edit != nil {
		edit(sv)
	}
	return readBack(t, sv)
}

func fiveSeries(f *drills.Folder) { f.Team.Series = 5 }

// there is in which series, from 1, a plan has the kid.
func there(pl *Plan, kid string) []int {
	k, ok := pl.index[kid]
	if !ok {
		return nil
	}
	out := []int{}
	for s := range 5 {
		if pl.thereIn(k, s) {
			out = append(out, s+1)
		}
	}
	return out
}

// rebuilt puts the rest of the game together, nothing more.
func rebuilt(t testing.TB, sv *Saved, w Wishes, played int) *Plan {
	t.Helper()
	f, prof := small(8, fiveSeries)
	pl, err := newFrom(f, prof, w, sv, played)
	require.NoError(t, err)
	return pl
}

// TestWhoIsThereAfterwards: who is said to come, leave or be hurt at the field is there for just those series, as far as they are not over.
func TestWhoIsThereAfterwards(t *testing.T) {
	early := func(sv *Saved) { sv.Kids[5].Available = [2]int{1, 4} }                    // kid 6 goes home after series 4
	late := func(sv *Saved) { sv.Kids[6].Available = [2]int{3, 5} }                     // kid 7 comes for series 3
	gap := func(sv *Saved) { sv.Kids[5].Away = [][2]int{{2, 3}} }                       // kid 6 is away in between
	gone := func(sv *Saved) { sv.Kids[5].Available = [2]int{1, 2} }                     // kid 6 has left
	on := func(sv *Saved) { sv.Series[2].Slots[0].Kid = "6" }                           // kid 6 is on the field in series 3
	held := func(f *drills.Folder) { fiveSeries(f); f.Roster[7].Hold = "wrist" }        // kid 8
	both := func(sv *Saved) { early(sv); late(sv) }                                     // at once
	first := func(sv *Saved) { sv.Series[0].Slots[0].Kid = "6"; early(sv) }             // kid 6 has played
	at := func(kid string, series int) []At { return []At{{Kid: kid, Series: series}} } // of one kid
	for name, x := range map[string]struct {
		edit   func(*Saved)
		w      Wishes
		played int
		kid    string
		want   []int
		note   string // "": none about the kid
	}{
		"as planned":                      {both, Wishes{}, 1, "6", []int{1, 2, 3, 4}, ""},
		"comes as planned":                {both, Wishes{}, 1, "7", []int{3, 4, 5}, ""},
		"late, and leaves as planned":     {early, Wishes{Late: at("6", 3)}, 1, "6", []int{3, 4}, ""},
		"late, and goes away as planned":  {func(sv *Saved) { sv.Kids[5].Away = [][2]int{{4, 4}} }, Wishes{Late: at("6", 2)}, 1, "6", []int{2, 3, 5}, ""},
		"late, when some are over":        {nil, Wishes{Late: at("6", 2)}, 3, "6", []int{2, 3, 4, 5}, ""},
		"late, and on the field in it":    {on, Wishes{Late: at("6", 3)}, 3, "6", []int{3, 4, 5}, ""},
		"late, after it has played":       {on, Wishes{Late: at("6", 4)}, 4, "6", []int{1, 2, 3, 4, 5}, "⟦late 6@4⟧ changes nothing: kid 6 has been on the field before that series"},
		"late, after its first":           {func(sv *Saved) { sv.Series[0].Slots[0].Kid = "6" }, Wishes{Late: at("6", 3)}, 3, "6", []int{1, 2, 3, 4, 5}, "⟦late 6@3⟧ changes nothing"},
		"for the one it is planned for":   {func(sv *Saved) { sv.Kids[6].Available = [2]int{3, 3} }, Wishes{Late: at("7", 3)}, 1, "7", []int{3}, ""},
		"earlier than planned":            {late, Wishes{Late: at("7", 2)}, 1, "7", []int{2, 3, 4, 5}, ""},
		"as planned, said again":          {late, Wishes{Late: at("7", 3)}, 2, "7", []int{3, 4, 5}, ""},
		"planned for one that is over":    {late, Wishes{Late: at("7", 2)}, 3, "7", []int{3, 4, 5}, ""},
		"for a series that is over":       {func(sv *Saved) { sv.Kids[6].Available = [2]int{5, 5} }, Wishes{Late: at("7", 2)}, 3, "7", []int{4, 5}, "⟦late 7@2⟧: series 2-3 are over, so kid 7 counts as there from series 4 on"},
		"for one series that is over":     {func(sv *Saved) { sv.Kids[6].Available = [2]int{5, 5} }, Wishes{Late: at("7", 3)}, 3, "7", []int{4, 5}, "⟦late 7@3⟧: series 3 is over, so"},
		"later than planned":              {late, Wishes{Late: at("7", 4)}, 1, "7", []int{4, 5}, ""},
		"back":                            {func(sv *Saved) { gone(sv); first(sv); gone(sv) }, Wishes{Late: at("6", 4)}, 2, "6", []int{1, 2, 4, 5}, ""},
		"away after it has played":        {first, Wishes{Late: at("6", 4)}, 2, "6", []int{1, 2, 4}, ""},
		"leaves":                          {nil, Wishes{Leaves: at("6", 3)}, 1, "6", []int{1, 2, 3}, ""},
		"leaves later than planned":       {gone, Wishes{Leaves: at("6", 4)}, 1, "6", []int{1, 2, 3, 4}, ""},
		"leaves, back as planned no more": {gap, Wishes{Leaves: at("6", 1)}, 1, "6", []int{1}, ""},
		"away and back":                   {nil, Wishes{Leaves: at("6", 2), Late: at("6", 5)}, 1, "6", []int{1, 2, 5}, ""},
		"hurt on the bench":               {nil, Wishes{Hurt: at("6", 3)}, 2, "6", []int{1, 2}, ""},
		"hurt on the bench, later":        {nil, Wishes{Hurt: at("6", 4)}, -1, "6", []int{1, 2, 3}, ""},
		"hurt in one that is over":        {nil, Wishes{Hurt: at("1", 3)}, 3, "1", []int{1, 2, 3}, ""},
		"hurt in the next":                {nil, Wishes{Hurt: at("1", 4)}, 3, "1", []int{1, 2, 3}, ""},
		"absent":                          {nil, Wishes{Absent: []string{"6"}}, 0, "6", nil, ""},
		"absent in mid-game":              {nil, Wishes{Absent: []string{"1"}}, 2, "1", []int{1, 2}, "⟦absent 1⟧: kid 1 played in series 2, which is over and stays as it was, so the kid counts as gone from series 3 on"},
	} {
		pl := rebuilt(t, laid(t, x.edit), x.w, x.played)
		require.Equal(t, x.want, there(pl, x.kid), name)
		var about []string
		for _, n := range pl.Notes {
			if strings.Contains(n, "kid "+x.kid+" ") {
				about = append(about, n)
			}
		}
		if x.note == "" {
			require.Empty(t, about, name)
		} else {
			require.Contains(t, strings.Join(about, "\n"), x.note, name)
		}
	}
	pl := rebuilt(t, laid(t, func(sv *Saved) { first(sv); gone(sv) }), Wishes{Absent: []string{"1", "8"}, Late: at("6", 4)}, 2)
	require.Equal(t, []Away{{"1", Absent}, {"8", Absent}}, pl.Gone)
	require.Equal(t, 4, pl.back["6"])
	require.Zero(t, pl.back["2"])
	f, prof := small(8, held)
	pl, err := newFrom(f, prof, Wishes{Late: at("8", 2)}, laid(t, nil), 0)
	require.NoError(t, err, "on hold is not hurt, and nobody has to say more")
	require.Nil(t, there(pl, "8"))
	for _, w := range []Wishes{{Hurt: at("6", 3), Late: at("6", 5)}, {Hurt: at("6", 3), Leaves: at("6", 4)}} {
		_, err := newFrom(f, prof, w, laid(t, nil), -1)
		require.ErrorContains(t, err, "kid 6 was hurt in this game")
	}
	_, err = newFrom(f, prof, Wishes{Late: at("6", 4)}, laid(t, func(sv *Saved) { sv.Hurt = []string{"6"}; gone(sv) }), 2)
	require.ErrorContains(t, err, "kid 6 was hurt in this game")
}

// TestHowManyAreOver: what the plan, --played and the kids who were hurt say of it, and what goes against each other.
func TestHowManyAreOver(t *testing.T) {
	sv := laid(t, func(sv *Saved) { sv.Played = 2 })
	at := func(series int) Wishes { return Wishes{Hurt: []At{{"6", series}}} }
	for _, x := range []struct {
		w            Wishes
		played, want int
	}{{Wishes{}, -1, 2}, {Wishes{}, 2, 2}, {Wishes{}, 4, 4}, {at(2), -1, 2}, {at(4), -1, 3}, {at(9), -1, 4}, {at(4), 3, 3}, {at(3), 3, 3}} {
		got, err := sv.over(x.w, x.played)
		require.NoError(t, err, x)
		require.Equal(t, x.want, got, x)
	}
	for _, x := range []struct {
		w      Wishes
		played int
		says   string
	}{{Wishes{}, 1, "⟦played⟧: 1, but in dir/plan.json 2 series are over already; what is over stays over"}, {Wishes{}, 5, "⟦played⟧: all 5 series are over; there is nothing left to plan"},
		{Wishes{}, 6, "⟦played⟧: 6, but the plan has 5 series; use a number from 0 to 4"}, {at(5), 3, "⟦hurt⟧: 6@5, but only 3 series are over (⟦played 3⟧); leave ⟦played⟧ out, or use ⟦played 4⟧"}} {
		got, err := sv.over(x.w, x.played)
		require.EqualError(t, err, x.says)
		require.Zero(t, got)
	}
	f, prof := small(8, fiveSeries)
	_, err := NewFrom(f, prof, Wishes{}, sv, 6)
	require.ErrorContains(t, err, "but the plan has 5 series")
	two := Wishes{Hurt: []At{{"6", 2}, {"7", 4}}}
	require.Contains(t, strings.Join(rebuilt(t, sv, two, -1).Notes, "\n"), "kids were hurt in different series: series 1-3 are over by the last of them")
	require.NotContains(t, strings.Join(rebuilt(t, sv, two, 3).Notes, "\n"), "different series", "said")
	two.Hurt[1].Series = 3
	require.NotContains(t, strings.Join(rebuilt(t, sv, two, -1).Notes, "\n"), "different series", "the plan has it so")
	require.NotContains(t, strings.Join(rebuilt(t, sv, at(4), -1).Notes, "\n"), "different series", "one kid")
}

// TestTeamOtherThanThePlan: the plan's series and formations stay, and where the team's are others is said with the first series.
func TestTeamOtherThanThePlan(t *testing.T) {
	f, prof := small(8, func(f *drills.Folder) {
		f.Team.Series = 6
		f.Team.Formations = slices.Clone(f.Team.Formations)
		for _, x := range f.Team.Catalogue.Formations {
			if x.Name == "3-2" {
				f.Team.Formations = append(f.Team.Formations, x)
			}
		}
	})
	require.Len(t, f.Team.Formations, 2)
	pl, err := newFrom(f, prof, Wishes{}, laid(t, nil), 2)
	require.NoError(t, err)
	require.Contains(t, strings.Join(pl.Notes, "\n"), "the plan has 5 series and team.toml asks for 6; it stays with the plan's")
	require.Contains(t, strings.Join(pl.Notes, "\n"), "the plan has 2-3 in series 4 and team.toml 3-2; it stays with the plan's formations")
	require.Len(t, pl.Notes, 2)
}

// TestSavedKidsAgain: in which series a kid is there is read as it was saved, whatever they are; and so is whether it is back.
func TestSavedKidsAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		here := rapid.SliceOfN(rapid.Bool(), 6, 6).Draw(t, "there")
		k, ok := savedKid("7", here)
		require.Equal(t, slices.Contains(here, true), ok)
		if !ok {
			return
		}
		require.Equal(t, here, k.There(6))
		for i, w := range k.Away {
			require.True(t, k.Available[0] < w[0] && w[0] <= w[1] && w[1] < k.Available[1])
			require.True(t, i == 0 || k.Away[i-1][1]+1 < w[0])
		}
		last, over := rapid.IntRange(0, 7).Draw(t, "last"), rapid.IntRange(0, 6).Draw(t, "over")
		k.Back = rapid.IntRange(0, 7).Draw(t, "back")
		want := false
		switch gone := max(last+1, min(over, 6)); {
		case last == 0 || last >= 6:
		case k.Back > last && k.Back > over && k.Back <= 6:
			want = here[k.Back-1]
		default:
			away, later := true, false
			for s := last + 1; s <= 6; s++ {
				if s <= gone && here[s-1] {
					away = false
				}
				if s > gone && here[s-1] {
					later = true
				}
			}
			want = away && later
		}
		require.Equal(t, want, k.BackAfter(last, over, 6))
	})
}

// TestFormOfAPlan: what is wrong with a file whatever the team, each with its words and its line.
func TestFormOfAPlan(t *testing.T) {
	for says, edit := range map[string]func(*Saved){
		`kid "" stands there twice or has no id`:                               func(sv *Saved) { sv.Kids[7].Kid = "" },
		`kid "7" stands there twice or has no id`:                              func(sv *Saved) { sv.Kids[7].Kid = "7" },
		"kid 8 is available for series 0 to 5 of 5":                            func(sv *Saved) { sv.Kids[7].Available[0] = 0 },
		"kid 8 is available for series 1 to 6 of 5":                            func(sv *Saved) { sv.Kids[7].Available[1] = 6 },
		"kid 8 is available for series 4 to 3 of 5":                            func(sv *Saved) { sv.Kids[7].Available = [2]int{4, 3} },
		`kid "9" plays in series 3 and is not among the plan's kids`:           func(sv *Saved) { sv.Series[2].Slots[0].Kid = "9" },
		"kid 8 plays in series 3 and is not available for it":                  func(sv *Saved) { sv.Kids[7].Available[0] = 4; sv.Series[2].Slots[0].Kid = "8" },
		"kid 2 stands in two spots of series 3":                                func(sv *Saved) { sv.Series[2].Slots[0].Kid = "2" },
		"series 3 is numbered 4":                                               func(sv *Saved) { sv.Series[2].Number = 4 },
		"played is 6, and the plan has 5 series":                               func(sv *Saved) { sv.Played = 6 },
		"played is -1, and the plan has 5 series":                              func(sv *Saved) { sv.Played = -1 },
		"the plan has no kids":                                                 func(sv *Saved) { sv.Kids = nil },
		"the plan has no series":                                               func(sv *Saved) { sv.Series = nil },
		`favor is "strong"; weakest, total and even are known`:                 func(sv *Saved) { sv.Favor = "strong" },
		`the rule "never" is never loosened, or is none`:                       func(sv *Saved) { sv.Loosening = []report.Loosening{{Rule: "never"}} },
		`schema is "sevenyard.draft/1", and a plan has sevenyard.lineup/1 or `: func(sv *Saved) { sv.Schema = "sevenyard.draft/1" },
	} {
		good := laid(t, nil)
		edit(good)
		sv, err := ReadSaved("plan.json", inFile(t, good))
		require.Nil(t, sv, says)
		var ps drills.Problems
		require.ErrorAs(t, err, &ps)
		require.Len(t, ps, 1, says)
		require.Contains(t, ps[0].What, says)
		require.Positive(t, ps[0].At.Line, says)
	}
	_, err := ReadSaved("plan.json", make([]byte, MaxSaved+1))
	require.ErrorContains(t, err, "the file is too large for a plan")
	kind, may := mayGiveWay("never")
	require.False(t, may)
	require.Zero(t, kind)
}

// TestSpotsOfAPlan: a series has the first spots of its formation, as many as there are kids for; else it is said which one is wrong.
func TestSpotsOfAPlan(t *testing.T) {
	f, prof := small(8, fiveSeries)
	for says, edit := range map[string]func(*Saved){
		"series 3 has 4 spots filled, and 8 kids in 2-3: it should be 5":                                                       func(sv *Saved) { sv.Series[2].Slots = sv.Series[2].Slots[:4] },
		`series 3 in 2-3 has the roles corner, corner, deep, deep, front, and it should be corner, corner, deep, front, front`: func(sv *Saved) { sv.Series[2].Slots[0].Role = "deep" },
		`no formation "9-9"`:                     func(sv *Saved) { sv.Series[2].Formation = "9-9" },
		`kid "77" is not in roster.csv any more`: func(sv *Saved) { sv.Kids = append(sv.Kids, SavedKid{Kid: "77", Available: [2]int{1, 5}}) },
		"this is a plan of Egrets":               func(sv *Saved) { sv.Team = "Egrets" },
	} {
		_, err := newFrom(f, prof, Wishes{}, laid(t, edit), 0)
		var ps drills.Problems
		require.ErrorAs(t, err, &ps, says)
		require.Len(t, ps, 1, says)
		require.Contains(t, ps[0].What, says)
		require.Positive(t, ps[0].At.Line)
	}
	over := laid(t, func(sv *Saved) {
		sv.Played = 3
		sv.Series[2].Slots[0].Role, sv.Series[2].Slots[1].Role = "deep", "deep"
		sv.Series[1].Formation = "9-9"
	})
	pl, err := newFrom(f, prof, Wishes{}, over, -1)
	require.NoError(t, err, "what is over was played so")
	require.Equal(t, "as played", pl.Game.Forms[pl.Game.Series[2]].Label)
	require.Equal(t, "2-3", pl.Game.Forms[pl.Game.Series[1]].Label)
}

// TestLooseningIsTakenOver: what a plan had loosened is loose for the change too, while the rule is the one that was loosened.
func TestLooseningIsTakenOver(t *testing.T) {
	sv := laid(t, func(sv *Saved) {
		sv.Loosening = []report.Loosening{{Rule: rotation.RuleCover.String(), Kids: []string{"3", "4"}, From: 1, To: 0}, {Rule: rotation.RuleCover.String(), Kids: []string{"5", "6"}, From: 1, To: 0},
			{Rule: rotation.RuleMaxOff.String(), Kids: []string{}, From: 1, To: 3}, {Rule: rotation.RuleTogether.String(), Kids: []string{"1", "8"}, From: 0, To: 0}}
	})
	plan := func(maxOff int, absent ...string) *Plan {
		f, prof := small(8, func(f *drills.Folder) {
			fiveSeries(f)
			f.Team.Rules.MaxOff = &maxOff
			f.Team.Covers = []drills.Cover{{Kids: []string{"3", "4"}, AtLeast: 1}}
		})
		pl, err := newFrom(f, prof, Wishes{Absent: absent}, sv, 0)
		require.NoError(t, err)
		return pl
	}
	pl := plan(1)
	require.Equal(t, []rotation.Loosened{
		{Rule: rotation.RuleRef{Kind: rotation.RuleCover, Index: 0, Kids: pl.numbers([]string{"3", "4"}), Value: 1, Lo: -1, Hi: -1}, To: 0},
		{Rule: rotation.RuleRef{Kind: rotation.RuleMaxOff, Index: -1, Kids: pl.numbers(nil), Value: 1, Lo: -1, Hi: -1}, To: 3},
		{Rule: rotation.RuleRef{Kind: rotation.RuleTogether, Index: -1, Kids: pl.numbers([]string{"1", "8"}), Value: 0, Lo: -1, Hi: -1}, To: 0},
	}, pl.Game.Loose)
	pl = plan(2, "8")
	require.Len(t, pl.Game.Loose, 1, "another limit by now, and a kid who is not there")
	require.Contains(t, strings.Join(pl.Notes, "\n"), "the plan was made with max_off loosened from 1, and it is 2 by now: that counts")
}

// TestRecordOverThePlan: the record's series and kids take the plan's place, and the plan that is given stays as it was.
func TestRecordOverThePlan(t *testing.T) {
	sv := laid(t, func(sv *Saved) { sv.Kids[6].Available[0] = 4; sv.Kids[5].Available[1] = 4 })
	before, err := json.Marshal(sv)
	require.NoError(t, err)
	line := func(n int, kids ...string) games.Series {
		s := games.Series{Number: n}
		for i, r := range []string{"front", "front", "corner", "corner", "deep"} {
			s.Slots = append(s.Slots, games.Slot{Role: r, Kid: kids[i]})
		}
		return s
	}
	g := &games.Game{ID: "3", Series: []games.Series{line(1, "1", "2", "3", "4", "5"), line(2, "6", "2", "3", "4", "5")},
		Attendance: []games.Presence{{Kid: "1", First: 1, Last: 1}, {Kid: "2", First: 1}, {Kid: "3", First: 2}, {Kid: "4", First: 1}, {Kid: "5", First: 1}, {Kid: "6", First: 1}, {Kid: "7", First: 1}}, Hurt: []string{"1"}}
	out, err := sv.WithRecord(g)
	require.NoError(t, err)
	after, err := json.Marshal(sv)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
	require.Empty(t, sv.notes)
	require.Equal(t, 2, out.Played)
	require.Equal(t, "6", out.Series[1].Slots[0].Kid)
	require.Equal(t, []string{"1"}, out.Hurt)
	want := map[string][2]int{"1": {1, 1}, "2": {1, 5}, "3": {1, 5}, "4": {1, 5}, "5": {1, 5}, "6": {1, 4}, "7": {4, 5}}
	got := map[string][2]int{}
	for _, k := range out.Kids {
		got[k.Kid] = k.Available
	}
	require.Equal(t, want, got, "1 left; 3 played before it is said to have come; 6 leaves by the plan; 7 is still to come; 8 is not there")
	all := strings.Join(out.notes, "\n")
	require.Contains(t, all, "series 2 was played otherwise than planned: the record counts")
	require.Contains(t, all, "kid 8 is not there according to the record of game 3")

	later := *g
	later.Series = append(slices.Clone(g.Series), line(4, "8", "2", "3", "4", "5"))
	out, err = sv.WithRecord(&later)
	require.NoError(t, err)
	require.Contains(t, strings.Join(out.notes, "\n"), "game 3 has no series 3 on record: it counts as planned")
	require.Equal(t, 4, out.Played)
	later.Series = append(later.Series, line(6, "8", "2", "3", "4", "5"))
	_, err = sv.WithRecord(&later)
	require.ErrorContains(t, err, "the plan has 5 series, and game 3 is recorded up to series 6")
	later.Series[3].Number = 5
	_, err = sv.WithRecord(&later)
	require.ErrorIs(t, err, ErrOver)

	f, _ := small(8, fiveSeries)
	later.Series = append(slices.Clone(g.Series), line(4, "8", "2", "3", "4", "5"))
	_, err = FromRecord(&later, f)
	require.ErrorContains(t, err, "game 3 has series 4 on record and not series 3")
}

// TestBackOverTheRecord: a kid who left by the record and comes back by the plan comes back, unless it is hurt; for which series is kept.
func TestBackOverTheRecord(t *testing.T) {
	sv := laid(t, func(sv *Saved) { sv.Kids[5].Away, sv.Kids[5].Back = [][2]int{{3, 3}}, 4 })
	g := &games.Game{ID: "3", Series: []games.Series{{Number: 2, Slots: []games.Slot{{Role: "front", Kid: "1"}}}}}
	for k := range 8 {
		g.Attendance = append(g.Attendance, games.Presence{Kid: fmt.Sprint(k + 1), First: 1})
	}
	g.Attendance[5].Last = 2
	out, err := sv.WithRecord(g)
	require.NoError(t, err)
	require.Contains(t, out.Kids, SavedKid{Kid: "6", Available: [2]int{1, 5}, Away: [][2]int{{3, 3}}, Back: 4})
	g.Hurt = []string{"6"}
	out, err = sv.WithRecord(g)
	require.NoError(t, err)
	i := slices.IndexFunc(out.Kids, func(k SavedKid) bool { return k.Kid == "6" })
	require.Equal(t, [2]int{1, 2}, out.Kids[i].Available)
	last := rebuilt(t, laid(t, func(sv *Saved) { sv.Kids[5].Available[1] = 2 }), Wishes{Late: []At{{"6", 5}}}, 3)
	require.Equal(t, 5, last.back["6"], "for the last series too")
}

// TestOwnNumbersCountForNothing: a file that was changed says so, with the first places and how many more; counts that do not fit refuse it.
func TestOwnNumbersCountForNothing(t *testing.T) {
	f, prof, files := savedTeam(t)
	read := func(edit func(*report.Lineup), seal bool) (*Saved, []byte) {
		l := &report.Lineup{}
		require.NoError(t, json.Unmarshal(files[0], l))
		edit(l)
		if l.Sum = ""; seal {
			require.NoError(t, l.Seal(l))
		}
		data := saved(t, l)
		sv, err := ReadSaved("dir/plan.json", data)
		require.NoError(t, err)
		return sv, data
	}
	for says, edit := range map[string]func(*report.Lineup){
		"the total is said to be ":                func(l *report.Lineup) { l.Total.Value += 3; l.Total.Bound += 3 },
		"the weakest series is said to have ":     func(l *report.Lineup) { l.Weakest.Value += 3; l.Weakest.Bound += 3 },
		"the strength of series 2 is ":            func(l *report.Lineup) { l.Series[1].Strength += 3 },
		"kid " + "%" + " has two fits as ":        func(l *report.Lineup) { twoFits(l) },
		"the bound of ":                           func(l *report.Lineup) { l.Total.Bound -= 1 },
		" in series 1 is 1, and its fit makes ":   func(l *report.Lineup) { l.Series[0].Slots[0].Value = 1 },
		"the weakest, does not go with its value": func(l *report.Lineup) { l.Weakest.Bound += 5 },
	} {
		sv, _ := read(edit, false)
		notes := sv.ByHand(&f.Team.Catalogue)
		require.Len(t, notes, 1, says)
		require.Contains(t, notes[0], "note: plan.json was changed by hand: its own numbers count for nothing. line ")
		for _, part := range strings.Split(says, "%") {
			require.Contains(t, notes[0], part)
		}
	}
	sv, _ := read(func(l *report.Lineup) {}, true)
	require.Equal(t, unchanged, sv.seal)
	require.Empty(t, sv.ByHand(&f.Team.Catalogue))
	require.False(t, sv.CountsSeason())
	require.False(t, laid(t, nil).CountsSeason())
	sv, data := read(func(l *report.Lineup) {}, true)
	_ = sv
	data = []byte(strings.Replace(string(data), `"played": 0`, `"played": 1`, 1))
	sv, err := ReadSaved("dir/plan.json", data)
	require.NoError(t, err)
	require.Equal(t, changed, sv.seal)
	require.Contains(t, sv.ByHand(&f.Team.Catalogue)[0], "note: plan.json was changed after it was saved: its own numbers count for nothing")

	wrong := func(l *report.Lineup) {
		for r := range l.Kids[0].Roles {
			l.Kids[0].Roles[r]++
			break
		}
	}
	_, data = read(wrong, false)
	_, _, err = ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{})
	require.ErrorContains(t, err, "are counted: the plan was changed by hand")
	_, data = read(func(l *report.Lineup) { l.Series[0].Bench[0] = l.Series[0].Slots[0].Kid }, false)
	_, _, err = ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{})
	require.ErrorContains(t, err, "is on the bench of series 1, and on the field")
	_, data = read(func(l *report.Lineup) { l.Series[0].Bench[0] = "Somebody" }, false)
	_, _, err = ReadLineup(context.Background(), "plan.json", data, f, prof, rotation.Settings{})
	require.ErrorContains(t, err, "the bench of series 1 has a kid who is not in the plan")

	require.Equal(t, "a; b; c; d; e", someOf([]string{"a", "b", "c", "d", "e"}), "one more is as short as saying so")
	require.Equal(t, "a; b; c; d; and 2 more", someOf([]string{"a", "b", "c", "d", "e", "f"}))

	f.Roster[2].Never = []string{"front", "corner", "deep"}
	_, _, err = ReadLineup(context.Background(), "plan.json", files[0], f, prof, rotation.Settings{})
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	for _, p := range ps {
		require.Contains(t, p.What, "kid 3 never plays ")
		require.Contains(t, strings.Split(string(files[0]), "\n")[p.At.Line-1], `"kid": "3"`, "the line is the kid's")
	}
	f.Roster[2].Never = nil
	last := laid(t, func(sv *Saved) { sv.Played = 5 })
	small, scores := small(8, fiveSeries)
	_, err = Reopen(small, scores, availability.Out{}, last)
	require.ErrorContains(t, err, "all 5 series of the plan are over")
}

// twoFits gives a kid who has one role in two series another fit in one of them.
func twoFits(l *report.Lineup) {
	for i := range l.Series[0].Slots {
		x := &l.Series[0].Slots[i]
		for _, s := range l.Series[1:] {
			for _, y := range s.Slots {
				if y.Kid == x.Kid && y.Role == x.Role {
					x.Fit += 2
					return
				}
			}
		}
	}
}

// TestWishesOfAPlan: who comes and goes is checked against the roster, and of a kid said twice one has to be right.
func TestWishesOfAPlan(t *testing.T) {
	f, prof := small(8, fiveSeries)
	for says, w := range map[string]Wishes{
		`⟦absent⟧: no kid "9" in the roster; use the kid's id as the roster has it: there are 1 to 8`: {Absent: []string{"9"}},
		`⟦late⟧: no kid "9" in the roster`:         {Late: []At{{"9", 2}}},
		"⟦leaves⟧: 6@7, but the game has 5 series": {Leaves: []At{{"6", 7}}},
		"⟦late⟧: kid 6 has two series, 2 and 3":    {Late: []At{{"6", 2}, {"6", 3}}},
		"⟦late⟧: kid 6 is also in ⟦absent⟧":        {Absent: []string{"6"}, Late: []At{{"6", 2}}},
	} {
		_, err := New(f, prof, w)
		require.ErrorContains(t, err, strings.SplitN(says, ": there", 2)[0])
	}
	_, err := ParseAts(asked.Late, "@3")
	require.ErrorContains(t, err, `"@3" names no kid`)
	one := &drills.Folder{Roster: []drills.Kid{{ID: "4"}}}
	require.ErrorContains(t, known(asked.Kid, "9", one.Roster), "as the roster has it: ")
	require.NotContains(t, known(asked.Kid, "9", nil).Error(), "as the roster has it: ")
	pl, err := New(f, prof, Wishes{Leaves: []At{{"6", 1}, {"6", 3}}, Late: []At{{"6", 3}, {"6", 5}}})
	require.NoError(t, err)
	require.Equal(t, []int{1, 3, 5}, there(pl, "6"))
	pl, err = New(f, prof, Wishes{Late: []At{{"6", 2}}, Leaves: []At{{"6", 4}}})
	require.NoError(t, err)
	require.Equal(t, []int{2, 3, 4}, there(pl, "6"))
}
