package regular

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

func TestOnlyPlainFiles(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.csv")
	require.NoError(t, os.WriteFile(name, []byte("twelve bytes"), 0o644))
	data, err := Read(name, 12)
	require.NoError(t, err)
	require.Equal(t, "twelve bytes", string(data))

	data, err = Read(name, 6)
	require.NoError(t, err)
	require.Equal(t, "twelve ", string(data), "one more byte than asked for: there is more")
	_, err = Read(dir, 100)
	require.ErrorIs(t, err, ErrNotPlain)
	require.ErrorContains(t, err, "but a folder")
	_, err = Read(filepath.Join(dir, "none"), 100)
	require.ErrorIs(t, err, fs.ErrNotExist)

	link, loose := filepath.Join(dir, "link"), filepath.Join(dir, "loose")
	require.NoError(t, os.Symlink("a.csv", link))
	require.NoError(t, os.Symlink("none", loose))
	data, err = Read(link, 100)
	require.NoError(t, err)
	require.Equal(t, "twelve bytes", string(data))
	_, err = Read(loose, 100)
	require.ErrorIs(t, err, ErrDangling)
	require.NotErrorIs(t, err, fs.ErrNotExist)
	_, err = OpenFile(loose, os.O_RDWR|os.O_CREATE, FileMode)
	require.ErrorIs(t, err, ErrDangling)
	require.NoFileExists(t, filepath.Join(dir, "none"))
}

func TestFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "sub"), 0o755))
	for _, name := range []string{"a.csv", "b.toml", "sub/c"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(name), 0o644))
	}
	require.NoError(t, fstest.TestFS(Folder(dir), "a.csv", "b.toml", "sub/c"))
	require.NoError(t, os.Symlink("none", filepath.Join(dir, "loose")))
	_, err := Folder(dir).Open("loose")
	require.ErrorIs(t, err, ErrDangling)
	_, err = Folder(dir).Open("none")
	require.ErrorIs(t, err, fs.ErrNotExist)
}
