package games

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/drills"
)

const head = "game,date,opponent,series,role,kid,entry,notes\n"

// TestMarksStay: who is hurt stays so, whatever series, attendance and voids come after; only a row of its own ends it, and says who says so.
func TestMarksStay(t *testing.T) {
	hurtIn := &Change{Game: "1", Date: "2026-09-12", Kids: []Presence{{"2", 1, 2}, {"3", 1, 0}}, Hurt: []Mark{{Kid: "2", Series: 2}},
		Series: []Series{{1, []Slot{{"front", "2"}}}, {2, []Slot{{"front", "3"}}}}}
	for name, after := range map[string][]*Change{
		"nothing":      {},
		"attendance":   {{Game: "1", Kids: []Presence{{"2", 1, 0}, {"3", 1, 0}}}},
		"not there":    {{Game: "1", Kids: []Presence{{"3", 1, 0}}, Void: []int{1}}},
		"void":         {{Game: "1", VoidGame: true}},
		"void and new": {{Game: "1", VoidGame: true, Kids: []Presence{{"3", 1, 0}}, Series: []Series{{1, []Slot{{"front", "3"}}}}}},
		"hurt again":   {{Game: "1", Hurt: []Mark{{Kid: "2", Series: 3}}}},
	} {
		text, _ := blocks(t, fileState{cut: -1}, "", append([]*Change{hurtIn}, after...))
		g, ok := read(t, text).Game("1")
		require.True(t, ok, name)
		require.Equal(t, []string{"2"}, g.Hurt, name)
		require.Equal(t, []Mark{{Kid: "2", Series: 2}}, g.Marks, name)
		require.Equal(t, "2026-09-12", g.Date, "%s: the day is known for as long as somebody is out", name)

		text, _ = blocks(t, fileState{cut: -1}, "", append(append([]*Change{hurtIn}, after...), &Change{Game: "1", Cleared: []Mark{{Kid: "2", By: "Ana, licensed trainer"}}}))
		g, _ = read(t, text).Game("1")
		require.Empty(t, g.Hurt, name)
		require.Equal(t, []Mark{{Kid: "2", Series: 2, Cleared: true, By: "Ana, licensed trainer"}}, g.Marks, "%s: stays on record", name)
	}
	text, _ := blocks(t, fileState{cut: -1}, "", []*Change{hurtIn, {Game: "1", Cleared: []Mark{{Kid: "2", By: "A"}}}, {Game: "1", Hurt: []Mark{{Kid: "2", Series: 3}}}})
	g, _ := read(t, text).Game("1")
	require.Equal(t, []string{"2"}, g.Hurt, "hurt anew")
	require.Len(t, g.Marks, 2)
}

// TestMarksByHand: people write what they like beside a kid.
func TestMarksByHand(t *testing.T) {
	for _, note := range []string{"hurt", "Hurt.", "hurt, knee", "HURT", "knee (hurt)", "injured", "minor injury", "concussion?"} {
		g, _ := read(t, head+`1,,,1 to 2,present,2,,"`+note+"\"\n1,,,,present,3,,late bus\n1,,,1,front,2,,\n").Game("1")
		require.Equal(t, []string{"2"}, g.Hurt, note)
		require.Equal(t, 2, g.Marks[0].Series, note)
		g, _ = read(t, head+`1,,,4,front,2,,"`+note+"\"\n").Game("1")
		require.Equal(t, []string{"2"}, g.Hurt, note)
	}
	g, _ := read(t, head+"1,,,2,hurt,2,,\n1,,,1,front,2,,\n1,,,3,front,4,,\n").Game("1")
	require.Equal(t, []Mark{{Kid: "2", Series: 2}}, g.Marks)
	g, _ = read(t, head+"1,,,2,hurt,2,,\n1,,,1,front,2,,\n1,,,3,front,2,,\n1,,,,cleared,2,,Ana\n").Game("1")
	require.Equal(t, []Mark{{Kid: "2", Series: 2, Cleared: true, By: "Ana"}}, g.Marks)
	for _, x := range []struct{ text, want string }{
		{"1,,,2,hurt,2,,\n1,,,3,front,2,,\n", "3: kid 2 plays in series 3 of game 1, and was hurt in series 2 (line 2)"},
		{"1,,,2 to 3,hurt,2,,\n", `2: a kid is hurt in one series, and series is "2 to 3"`},
		{"1,,,2,hurt,,,\n", "2: no kid is named"},
		{"1,,,,cleared,2,,Ana\n1,,,1,front,2,,\n", "2: kid 2 is not marked as hurt in game 1"},
		{"1,,,2,hurt,2,,\n1,,,,cleared,2,,\n", "3: a row of cleared does not say who says so"},
		{"1,,,2,hurt,2,,\n1,,,3 to 4,cleared,2,,Ana\n", `3: a row of cleared is about the whole game`},
	} {
		require.Contains(t, strings.Join(problems(t, head+x.text), "\n"), x.want)
	}
}

