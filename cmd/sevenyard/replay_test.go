package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"

	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/fixtures"
)

// TestRecordedSessions runs every session under testdata/recorded again and compares, byte for byte, what it gives with what it gave: both
// streams, the exit status, and every file that a command wrote or took away. So a change that is to change nothing can be seen to.
//
// A session is an archive. Its head has a step on each line:
//
//	$ ARGS              runs the program; 'a b' is one argument, and < FILE at the end is what somebody types
//	every ARGS          the same four times: as it is, as JSON, without names, and narrow with colors
//	terminal N ARGS     on a terminal of N columns
//	team DIR SEED KIDS SERIES FORMATION...   an invented team's folder; pool DIR is an invented pool of 24 kids
//	put NAME FILE       a file of the archive, "given NAME", is put there; add NAME FILE puts it at the end
//	change FILE OLD NEW one text in a file is another from now on; a word of nothing is ''
//
// Searches in them end with a proof in far less than their time, so that a slow machine gives the same.
func TestRecordedSessions(t *testing.T) {
	names, err := filepath.Glob(filepath.Join("testdata", "recorded", "*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		full, err := filepath.Abs(name)
		require.NoError(t, err)
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(full)
			require.NoError(t, err)
			t.Chdir(t.TempDir())
			s := &session{t: t, given: map[string][]byte{}, before: map[string]string{}}
			for i, f := range a.Files {
				if name, ok := strings.CutPrefix(f.Name, "given "); ok {
					s.given[name] = f.Data
					s.out.Files = append(s.out.Files, a.Files[i])
				}
			}
			s.out.Comment = a.Comment
			for _, step := range strings.Split(string(a.Comment), "\n") {
				s.do(step)
			}
			if *update {
				require.NoError(t, os.WriteFile(full, txtar.Format(&s.out), 0o644))
				return
			}
			s.same(a)
		})
	}
}

// session is a recording on its way.
type session struct {
	t      *testing.T
	given  map[string][]byte
	runs   int
	before map[string]string // the files there are, by their paths
	out    txtar.Archive
}

// do takes one line of a session's head.
func (s *session) do(step string) {
	words := split(step)
	if len(words) == 0 || strings.HasPrefix(step, "#") {
		return
	}
	switch args := words[1:]; words[0] {
	case "$":
		s.run(args, 0)
	case "every":
		for _, more := range [][]string{nil, {"--format", "json"}, {"--ids-only"}, {"--width", "44", "--color", "always"}} {
			s.run(append(slices.Clone(args), more...), 0)
		}
	case "terminal":
		s.run(args[1:], s.number(args[0]))
	case "team":
		c := fixtures.Standard(uint64(s.number(args[1])), s.number(args[2]))
		c.Team = fixtures.Team{Name: "Oystercatchers", Series: s.number(args[3]), Formations: args[4:]}
		require.NoError(s.t, os.CopyFS(args[0], fixtures.Generate(c).FS()))
	case "pool":
		require.NoError(s.t, os.CopyFS(args[0], os.DirFS(smallPool(s.t))))
	case "put":
		require.NoError(s.t, os.WriteFile(args[1], s.file(args[0]), 0o600))
	case "add":
		old, err := os.ReadFile(args[1])
		require.NoError(s.t, err)
		require.NoError(s.t, os.WriteFile(args[1], append(old, s.file(args[0])...), 0o600))
	case "change":
		old, err := os.ReadFile(args[0])
		require.NoError(s.t, err)
		require.Contains(s.t, string(old), args[1])
		require.NoError(s.t, os.WriteFile(args[0], []byte(strings.Replace(string(old), args[1], args[2], 1)), 0o600))
	default:
		s.t.Fatalf("no step %q", step)
	}
	s.before = s.files()
}

func (s *session) number(text string) int {
	n, err := strconv.Atoi(text)
	require.NoError(s.t, err)
	return n
}

func (s *session) file(name string) []byte {
	data, ok := s.given[name]
	require.True(s.t, ok, "no given %s", name)
	return data
}

