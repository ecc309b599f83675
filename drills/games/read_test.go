package games

import (
	"fmt"
	"hash/crc32"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"sevenyard/drills"
)

const byHand = `game,date,opponent,series,role,kid
1,2026-09-05,Egrets,,present,2
1,2026-09-05,Egrets,,present,3
1,2026-09-05,Egrets,2 to end,present,4
1,2026-09-05,Egrets,1 to 1,present,5
1,,,1,front,2
1,,,2,deep,3
1,,,1,front,3
1,,,2,front,4
1,,,1,deep,5
`

func TestReadByHand(t *testing.T) {
	want := []Game{{ID: "1", Date: "2026-09-05", Opponent: "Egrets", At: drills.Place{File: File, Line: 2},
		Kids:       []Presence{{"2", 1, 2}, {"3", 1, 2}, {"4", 2, 2}, {"5", 1, 1}},
		Attendance: []Presence{{"2", 1, 0}, {"3", 1, 0}, {"4", 2, 0}, {"5", 1, 1}},
		Series:     []Series{{1, []Slot{{"front", "2"}, {"front", "3"}, {"deep", "5"}}}, {2, []Slot{{"deep", "3"}, {"front", "4"}}}}}}
	for name, text := range map[string]string{
		"as it is":    byHand,
		"CRLF":        strings.ReplaceAll(byHand, "\n", "\r\n"),
		"CR":          strings.ReplaceAll(byHand, "\n", "\r"),
		"semicolons":  strings.ReplaceAll(byHand, ",", ";"),
		"tabs":        strings.ReplaceAll(byHand, ",", "\t"),
		"BOM":         "\ufeff" + byHand,
		"no line end": strings.TrimSuffix(byHand, "\n"),
		"capitals":    strings.Replace(byHand, "game,date", "Game,DATE", 1),
		"dashes":      strings.NewReplacer("2 to end", "2-end", "1 to 1", "1").Replace(byHand),
		"blank rows":  strings.Replace(byHand, "1,,,1,front,2", ",,,,,\n\n1,,,1,front,2", 1),
	} {
		t.Run(name, func(t *testing.T) {
			rec := read(t, text)
			if name == "blank rows" || name == "BOM" {
				rec.Games[0].At.Line = 2
			}
			require.Equal(t, want, rec.Games)
			require.Empty(t, rec.Warnings)
		})
	}
	rec := read(t, "kid,role,series,game\n2,front,1,7\n3,deep,1,7\n")
	require.Equal(t, []Presence{{"2", 1, 1}, {"3", 1, 1}}, rec.Games[0].Kids, "who played was there")
	require.Contains(t, rec.Warnings.Error(), "does not say who was there")
	g, ok := rec.Game("7")
	require.True(t, ok)
	require.Empty(t, g.Attendance)
	_, ok = rec.Game("8")
	require.False(t, ok)
}

func TestReadNothing(t *testing.T) {
	rec, err := ReadFolder(fstest.MapFS{})
	require.NoError(t, err)
	require.Empty(t, rec.Games)
	for _, text := range []string{"", "\n\n", "# a note\n", strings.Join(columns, ",") + "\n", strings.Join(columns, ",")} {
		require.Empty(t, read(t, text).Games, "%q", text)
	}
	rec, err = ReadFolder(fstest.MapFS{File: {Data: []byte(byHand)}})
	require.NoError(t, err)
	require.Len(t, rec.Games, 1)
}

