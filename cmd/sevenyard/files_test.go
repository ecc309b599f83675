package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

// TestFolderMayNotBeWritten runs what writes into folders where it may not.
func TestFolderMayNotBeWritten(t *testing.T) {
	dir, _ := demoFolder(t)
	board := filepath.Join(dir, "board.csv")
	done(t, "draft", "pick", "--demo", "--board", board, "--start")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, ".board.csv.lock")))
	require.NoError(t, os.Chmod(dir, 0o500))
	defer os.Chmod(dir, 0o700)
	if f, err := os.Create(filepath.Join(dir, "probe")); err == nil {
		f.Close()
		t.Skip("whoever runs this test may write everywhere")
	}
	for _, args := range [][]string{{"record", dir, "--game", "1", "--line", "1: F 2 3, C 4 8, D 14"}, {"start", filepath.Join(dir, "new")},
		{"draft", "pick", "--demo", "--board", board}, {"draft", "pick", "--demo", "--board", filepath.Join(dir, "new.csv"), "--start"}} {
		got := say(t, args...)
		require.Equal(t, tty.ExitInput, got.status)
		require.Empty(t, got.out)
		require.Contains(t, got.err, "may not be written", "%v", args)
		require.NotContains(t, got.err, ".part", "%v", args)
	}
}
