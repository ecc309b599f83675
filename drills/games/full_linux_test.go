package games

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFullTmpfs fills a small file system up to some bytes and records until nothing more fits: every run records all of its
// game or nothing, and with room again the next one works.
func TestFullTmpfs(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Skipf("a file system cannot be mounted here (%v); TestDiskFull fails writing instead", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(dir, 0)) }()
	filler := filepath.Join(dir, "filler")
	require.NoError(t, os.WriteFile(filler, make([]byte, 16<<10), 0o644))
	name := filepath.Join(dir, File)
	j := &Journal{Dir: dir}
	var all []*Change
	full := 0
	for n := 0; full < 3; n++ {
		before, _ := os.ReadFile(name)
		_, err := j.Update(context.Background(), func(*Record) (*Change, error) { return crashChange(n), nil })
		if err == nil {
			all = append(all, crashChange(n))
			require.Equal(t, replay(all), playedIn(read2(t, name)))
			continue
		}
		require.ErrorIs(t, err, syscall.ENOSPC)
		after, _ := os.ReadFile(name)
		require.Equal(t, string(before), string(after))
		full++
	}
	require.Greater(t, len(all), 5)
	require.NoError(t, os.Remove(filler))
	_, err := j.Update(context.Background(), func(*Record) (*Change, error) { return crashChange(99), nil })
	require.NoError(t, err)
	require.Equal(t, replay(append(all, crashChange(99))), playedIn(read2(t, name)))
}
