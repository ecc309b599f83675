package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// The commands that scripts have beside the engine's own. There is no shell and no other program in a script, so that scripts run where there
// is none.

// wrong runs the program, which must exit 2 with nothing on standard output.
func wrong(ts *testscript.TestScript, neg bool, args []string) {
	err := ts.Exec("sevenyard", args...)
	var exit *exec.ExitError
	if neg || !errors.As(err, &exit) || exit.ExitCode() != exitUsage {
		ts.Fatalf("%v: %v, want exit status %d", args, err, exitUsage)
	}
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("%v printed %q", args, out)
	}
}

// left asks that a folder holds these names and no others.
func left(ts *testscript.TestScript, neg bool, args []string) {
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if !slices.Equal(names, args[1:]) != neg {
		ts.Fatalf("%s holds %q", args[0], names)
	}
}

// mode asks that a file or folder has these permissions.
func mode(ts *testscript.TestScript, neg bool, args []string) {
	info, err := os.Stat(ts.MkAbs(args[1]))
	ts.Check(err)
	if got := fmt.Sprintf("%04o", info.Mode().Perm()); (got != args[0]) != neg {
		ts.Fatalf("%s has %s", args[1], got)
	}
}

// edit makes texts in a file others: edit [-once] FILE PATTERN TEXT [PATTERN TEXT ...], one pair after the other. A pattern is a regular expression
// in which ^ and $ are the ends of a line; all that it fits is replaced, or with -once the first. It has to fit something. In a text \n is a new
// line and $1 what the first group fits.
func edit(ts *testscript.TestScript, neg bool, args []string) {
	once := len(args) > 0 && args[0] == "-once"
	if once {
		args = args[1:]
	}
	if neg || len(args) < 3 || len(args)%2 == 0 {
		ts.Fatalf("edit [-once] FILE PATTERN TEXT [PATTERN TEXT ...]")
	}
	text := ts.ReadFile(args[0])
	for pair := range slices.Chunk(args[1:], 2) {
		pattern, err := regexp.Compile("(?m)" + pair[0])
		ts.Check(err)
		if !pattern.MatchString(text) {
			ts.Fatalf("%s has nothing like %s", args[0], pair[0])
		}
		done, to := false, strings.ReplaceAll(pair[1], `\n`, "\n")
		text = pattern.ReplaceAllStringFunc(text, func(old string) string {
			if once && done {
				return old
			}
			done = true
			return pattern.ReplaceAllString(old, to)
		})
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o600))
}

// appendTo adds lines to a file, which is made if it is not there: appendto [-torn] FILE LINE ... A torn last line has no end.
func appendTo(ts *testscript.TestScript, _ bool, args []string) {
	end := "\n"
	if args[0] == "-torn" {
		end, args = "", args[1:]
	}
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	ts.Check(err)
	_, err = f.WriteString(strings.Join(args[1:], "\n") + end)
	ts.Check(errors.Join(err, f.Close()))
}

// turnRound puts the lines of a file into the opposite order, all but the first so many.
func turnRound(ts *testscript.TestScript, _ bool, args []string) {
	lines := strings.Split(strings.TrimSuffix(ts.ReadFile(args[0]), "\n"), "\n")
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	slices.Reverse(lines[n:])
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Join(lines, "\n")+"\n"), 0o600))
}
