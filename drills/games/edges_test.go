package games

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"testing/iotest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/drills"
)

// TestSpans: what a cell of series may say, to the last number on either side.
func TestSpans(t *testing.T) {
	for cell, want := range map[string][2]int{"": {0, 0}, "1": {1, 1}, "99": {99, 99}, "4.0": {4, 4}, " 3 to 8": {3, 8}, "3-8": {3, 8}, "3 – 8": {3, 8},
		"3 to End": {3, 0}, "99 to end": {99, 0}, "5 to 5": {5, 5}, "1 to 99": {1, 99}} {
		first, last, ok := parseSpan(cell)
		require.True(t, ok, cell)
		require.Equal(t, want, [2]int{first, last}, cell)
	}
	for _, cell := range []string{"0", "100", "-1", "x", "to", "to 3", "3 to", "3 to 100", "8 to 3", "end", "1.5", "1e1", "3 to 4 to 5", "+3", "3 to +4"} {
		_, _, ok := parseSpan(cell)
		require.False(t, ok, cell)
	}
	for _, cell := range []string{"0x", "x to 3"} {
		first, last, _ := parseSpan(cell)
		require.Equal(t, [2]int{}, [2]int{first, last}, "nothing is taken from a cell that says nothing: %s", cell)
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(1, maxSeries).Draw(t, "first")
		b := rapid.SampledFrom([]int{0, a, maxSeries}).Draw(t, "last")
		first, last, ok := parseSpan(span(a, b))
		require.True(t, ok)
		require.Equal(t, [2]int{a, b}, [2]int{first, last})
	})
}

// TestLines: the line of a byte and the first byte of a line undo each other, whatever ends the lines.
func TestLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := []byte(rapid.StringMatching(`[a\r\n]{0,12}`).Draw(t, "text"))
		line, starts := 1, []int{0}
		for i := 0; i < len(text); i++ {
			if text[i] == '\r' && i+1 < len(text) && text[i+1] == '\n' {
				i++
			} else if text[i] == 'a' {
				continue
			}
			line++
			starts = append(starts, i+1)
		}
		for n, at := range starts {
			require.Equal(t, at, offset(text, n+1), "%q, line %d", text, n+1)
			require.Equal(t, n+1, lineOf(text, at), "%q, byte %d", text, at)
		}
		require.Equal(t, len(text), offset(text, line+5), "%q", text)
	})
	require.Equal(t, "", string(trimRune([]byte("\xc3"))))
	require.Equal(t, "a", string(trimRune([]byte("a\xe2\x82"))))
	require.Equal(t, "é", string(trimRune([]byte("é"))))
}

// TestTail: what stands behind the last line end is nothing, a person's row, or what a crash has left; and only the last is cut.
func TestTail(t *testing.T) {
	body := "1,,,,present,2,,\n1,,,1,front,2,,\n"
	rec := read(t, head+body+"   ")
	require.Empty(t, rec.Warnings)
	require.Less(t, rec.state.cut, int64(0))
	require.Len(t, rec.Games[0].Series, 1)

	all := strings.Join(problems(t, head+body+"1,caf\xe9s"), "\n")
	require.NotContains(t, all, "cut off", "a letter of another alphabet is for a person to mend, and is no crash")
	require.Contains(t, all, ":4: ")
}

// TestLastLineEnd: an editor that takes the last line end away has cut nothing off.
func TestLastLineEnd(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		text := strings.ReplaceAll(two(t), "\n", end)
		rec := read(t, strings.TrimSuffix(text, end))
		require.Empty(t, rec.Warnings)
		require.Equal(t, facts(read(t, text)), facts(rec))
		require.Equal(t, end, lineEnd([]byte(text)))
		require.Equal(t, end, lineEnd([]byte(head[:len(head)-1]+end)), "of the only line")

		torn := strings.Replace(strings.TrimSuffix(text, end), "closed,,2,", "closed,,1,", 1)
		require.Len(t, read(t, torn).Warnings, 1, "the closing row of another entry ends none")
	}
}

// TestZeros: a crash of the machine can leave a file of zeros, and the first entry must not stand behind them.
func TestZeros(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, File)
	require.NoError(t, os.WriteFile(name, make([]byte, 16), 0o600))
	res, err := (&Journal{Dir: dir}).Update(context.Background(), func(*Record) (*Change, error) { return crashChange(1), nil })
	require.NoError(t, err)
	require.Equal(t, int64(16), res.Cut)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(data, []byte("game,")), "%q", data)
	kept, err := os.ReadFile(filepath.Join(dir, res.Kept))
	require.NoError(t, err)
	require.Equal(t, make([]byte, 16), kept)
}

