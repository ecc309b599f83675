package games

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestWriteRead: what was written is read, whatever the entries, in the style of any file that is there already.
func TestWriteRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		changes := genChanges(t)
		style := rapid.SampledFrom([]string{"", "game,date,opponent,series,role,kid\n", "game;series;date;role;kid;opponent\r\n", "kid\tnotes\trole\topponent\tdate\tseries\tgame\n",
			"\ufeffgame,date,opponent,series,role,kid,entry,notes", "sep=;\r\nopponent;game;date;series;role;kid;notes\r\n"}).Draw(t, "style")
		rec, err := parse(File, []byte(style))
		require.NoError(t, err)
		st := rec.state
		if style == "" {
			st = fileState{cut: -1}
		}
		text, _ := blocks(t, st, style, changes)
		rec, err = Read(File, strings.NewReader(text))
		require.NoError(t, err, text)
		require.Equal(t, prune(replay(changes)), prune(playedIn(rec)), text)
		if i := strings.IndexAny(style, "\r"); i >= 0 {
			require.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"), "the file's own line ends")
		}
	})
}

// TestAnyPrefix: whatever part of a file a crash leaves, it reads as the entries that are whole in it, and recording on mends it without touching
// a byte of those.
func TestAnyPrefix(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		changes := genChanges(t)
		if len(changes) == 0 {
			t.Skip("nothing to write")
		}
		style := rapid.SampledFrom([]string{"", "game;series;date;role;kid;opponent\r\n"}).Draw(t, "style")
		st := fileState{cut: -1}
		if style != "" {
			rec, err := parse(File, []byte(style))
			require.NoError(t, err)
			st = rec.state
		}
		text, ends := blocks(t, st, style, changes)
		n := rapid.IntRange(min(len(text), 60), len(text)).Draw(t, "cut")
		left := text[:n] + strings.Repeat("\x00", rapid.SampledFrom([]int{0, 0, 0, 1, 700}).Draw(t, "zeros"))
		whole := 0
		for whole < len(ends) && n >= ends[whole]-max(1, len(st.lineEnd)) { // the last line end may be missing
			whole++
		}
		rec, err := Read(File, strings.NewReader(left))
		require.NoError(t, err, "%q", left)
		want := prune(replay(changes[:whole]))
		require.Equal(t, want, prune(playedIn(rec)), "%q", left)

		name := filepath.Join(dir, File)
		require.NoError(t, os.WriteFile(name, []byte(left), 0o644))
		defer os.Remove(name)
		j := &Journal{Dir: dir}
		next := &Change{Game: "next", Kids: []Presence{{"1", 1, 0}}, Series: []Series{{1, []Slot{{"front", "1"}}}}}
		res, err := j.Update(context.Background(), func(*Record) (*Change, error) { return next, nil })
		require.NoError(t, err, "%q", left)
		want["next"] = map[int][]Slot{1: {{"front", "1"}}}
		require.Equal(t, want, prune(playedIn(res.Record)))
		after, err := os.ReadFile(name)
		require.NoError(t, err)
		keep := 0
		if whole > 0 {
			keep = min(ends[whole-1], n)
		}
		require.Equal(t, text[:keep], string(after[:keep]), "committed bytes stay")
		if res.Kept != "" {
			kept, err := os.ReadFile(filepath.Join(dir, res.Kept))
			require.NoError(t, err)
			require.Equal(t, left[len(left)-len(kept):], string(kept), "what was cut off is kept")
			require.EqualValues(t, len(kept), res.Cut)
			require.NoError(t, os.Remove(filepath.Join(dir, res.Kept)))
		} else {
			require.Equal(t, left, string(after[:len(left)]), "nothing was cut off")
		}
		reread := read2(t, name)
		require.Equal(t, playedIn(res.Record), playedIn(reread))
	})
}

func read2(t require.TestingT, name string) *Record {
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	rec, err := Read(File, f)
	require.NoError(t, err)
	return rec
}

// TestHandEditsAreNeverCut: rows that a person typed below an entry that was cut off are a problem for a person, not for a repair.
func TestHandEditsAreNeverCut(t *testing.T) {
	text := two(t)
	cut := text[:strings.Index(text, ",closed,,2")]
	cut = cut[:strings.LastIndex(cut, "\n")+1]
	rec := read(t, cut)
	require.Contains(t, rec.Warnings.Error(), "games.csv:11: what begins here was cut off while it was written, and does not count")
	require.Contains(t, strings.Join(problems(t, cut+"2,,,1,front,9,,\n"), "\n"), "games.csv:11: entry 2 (lines 11 to 13) has no closing row; was it cut off and typed on?")

	byHandToo := text + "2,,,1,front,9,,\n2,,,1,deep,2"
	rec = read(t, byHandToo)
	require.Len(t, rec.Games, 2)
	require.Equal(t, []Slot{{"front", "9"}, {"deep", "2"}}, rec.Games[1].Series[0].Slots, "a last row without a line end is a row")
	require.True(t, rec.state.unended)
	require.EqualValues(t, -1, rec.state.cut)

	half := text + "2,2026-09-12,Eg"
	rec = read(t, half)
	require.EqualValues(t, len(text), rec.state.cut, "what a crash can have left of an opening row is none")
	require.Len(t, rec.Games, 1)
	require.Contains(t, problems(t, text+"2,,,1,deep,")[0], "games.csv:15: no kid is named", "a person's row is for a person to mend")

	for _, note := range []string{"# ask Ana about series 2", "# 2", "#"} {
		rec = read(t, text+note)
		require.EqualValues(t, -1, rec.state.cut, "a note without a line end is no crash")
		require.True(t, rec.state.unended)
		require.Empty(t, rec.Warnings)
	}
	require.Contains(t, strings.Join(problems(t, cut+"# what was here?\n"), "\n"), "games.csv:11: entry 2 (lines 11 to 13) has no closing row")
}