// TestOldMarks: earlier versions wrote the note hurt beside the attendance, under a seal that does not cover it.
func TestOldMarks(t *testing.T) {
	text := head + "1,,,,opened,,1,\n1,,,1 to 2,present,2,1,hurt\n1,,,,present,3,1,\n1,,,1,front,2,1,\n1,,,,closed,,1,3 rows x"
	rows := []*row{{game: "1", first: 1, last: 2, role: present, kid: "2"}, {game: "1", role: present, kid: "3"}, {game: "1", first: 1, last: 1, role: "front", kid: "2"}}
	text += strings.TrimPrefix(oldSeal(rows), "3 rows x") + "\n"
	g, _ := read(t, text).Game("1")
	require.Equal(t, []string{"2"}, g.Hurt)
	g, _ = read(t, text+"1,,,,opened,,2,\n1,,,,present,2,2,\n1,,,,present,3,2,\n1,,,,closed,,2,"+oldSeal([]*row{{game: "1", role: present, kid: "2"}, {game: "1", role: present, kid: "3"}})+"\n").Game("1")
	require.Equal(t, []string{"2"}, g.Hurt, "another attendance does not heal")
}

// TestStretches: a kid may come, leave and come back.
func TestStretches(t *testing.T) {
	c := &Change{Game: "1", Kids: []Presence{{"2", 1, 2}, {"2", 5, 0}, {"3", 1, 0}, {"4", 2, 3}, {"4", 4, 4}},
		Series: []Series{{1, []Slot{{"front", "2"}}}, {5, []Slot{{"front", "2"}}}, {6, []Slot{{"front", "3"}}}}}
	text, _ := blocks(t, fileState{cut: -1}, "", []*Change{c})
	g, _ := read(t, text).Game("1")
	require.Equal(t, []Presence{{"2", 1, 2}, {"2", 5, 0}, {"3", 1, 0}, {"4", 2, 4}}, g.Attendance, "stretches without a series between them are one")
	require.Equal(t, []Presence{{"2", 1, 2}, {"2", 5, 6}, {"3", 1, 6}, {"4", 2, 4}}, g.Kids)
	for s, want := range []bool{1: true, 2: true, 3: false, 4: false, 5: true, 6: true, 7: true} {
		if s > 0 {
			require.Equal(t, want, There(g.Attendance, "2", s), "series %d", s)
		}
	}
	require.Contains(t, problems(t, head+"1,,,1 to 2,present,2\n1,,,5 to end,present,2\n1,,,3,front,2\n")[0], "4: kid 2 plays in series 3 of game 1, and was there for series 5 to end (line 3)")
	require.Contains(t, problems(t, head+"1,,,1 to 3,present,2\n1,,,3 to end,present,2\n1,,,3,front,2\n")[0], "3: kid 2 is at game 1 twice, also on line 2")
}

// TestIDsWrittenOtherwise: a spreadsheet makes 1 of 001; the entry still holds, and the kid is the roster's.
func TestIDsWrittenOtherwise(t *testing.T) {
	c := &Change{Game: "03", Date: "2026-09-05", Kids: []Presence{{"001", 1, 0}, {"B2", 1, 0}}, Series: []Series{{1, []Slot{{"front", "001"}, {"deep", "B2"}}}}}
	text, _ := blocks(t, fileState{cut: -1}, "", []*Change{c})
	f := &drills.Folder{Roster: []drills.Kid{{ID: "001"}, {ID: "B2"}}}
	f.Team.Catalogue = drills.Default()
	want := read(t, text)
	_, err := want.Check(f)
	require.NoError(t, err)
	for _, said := range []string{"1", "1.0", "01", "00001"} {
		for _, date := range []string{"2026-09-05", "9/5/2026", "05.09.2026", "5-Sep-26", "46270"} {
			rec := read(t, strings.NewReplacer(",001,", ","+said+",", "\n03,", "\n3,", "2026-09-05", date).Replace(text))
			warnings, err := rec.Check(f)
			require.NoError(t, err)
			require.Empty(t, warnings)
			require.Equal(t, want.Games[0].Series, rec.Games[0].Series)
			require.Equal(t, want.Games[0].Attendance, rec.Games[0].Attendance)
			require.Equal(t, "2026-09-05", rec.Games[0].Date, date)
			_, there := rec.Game("003")
			require.True(t, there)
		}
	}
	require.Len(t, read(t, head+"1,,,1,front,7\n01,,,2,deep,07\n1,,,3,front,7.0\n").Games, 1)
	require.Contains(t, problems(t, head+"1,,,1,front,7\n1,,,1,deep,07\n")[0], "kid 7 is in series 1 of game 1 twice")
}

