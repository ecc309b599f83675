//go:build unix

package newfile

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestKilledWhileWriting is also the program that is killed: with its temporary file whole, and no other name for it yet.
func TestKilledWhileWriting(t *testing.T) {
	if name := os.Getenv("NEWFILE_KILLED"); name != "" {
		paused = func(string) {
			fmt.Println("ready")
			select {}
		}
		_ = Write(name, []byte(plan), false)
		return
	}
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	start := func() *exec.Cmd {
		cmd := exec.Command(os.Args[0], "-test.run=^TestKilledWhileWriting$")
		cmd.Env = append(os.Environ(), "NEWFILE_KILLED="+name)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		line, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		require.Equal(t, "ready\n", line)
		return cmd
	}
	killed, living := start(), start()
	require.NoError(t, killed.Process.Kill())
	_ = killed.Wait()
	mine := filepath.Join(dir, ".plan.json.note.part")
	other := filepath.Join(dir, ".plan.json.old.0123456789abcdef.part") // of another target
	for _, n := range []string{mine, other} {
		require.NoError(t, os.WriteFile(n, nil, 0o644))
	}
	require.Len(t, names(t, dir), 4)
	require.NoError(t, Write(name, []byte(plan), false))
	left := names(t, dir)
	require.Len(t, left, 4, "what the killed one left is gone, what the living one writes is not: %q", left)
	require.Contains(t, left, "plan.json")
	require.FileExists(t, mine)
	require.FileExists(t, other)
	require.NoError(t, living.Process.Kill())
	_ = living.Wait()
	require.NoError(t, Write(name, []byte(plan), true))
	require.Equal(t, ".plan.json.note.part .plan.json.old.0123456789abcdef.part plan.json", strings.Join(names(t, dir), " "))
}
