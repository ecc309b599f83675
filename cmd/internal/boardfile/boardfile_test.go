package boardfile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/drills"
)

var began = []Row{{Start, "", "abc"}, {Order, "Egrets, the", ""}, {Order, "Terns", ""}}

func board(t testing.TB) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "board.csv")
	require.NoError(t, Create(name, began))
	return name
}

func add(t testing.TB, name string, rows ...Row) {
	t.Helper()
	b, err := Open(name)
	require.NoError(t, err)
	require.NoError(t, b.Append(rows...))
	require.NoError(t, b.Close())
}

func rows(t testing.TB, name string) ([]Row, []byte) {
	t.Helper()
	b, err := Open(name)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	return b.Rows, b.Torn
}

func TestAppend(t *testing.T) {
	name := board(t)
	picks := []Row{{Pick, "Egrets, the", "7"}, {Pick, "Terns", "07"}, {Undo, "", ""}}
	for _, p := range picks {
		add(t, name, p)
	}
	got, torn := rows(t, name)
	require.Equal(t, append(append([]Row{}, began...), picks...), got)
	require.Empty(t, torn)
	require.ErrorIs(t, Create(name, began), newfile.ErrExists)
}

// Whatever byte a crash stops at, all rows before the last are there, the last is either whole or torn, and the draft goes on.
func TestCrashAtAnyByte(t *testing.T) {
	name := board(t)
	add(t, name, Row{Pick, "Terns", "12"})
	before, err := os.ReadFile(name)
	require.NoError(t, err)
	add(t, name, Row{Pick, "Egrets, the", "9"})
	after, err := os.ReadFile(name)
	require.NoError(t, err)
	for n := len(before); n <= len(after); n++ {
		require.NoError(t, os.WriteFile(name, after[:n], 0o644))
		got, torn := rows(t, name)
		want := 4
		if n == len(after) {
			want = 5
		}
		require.Len(t, got, want, "cut at %d", n)
		require.Len(t, torn, map[bool]int{true: 0, false: n - len(before)}[n == len(after)])
		add(t, name, Row{Undo, "", ""})
		got, torn = rows(t, name)
		require.Len(t, got, want+1)
		require.Empty(t, torn)
	}
	kept, err := filepath.Glob(name + ".torn-*")
	require.NoError(t, err)
	require.Len(t, kept, len(after)-len(before)-1, "what was cut off is kept")
	for _, name := range kept {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(string(after[len(before):]), string(data)))
	}
}

// No row can be changed, taken out or exchanged without being noticed.
func TestTampering(t *testing.T) {
	name := board(t)
	add(t, name, Row{Pick, "Terns", "12"}, Row{Pick, "Terns", "13"}, Row{Pick, "Terns", "14"})
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	lines := strings.SplitAfter(string(data), "\n")
	for i := 1; i < len(lines)-2; i++ {
		for _, bad := range []string{"", strings.Replace(lines[i], ",", ";", 1), strings.ToUpper(lines[i]) + "x\n", lines[i] + lines[i]} {
			text := strings.Join(lines[:i], "") + bad + strings.Join(lines[i+1:], "")
			require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
			_, err := Open(name)
			var ps drills.Problems
			require.True(t, errors.As(err, &ps), "line %d: %q", i+1, bad)
			require.Contains(t, err.Error(), "board.csv:")
		}
	}
	require.NoError(t, os.WriteFile(name, []byte("team,kid\n"), 0o644))
	_, err = Open(name)
	require.ErrorContains(t, err, "this is no board")
}

// What another program has saved since the board was read is neither cut off nor written over, torn or not, and nothing is put aside.
func TestChangedSinceItWasRead(t *testing.T) {
	name := board(t)
	add(t, name, Row{Pick, "Terns", "12"})
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	torn := append(append([]byte{}, whole...), "5,pick,Te"...)
	for _, read := range [][]byte{whole, torn} {
		for _, since := range []string{string(read) + "6,pick,Terns,13,x\n", string(whole[:len(whole)-4]), "", "\ufeff" + string(read), strings.ToUpper(string(read))} {
			require.NoError(t, os.WriteFile(name, read, 0o600))
			b, err := Open(name)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(name, []byte(since), 0o600))
			require.ErrorIs(t, b.Append(Row{Pick, "Egrets, the", "9"}), ErrChanged)
			require.NoError(t, b.Close())
			now, err := os.ReadFile(name)
			require.NoError(t, err)
			require.Equal(t, since, string(now))
		}
	}
	kept, err := filepath.Glob(name + ".torn-*")
	require.NoError(t, err)
	require.Empty(t, kept)
	require.NoError(t, os.WriteFile(name, torn, 0o600))
	b, err := Open(name)
	require.NoError(t, err)
	require.NoError(t, b.Append(Row{Undo, "", ""}), "the same as was read")
	require.NoError(t, b.Append(Row{Pick, "Terns", "13"}), "and as was written since")
	require.NoError(t, b.Close())
}

// Files that tell of kids are for their owner only.
func TestForTheOwnerOnly(t *testing.T) {
	name := board(t)
	add(t, name, Row{Pick, "Terns", "12"})
	info, err := os.Stat(filepath.Join(filepath.Dir(name), ".board.csv.lock"))
	require.NoError(t, err)
	require.Zero(t, info.Mode().Perm()&0o077)
}

func TestOneAtATime(t *testing.T) {
	wait = 100 * time.Millisecond
	t.Cleanup(func() { wait = 3 * time.Second })
	name := board(t)
	b, err := Open(name)
	require.NoError(t, err)
	_, err = Open(name)
	require.ErrorIs(t, err, ErrBusy)
	require.NoError(t, b.Close())
	_, err = Open(filepath.Join(t.TempDir(), "none.csv"))
	require.ErrorIs(t, err, os.ErrNotExist)
}

func FuzzOpen(f *testing.F) {
	name := filepath.Join(f.TempDir(), "seed.csv")
	require.NoError(f, Create(name, began))
	data, err := os.ReadFile(name)
	require.NoError(f, err)
	f.Add(data)
	f.Add(data[:len(data)-3])
	f.Add([]byte("entry,what,team,kid,check\n1,\"pick\n\",,,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b := &Board{name: "board.csv"}
		if err := b.parse(data); err != nil {
			return
		}
		if int(b.end)+len(b.Torn) != len(data) || len(b.Rows) != len(b.Lines) {
			t.Fatalf("%d rows, %d bytes and %d torn of %d", len(b.Rows), b.end, len(b.Torn), len(data))
		}
	})
}
