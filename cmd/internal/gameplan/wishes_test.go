package gameplan

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

func TestParseAts(t *testing.T) {
	got, err := ParseAts(asked.Late, " 9@3 , a@b@12")
	require.NoError(t, err)
	require.Equal(t, []At{{"9", 3}, {"a@b", 12}}, got)
	for _, bad := range []string{"", "9", "@3", "9@", "9@0", "9@-1", "9@3.5", "9@3,", ",", "9@99999999999999999999"} {
		_, err := ParseAts(asked.Late, bad)
		var w *asked.Problem
		require.ErrorAs(t, err, &w, bad)
		require.Equal(t, asked.Late, w.Field)
		require.NotEmpty(t, w.Do, bad)
	}
}

func TestParseKids(t *testing.T) {
	got, err := ParseKids(asked.Absent, "4, 7")
	require.NoError(t, err)
	require.Equal(t, []string{"4", "7"}, got)
	_, err = ParseKids(asked.Absent, "4,")
	require.Error(t, err)
}

func TestNearKid(t *testing.T) {
	roster := []drills.Kid{{ID: "7", Name: "Otis R."}, {ID: "12", Name: "Ann"}, {ID: "kim", Name: "Ann"}}
	for kid, want := range map[string]string{"77": "use the kid's id as the roster has it: 7, 12 and kim", "4": "as the roster has it: 7", "07": "did you mean 7?", "12.0": "did you mean 12?", "21": "as the roster", "Kim": "did you mean kim?", "zzzzzz": "as the roster has it"} {
		err := known(asked.Absent, kid, roster)
		require.Error(t, err)
		require.Contains(t, err.Error(), want, kid)
	}
	require.NoError(t, known(asked.Absent, "12", roster))
	require.EqualError(t, known(asked.Absent, "12", nil), `⟦absent⟧: no kid "12" in the roster; use the kid's id as the roster has it`)
	require.ErrorContains(t, known(asked.Absent, "zzz", roster[:1]), "as the roster has it: 7")
}

// TestNamed: a kid goes by the id, however it is written, or by a name that one kid alone has; of two kids of one name neither is guessed.
func TestNamed(t *testing.T) {
	roster := []drills.Kid{{ID: "007", Name: "Otis R."}, {ID: "12", Name: "Ann"}, {ID: "kim", Name: "Ann"}}
	w := Wishes{Absent: []string{"7", "OTIS", "otis r", "nobody"}, Late: []At{{"Kim", 2}}, Leaves: []At{{"12.0", 3}}, Hurt: []At{{"Otis", 1}}}
	got, err := w.Named(roster)
	require.NoError(t, err)
	require.Equal(t, Wishes{Absent: []string{"007", "007", "007", "nobody"}, Late: []At{{"kim", 2}}, Leaves: []At{{"12", 3}}, Hurt: []At{{"007", 1}}}, got)
	require.Equal(t, "OTIS", w.Absent[1], "what was typed stays as it is")
	for _, w := range []Wishes{{Absent: []string{"ann"}}, {Late: []At{{"Ann", 2}}}, {Leaves: []At{{"ANN", 2}}}, {Hurt: []At{{"ann", 2}}}} {
		_, err := w.Named(roster)
		require.ErrorContains(t, err, "use the id: 12 or kim")
	}
}

// FuzzParseAts: no text panics, a refusal says what to do, and what is read can be written and read again.
func FuzzParseAts(f *testing.F) {
	for _, s := range []string{"9@3", "9@3,6@5", "a@b@1", "@", ",", "9@ 3", "9@+3", "\x00@1", "9@03"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ats, err := ParseAts(asked.Late, text)
		if err != nil {
			var w *asked.Problem
			if !errors.As(err, &w) || w.Do == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		var parts []string
		for _, a := range ats {
			if a.Series < 1 || a.Kid == "" {
				t.Fatalf("%+v", a)
			}
			parts = append(parts, fmt.Sprintf("%s@%d", a.Kid, a.Series))
		}
		again, err := ParseAts(asked.Late, strings.Join(parts, ","))
		if err != nil || fmt.Sprint(again) != fmt.Sprint(ats) {
			t.Fatalf("%v, then %v (%v)", ats, again, err)
		}
	})
}

// FuzzParseKids: as FuzzParseAts.
func FuzzParseKids(f *testing.F) {
	for _, s := range []string{"4", "4,7", ",", " ", "a b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		kids, err := ParseKids(asked.Absent, text)
		if err != nil {
			return
		}
		again, err := ParseKids(asked.Absent, strings.Join(kids, ","))
		if err != nil || fmt.Sprint(again) != fmt.Sprint(kids) {
			t.Fatalf("%v, then %v (%v)", kids, again, err)
		}
	})
}