// TestKeep: what a crash has left is kept once, beside whatever is kept already, and a folder that takes nothing says so.
func TestKeep(t *testing.T) {
	j := &Journal{Dir: t.TempDir()}
	for _, x := range []struct{ torn, want string }{{"one", "games.csv.torn-1"}, {"one", "games.csv.torn-1"}, {"other", "games.csv.torn-2"}, {"one", "games.csv.torn-1"}, {"on", "games.csv.torn-3"}} {
		kept, err := j.keep([]byte(x.torn))
		require.NoError(t, err)
		require.Equal(t, x.want, kept)
		data, err := os.ReadFile(filepath.Join(j.Dir, kept))
		require.NoError(t, err)
		require.Equal(t, x.torn, string(data))
	}
	_, err := (&Journal{Dir: filepath.Join(j.Dir, "nowhere")}).keep([]byte("one"))
	require.ErrorContains(t, err, "nothing was recorded: what a crash has left in games.csv could not be put aside")
}

// TestDiskFullAfterACrash: what a crash has left is in one of the two files, whole, however little room there is.
func TestDiskFullAfterACrash(t *testing.T) {
	text, torn := two(t), "2,,,,opened,,3,\n2,,,,pres"
	for n := 0; ; n++ {
		if n > len(torn) && os.Getenv("SEVENYARD_SWEEP") == "" {
			n += 4 // every byte is asked in a sweep
		}
		dir := t.TempDir()
		name := filepath.Join(dir, File)
		require.NoError(t, os.WriteFile(name, []byte(text+torn), 0o600))
		j := &Journal{Dir: dir, through: func(w io.Writer) io.Writer { return &failing{w, n} }}
		_, err := j.Update(context.Background(), func(*Record) (*Change, error) { return crashChange(3), nil })
		is, readErr := os.ReadFile(name)
		require.NoError(t, readErr)
		kept, keptErr := os.ReadFile(filepath.Join(dir, File+".torn-1"))
		if n < len(torn) {
			require.ErrorContains(t, err, "could not be put aside")
			require.Equal(t, text+torn, string(is))
			require.ErrorIs(t, keptErr, os.ErrNotExist)
			continue
		}
		require.Equal(t, torn, string(kept))
		require.True(t, strings.HasPrefix(string(is), text))
		if err == nil {
			break
		}
		require.Equal(t, text, string(is), "%d bytes", n)
	}
}

// TestSettle: a file that somebody else has made meanwhile stays as it is.
func TestSettle(t *testing.T) {
	dir := t.TempDir()
	temp, name := filepath.Join(dir, "new"), filepath.Join(dir, File)
	require.NoError(t, os.WriteFile(temp, []byte("mine"), 0o600))
	require.NoError(t, os.WriteFile(name, []byte("theirs"), 0o600))
	require.ErrorContains(t, settle(temp, name), "has just been made by somebody else")
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, "theirs", string(data))
}

// TestTooLarge: a file past the bounds is said to be, once, and its rows are not gone through.
func TestTooLarge(t *testing.T) {
	_, err := Read(File, io.LimitReader(endless('\n'), maxFile+1))
	require.EqualError(t, err, File+": larger than 64 MiB; is this the right file?")
	_, err = Read(File, io.LimitReader(endless(0), maxFile))
	require.NotContains(t, fmt.Sprint(err), "larger")
	_, err = Read(File, iotest.ErrReader(errors.New("the disk is gone")))
	require.EqualError(t, err, File+": cannot be read: the disk is gone; check that the file can be opened")

	if testing.Short() {
		t.Skip("a million rows take seconds")
	}
	text := head + strings.Repeat("1,,,1,front,2,,\n1,,,1,void,,,\n", maxRows/2+1)
	require.Equal(t, []string{fmt.Sprintf("%s:%d: more than 1000000 rows; the rest was not read; is this the right file?", File, maxRows+2)}, problems(t, text))
}

type endless byte

func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