// run runs the program and records what it gives.
func (s *session) run(args []string, columns int) {
	s.before = s.files()
	s.runs++
	s.keep("$ "+strings.Join(args, " "), "")
	var out, errs bytes.Buffer
	io := tty.IO{Out: &out, Err: &errs, OutTerminal: columns > 0, Columns: columns, Getenv: func(string) string { return "" },
		Now: func() time.Time { return time.Date(2026, 9, 5, 9, 30, 0, 0, time.UTC) }}
	if n := len(args); n > 1 && args[n-2] == "<" {
		io.In, args = bytes.NewReader(s.file(args[n-1])), args[:n-2]
	}
	if status := run(context.Background(), args, io); status != tty.ExitDone {
		s.keep(fmt.Sprintf("status %d", status), "")
	}
	require.NoError(s.t, keepsSchemas(out.String()), "%v", args) // also where it is too long to be kept
	s.keep("stdout", out.String())
	s.keep("stderr", errs.String())
	after := s.files()
	for _, name := range slices.Sorted(maps.Keys(after)) {
		if old, ok := s.before[name]; !ok || old != after[name] {
			s.keep("wrote "+name, after[name])
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.before)) {
		if _, ok := after[name]; !ok {
			s.keep("removed "+name, "")
		}
	}
}

// took is how long something took, the one thing that no two runs have in common.
var took = regexp.MustCompile(`( in |"seconds": )[0-9]+(\.[0-9]+)?(e-[0-9]+)?( s,|,?\n)`)

// lastColumn is the same in the table of a league.
var lastColumn = regexp.MustCompile(`(?m)^(\S+ .* (?:both|weakest|no|no plan)) +[0-9]+\.[0-9][0-9]$`)

// keep puts one text of this run down: in full, but a long one by its size and its SHA-256.
func (s *session) keep(what, text string) {
	if text == "" && (what == "stdout" || what == "stderr") {
		return
	}
	name := fmt.Sprintf("%d %s", s.runs, what)
	text = lastColumn.ReplaceAllString(took.ReplaceAllString(text, "${1}TIME$4"), "$1 TIME")
	if len(text) > 40_000 {
		text = fmt.Sprintf("%d bytes, SHA-256 %x\n", len(text), sha256.Sum256([]byte(text)))
	}
	if text != "" && !strings.HasSuffix(text, "\n") {
		name, text = name+" (no end of line)", text+"\n"
	}
	require.NotRegexp(s.t, `(?m)^-- .* --$`, text, "the recording would read it as a file's beginning")
	s.out.Files = append(s.out.Files, txtar.File{Name: name, Data: []byte(text)})
}

// files gives all files below the folder that we are in.
func (s *session) files() map[string]string {
	out := map[string]string{}
	require.NoError(s.t, fs.WalkDir(os.DirFS("."), ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		out[path] = string(data)
		return err
	}))
	return out
}

// same holds what was given against the recording.
func (s *session) same(want *txtar.Archive) {
	given := 0
	var command string
	for i, f := range s.out.Files {
		if strings.HasPrefix(f.Name, "given ") {
			given++
		}
		if strings.Contains(f.Name, " $ ") {
			command = f.Name
		}
		require.Less(s.t, i, len(want.Files), "%s\nthe recording ends before %s", command, f.Name)
		w := sorted(want)[i]
		require.Equal(s.t, w.Name, f.Name, "%s\nthe recording has another", command)
		require.Equal(s.t, string(w.Data), string(f.Data), "%s\n%s (go test -run Recorded -update records anew; read the difference)", command, f.Name)
	}
	require.Len(s.t, want.Files, len(s.out.Files), "%s: the recording goes on", command)
	require.Greater(s.t, len(s.out.Files), given, "nothing was run")
}

// sorted has the given files first, as a new recording has.
func sorted(a *txtar.Archive) []txtar.File {
	files := slices.Clone(a.Files)
	rank := func(f txtar.File) int {
		if strings.HasPrefix(f.Name, "given ") {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(files, func(a, b txtar.File) int { return rank(a) - rank(b) })
	return files
}

// split takes a line apart at its blanks, but for those between single quotes.
func split(line string) []string {
	var words []string
	for _, part := range regexp.MustCompile(`'[^']*'|[^ ]+`).FindAllString(line, -1) {
		words = append(words, strings.Trim(part, "'"))
	}
	return words
}