// TestProblems: every problem at once, each on its line, with the value and what to do.
func TestProblems(t *testing.T) {
	const head = "game,date,opponent,series,role,kid,entry,notes\n"
	for _, x := range []struct{ name, text, want string }{
		{"no header", "1,2,3\n", `1: column game is missing`},
		{"unknown column", "game,serie,role,kid\n", `1: unknown column "serie"; did you mean series?`},
		{"no game", head + ",,,1,front,2\n", "2: the row has no game"},
		{"odd game", head + "a b,,,1,front,2\n", `2: game: "a b" is no id`},
		{"series 0", head + "1,,,0,front,2\n", `2: series is "0"; write a number from 1 to 99`},
		{"series -1", head + "1,,,-1,front,2\n", `2: series is "-1"`},
		{"series 8-Mar", head + "1,,,8-Mar,present,2\n", `2: series is "8-Mar"`},
		{"series 8 to 3", head + "1,,,8 to 3,present,2\n", `2: series is "8 to 3"`},
		{"a span in a role", head + "1,,,1 to 2,front,2\n", `2: a kid in a role needs one series, and series is "1 to 2"`},
		{"no series in a role", head + "1,,,,front,2\n", "2: a kid in a role needs one series"},
		{"no role", head + "1,,,1,,2\n", "2: the row has no role"},
		{"no kid", head + "1,,,1,front,\n", "2: no kid is named"},
		{"odd kid", head + "1,,,1,front,2 3\n", `2: kid: "2 3" is no id`},
		{"kid twice", head + "1,,,1,front,2\n1,,,1,deep,2\n", "3: kid 2 is in series 1 of game 1 twice, also on line 2"},
		{"present twice", head + "1,,,,present,2\n1,,,2,present,2\n1,,,1,front,2\n", "3: kid 2 is at game 1 twice, also on line 2"},
		{"not there", head + "1,,,,present,2\n1,,,1,front,3\n", "3: kid 3 plays in series 1 of game 1, and was not there"},
		{"not there yet", head + "1,,,2 to end,present,2\n1,,,1,front,2\n1,,,2,front,2\n", "3: kid 2 plays in series 1 of game 1, and was there for series 2 to end (line 2)"},
		{"gone", head + "1,,,1 to 2,present,2\n1,,,3,front,2\n", "3: kid 2 plays in series 3 of game 1, and was there for series 1 to 2 (line 2)"},
		{"two dates", head + "1,2026-09-05,,1,front,2\n1,2026-09-06,,1,deep,3\n", `3: game 1 has the date "2026-09-06" here and "2026-09-05" on line 2; which one is right?`},
		{"entry by hand", head + "1,,,1,front,2,one,\n", `2: entry is "one"; leave the cell empty in a row typed by hand`},
		{"void with a kid", head + "1,,,1,void,2\n", `2: a row of void names kid "2"`},
		{"void of nothing", head + "1,,,4,void,\n", "2: there is no series 4 of game 1 above to make void"},
		{"void of no game", head + "1,,,,void,\n", "2: there is nothing of game 1 above to make void"},
		{"closed by hand", head + "1,,,,closed,,,\n", "2: a row of closed has no entry"},
		{"too many cells", head + "1,a,b,1,front,2,,x,y\n", "2: 9 cells, and the header names 8"},
		{"quotation mark", head + "1,\"a,b,1,front,2\n", "2: a quotation mark that is not closed"},
	} {
		t.Run(x.name, func(t *testing.T) {
			require.Contains(t, strings.Join(problems(t, x.text), "\n"), File+":"+x.want)
		})
	}
	crowd := head
	for k := range mostSlots + 1 {
		crowd += fmt.Sprintf("1,,,1,front,%d\n", k+1)
	}
	require.Contains(t, problems(t, crowd)[0], "2: series 1 of game 1 has 101 kids on the field")
	all := problems(t, head+"1,,,0,front,2\n1,,,1,front,\n,,,1,front,4\n1,,,x,front,5\n")
	require.Len(t, all, 4)
	for i, p := range all {
		require.Contains(t, p, fmt.Sprintf("%s:%d: ", File, i+2))
	}
}

func two(t testing.TB) string {
	text, _ := blocks(t, fileState{}, "", []*Change{
		{Game: "1", Date: "2026-09-05", Opponent: "Egrets", Kids: []Presence{{"2", 1, 0}, {"3", 1, 0}, {"4", 2, 0}}, Series: []Series{{1, []Slot{{"front", "2"}, {"deep", "3"}}}, {2, []Slot{{"front", "4"}, {"deep", "3"}}}}},
		{Game: "1", Series: []Series{{2, []Slot{{"front", "4"}, {"deep", "2"}}}}},
	})
	return text
}

