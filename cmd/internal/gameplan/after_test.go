package gameplan

import (
	"bytes"
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// TestHowManySeriesAreOver: what is said counts unless the plan or a hurt kid contradicts it; each refusal says what to do.
func TestHowManySeriesAreOver(t *testing.T) {
	hurt := func(ats ...At) Wishes { return Wishes{Hurt: ats} }
	for name, x := range map[string]struct {
		w      Wishes
		saved  int
		played int
		want   int
		flag   asked.Field
		what   string
		do     string
	}{
		"nothing said":                  {played: -1},
		"as the plan has it":            {saved: 2, played: -1, want: 2},
		"as is said":                    {saved: 2, played: 3, want: 3},
		"none, as is said":              {played: 0},
		"the same":                      {saved: 2, played: 2, want: 2},
		"fewer than the plan has":       {saved: 2, played: 1, flag: asked.Played, what: "1, but in p.json 2 series are over already", do: "what is over stays over"},
		"fewer than one":                {saved: 1, played: 0, flag: asked.Played, what: "0, but in p.json 1 series is over already", do: "what is over stays over"},
		"all but one":                   {played: 5, want: 5},
		"all":                           {played: 6, flag: asked.Played, what: "all 6 series are over", do: "nothing left to plan"},
		"all in the plan":               {saved: 6, played: -1, flag: asked.Played, what: "all 6 series are over", do: "nothing left to plan"},
		"more than there are":           {played: 7, flag: asked.Played, what: "7, but the plan has 6 series", do: "use a number from 0 to 5"},
		"up to a hurt kid":              {w: hurt(At{"1", 4}), played: -1, want: 3},
		"up to the last of them":        {w: hurt(At{"1", 4}, At{"2", 2}), played: -1, want: 3},
		"hurt in what is over":          {w: hurt(At{"1", 2}), saved: 3, played: -1, want: 3},
		"hurt in the last":              {w: hurt(At{"1", 6}), played: -1, want: 5},
		"hurt after the last":           {w: hurt(At{"1", 9}), played: -1, want: 5}, // refused later, with the kid
		"hurt in the next, as said":     {w: hurt(At{"1", 3}), played: 2, want: 2},
		"hurt in the first, none over":  {w: hurt(At{"1", 1}), played: 0},
		"hurt in the second, none over": {w: hurt(At{"1", 2}), played: 0, flag: asked.Hurt, what: "1@2, but only 0 series are over (⟦played 0⟧)", do: "leave ⟦played⟧ out, or use ⟦played 1⟧"},
		"hurt later than said":          {w: hurt(At{"1", 5}), played: 1, flag: asked.Hurt, what: "1@5, but only 1 series is over (⟦played 1⟧)", do: "leave ⟦played⟧ out, or use ⟦played 4⟧"},
	} {
		sv := handMade(6, 6)
		sv.Played, sv.file = x.saved, "p.json"
		n, err := sv.over(x.w, x.played)
		if x.flag == "" {
			require.NoError(t, err, name)
			require.Equal(t, x.want, n, name)
			continue
		}
		var w *asked.Problem
		require.ErrorAs(t, err, &w, name)
		require.Equal(t, x.flag, w.Field, name)
		require.Equal(t, x.what, w.What, name)
		require.Contains(t, w.Do, x.do, name)
		require.Zero(t, n, name)
	}
}

// subject is what a plan of six series and seven kids has of kid 6, for whom kid 5 goes off the field, and what is wished.
type subject struct {
	from, to int // 0: not in the plan
	away     [][2]int
	plays    []int
	over     int // -1: not said
	hurt     bool
	hold     bool
	w        Wishes

	there string // by series
	gone  []Away
	why   Reason // where it is not there at all
	note  string
	err   string
}

func (x *subject) plan(t *testing.T) (*Plan, error) {
	sv := handMade(6, 5)
	for _, s := range x.plays {
		sv.Series[s-1].Slots[4].Kid = "6"
	}
	if x.from > 0 {
		sv.Kids = append(sv.Kids, SavedKid{Kid: "6", Available: [2]int{x.from, x.to}, Away: x.away})
	}
	if x.hurt {
		sv.Hurt = []string{"6"}
	}
	f, prof := small(7, func(f *drills.Folder) {
		f.Team.Series = 6
		if x.hold {
			f.Roster[5].Hold = "knee"
		}
	})
	return newFrom(f, prof, x.w, readBack(t, sv), x.over)
}

// TestWhoIsThereForTheRest: what a plan and the wishes make of one kid's presence, series by series. What is over stays as it was played,
// and nobody who is hurt or on hold is there for what is to come.
func TestWhoIsThereForTheRest(t *testing.T) {
	late := func(ats ...At) Wishes { return Wishes{Late: ats} }
	leaves := func(ats ...At) Wishes { return Wishes{Leaves: ats} }
	hurt := func(ats ...At) Wishes { return Wishes{Hurt: ats} }
	absent := Wishes{Absent: []string{"6"}}
	six := func(s int) At { return At{"6", s} }
	for name, x := range map[string]subject{
		"as planned":               {from: 1, to: 6, over: 2, there: "111111"},
		"as planned, in between":   {from: 2, to: 5, over: 2, there: "011110"},
		"as planned, twice":        {from: 1, to: 6, away: [][2]int{{3, 4}}, over: 2, there: "110011"},
		"as planned, one":          {from: 6, to: 6, over: 2, there: "000001"},
		"not in the plan":          {over: 2, why: NotInPlan},
		"hurt by the plan":         {from: 1, to: 2, over: 2, hurt: true, there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt, and there by hand":  {from: 1, to: 6, over: 2, hurt: true, there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt and not in it":       {over: 2, hurt: true, why: Hurt},
		"on hold since":            {from: 1, to: 6, over: 2, hold: true, there: "110000", gone: []Away{{"6", OnHold}}},
		"on hold, and left before": {from: 1, to: 1, over: 2, hold: true, there: "100000", gone: []Away{{"6", OnHold}}},
		"on hold, and not come":    {from: 4, to: 6, over: 2, hold: true, why: OnHold},
		"on hold, and late":        {over: 2, hold: true, w: late(six(4)), why: OnHold},
		"on hold, from the start":  {from: 1, to: 6, hold: true, why: OnHold},

		"absent":                {from: 1, to: 6, over: 2, w: absent, there: "110000", gone: []Away{{"6", Absent}}},
		"absent, and played":    {from: 1, to: 6, plays: []int{1, 5}, over: 2, w: absent, there: "110000", gone: []Away{{"6", Absent}}, note: "kid 6 played in series 1, which is over and stays as it was, so the kid counts as gone from series 3 on"},
		"absent, and not come":  {from: 3, to: 6, over: 2, w: absent, why: Absent},
		"absent, nothing over":  {from: 1, to: 6, w: absent, why: Absent},
		"absent, not in it":     {over: 2, w: absent, why: Absent},
		"absent, and hurt once": {from: 1, to: 2, over: 2, hurt: true, w: absent, there: "110000", gone: []Away{{"6", Hurt}}},
		"absent, who is not":    {over: 2, w: Wishes{Absent: []string{"60"}}, err: `no kid "60" in the roster`},

		"late, not in the plan":         {over: 2, w: late(six(4)), there: "000111"},
		"late, for the next":            {over: 2, w: late(six(3)), there: "001111"},
		"late, for one that is over":    {over: 2, w: late(six(2)), there: "001111", note: "⟦late 6@2⟧: series 2 is over, so kid 6 counts as there from series 3 on"},
		"late, for several":             {over: 2, w: late(six(1)), there: "001111", note: "⟦late 6@1⟧: series 1-2 are over, so kid 6 counts as there from series 3 on"},
		"late, has played":              {from: 1, to: 6, plays: []int{1}, over: 2, w: late(six(5)), there: "110011"},
		"late, has played, leaves":      {from: 1, to: 5, plays: []int{1}, over: 2, w: late(six(4)), there: "110110"},
		"late, has played, had left":    {from: 1, to: 4, plays: []int{1}, over: 2, w: late(six(6)), there: "110001"},
		"late, has left, back next":     {from: 1, to: 2, plays: []int{2}, over: 2, w: late(six(3)), there: "111111"},
		"late, sat, back next":          {from: 1, to: 2, over: 2, w: late(six(3)), there: "111111"},
		"late, sat, back later":         {from: 1, to: 2, over: 2, w: late(six(5)), there: "000011"},
		"late, away in between":         {from: 1, to: 6, away: [][2]int{{3, 4}}, plays: []int{1}, over: 2, w: late(six(4)), there: "110111"},
		"late, away, back for the next": {from: 1, to: 6, away: [][2]int{{3, 4}}, plays: []int{1}, over: 2, w: late(six(3)), there: "111111"},
		"late, has not played":          {from: 1, to: 6, over: 2, w: late(six(5)), there: "000011"},
		"late, leaves, has not played":  {from: 1, to: 5, over: 2, w: late(six(4)), there: "000110"},
		"late, earlier than planned":    {from: 5, to: 6, over: 2, w: late(six(3)), there: "001111"},
		"late, earlier, and leaves":     {from: 5, to: 5, over: 2, w: late(six(3)), there: "001110"},
		"late, later than planned":      {from: 4, to: 6, over: 2, w: late(six(6)), there: "000001"},
		"late, as planned":              {from: 3, to: 6, over: 2, w: late(six(3)), there: "001111"},
		"late, was so already":          {from: 3, to: 6, over: 2, w: late(six(2)), there: "001111"},
		"late, came with the last over": {from: 2, to: 6, over: 2, w: late(six(3)), there: "001111"},
		"late, came then":               {from: 1, to: 6, over: 2, w: late(six(2)), there: "011111"},
		"late, came and played then":    {from: 1, to: 6, plays: []int{2}, over: 2, w: late(six(2)), there: "011111"},
		"late, played before":           {from: 1, to: 6, plays: []int{1}, over: 2, w: late(six(2)), there: "111111", note: "⟦late 6@2⟧ changes nothing: kid 6 has been on the field before that series"},
		"late, who was hurt":            {from: 1, to: 2, over: 2, hurt: true, w: late(six(5)), err: "⟦late⟧: kid 6 was hurt in this game"},
		"late, who is hurt":             {from: 1, to: 6, over: 2, w: Wishes{Late: []At{six(5)}, Hurt: []At{six(3)}}, err: "⟦late⟧: kid 6 was hurt in this game"},
		"late, another hurt":            {over: 2, w: Wishes{Late: []At{six(5)}, Hurt: []At{{"1", 3}}}, there: "000011", gone: []Away{{"1", Hurt}}},
		"late, after the end":           {over: 2, w: late(six(7)), err: "6@7, but the plan has 6 series; use a series from 1 to 6"},
		"late, the first, and leaves":   {from: 1, to: 3, w: late(six(1)), there: "111000"},
		"late, was to come later":       {from: 4, to: 6, over: 2, w: late(six(2)), there: "001111", note: "⟦late 6@2⟧: series 2 is over, so kid 6 counts as there from series 3 on"},
		"late, the first":               {w: late(six(1)), there: "111111"},

		"leaves":                        {from: 1, to: 6, over: 2, w: leaves(six(4)), there: "111100"},
		"leaves at the end":             {from: 1, to: 6, over: 2, w: leaves(six(6)), there: "111111"},
		"leaves later than planned":     {from: 1, to: 3, over: 2, w: leaves(six(5)), there: "111110"},
		"leaves when it comes":          {from: 4, to: 6, over: 2, w: leaves(six(4)), there: "000100"},
		"leaves before it comes":        {from: 4, to: 6, over: 2, w: leaves(six(3)), err: "⟦leaves⟧: kid 6 leaves after series 3 and comes for series 4"},
		"leaves, not in the plan":       {over: 2, w: leaves(six(4)), err: "⟦leaves⟧: kid 6 is not in the plan"},
		"left, and sat":                 {from: 1, to: 6, over: 2, w: leaves(six(1)), there: "100000"},
		"left, and played before":       {from: 1, to: 6, plays: []int{1}, over: 2, w: leaves(six(1)), there: "100000"},
		"left, and played until then":   {from: 1, to: 6, plays: []int{2}, over: 2, w: leaves(six(2)), there: "110000"},
		"left, and played after":        {from: 1, to: 6, plays: []int{2}, over: 2, w: leaves(six(1)), err: "⟦leaves⟧: 6@1, but the plan has kid 6 on the field in series 2, which is over"},
		"leaves, plays later":           {from: 1, to: 6, plays: []int{5}, over: 2, w: leaves(six(3)), there: "111000"},
		"leaves, who was hurt":          {from: 1, to: 2, over: 2, hurt: true, w: leaves(six(5)), err: "⟦leaves⟧: kid 6 was hurt in this game"},
		"leaves and comes back":         {from: 1, to: 6, over: 2, w: Wishes{Leaves: []At{six(3)}, Late: []At{six(5)}}, there: "111011"},
		"comes and leaves":              {over: 2, w: Wishes{Leaves: []At{six(4)}, Late: []At{six(3)}}, there: "001100"},
		"leaves, comes, leaves":         {from: 1, to: 6, over: 2, w: Wishes{Leaves: []At{six(3), six(5)}, Late: []At{six(5)}}, there: "111010"},
		"came and left, all over":       {over: 2, w: Wishes{Leaves: []At{six(2)}, Late: []At{six(1)}}, there: "110000", note: "series 1-2 are over"},
		"leaves twice":                  {from: 1, to: 6, over: 2, w: leaves(six(3), six(4)), err: "kid 6 has two series, 3 and 4"},
		"leaves twice at once":          {from: 1, to: 6, over: 2, w: leaves(six(3), six(3)), there: "111000"},
		"leaves, who is not":            {over: 2, w: leaves(At{"60", 3}), err: `⟦leaves⟧: no kid "60" in the roster`},
		"leaves, for good, then absent": {from: 1, to: 6, over: 2, w: Wishes{Leaves: []At{six(4)}, Absent: []string{"6"}}, there: "110000", gone: []Away{{"6", Absent}}},

		"hurt":                       {from: 1, to: 6, over: 2, w: hurt(six(3)), there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt where it played":       {from: 1, to: 6, plays: []int{2, 3}, over: 2, w: hurt(six(2)), there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt, had played, and sat":  {from: 1, to: 6, plays: []int{1}, over: 2, w: hurt(six(2)), there: "100000", gone: []Away{{"6", Hurt}}},
		"hurt in the first":          {from: 1, to: 6, w: hurt(six(1)), why: Hurt},
		"hurt, and played later":     {from: 1, to: 6, plays: []int{2}, over: 2, w: hurt(six(1)), err: "⟦hurt⟧: 6@1, but the plan has kid 6 on the field in series 2, which is over; mend the series, or say who was in that spot: ⟦swap 6:KID@2⟧"},
		"hurt, and not said so":      {from: 1, to: 6, over: -1, w: hurt(six(5)), there: "111100", gone: []Away{{"6", Hurt}}},
		"hurt after the end":         {from: 1, to: 6, over: -1, w: hurt(six(7)), err: "⟦hurt⟧: 6@7, but the plan has 6 series; use a series from 1 to 6"},
		"hurt in the last":           {from: 1, to: 6, over: -1, w: hurt(six(6)), there: "111110", gone: []Away{{"6", Hurt}}},
		"hurt, not in the plan":      {over: 2, w: hurt(six(3)), err: "⟦hurt⟧: kid 6 is not in the plan"},
		"hurt, who is not":           {over: 2, w: hurt(At{"60", 3}), err: `⟦hurt⟧: no kid "60" in the roster`},
		"hurt twice":                 {from: 1, to: 2, over: 2, hurt: true, w: hurt(six(3)), there: "110000", gone: []Away{{"6", Hurt}}, note: "⟦hurt 6@3⟧: kid 6 is out already, and stays out"},
		"hurt, on hold, not in it":   {over: 2, hold: true, w: hurt(six(3)), why: OnHold, note: "⟦hurt 6@3⟧: kid 6 is out already, and stays out"},
		"hurt, comes for the second": {from: 2, to: 6, over: 0, w: hurt(six(1)), why: Hurt},
		"hurt and said to be absent": {from: 1, to: 6, over: 2, w: Wishes{Hurt: []At{six(3)}, Absent: []string{"6"}}, there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt and on hold since":     {from: 1, to: 2, over: 2, hurt: true, hold: true, there: "110000", gone: []Away{{"6", Hurt}}},
		"hurt apart":                 {from: 1, to: 6, over: -1, w: hurt(At{"1", 2}, six(5)), err: "⟦hurt⟧: 1@2, but the plan has kid 1 on the field in series 4, which is over"},
		"hurt apart, both can be":    {from: 1, to: 6, plays: []int{1}, over: -1, w: hurt(six(2), At{"1", 4}), there: "100000", gone: []Away{{"6", Hurt}, {"1", Hurt}}, note: "kids were hurt in different series: series 1-3 are over by the last of them"},
	} {
		t.Run(name, func(t *testing.T) {
			pl, err := x.plan(t)
			if x.err != "" {
				require.ErrorContains(t, err, x.err)
				var w *asked.Problem
				require.ErrorAs(t, err, &w)
				require.NotEmpty(t, w.Do)
				return
			}
			require.NoError(t, err)
			k, planned := pl.index["6"]
			require.Equal(t, x.there != "", planned)
			if planned {
				got := ""
				for s := range 6 {
					got += map[bool]string{true: "1", false: "0"}[pl.thereIn(k, s)]
				}
				require.Equal(t, x.there, got)
			} else {
				require.Contains(t, pl.Away, Away{"6", x.why})
			}
			require.Equal(t, x.gone, pl.Gone)
			for k, id := range pl.IDs {
				require.Equal(t, slices.Contains(x.gone, Away{id, Hurt}), pl.Game.Kids[k].Hurt, "kid %s", id)
			}
			if x.note == "" {
				require.Empty(t, pl.Notes)
			} else {
				require.Len(t, pl.Notes, 1)
				require.Contains(t, pl.Notes[0], x.note)
			}
		})
	}
}

// TestHurtTogetherNeedsNoWord: only kids hurt in different series leave open how many are over, and only where that was not said.
func TestHurtTogetherNeedsNoWord(t *testing.T) {
	for _, x := range []struct {
		saved, played int
		hurt          []At
		note          bool
	}{
		{0, -1, []At{{"6", 4}}, false},
		{0, -1, []At{{"6", 4}, {"7", 4}}, false},
		{0, -1, []At{{"6", 4}, {"7", 3}}, true},
		{3, -1, []At{{"6", 4}, {"7", 3}}, false},
		{0, 3, []At{{"6", 4}, {"7", 3}}, false},
	} {
		f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 6 })
		sv := handMade(6, 7)
		sv.Played = x.saved
		pl, err := newFrom(f, prof, Wishes{Hurt: x.hurt}, readBack(t, sv), x.played)
		require.NoError(t, err)
		require.Equal(t, x.note, len(pl.Notes) > 0, "%+v: %q", x, pl.Notes)
	}
}

// TestWhatATeamAsksForByNow: where team.toml asks for another game than the plan has, a note says so, of the first series to come that differs.
func TestWhatATeamAsksForByNow(t *testing.T) {
	for _, x := range []struct {
		series, over int
		form         string
		at           int
		notes        []string
	}{
		{series: 6},
		{series: 5, notes: []string{"the plan has 6 series and team.toml asks for 5"}},
		{series: 6, form: "1-3-1", at: 4, notes: []string{"the plan has 1-3-1 in series 4 and team.toml 2-3"}},
		{series: 6, form: "1-3-1", at: 3, over: 2, notes: []string{"the plan has 1-3-1 in series 3 and team.toml 2-3"}},
		{series: 6, form: "1-3-1", at: 2, over: 2},
		{series: 7, form: "1-3-1", at: 6, notes: []string{"the plan has 6 series and team.toml asks for 7", "the plan has 1-3-1 in series 6 and team.toml 2-3"}},
	} {
		f, prof := small(7, func(f *drills.Folder) { f.Team.Series = x.series })
		sv := handMade(6, 7)
		sv.Played = x.over
		if x.at > 0 {
			sv.Series[x.at-1].Formation = x.form
			sv.Series[x.at-1].Slots[0].Role = "corner"
		}
		pl, err := newFrom(f, prof, Wishes{}, readBack(t, sv), -1)
		require.NoError(t, err)
		require.Len(t, pl.Notes, len(x.notes), "%q", pl.Notes)
		for i, note := range x.notes {
			require.Contains(t, pl.Notes[i], note)
		}
	}
}

// TestAPlanThatHoldsIsKept: where nothing happens nothing changes, though a plan by hand has longer turns than the head count asks for; and where a
// kid is hurt, nobody's turns change but those of the kid and of whoever comes in.
func TestAPlanThatHoldsIsKept(t *testing.T) {
	f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 6 })
	sv := handMade(6, 7)
	for s, off := range [][2]string{{"6", "7"}, {"6", "7"}, {"1", "2"}, {"1", "3"}, {"2", "4"}, {"3", "5"}} { // two rest for two series in a row
		i := 0
		for _, kid := range []string{"1", "2", "3", "4", "5", "6", "7"} {
			if kid != off[0] && kid != off[1] {
				sv.Series[s].Slots[i].Kid = kid
				i++
			}
		}
	}
	set := rotation.Settings{Seed: 1}
	pl, err := NewFrom(f, prof, Wishes{}, readBack(t, sv), 0)
	require.NoError(t, err)
	require.NoError(t, pl.Rearrange(context.Background(), set, false, 0))
	re := pl.Rebuild(set, 0, nil, nil)
	require.Zero(t, re.Changes.Value)
	require.Empty(t, re.Loosened)
	require.Len(t, pl.Game.KeptThere, 7)

	pl, err = NewFrom(f, prof, Wishes{Hurt: []At{{"5", 6}}, Late: nil}, readBack(t, sv), 5)
	require.NoError(t, err)
	require.NoError(t, pl.Rearrange(context.Background(), set, false, 0))
	require.Empty(t, pl.Rebuild(set, 0, nil, nil).Changes.List, "kid 5 was to sit out")
	pl, err = NewFrom(f, prof, Wishes{Hurt: []At{{"4", 6}}}, readBack(t, sv), 5)
	require.NoError(t, err)
	require.NoError(t, pl.Rearrange(context.Background(), set, false, 0))
	re = pl.Rebuild(set, 0, nil, nil)
	require.Equal(t, 1, re.Changes.Value)
	require.Equal(t, "4", re.Changes.List[0].For)
}

