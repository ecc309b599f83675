package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

// TestScripts runs the command as a person would: output, exit status, and files left behind. A line "sevenyard ..." runs inside the test, since
// starting a process takes longer than most commands; "exec sevenyard ..." is a process.
func TestScripts(t *testing.T) {
	dir, err := filepath.Abs(filepath.Join("testdata", "script"))
	require.NoError(t, err)
	t.Chdir(t.TempDir()) // and back, after all the changes of folder below
	bin := filepath.Dir(program(t))
	testscript.RunT(inTurnT{t}, testscript.Params{
		Dir: dir,
		Setup: func(env *testscript.Env) error {
			env.Setenv("TERM", "xterm-256color")
			env.Setenv("LANG", "ja_JP.UTF-8") // a locale in which ± would be wide
			env.Setenv("RUNEWIDTH_EASTASIAN", "1")
			env.Setenv("PATH", bin+string(filepath.ListSeparator)+env.Getenv("PATH"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"sevenyard": sevenyard, "wrong": wrong, "left": left, "mode": mode, "edit": edit, "appendto": appendTo, "turnround": turnRound,
			"unprinted": unprinted, "interrupted": interrupted, "mkfifo": mkfifo,
		},
	})
}

// inTurnT runs one script after the other, for they change the folder of the whole process.
type inTurnT struct{ *testing.T }

func (inTurnT) Parallel() {}

func (t inTurnT) Run(name string, f func(testscript.T)) {
	t.T.Run(name, func(t *testing.T) { f(inTurnT{t}) })
}

func (inTurnT) Verbose() bool { return testing.Verbose() }

// program is the path of a file that is this program (TestMain).
func program(t testing.TB) string {
	self, err := os.Executable()
	require.NoError(t, err)
	name := filepath.Join(t.TempDir(), "sevenyard")
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	if err := os.Link(self, name); err == nil {
		return name
	}
	data, err := os.ReadFile(self) // the two are on different disks
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name, data, 0o700))
	return name
}

// within runs the program inside the test, in the folder where the script is.
func within(ts *testscript.TestScript, args []string) said {
	ts.Check(os.Chdir(ts.MkAbs(".")))
	var out, errs bytes.Buffer
	status := run(context.Background(), args, tty.IO{In: strings.NewReader(""), Out: &out, Err: &errs, Getenv: ts.Getenv})
	_, err := fmt.Fprint(ts.Stdout(), &out)
	ts.Check(err)
	_, err = fmt.Fprint(ts.Stderr(), &errs)
	ts.Check(err)
	ts.Check(keepsSchemas(out.String()))
	return said{out.String(), errs.String(), status}
}

// sevenyard runs the program, which must exit 0, or after a "!" not.
func sevenyard(ts *testscript.TestScript, neg bool, args []string) {
	if got := within(ts, args); (got.status != tty.ExitDone) != neg {
		ts.Fatalf("%v: exit status %d", args, got.status)
	}
}

// wrong runs the program, which must exit 2 with nothing on standard output.
func wrong(ts *testscript.TestScript, neg bool, args []string) {
	got := within(ts, args)
	if neg || got.status != tty.ExitUsage {
		ts.Fatalf("%v: exit status %d, want %d", args, got.status, tty.ExitUsage)
	}
	if got.out != "" {
		ts.Fatalf("%v printed %q", args, got.out)
	}
}

// TestStatusOfTheProcess asks the process for what run gives.
func TestStatusOfTheProcess(t *testing.T) {
	name := program(t)
	for want, args := range [][]string{{"drills"}, {"check", "nowhere"}, {"season"}} {
		cmd := exec.Command(name, args...)
		out, err := cmd.Output()
		require.Equal(t, want, cmd.ProcessState.ExitCode(), "%v: %v", args, err)
		require.Equal(t, want == 0, len(out) > 0)
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
