//go:build unix

package games

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

var oneGame = &Change{Game: "1", Opponent: "Egrets", Kids: []Presence{{Kid: "7", First: 1}}}

// enter tries to put an entry on record.
func enter(dir string) (*Result, error) {
	j := &Journal{Dir: dir}
	return j.Update(context.Background(), func(*Record) (*Change, error) { return oneGame, nil })
}

func text(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

func TestFilesAreForTheOwnerAlone(t *testing.T) {
	dir := t.TempDir()
	_, err := enter(dir)
	require.NoError(t, err)
	f, err := os.OpenFile(filepath.Join(dir, File), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString("1,,,,opened,,2,\n1,,,,pres")
	require.NoError(t, errors.Join(err, f.Close()))
	res, err := enter(dir)
	require.NoError(t, err)
	require.NotEmpty(t, res.Kept)
	for _, name := range []string{File, lockFile, res.Kept} {
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o600), info.Mode(), name)
	}
}

// A lock that is a link, or another file, is not written into, and not followed to make something elsewhere.
func TestALockThatIsNone(t *testing.T) {
	const mine = "7,Ann\n"
	for name, lay := range map[string]func(lock, roster string) error{
		"link":          func(lock, roster string) error { return os.Symlink(roster, lock) },
		"dangling link": func(lock, roster string) error { return os.Symlink("nowhere", lock) },
		"hard link":     func(lock, roster string) error { return os.Link(roster, lock) },
		"another file":  func(lock, _ string) error { return os.WriteFile(lock, []byte(mine), 0o644) },
		"folder":        func(lock, _ string) error { return os.Mkdir(lock, 0o755) },
		"pipe":          func(lock, _ string) error { return syscall.Mkfifo(lock, 0o644) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			roster, lock := filepath.Join(dir, "roster.csv"), filepath.Join(dir, lockFile)
			require.NoError(t, os.WriteFile(roster, []byte(mine), 0o644))
			require.NoError(t, lay(lock, roster))
			_, err := enter(dir)
			require.ErrorContains(t, err, "cannot be locked: "+lock+" is ")
			require.ErrorContains(t, err, "run the same again")
			require.Equal(t, mine, text(t, roster))
			require.NoFileExists(t, filepath.Join(dir, "nowhere"))
			require.NoFileExists(t, filepath.Join(dir, File))
		})
	}
}

// What a crash may leave in the lock's file is no reason to refuse.
func TestALockAsACrashLeavesIt(t *testing.T) {
	for _, left := range []string{"", "p", "process", "process 12", "process 12\n", "\x00\x00"} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, lockFile), []byte(left), 0o600))
		_, err := enter(dir)
		require.NoError(t, err, "%q", left)
		require.Empty(t, text(t, filepath.Join(dir, lockFile)))
	}
}

// games.csv may be a link to a plain file, which is then read and added to; nothing is made through a link that leads nowhere.
func TestTheRecordAsALink(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	name, real := filepath.Join(dir, File), filepath.Join(other, "record.csv")
	require.NoError(t, os.Symlink(real, name))
	_, err := enter(dir)
	require.ErrorContains(t, err, "nothing was recorded: "+name+" is a link to something that is not there")
	require.NoFileExists(t, real)

	_, err = enter(other)
	require.NoError(t, err)
	require.NoError(t, os.Rename(filepath.Join(other, File), real))
	res, err := enter(dir)
	require.NoError(t, err)
	require.Equal(t, 2, res.Entry)
	info, err := os.Lstat(name)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeSymlink)
	require.Contains(t, text(t, real), ",closed,,2,")
}

func TestTheRecordAsAPipe(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, File), 0o644))
	_, err := enter(dir)
	require.ErrorContains(t, err, "is no plain file")
}

// Who stops before the entry is written has nothing written.
func TestStoppedBeforeTheEntry(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	j := &Journal{Dir: dir}
	_, err := j.Update(ctx, func(*Record) (*Change, error) {
		cancel()
		return oneGame, nil
	})
	require.ErrorIs(t, err, context.Canceled)
	require.NoFileExists(t, filepath.Join(dir, File))
}