// TestWhoIsThereByTheWishes: of a game of six series, who is there when; what contradicts itself or is of nobody is refused with its flag.
func TestWhoIsThereByTheWishes(t *testing.T) {
	six := func(s int) At { return At{"6", s} }
	for name, x := range map[string]struct {
		w     Wishes
		there string // kid 6; "": not at all
		err   string
	}{
		"nothing":               {there: "111111"},
		"late":                  {w: Wishes{Late: []At{six(3)}}, there: "001111"},
		"late for the first":    {w: Wishes{Late: []At{six(1)}}, there: "111111"},
		"late for the last":     {w: Wishes{Late: []At{six(6)}}, there: "000001"},
		"leaves":                {w: Wishes{Leaves: []At{six(3)}}, there: "111000"},
		"away in between":       {w: Wishes{Leaves: []At{six(2)}, Late: []At{six(5)}}, there: "110011"},
		"away for one":          {w: Wishes{Leaves: []At{six(2)}, Late: []At{six(4)}}, there: "110111"},
		"away for none":         {w: Wishes{Leaves: []At{six(2)}, Late: []At{six(3)}}, there: "111111"},
		"there in between":      {w: Wishes{Leaves: []At{six(4)}, Late: []At{six(3)}}, there: "001100"},
		"there for one":         {w: Wishes{Leaves: []At{six(3)}, Late: []At{six(3)}}, there: "001000"},
		"there twice":           {w: Wishes{Leaves: []At{six(2), six(5)}, Late: []At{six(4)}}, there: "110110"},
		"said twice":            {w: Wishes{Late: []At{six(3), six(3)}}, there: "001111"},
		"absent":                {w: Wishes{Absent: []string{"6"}}},
		"another absent":        {w: Wishes{Absent: []string{"7"}, Late: []At{six(2)}}, there: "011111"},
		"two series":            {w: Wishes{Late: []At{six(3), six(5)}}, err: "⟦late⟧: kid 6 has two series, 3 and 5; say one of them"},
		"late and absent":       {w: Wishes{Absent: []string{"6"}, Late: []At{six(3)}}, err: "⟦late⟧: kid 6 is also in ⟦absent⟧; say one of the two"},
		"leaves and absent":     {w: Wishes{Absent: []string{"6"}, Leaves: []At{six(3)}}, err: "⟦leaves⟧: kid 6 is also in ⟦absent⟧"},
		"late after the end":    {w: Wishes{Late: []At{six(7)}}, err: "⟦late⟧: 6@7, but the game has 6 series; use a series from 1 to 6, or plan more with ⟦series⟧"},
		"leaves after the end":  {w: Wishes{Leaves: []At{six(7)}}, err: "⟦leaves⟧: 6@7, but the game has 6 series"},
		"late, who is not":      {w: Wishes{Late: []At{{"60", 2}}}, err: `⟦late⟧: no kid "60"`},
		"leaves, who is not":    {w: Wishes{Leaves: []At{{"60", 2}}}, err: `⟦leaves⟧: no kid "60"`},
		"absent, who is not":    {w: Wishes{Absent: []string{"60"}}, err: `⟦absent⟧: no kid "60"`},
		"more series than can":  {w: Wishes{Series: 65}, err: "⟦series⟧: 65 series; at most 64 can be planned"},
		"as many series as can": {w: Wishes{Series: 64}, there: strings.Repeat("1", 64)},
	} {
		f, prof := small(7, func(f *drills.Folder) { f.Team.Series = 6 })
		pl, err := New(f, prof, x.w)
		if x.err != "" {
			var w *asked.Problem
			require.ErrorAs(t, err, &w, name)
			require.ErrorContains(t, err, x.err, name)
			require.NotEmpty(t, w.Do, name)
			continue
		}
		require.NoError(t, err, name)
		got := ""
		if k, ok := pl.index["6"]; ok {
			for s := range pl.Game.Series {
				got += map[bool]string{true: "1", false: "0"}[pl.thereIn(k, s)]
			}
		}
		require.Equal(t, x.there, got, name)
	}
}

// TestWishesThatCannotBeRead: each says which part is wrong, and how it is written, or which flag it belongs to.
func TestWishesThatCannotBeRead(t *testing.T) {
	for text, want := range map[string]string{"4,": `⟦absent⟧: "4," names no kid; write kids as in the roster, such as ⟦absent 4⟧ or ⟦absent 4,7⟧`,
		"7, 9@3": `⟦absent⟧: "9@3" has a series, and ⟦absent⟧ is for the whole game; a kid who comes for series 3: ⟦late 9@3⟧`} {
		kids, err := ParseKids(asked.Absent, text)
		require.ErrorContains(t, err, want)
		require.Nil(t, kids)
	}
	for text, want := range map[string]string{"9": `"9" names no series`, "@3": `"@3" names no kid`, "9@0": `"0" is no series`, "9@-1": `"-1" is no series`, "9@x": `"x" is no series`, "@": `"@" names no kid`} {
		ats, err := ParseAts(asked.Late, text)
		require.ErrorContains(t, err, want, text)
		require.Nil(t, ats)
	}
	ats, err := ParseAts(asked.Late, "9 @ 1")
	require.NoError(t, err)
	require.Equal(t, []At{{"9", 1}}, ats)
	for name, want := range map[string]rotation.Favor{"": rotation.Weakest, "weakest": rotation.Weakest, "total": rotation.Total, "even": rotation.Even} {
		favor, err := ParseFavor(name)
		require.NoError(t, err)
		require.Equal(t, want, favor, name)
		require.True(t, name == "" || favors[favor] == name)
	}
	favor, err := ParseFavor("luck")
	require.EqualError(t, err, `⟦favor⟧: "luck" is not known; use weakest, total or even`)
	require.Zero(t, favor)
	require.Equal(t, "⟦x⟧: y", (asked.Wrong("x", "y", "")).Error())
	require.Equal(t, "⟦x⟧: y; z", (asked.Wrong("x", "y", "z")).Error())
}