// failing stops writing after so many bytes in all.
type failing struct {
	w    io.Writer
	left int
}

func (f *failing) Write(p []byte) (int, error) {
	n := min(len(p), f.left)
	f.left -= n
	written, err := f.w.Write(p[:n])
	if err == nil && n < len(p) {
		err = errors.New("no space left on device")
	}
	return written, err
}

// TestDiskFull: where the disk is full after any number of bytes, nothing is recorded, the file is as it was to the byte, and the next run works.
func TestDiskFull(t *testing.T) {
	for _, before := range []string{"", byHand, two(t), strings.ReplaceAll(byHand, ",", ";"), strings.TrimSuffix(byHand, "\n")} {
		dir := t.TempDir()
		name := filepath.Join(dir, File)
		if before != "" {
			require.NoError(t, os.WriteFile(name, []byte(before), 0o644))
		}
		c := &Change{Game: "5", Kids: []Presence{{"2", 1, 0}}, Series: []Series{{1, []Slot{{"front", "2"}}}}}
		change := func(*Record) (*Change, error) { return c, nil }
		full := 0
		for n := 0; ; n++ {
			j := &Journal{Dir: dir, through: func(w io.Writer) io.Writer { return &failing{w, n} }}
			_, err := j.Update(context.Background(), change)
			if err == nil {
				full = n
				break
			}
			require.ErrorContains(t, err, "nothing was recorded")
			after, err := os.ReadFile(name)
			if before == "" {
				require.ErrorIs(t, err, os.ErrNotExist)
				require.NoFileExists(t, filepath.Join(dir, newFile))
				continue
			}
			require.NoError(t, err)
			require.Equal(t, before, string(after), "%d bytes", n)
		}
		require.Greater(t, full, 50, "every length of the entry was tried")
		after, err := os.ReadFile(name)
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(after, []byte(before)))
		_, ok := read2(t, name).Game("5")
		require.True(t, ok)
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		names := []string{}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		require.Equal(t, []string{lockFile, File}, names, "nothing else is left behind")
	}
}

// TestNothingWrittenWithProblems: an entry that does not go together with the record is refused as a whole.
func TestNothingWrittenWithProblems(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, File)
	text := two(t)
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	j := &Journal{Dir: dir}
	for _, c := range []*Change{
		{Game: "1", Series: []Series{{3, []Slot{{"front", "2"}, {"deep", "2"}}}}},
		{Game: "1", Series: []Series{{3, []Slot{{"front", "77"}}}}},
		{Game: "1", Kids: []Presence{{"2", 1, 0}}},
		{Game: "no id", Kids: []Presence{{"2", 1, 0}}},
		{Game: "2", Opponent: "line\nend", Kids: []Presence{{"2", 1, 0}}},
		{Game: "2", Void: []int{3}},
		{Game: "2"},
	} {
		_, err := j.Update(context.Background(), func(*Record) (*Change, error) { return c, nil })
		require.Error(t, err, "%+v", c)
		for _, at := range regexp.MustCompile(`(?:line |csv:)(\d+)`).FindAllStringSubmatch(err.Error(), -1) {
			n, _ := strconv.Atoi(at[1])
			require.LessOrEqual(t, n, strings.Count(text, "\n"), "the file has no such line: %s", err)
		}
	}
	after, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, text, string(after))

	require.NoError(t, os.WriteFile(name, []byte("game,series,role,kid\n1,1,front,2\n"), 0o644))
	_, err = j.Update(context.Background(), func(*Record) (*Change, error) {
		return &Change{Game: "2", Date: "2026-09-12", Kids: []Presence{{"2", 1, 0}}}, nil
	})
	require.ErrorContains(t, err, File+":1: there is no column date; add date at the end of the header line")
	bad := "game,series,role,kid\n1,0,front,2\n"
	require.NoError(t, os.WriteFile(name, []byte(bad), 0o644))
	_, err = j.Update(context.Background(), func(*Record) (*Change, error) { panic("not asked") })
	require.ErrorContains(t, err, `series is "0"`)
}

