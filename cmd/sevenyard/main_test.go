package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
)

var update = flag.Bool("update", false, "write the README's sessions and the golden screens anew")

// TestMain is the program itself where the test program has its name.
func TestMain(m *testing.M) {
	if strings.TrimSuffix(filepath.Base(os.Args[0]), ".exe") == "sevenyard" {
		main()
	}
	os.Exit(m.Run())
}

// said is what one run of the program gave.
type said struct {
	out, err string
	status   int
}

// say runs the program inside the test.
func say(t testing.TB, args ...string) said {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(context.Background(), args, tty.IO{Out: &out, Err: &errs, Getenv: func(string) string { return "" }})
	return said{out.String(), errs.String(), status}
}

// done runs the program, which must succeed, and gives its standard output.
func done(t testing.TB, args ...string) string {
	t.Helper()
	got := say(t, args...)
	require.Equal(t, tty.ExitDone, got.status, "%v\n%s", args, got.err)
	return got.out
}

// golden compares a screen with its file.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run the test with -update")
	require.Equal(t, string(want), got)
}

func TestGoldenScreens(t *testing.T) {
	golden(t, "lineup.txt", done(t, "lineup", "--demo", "--late", "9@3", "--leaves", "2@6"))
	golden(t, "lineup-color-narrow.txt", done(t, "lineup", "--demo", "--series", "4", "--color", "always", "--width", "48"))
	golden(t, "rebuild.txt", done(t, "rebuild", "--demo", "--from", savedPlan(t, "--demo"), "--hurt", "2@5", "--tradeoffs"))
	golden(t, "why.txt", done(t, "why", "--demo", "--kid", "7", "--seconds", "0"))
	golden(t, "profile.txt", done(t, "profile", "--demo"))
	golden(t, "check.txt", done(t, "check", "--demo"))
}

// An assistant calls the changes out from the top of the page; the last line says how many there are, for whom they have scrolled away.
func TestChangesComeFirst(t *testing.T) {
	plan := savedPlan(t, "--demo")
	for _, more := range [][]string{{}, {"--save", filepath.Join(t.TempDir(), "next.json")}, {"--tradeoffs"}, {"--detail"}, {"--changes", "12"}} {
		lines := strings.Split(strings.TrimSpace(done(t, append([]string{"rebuild", "--demo", "--from", plan, "--hurt", "2@5"}, more...)...)), "\n")
		require.Contains(t, lines[1], "Series 1-4 are over")
		calls := 0
		for strings.HasPrefix(lines[2+calls], "Series ") || strings.HasPrefix(lines[2+calls], "  ") { // a long one goes on in the next line
			if strings.HasPrefix(lines[2+calls], "Series ") {
				require.Contains(t, lines[2+calls], " in for ")
			}
			calls++
		}
		require.Positive(t, calls)
		for _, l := range lines[2+calls:] {
			require.NotContains(t, l, " in for ", "%v", more)
		}
		require.Regexp(t, `^[0-9]+ changed spots? to call out, at the top: series [0-9, -]+\.$`, lines[len(lines)-1], "%v", more)
	}
}

// Every help text is as narrow as its screen; only a command to copy is never broken.
func TestHelpFits(t *testing.T) {
	var commands [][]string
	var walk func(path []string, cs []*cli.Command)
	walk = func(path []string, cs []*cli.Command) {
		for _, c := range cs {
			if c.Name == "help" {
				continue
			}
			p := append(slices.Clone(path), c.Name)
			commands = append(commands, p)
			walk(p, c.Subcommands)
		}
	}
	walk(nil, newApp(tty.IO{}).Commands)
	require.Greater(t, len(commands), 6)
	for _, columns := range []int{0, 40, 63, 80} {
		for _, c := range append(commands, nil) {
			var out, errs bytes.Buffer
			status := run(context.Background(), append(slices.Clone(c), "--help"), tty.IO{Out: &out, Err: &errs, OutTerminal: columns > 0, Columns: columns, Getenv: os.Getenv})
			require.Equal(t, tty.ExitDone, status, errs.String())
			if len(c) > 0 {
				require.True(t, strings.HasPrefix(out.String(), "sevenyard "+strings.Join(c, " ")+" - "), out.String())
			}
			limit := columns
			if limit == 0 {
				limit = 80
			}
			for _, l := range strings.Split(out.String(), "\n") {
				if !strings.HasPrefix(l, "  sevenyard ") {
					require.LessOrEqual(t, texttab.Width(l), limit, "%v: %q", c, l)
				}
			}
		}
	}
}

func TestInterruptStopsCleanly(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	status := run(ctx, []string{"lineup", "--demo"}, tty.IO{Out: &out, Err: &errs, Getenv: os.Getenv})
	require.Equal(t, tty.ExitInput, status)
	require.Empty(t, out.String())
	require.Equal(t, "sevenyard: stopped: no plan was found yet\n", errs.String())
}

func TestColorRules(t *testing.T) {
	for _, c := range []struct {
		name     string
		args     []string
		terminal bool
		env      map[string]string
		color    bool
	}{
		{"not a terminal", nil, false, nil, false},
		{"terminal", nil, true, nil, true},
		{"NO_COLOR", nil, true, map[string]string{"NO_COLOR": "1"}, false},
		{"empty NO_COLOR", nil, true, map[string]string{"NO_COLOR": ""}, true},
		{"dumb terminal", nil, true, map[string]string{"TERM": "dumb"}, false},
		{"flag over NO_COLOR", []string{"--color", "always"}, false, map[string]string{"NO_COLOR": "1"}, true},
		{"never", []string{"--color", "never"}, true, nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, errs bytes.Buffer
			args := append([]string{"lineup", "--demo", "--series", "3"}, c.args...)
			status := run(context.Background(), args, tty.IO{Out: &out, Err: &errs, OutTerminal: c.terminal, Columns: 80,
				Getenv: func(k string) string { return c.env[k] }})
			require.Equal(t, tty.ExitDone, status)
			require.Equal(t, c.color, bytes.Contains(out.Bytes(), []byte("\x1b[")))
		})
	}
}

// A time that is too short is said, on the screen and to programs. A busy machine may find no plan at all in it.
func TestTooShortATimeIsSaid(t *testing.T) {
	hardly := []string{"lineup", "--demo", "--series", "24", "--seconds", "0.000001"}
	if got := say(t, hardly...); got.status == tty.ExitDone {
		require.Contains(t, got.err, "stopped by the time limit")
		require.Contains(t, got.out, "The time limit stopped the search: another run may give another plan")
		require.NotContains(t, got.out, "Somebody missing")
	} else {
		require.Contains(t, got.err, "no plan was found in the time given")
	}
	if got := say(t, append(hardly, "--format", "json")...); got.status == tty.ExitDone {
		require.Contains(t, got.out, `"limited": true`)
		require.Contains(t, got.out, "stopped by the time limit")
	} else {
		require.Contains(t, got.err, "no plan was found in the time given")
	}
}
