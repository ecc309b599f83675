package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

const (
	fence = "```console"
	cut   = "[...]" // stands for lines left out
)

// manuals are the files that show sessions.
var manuals = []string{"README.md", "cmd/sevenyard/README.md", "drills/README.md", "optimize/draft/README.md"}

// TestREADME runs every "$ sevenyard" line of the console blocks of the README and the references, those of a file one after another in one
// empty folder, and compares what a terminal would show, warnings too, with what the file shows.
func TestREADME(t *testing.T) {
	ran := 0
	for _, page := range manuals {
		name, err := filepath.Abs(filepath.Join("..", "..", filepath.FromSlash(page)))
		require.NoError(t, err)
		t.Run(page, func(t *testing.T) {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			t.Chdir(t.TempDir())
			n, text := sessions(t, page, string(data))
			if *update {
				require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
			}
			ran += n
		})
	}
	require.GreaterOrEqual(t, ran, 15, "the manuals show sessions")
}

// sessions runs those of a page. It gives their number and the page with what they show now.
func sessions(t *testing.T, page, text string) (int, string) {
	var out []string
	lines := strings.Split(text, "\n")
	ran := 0
	for i := 0; i < len(lines); i++ {
		out = append(out, lines[i])
		if lines[i] != fence {
			continue
		}
		for i++; lines[i] != "```"; {
			cmd := lines[i]
			require.True(t, strings.HasPrefix(cmd, "$ sevenyard "), "%s:%d: %q is no command", page, i+1, cmd)
			var shown []string
			for i++; lines[i] != "```" && !strings.HasPrefix(lines[i], "$ "); i++ {
				shown = append(shown, lines[i])
			}
			got := terminal(t, strings.Fields(strings.TrimPrefix(cmd, "$ sevenyard ")))
			ran++
			if !*update {
				require.True(t, shows(shown, got), "%s\n%s shows\n%s\nbut it is\n%s\n(go test ./cmd/sevenyard -run README -update writes it anew)",
					cmd, page, strings.Join(shown, "\n"), strings.Join(got, "\n"))
			}
			out = append(append(out, cmd), abridge(shown, got)...)
		}
		out = append(out, lines[i])
	}
	return ran, strings.Join(out, "\n")
}

// A newcomer reads the README in one sitting, and every link of every page leads to a file that is there, and in it to a heading.
func TestPagesLead(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	anchors := func(file string) (out []string) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, l := range strings.Split(string(data), "\n") {
			if words, ok := strings.CutPrefix(strings.TrimLeft(l, "#"), " "); ok && strings.HasPrefix(l, "#") {
				out = append(out, strings.ReplaceAll(regexp.MustCompile(`[^\p{L}\p{N} _-]`).ReplaceAllString(strings.ToLower(words), ""), " ", "-"))
			}
		}
		return out
	}
	led := 0
	for _, page := range append([]string{"DEVELOPERS.md"}, manuals...) {
		name := filepath.Join(root, filepath.FromSlash(page))
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		if page == "README.md" {
			require.LessOrEqual(t, strings.Count(string(data), "\n"), 200)
		}
		for _, m := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(string(data), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			led++
			path, anchor, deep := strings.Cut(m[1], "#")
			to := name
			if path != "" {
				to = filepath.Join(filepath.Dir(name), filepath.FromSlash(path))
			}
			require.FileExists(t, to, "%s: %s", page, m[1])
			if deep {
				require.Contains(t, anchors(to), anchor, "%s: %s", page, m[1])
			}
		}
	}
	require.Greater(t, led, 30)
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
