//go:build unix

package regular

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pipe that nobody writes into would block for ever, and /dev/zero never end: the test would not come back.
func TestPipesAndDevices(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe"), 0o600))
	for _, name := range []string{filepath.Join(dir, "pipe"), "/dev/zero", "/dev/null"} {
		_, err := Read(name, 1<<20)
		require.ErrorIs(t, err, ErrNotPlain, name)
	}
	_, err := Folder(dir).Open("pipe")
	require.ErrorIs(t, err, ErrNotPlain)
}