// TestSealAlone works the seal out by hand: a file written by one version must be read by the next.
func TestSealAlone(t *testing.T) {
	text, _ := blocks(t, fileState{cut: -1}, "", []*Change{{Game: "1", Date: "2026-09-12", Opponent: "Egrets", Kids: []Presence{{"2", 3, 0}}, Hurt: []Mark{{Kid: "2"}}}})
	said := []string{"1\t2026-09-12\tEgrets\t\topened\t\t\n", "1\t2026-09-12\tEgrets\t3 to end\tpresent\t2\t\n", "1\t2026-09-12\tEgrets\t\thurt\t2\t\n"}
	slices.Sort(said)
	require.Contains(t, text, fmt.Sprintf(",closed,,1,2 rows s%08x\n", crc32.ChecksumIEEE([]byte(strings.Join(said, "")))))
}

// TestWhatAnEntryMustSay: an entry holds something, in cells that can be read again.
func TestWhatAnEntryMustSay(t *testing.T) {
	require.ErrorContains(t, (&Change{Game: "1"}).check(), "without anything to record")
	require.ErrorContains(t, (&Change{Game: "1", Date: "a\nb", VoidGame: true}).check(), "the date ")
	require.ErrorContains(t, (&Change{Game: "1", Opponent: "a\x1bb", VoidGame: true}).check(), "the opponent ")
	require.ErrorContains(t, (&Change{Game: "a b", VoidGame: true}).check(), "game: ")
	require.ErrorContains(t, (&Change{Game: "1", Cleared: []Mark{{Kid: "2"}}}).check(), "who cleared kid 2")
	slot, mark := []Series{{1, []Slot{{"front", "2"}}}}, []Mark{{Kid: "2", By: "Ana"}}
	for _, c := range []Change{{VoidGame: true}, {Void: []int{1}}, {Kids: []Presence{{"2", 1, 0}}}, {Series: slot}, {Hurt: mark}, {Cleared: mark},
		{Hurt: mark, Cleared: mark}, {Kids: []Presence{{"2", 1, 0}}, Cleared: mark}, {Void: []int{1}, Cleared: mark}, {Series: slot, Hurt: mark}} {
		c.Game = "1"
		require.NoError(t, c.check(), "%+v", c)
	}
}

// TestFormulasAreGuarded: what a spreadsheet would run stands in the file as text, and is read as it was said.
func TestFormulasAreGuarded(t *testing.T) {
	for _, opponent := range []string{"=cmd|' /C calc'!A0", "+1", "-x", "@SUM(1)"} {
		text, _ := blocks(t, fileState{}, "", []*Change{{Game: "1", Opponent: opponent, Kids: []Presence{{"2", 1, 0}}}})
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		for _, row := range rows[1:] {
			for _, cell := range row {
				require.False(t, cell != "" && strings.ContainsAny(cell[:1], "=+-@"), "%q", cell)
			}
		}
		require.Equal(t, opponent, read(t, text).Games[0].Opponent)
	}
}

// TestPresenceWritten: who was there from when to when is read as it was written, and all of a game is an empty cell.
func TestPresenceWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Presence{"2", rapid.IntRange(1, 3).Draw(t, "first"), 0}
		if rapid.Bool().Draw(t, "left") {
			p.Last = p.First + rapid.IntRange(0, 3).Draw(t, "stayed")
		}
		text, _ := blocks(t, fileState{}, "", []*Change{{Game: "1", Kids: []Presence{p}}})
		rec, err := Read(File, strings.NewReader(text))
		require.NoError(t, err)
		require.Equal(t, []Presence{p}, rec.Games[0].Attendance)
		require.Equal(t, p.First == 1 && p.Last == 0, strings.Contains(text, "1,,,,present,2,"))
	})
}

// TestRowsByHand: small things that people type.
func TestRowsByHand(t *testing.T) {
	rec := read(t, head+"1,,,,Present,2,,\n1,,,1,FRONT,2,,\n")
	require.Equal(t, []Series{{1, []Slot{{"front", "2"}}}}, rec.Games[0].Series)

	require.Empty(t, read(t, head+"1,,,1,front,2,,\n1,,,1,void,,,\n").Games, "nothing is left of it")
	require.Len(t, read(t, head+"1,,,1,front,2,,\n1,,,4,front,2,,\n1,,,2 to end,void,,,\n").Games[0].Series, 1)

	rec = read(t, head+"1,,,1,front,2,,\n1,,,2,deep,2,,\n1,,,2,front,3,,\n")
	require.Equal(t, []Presence{{"2", 1, 2}, {"3", 1, 2}}, rec.Games[0].Kids, "each kid once, without a word on who was there")

	for _, n := range []int{0, 1, 2} {
		rec, err := Read(File, strings.NewReader(head+"1,,,,present,2,,\n1,,,"+span(n, n)+",cleared,2,,Ana\n"))
		if n == 0 {
			require.ErrorContains(t, err, "kid 2 is not marked as hurt in game 1")
			continue
		}
		require.NoError(t, err)
		require.Equal(t, []Mark{{Kid: "2", Series: n, Cleared: true, By: "Ana"}}, rec.Games[0].Marks)
	}

	rec, err := Read(File, strings.NewReader(head+"1,,,1,front,2,,\n1,,,2,front,2 3,,\n2,,,,present,2 3,,\n"))
	require.Error(t, err)
	require.Len(t, rec.Games, 1, "a row that cannot be read says nothing")
	require.Len(t, rec.Games[0].Series, 1)

	rec = read(t, head+"1,,,,present,2,,\n1,,,,hurt,2,,\n1,,,3,hurt,2,,\n")
	require.Equal(t, []Mark{{Kid: "2", Series: 3}}, rec.Games[0].Marks, "the series, where a row says it")
}