// TestSealCoversEverything: no byte of an entry can be another one unnoticed.
func TestSealCoversEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := &Change{Game: "1", Date: "2026-09-12", Opponent: "Egrets", Kids: []Presence{{"2", 1, 2}, {"3", 2, 0}}, Hurt: []Mark{{Kid: "2", Series: 2}},
			Series: []Series{{1, []Slot{{"front", "2"}}}, {2, []Slot{{"front", "2"}, {"deep", "3"}}}}}
		text, _ := blocks(t, fileState{cut: -1}, "", []*Change{c, {Game: "1", Cleared: []Mark{{Kid: "2", By: "Ana"}}}})
		flip(t, text, rapid.IntRange(0, len(text)-1).Draw(t, "at"), rapid.Byte().Draw(t, "byte"))
	})
}

// TestFlippedBytes puts other bytes into records of all kinds, one at a time.
func TestFlippedBytes(t *testing.T) {
	flips := 4000
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		flips = 250_000
	}
	r := rand.New(rand.NewPCG(1, 2))
	for n := 0; n < flips; {
		var all []*Change
		for game := range 1 + r.IntN(2) {
			c := &Change{Game: fmt.Sprint(game + 1), Date: []string{"", "2026-09-12", "2026-11-03"}[r.IntN(3)], Opponent: []string{"", "Egrets", "=Herons", "Terns, B", `"Q"`}[r.IntN(5)]}
			for k := range 6 {
				c.Kids = append(c.Kids, Presence{fmt.Sprint(k + 1), 1 + r.IntN(2), 0})
			}
			for s := range 3 {
				line := Series{Number: s + 2}
				for i, role := range []string{"front", "corner", "deep"} {
					line.Slots = append(line.Slots, Slot{role, fmt.Sprint(i + 1 + r.IntN(2)*3)})
				}
				c.Series = append(c.Series, line)
			}
			if all = append(all, c); r.IntN(2) == 0 {
				all = append(all, &Change{Game: c.Game, Hurt: []Mark{{Kid: "3", Series: 4}, {Kid: "6", Series: 4}}}, &Change{Game: c.Game, Cleared: []Mark{{Kid: "3", By: "+Ana"}}})
			}
		}
		text, _ := blocks(t, fileState{cut: -1}, "", all)
		for range 500 {
			flip(t, text, r.IntN(len(text)), byte(r.IntN(256)))
			n++
		}
	}
}

// TestBrokenEntriesBarToo: whoever plans in spite of a record that cannot be read must still know who was hurt.
func TestBrokenEntriesBarToo(t *testing.T) {
	text, _ := blocks(t, fileState{cut: -1}, "", []*Change{{Game: "1", Date: "2026-09-12", Kids: []Presence{{"2", 1, 0}, {"3", 1, 0}}, Hurt: []Mark{{Kid: "2", Series: 2}}}})
	rec, err := Read(File, strings.NewReader(strings.Replace(text, "present,3", "present,4", 1)))
	require.ErrorContains(t, err, "entry 1 (lines 2 to 6) is not as it was written")
	require.Equal(t, []string{"2"}, rec.Games[0].Hurt)
	require.Equal(t, "2026-09-12", rec.Games[0].Date)
}

// flip puts another byte into the text: what is read then is the same, or something is said about it.
func flip(t require.TestingT, text string, at int, to byte) {
	changed := []byte(text)
	changed[at] = to
	is, err := Read(File, strings.NewReader(string(changed)))
	if err != nil || len(is.Warnings) > 0 {
		return
	}
	want, err := Read(File, strings.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, fmt.Sprint(facts(want)), fmt.Sprint(facts(is)), "byte %d as %q: %s", at, to, changed)
}

// facts are what a record says, without where it stands.
func facts(rec *Record) []Game {
	out := append([]Game(nil), rec.Games...)
	for i := range out {
		out[i].At = drills.Place{}
	}
	return out
}