// TestThePriceOfAChange: 0 is as few changes as can be, and any price is at least the smallest number that the solver counts in.
func TestThePriceOfAChange(t *testing.T) {
	for _, x := range []struct {
		costs float64
		want  int64
	}{{0, 0}, {-1, 0}, {1e-9, 1}, {0.01, 1}, {0.05, 3}, {0.5, 25}, {1, 50}, {3, 150}, {1e300, rotation.MaxPrice}} {
		require.Equal(t, x.want, price(x.costs, 50), x.costs)
	}
}

// TestTheRestOfARecord: of a game that nobody planned, the rest is a plan without changes, and where none can be made there is none.
func TestTheRestOfARecord(t *testing.T) {
	f, prof := small(5, nil)
	sv := handMade(4, 5)
	pl, err := newFrom(f, prof, Wishes{}, readBack(t, sv), 0)
	require.NoError(t, err)
	require.NoError(t, pl.ArrangeRest(context.Background(), rotation.Settings{Seed: 1}, true))
	require.NotNil(t, pl.Outcome.Rebuilt)
	require.Equal(t, rotation.Bounded{Proven: true}, pl.Outcome.Rebuilt.Changes)
	require.Equal(t, pl.Outcome.Result.Plan, pl.Outcome.Rebuilt.Plan)
	f.Team.Rules.MinRoles = 5
	pl, err = newFrom(f, prof, Wishes{}, readBack(t, sv), 0)
	require.NoError(t, err)
	require.NoError(t, pl.ArrangeRest(context.Background(), rotation.Settings{Seed: 1}, true))
	require.Nil(t, pl.Outcome.Rebuilt)
	done, cancel := context.WithCancel(context.Background())
	cancel()
	pl, err = newFrom(f, prof, Wishes{}, readBack(t, sv), 0)
	require.NoError(t, err)
	pl.Game.Kids = nil
	require.Error(t, pl.ArrangeRest(done, rotation.Settings{Seed: 1}, true))
	require.Nil(t, pl.Outcome)
}

// TestNobodyIsLeftForTheRest: a plan without anybody to play is refused, not shown.
func TestNobodyIsLeftForTheRest(t *testing.T) {
	f, prof := small(5, func(f *drills.Folder) { f.Team.Series = 6 })
	_, err := NewFrom(f, prof, Wishes{Absent: []string{"1", "2", "3", "4", "5"}}, readBack(t, handMade(6, 5)), 0)
	require.ErrorIs(t, err, ErrNobody)
}

// TestDoubtsOfAPlanWithAKidWhoIsOut: what cannot be worked out again is told as changed all the same.
func TestDoubtsOfAPlanWithAKidWhoIsOut(t *testing.T) {
	f, prof, files := savedTeam(t)
	sv, err := ReadSaved("dir/plan.json", bytes.Replace(files[0], []byte(`"seed": 1`), []byte(`"seed": 2`), 1))
	require.NoError(t, err)
	f.Roster[2].Hold = "knee"
	pl, err := NewFrom(f, prof, Wishes{}, sv, -1)
	require.NoError(t, err)
	require.Equal(t, []string{"note: plan.json was changed after it was saved: its own numbers count for nothing"}, pl.Notes)
}