// TestEntriesByHand: rows with a number under entry that no run of the tool has written.
func TestEntriesByHand(t *testing.T) {
	require.Equal(t, []string{File + `:2: entry is "one"; leave the cell empty in a row typed by hand`}, problems(t, head+"1,,,1,front,2,one,\n"))
	require.Contains(t, problems(t, head+"1,,,1,front,2,1000000,\n")[0], `entry is "1000000"`)
	require.Contains(t, problems(t, head+"1,,,1,front,2,999999,\n")[0], "entry 999999 (line 2) has no closing row")
	require.Contains(t, problems(t, head+"1,,,,closed,,7,0 rows s00000001\n")[0], "entry 7 (line 2) is not as it was written")
	require.Empty(t, read(t, head+"1,,,,closed,,7,0 rows s00000000\n").Games, "an entry of nothing")

	text := strings.Replace(two(t), "front,2,1,", "front,2 3,1,", 1)
	require.Contains(t, strings.Join(problems(t, text), "\n"), "is not as it was written: a row of it cannot be read")

	for _, text := range []string{
		"1,,,,opened,,1,\n1,,,2,hurt,2,1,\n1,,,,present,3,,\n",
		"1,,,,present,3,,\n1,,,2,hurt,2,,\n1,,,,cleared,2,1,Ana\n1,,,,closed,,1,1 rows s00000000\n",
	} {
		rec, err := Read(File, strings.NewReader(head+text))
		require.ErrorContains(t, err, "entry 1 ")
		require.Equal(t, []string{"2"}, rec.Games[0].Hurt, "an entry that does not hold may bar a kid, and never clears one")
	}
}

// TestOrderOfGames: games stand as the file has them, whatever the numbers of their entries.
func TestOrderOfGames(t *testing.T) {
	text, ends := blocks(t, fileState{cut: -1}, "", []*Change{{Game: "1", Kids: []Presence{{"2", 1, 0}}}, {Game: "2", Kids: []Presence{{"3", 1, 0}}}})
	first := text[len(head):ends[0]]
	rec := read(t, head+text[ends[0]:]+first)
	require.Equal(t, []string{"2", "1"}, []string{rec.Games[0].ID, rec.Games[1].ID})
}

// TestVoidOfMarks: a game of which only a hurt kid is on record can be made void, and the kid stays hurt; one of a cleared kid has nothing left.
func TestVoidOfMarks(t *testing.T) {
	rec := read(t, head+"1,,,2,hurt,2,,\n1,,,,void,,,\n")
	require.Equal(t, []string{"2"}, rec.Games[0].Hurt)
	require.Empty(t, rec.Warnings, "nobody was there")
	require.Contains(t, problems(t, head+"1,,,2,hurt,2,,\n1,,,,cleared,2,,Ana\n1,,,,void,,,\n")[0], "4: there is nothing of game 1 above to make void")
	require.Contains(t, problems(t, head+"1,,,1,fro\x1bnt,2,,\n")[0], "2: role ")
}

// turning is a folder whose games.csv is half written for a while.
type turning struct {
	half, whole string
	left        int
}

func (f *turning) Open(name string) (fs.File, error) {
	text := f.whole
	if f.left > 0 {
		text = f.half
	}
	f.left--
	return fstest.MapFS{File: {Data: []byte(text)}}.Open(name)
}

