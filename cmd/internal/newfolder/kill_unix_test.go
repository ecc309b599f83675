//go:build unix

package newfolder

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestKilledWhileWriting is also the program that is killed: with its temporary folder whole, and no other name for it yet.
func TestKilledWhileWriting(t *testing.T) {
	if name := os.Getenv("NEWFOLDER_KILLED"); name != "" {
		paused = func(string) {
			fmt.Println("ready")
			select {}
		}
		_ = Write(name, files)
		return
	}
	parent := t.TempDir()
	start := func() *exec.Cmd {
		cmd := exec.Command(os.Args[0], "-test.run=^TestKilledWhileWriting$")
		cmd.Env = append(os.Environ(), "NEWFOLDER_KILLED="+filepath.Join(parent, "team"))
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
	own := filepath.Join(parent, ".team.0123456789abcdef.part") // of a person, who has a folder in it
	require.NoError(t, os.MkdirAll(filepath.Join(own, "sub"), 0o755))
	require.Len(t, names(t, parent), 3)
	long := time.Now().Add(-time.Hour)
	for _, name := range names(t, parent) {
		require.NoError(t, os.Chtimes(filepath.Join(parent, name), long, long))
	}
	require.NoError(t, Write(filepath.Join(parent, "team"), files))
	require.Len(t, names(t, parent), 3, "what the killed one left is gone, what the living one writes is not")
	require.NoError(t, living.Process.Kill())
	_ = living.Wait()
	require.ErrorIs(t, Write(filepath.Join(parent, "team"), files), ErrExists)
	require.NoError(t, os.RemoveAll(filepath.Join(parent, "team")))
	require.NoError(t, Write(filepath.Join(parent, "team"), files))
	require.Equal(t, ".team.0123456789abcdef.part team", strings.Join(names(t, parent), " "))
}
