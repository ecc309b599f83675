package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

const (
	fence = "```console"
	cut   = "[...]" // stands for lines left out
)

// TestREADME runs every "$ sevenyard" line of the README's console blocks, one after another in one
// empty folder, and compares what a terminal would show, warnings too, with what the README shows.
func TestREADME(t *testing.T) {
	name, err := filepath.Abs(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	t.Chdir(t.TempDir())

	var out []string
	lines := strings.Split(string(data), "\n")
	ran := 0
	for i := 0; i < len(lines); i++ {
		out = append(out, lines[i])
		if lines[i] != fence {
			continue
		}
		for i++; lines[i] != "```"; {
			cmd := lines[i]
			require.True(t, strings.HasPrefix(cmd, "$ sevenyard "), "README:%d: %q is no command", i+1, cmd)
			var shown []string
			for i++; lines[i] != "```" && !strings.HasPrefix(lines[i], "$ "); i++ {
				shown = append(shown, lines[i])
			}
			got := terminal(t, strings.Fields(strings.TrimPrefix(cmd, "$ sevenyard ")))
			ran++
			if !*update {
				require.True(t, shows(shown, got), "%s\nREADME shows\n%s\nbut it is\n%s\n(go test ./cmd/sevenyard -run README -update writes it anew)",
					cmd, strings.Join(shown, "\n"), strings.Join(got, "\n"))
			}
			out = append(append(out, cmd), abridge(shown, got)...)
		}
		out = append(out, lines[i])
	}
	require.GreaterOrEqual(t, ran, 3, "the README shows a session")
	if *update {
		require.NoError(t, os.WriteFile(name, []byte(strings.Join(out, "\n")), 0o644))
	}
}

// terminal runs the program with both streams on one screen.
func terminal(t *testing.T, args []string) []string {
	var both bytes.Buffer
	status := run(context.Background(), args, tty.IO{Out: &both, Err: &both, Getenv: func(string) string { return "" }})
	require.Equal(t, tty.ExitDone, status, "%v\n%s", args, &both)
	return strings.Split(strings.TrimSuffix(both.String(), "\n"), "\n")
}

// shows tells whether the lines are what was got, a [...] standing for any lines.
func shows(shown, got []string) bool {
	for i, l := range shown {
		if l == cut {
			tail := shown[i+1:]
			return len(got) >= i+len(tail) && shows(tail, got[len(got)-len(tail):])
		}
		if i >= len(got) || l != got[i] {
			return false
		}
	}
	return len(shown) == len(got)
}

// abridge leaves as many lines out of what was got as the README does.
func abridge(shown, got []string) []string {
	for i, l := range shown {
		if l == cut && len(shown)-1 < len(got) {
			out := append(append([]string{}, got[:i]...), cut)
			return append(out, got[len(got)-(len(shown)-i-1):]...)
		}
	}
	return got
}

func TestShows(t *testing.T) {
	got := []string{"a", "b", "c", "d"}
	for _, c := range []struct {
		shown []string
		want  bool
	}{
		{[]string{"a", "b", "c", "d"}, true},
		{[]string{"a", cut, "d"}, true},
		{[]string{cut}, true},
		{[]string{"a", "b", cut}, true},
		{[]string{"a", cut, "c"}, false},
		{[]string{"b", cut, "d"}, false},
		{[]string{"a", "b", "c"}, false},
		{[]string{"a", "b", "c", "d", "e"}, false},
		{[]string{"a", "b", "c", cut, "b", "c", "d"}, false},
	} {
		require.Equal(t, c.want, shows(c.shown, got), "%v", c.shown)
	}
}
