package newfile

import (
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

func names(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestNeverOver(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	require.NoError(t, Write(name, []byte("one"), false))
	require.ErrorIs(t, Write(name, []byte("two"), false), ErrExists)
	require.ErrorIs(t, Free(name, false), ErrExists)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, "one", string(data))
	require.NoError(t, Write(name, []byte("three"), true))
	data, err = os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, "three", string(data))
	require.Equal(t, []string{"plan.json"}, names(t, dir), "nothing is left behind")
	require.Error(t, Write(dir, nil, true), "a folder is no file")
	require.Error(t, Write(filepath.Join(dir, "none", "plan.json"), nil, false))
}

// TestOneOfMany: of many who write the same new file at once one succeeds, and the file is that one's.
func TestOneOfMany(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	var wg sync.WaitGroup
	won := make([]bool, 20)
	for i := range won {
		wg.Go(func() { won[i] = Write(name, fmt.Appendf(nil, "%d", i), false) == nil })
	}
	wg.Wait()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	count := 0
	for i, w := range won {
		if w {
			count++
			require.Equal(t, fmt.Sprint(i), string(data))
		}
	}
	require.Equal(t, 1, count)
	require.Equal(t, []string{"plan.json"}, names(t, dir))
}