// TestSavedElsewhere: a spreadsheet that saves the file while an entry is on its way knows nothing of the lock. What it has saved stays.
func TestSavedElsewhere(t *testing.T) {
	text := two(t)
	for _, x := range []struct{ before, after string }{
		{text, text + "2,,,1,front,9,,\n"},
		{text + "2,,Eg", text + "2,,Egrets,1,deep,9,,\n2,,,1,front,7,,\n"}, // below half an opening row, which a repair would cut
		{text, text[:len(text)/2]},
	} {
		dir := t.TempDir()
		name := filepath.Join(dir, File)
		require.NoError(t, os.WriteFile(name, []byte(x.before), 0o644))
		_, err := (&Journal{Dir: dir}).Update(context.Background(), func(*Record) (*Change, error) {
			require.NoError(t, os.WriteFile(name, []byte(x.after), 0o644))
			return &Change{Game: "5", Kids: []Presence{{"2", 1, 0}}}, nil
		})
		require.ErrorContains(t, err, "another program has just changed games.csv")
		is, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, x.after, string(is))
	}
}

// TestTwoNamesOfOneFile: a crash may leave the first entry under both names. Where the record is then put away for the winter, the first entry
// of the next season must not go into it by its other name.
func TestTwoNamesOfOneFile(t *testing.T) {
	dir := t.TempDir()
	put, away := filepath.Join(dir, newFile), filepath.Join(dir, "last-season.csv")
	require.NoError(t, os.WriteFile(put, []byte(two(t)), 0o644))
	require.NoError(t, os.Link(put, away))
	_, err := (&Journal{Dir: dir}).Update(context.Background(), func(*Record) (*Change, error) {
		return &Change{Game: "5", Kids: []Presence{{"2", 1, 0}}}, nil
	})
	require.NoError(t, err)
	is, err := os.ReadFile(away)
	require.NoError(t, err)
	require.Equal(t, two(t), string(is))
	require.Len(t, read2(t, filepath.Join(dir, File)).Games, 1)
	require.NoFileExists(t, put)
}

// TestLock: while one writes, another waits, and then says who it is waiting for.
func TestLock(t *testing.T) {
	dir := t.TempDir()
	var busy *LockedError
	inner := &Journal{Dir: dir, Wait: 1}
	c := &Change{Game: "1", Kids: []Presence{{"2", 1, 0}}}
	_, err := (&Journal{Dir: dir}).Update(context.Background(), func(*Record) (*Change, error) {
		since := time.Now().Add(-90 * time.Second)
		require.NoError(t, os.Chtimes(filepath.Join(dir, lockFile), since, since))
		_, err := inner.Update(context.Background(), func(*Record) (*Change, error) { return c, nil })
		require.ErrorAs(t, err, &busy)
		require.Greater(t, busy.For, 80*time.Second)
		require.ErrorContains(t, err, "another sevenyard record (process ")
		require.ErrorContains(t, err, "nothing was recorded")
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		_, err = inner.Update(ctx, func(*Record) (*Change, error) { return c, nil })
		require.ErrorIs(t, err, context.Canceled)
		return c, nil
	})
	require.NoError(t, err)
	_, err = inner.Update(context.Background(), func(*Record) (*Change, error) { return nil, nil })
	require.NoError(t, err)
}

func FuzzRead(f *testing.F) {
	text := two(f)
	f.Add([]byte(text))
	f.Add([]byte(byHand))
	f.Add([]byte(text[:len(text)-9]))
	f.Add([]byte(strings.ReplaceAll(byHand, "\n", "\r")))
	f.Add([]byte("game;series;role;kid\r\n1;1;void;\r\n;;\"\r\n\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rec, err := parse(File, data)
		for _, g := range rec.Games {
			for i, s := range g.Series {
				if len(s.Slots) == 0 || i > 0 && s.Number <= g.Series[i-1].Number {
					t.Fatalf("series %+v", g.Series)
				}
			}
		}
		if err != nil {
			return
		}
		for _, g := range rec.Games { // what is read without a problem is sound
			for _, s := range g.Series {
				for _, x := range s.Slots {
					there := slices.ContainsFunc(g.Kids, func(p Presence) bool { return p.Kid == x.Kid && p.First <= s.Number && s.Number <= p.Last })
					if !there {
						t.Fatalf("game %s: kid %s plays in series %d and was not there", g.ID, x.Kid, s.Number)
					}
				}
			}
		}
		whole := data // and it can be written to
		if rec.state.cut >= 0 {
			whole = data[:rec.state.cut]
		}
		c := &Change{Game: "zz-9", Kids: []Presence{{"2", 1, 0}}, Series: []Series{{1, []Slot{{"front", "2"}}}}}
		block, err := c.encode(rec.state)
		if err != nil {
			return
		}
		after, err := parse(File, append(bytes.Clone(whole), block...))
		if err != nil {
			if _, taken := rec.Game(c.Game); taken {
				return
			}
			t.Fatalf("%v\n%q\n%q", err, data, block)
		}
		if len(after.Games) != len(rec.Games)+1 {
			if _, taken := rec.Game(c.Game); !taken {
				t.Fatalf("%d games, then %d", len(rec.Games), len(after.Games))
			}
		}
	})
}

// BenchmarkRead reads two seasons: 10,000 rows.
func BenchmarkRead(b *testing.B) {
	text := season(b, 10_000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(File, strings.NewReader(text)); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(strings.Count(text, "\n")), "rows")
}