// TestHalfWritten: an entry that is just being written is waited for, and not for ever.
func TestHalfWritten(t *testing.T) {
	whole := two(t)
	half := whole[:len(whole)-20]
	rec, err := ReadFolder(&turning{half, whole, 2})
	require.NoError(t, err)
	require.Empty(t, rec.Warnings)
	require.Equal(t, facts(read(t, whole)), facts(rec))

	rec, err = ReadFolder(&turning{half, whole, 1000})
	require.NoError(t, err)
	require.Len(t, rec.Warnings, 1)
}

// TestDates: what a spreadsheet may have made of 2026-09-12. That the serial number of the day is 46277 follows from 2000-01-01 being 36526 (ECMA-376 part 1, 18.17.4.1).
func TestDates(t *testing.T) {
	const day = "2026-09-12"
	for _, cell := range []string{day, "12/09/2026", "9/12/2026", "12.09.2026", "12. 9. 2026", "12-Sep-26", "12 September 2026", "Sep 12 2026", "46277", "2026/9/12", "9/12/26"} {
		require.Contains(t, DaysOf(cell), day, cell)
	}
	for _, cell := range []string{"", "7", "-5", "20000", "80000", "x", "99/99/2026"} {
		require.Empty(t, DaysOf(cell), cell)
	}
	for cell, want := range map[string]string{"36526": "2000-01-01", "20001": "1954-10-04", "79999": "2119-01-10"} {
		require.Equal(t, []string{want}, DaysOf(cell))
	}
}

// TestKidsInOrder: kids stand in the order of their ids, also after these are written as the roster has them.
func TestKidsInOrder(t *testing.T) {
	rec := read(t, head+"1,,,,present,a10,,\n1,,,,present,a9,,\n1,,,,present,B1,,\n1,,,1,front,a9,,\n")
	require.Equal(t, []Presence{{"B1", 1, 1}, {"a9", 1, 1}, {"a10", 1, 1}}, rec.Games[0].Kids)
	f := &drills.Folder{Roster: []drills.Kid{{ID: "b1"}, {ID: "a9"}, {ID: "a10"}}}
	f.Team.Catalogue = drills.Default()
	_, err := rec.Check(f)
	require.NoError(t, err)
	require.Equal(t, []Presence{{"a9", 1, 1}, {"a10", 1, 1}, {"b1", 1, 1}}, rec.Games[0].Kids)
}

// TestManyMentions: of a kid that the team does not have, some lines are named, and whether there are more is true.
func TestManyMentions(t *testing.T) {
	for n := 1; n < 12; n++ {
		text := head
		for s := range n {
			text += fmt.Sprintf("1,,,%d,front,77,,\n", s+1)
		}
		_, err := read(t, text).Check(&drills.Folder{})
		var ps drills.Problems
		require.ErrorAs(t, err, &ps)
		var of []string
		for _, p := range ps {
			if strings.Contains(p.What, `kid "77"`) {
				of = append(of, p.Error())
			}
		}
		require.Len(t, of, 1)
		named := 0
		for s := range n {
			if regexp.MustCompile(fmt.Sprintf(`\b%d\b`, s+2)).MatchString(strings.Replace(of[0], `"77"`, "", 1)) {
				named++
			}
		}
		require.Equal(t, named < n, strings.Contains(of[0], "more"), of[0])
		require.GreaterOrEqual(t, named, min(n, 5), of[0])
	}
}

// TestOddDate: a date that nobody can read is told of, with its line.
func TestOddDate(t *testing.T) {
	rec := read(t, head+"1,,,,present,2,,\n1,soon,,1,front,2,,\n")
	require.Len(t, rec.Warnings, 1)
	require.Equal(t, File+`:3: game 1 has the date "soon"; write it as 2026-09-12; a spreadsheet may have changed it`, rec.Warnings[0].Error())
}

// TestHurtByAnotherWord: whoever writes injured where hurt is meant must not put the kid back on the field, whatever else the row has or lacks.
func TestHurtByAnotherWord(t *testing.T) {
	for _, role := range []string{"hurtt", "Injured", "injury", "concussion", "hurt knee"} {
		for _, series := range []string{"", "2", "x", "2 to 4"} {
			rec, _ := Read(File, strings.NewReader(head+"1,,,,present,2,,\n1,,,1,front,2,,\n1,,,"+series+","+role+",3,,\n"))
			require.Equal(t, []string{"3"}, rec.Games[0].Hurt, "%s in series %q", role, series)
		}
	}
	for _, role := range []string{"front", "deep", "unhurt", "corner"} {
		rec := read(t, head+"1,,,,present,2,,\n1,,,1,"+role+",2,,\n")
		require.Empty(t, rec.Games[0].Hurt, role)
	}
}
