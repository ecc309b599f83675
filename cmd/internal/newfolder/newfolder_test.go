package newfolder

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

var files = []File{{"a.csv", []byte("a\n")}, {"b.toml", nil}}

func names(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	out := []string{}
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestWrite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "x", "team")
	require.NoError(t, Write(dir, files))
	require.Equal(t, []string{"a.csv", "b.toml"}, names(t, dir))
	data, err := os.ReadFile(filepath.Join(dir, "a.csv"))
	require.NoError(t, err)
	require.Equal(t, "a\n", string(data))

	require.ErrorIs(t, Write(dir, []File{{"c", nil}}), ErrExists)
	require.Equal(t, []string{"a.csv", "b.toml"}, names(t, dir), "nothing is added to what exists")
	require.Equal(t, []string{"team"}, names(t, filepath.Dir(dir)), "nothing is left beside it")
}

func TestWriteIntoAnEmptyFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, Write(dir, files))
	require.Equal(t, []string{"a.csv", "b.toml"}, names(t, dir))
}

func TestAllOrNothing(t *testing.T) {
	parent := t.TempDir()
	err := Write(filepath.Join(parent, "team"), []File{{"a.csv", nil}, {"no/such/folder", nil}})
	require.Error(t, err)
	require.Empty(t, names(t, parent))
}

func TestAFileOrALinkIsNeverReplaced(t *testing.T) {
	parent := t.TempDir()
	file := filepath.Join(parent, "f")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o644))
	require.ErrorIs(t, Write(file, files), ErrExists)
	link := filepath.Join(parent, "l")
	require.NoError(t, os.Symlink(t.TempDir(), link))
	require.ErrorIs(t, Write(link, files), ErrExists)
	require.Equal(t, []string{"f", "l"}, names(t, parent))
}

func TestForTheOwnerAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("file modes are no matter here")
	}
	dir := filepath.Join(t.TempDir(), "league", "team")
	require.NoError(t, Write(dir, files))
	for name, mode := range map[string]os.FileMode{dir: 0o700, filepath.Dir(dir): 0o700, filepath.Join(dir, "a.csv"): 0o600, filepath.Join(dir, "b.toml"): 0o600} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		require.Equal(t, mode, info.Mode().Perm(), name)
	}
}