// TestChangedEntries: an entry that was edited after it was written is found out, with its lines; sorting and saving in a spreadsheet does no harm.
func TestChangedEntries(t *testing.T) {
	text := two(t)
	good := read(t, text)
	require.Equal(t, []Slot{{"front", "4"}, {"deep", "2"}}, good.Games[0].Series[1].Slots, "the later entry counts")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	edit := func(f func([]string) []string) string {
		return strings.Join(f(append([]string{}, lines...)), "\n") + "\n"
	}
	for _, x := range []struct{ name, text, want string }{
		{"another kid", edit(func(l []string) []string { l[5] = strings.Replace(l[5], ",2,1,", ",5,1,", 1); return l }), `2: entry 1 (lines 2 to 10) is not as it was written: its closing row says "7 rows`},
		{"a row less", edit(func(l []string) []string { return append(l[:5], l[6:]...) }), `2: entry 1 (lines 2 to 9) is not as it was written`},
		{"a row more", edit(func(l []string) []string { l[5] += "\n" + l[5]; return l }), `2: entry 1 (lines 2 to 11) is not as it was written`},
		{"no closing row", edit(func(l []string) []string { return append(l[:9], l[10:]...) }), `2: entry 1 (lines 2 to 9) has no closing row`},
		{"a row of another game", edit(func(l []string) []string { l[5] = "2" + l[5][1:]; return l }), "its rows are of more than one game"},
		{"twice", text + strings.Join(lines[10:], "\n") + "\n", "entry 2 (lines 11 to 18) is not as it was written: it is closed twice"},
		{"typed over", text + "1,,,2,front,4,,\n", "15: series 2 of game 1 is on record already, in entry 2; correct it with sevenyard record"},
		{"attendance typed over", text + "1,,,,present,5,,\n", "15: who was at game 1 is on record already, in entry 1"},
	} {
		t.Run(x.name, func(t *testing.T) {
			require.Contains(t, strings.Join(problems(t, x.text), "\n"), x.want)
		})
	}
	for name, harmless := range map[string]string{
		"sorted":     edit(func(l []string) []string { l[2], l[7], l[10], l[12] = l[7], l[12], l[2], l[10]; return l }),
		"quoted":     edit(func(l []string) []string { l[5] = `"` + strings.ReplaceAll(l[5], ",", `","`) + `"`; return l }),
		"dates":      strings.ReplaceAll(text, "2026-09-05", "9/5/2026"),
		"semicolons": strings.ReplaceAll(text, ",", ";"),
		"short rows": strings.ReplaceAll(text, ",\n", "\n"),
	} {
		rec := read(t, harmless)
		require.Equal(t, playedSets(good), playedSets(rec), name)
	}
	rec := read(t, text+"1,,,2,void,,,\n1,,,2,deep,4,,\n")
	require.Equal(t, []Slot{{"deep", "4"}}, rec.Games[0].Series[1].Slots, "void, and typed anew")
	rec = read(t, text+"1,,,,void,,,\n")
	require.Empty(t, rec.Games)
}

// playedSets is the series of a record, whatever the order of rows.
func playedSets(rec *Record) map[string]map[string]bool {
	out := map[string]map[string]bool{}
	for _, g := range rec.Games {
		for _, s := range g.Series {
			key := fmt.Sprint(g.ID, " ", s.Number)
			out[key] = map[string]bool{}
			for _, x := range s.Slots {
				out[key][x.Role+" "+x.Kid] = true
			}
		}
	}
	return out
}

// TestSeal: the check value of the CRC-32 of IEEE 802.3 for the digits 1 to 9 is cbf43926, as every catalogue of CRCs has it; and the seal is that of the
// rows as the comment says.
func TestSeal(t *testing.T) {
	require.EqualValues(t, 0xcbf43926, crc32.ChecksumIEEE([]byte("123456789")))
	rows := []*row{{game: "1", role: opened}, {game: "1", first: 2, last: 2, role: "front", kid: "4"}, {game: "1", role: present, kid: "4"}, {game: "1", role: closed}}
	old := fmt.Sprintf("2 rows x%08x", crc32.ChecksumIEEE([]byte("1\t\tpresent\t4\n1\t2\tfront\t4\n")))
	whole := fmt.Sprintf("2 rows s%08x", crc32.ChecksumIEEE([]byte("1\t2026-09-05\t\t\topened\t\t\n1\t2026-09-05\t\t\tpresent\t4\t\n1\t2026-09-05\t\t2\tfront\t4\t\n")))
	for range 2 {
		require.Equal(t, old, oldSeal(rows))
		require.Equal(t, whole, seal(rows, "2026-09-05"))
		rows[1], rows[2] = rows[2], rows[1]
	}
}

// TestCheck: a kid or role that the team does not have is a slip in a row typed by hand, and a kid who has left in an entry.
func TestCheck(t *testing.T) {
	f := &drills.Folder{Roster: []drills.Kid{{ID: "2", Name: "Bao"}, {ID: "3"}}}
	f.Team.Catalogue = drills.Default()
	warnings, err := read(t, "game,series,role,kid\n1,1,front,2\n1,1,fornt,22\n1,2,deep,22\n").Check(f)
	require.Empty(t, warnings)
	require.ErrorContains(t, err, `games.csv:3: unknown kid "22" (also on line 4); add the kid to roster.csv or mend the id; there are 2 and 3`)
	require.ErrorContains(t, err, `games.csv:3: unknown role "fornt"; did you mean front?`)
	warnings, err = read(t, two(t)).Check(f)
	require.NoError(t, err)
	require.Contains(t, warnings.Error(), `unknown kid "4"`)
	f.Team.Catalogue.Roles = append(f.Team.Catalogue.Roles, drills.Role{Name: "void"})
	_, err = (&Record{}).Check(f)
	require.ErrorContains(t, err, "a role is called void")
}
