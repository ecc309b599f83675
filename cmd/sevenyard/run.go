package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/agnivade/levenshtein"
	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/drills"
)

// Exit statuses.
const (
	exitDone  = 0
	exitInput = 1 // the input or the rules do not allow it, or it was interrupted
	exitUsage = 2 // the command line is wrong
)

// stdio is everything that run touches of the process.
type stdio struct {
	In                       io.Reader // nil: there is none
	Out, Err                 io.Writer
	OutTerminal, ErrTerminal bool
	Columns                  int // of the terminal; 0: not known
	Getenv                   func(string) string
	Now                      func() time.Time // nil: the machine's clock

	rawErr io.Writer // for meters alone
	made   *made     // by this run
}

// usageError is a wrong command line.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func usagef(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// told is an error whose words are already out.
var errTold = errors.New("told")

// run is the whole program: it gives the exit status.
func run(ctx context.Context, args []string, sio stdio) int {
	out := screen.NewWriter(sio.Out)
	sio.rawErr, sio.Out, sio.Err, sio.made = sio.Err, out, screen.NewWriter(sio.Err), &made{}
	app := newApp(sio)
	if len(args) > 1 && slices.Contains([]string{"help", "h"}, args[0]) && slices.ContainsFunc(args[1:], isOption) {
		return finish(sio, readManner(args), usagef("help takes no flags; say sevenyard help, or sevenyard help and a command or a topic"))
	}
	err := app.RunContext(ctx, append([]string{app.Name}, flagsFirst(app, args)...))
	if bad := out.Err(); bad != nil && (err == nil || errors.Is(err, bad)) {
		sio.unwritten(bad)
		return exitInput
	}
	if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		sio.complain("sevenyard: stopped")
		return exitInput
	}
	status := finish(sio, readManner(args), err)
	if out.Err() != nil {
		status = max(status, exitInput)
	}
	return status
}

// isOption tells whether a word is a flag, but for the one that asks for help.
func isOption(word string) bool {
	return strings.HasPrefix(word, "-") && !slices.Contains(cli.HelpFlag.Names(), strings.TrimLeft(word, "-"))
}

// finish says what went wrong and gives the exit status.
func finish(sio stdio, m manner, err error) int {
	var usage usageError
	var coder cli.ExitCoder // the library's own, such as an unknown help topic
	var wish *gameplan.WishError
	var problems drills.Problems
	var no *refused
	var late *afterwards
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &late):
		for _, text := range late.words() {
			sio.complain(m.hide(text))
		}
		return exitInput
	case errors.Is(err, errTold):
		return exitInput
	case errors.As(err, &usage), errors.As(err, &coder), errors.As(err, &wish):
		sio.complain(m.hide("sevenyard: " + oneLine(err)))
		return exitUsage
	case m.json:
		if err := report.Write(sio.Out, hideIn(refusal(err), m.hide)); err != nil {
			sio.complain("sevenyard: " + oneLine(err))
		}
		return exitInput
	case errors.As(err, &no):
		fmt.Fprint(sio.Err, no.text)
		return exitInput
	case errors.As(err, &problems):
		for _, p := range problems {
			sio.complain(hideProblem(p, m.hide).Error())
		}
		fmt.Fprintf(sio.Err, "sevenyard: %s to mend first\n", gameplan.Count(len(problems), "problem"))
		return exitInput
	}
	sio.complain(m.hide("sevenyard: " + oneLine(err)))
	return exitInput
}

// complain writes one error: folded on a terminal, on one line for programs.
func (sio stdio) complain(text string) {
	if !sio.ErrTerminal {
		fmt.Fprintln(sio.Err, text)
		return
	}
	st := screen.Style{Width: screen.DefaultWidth}
	if sio.Columns > 0 {
		st.Width = max(screen.MinWidth, min(screen.DefaultWidth, sio.Columns))
	}
	fmt.Fprint(sio.Err, st.Fold(text, "  "))
}

func oneLine(err error) string {
	return strings.TrimSpace(strings.ReplaceAll(err.Error(), "\n", "\n  "))
}

func newApp(sio stdio) *cli.App {
	app := &cli.App{
		Name: "sevenyard", Usage: "drill times in, a lineup for every series out",
		Description: "Exit status: 0 done, 1 the files or the rules do not allow it, 2 the command line is wrong.\nNothing leaves this machine.",
		HideVersion: true, DisableSliceFlagSeparator: true,
		Writer: sio.Out, ErrWriter: sio.Err, OnUsageError: onUsage,
		ExitErrHandler: func(*cli.Context, error) {}, // run alone decides the exit status
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return usagef("no command %q; %sthere are %s (sevenyard help)",
					c.Args().First(), meant(c.Args().First(), commandNames(c.App)), gameplan.And(commandNames(c.App)))
			}
			return cli.ShowAppHelp(c)
		},
		Commands: []*cli.Command{newStart(sio), newDrills(sio), newCheck(sio), newProfile(sio), newLineup(sio), newRebuild(sio), newRecord(sio), newClear(sio), newSeason(sio), newWhy(sio), newSheet(sio), newDraft(sio)},
	}
	helpAll(app, sio)
	help := newHelp(sio) // it is in no list of the commands
	helpOne(helpStyle(sio, screen.DefaultWidth), app.Name, help)
	app.Commands, app.Flags = append(app.Commands, help), append(app.Flags, cli.HelpFlag) // the library gives the flag only with its own command
	return app
}

func commandNames(app *cli.App) []string {
	var out []string
	for _, c := range app.Commands {
		if c.Name != "help" {
			out = append(out, c.Name)
		}
	}
	return out
}

// unknownFlag is how the flag library says that it does not know a flag.
const unknownFlag = "flag provided but not defined: -"

func onUsage(c *cli.Context, err error, _ bool) error {
	name, unknown := strings.CutPrefix(err.Error(), unknownFlag)
	if !unknown {
		return usageError{badValue(c, err)}
	}
	name = strings.TrimLeft(name, "-")
	var flags []string
	if c.Command != nil {
		for _, f := range c.Command.Flags {
			flags = append(flags, "--"+f.Names()[0])
		}
	}
	return usagef("no flag --%s; %sadd --help for what there is", name, meant("--"+name, flags))
}

// meant suggests the nearest of the names, if one is near.
func meant(word string, names []string) string {
	best, far := "", 3
	for _, n := range names {
		if d := levenshtein.ComputeDistance(word, n); d < far {
			best, far = n, d
		}
	}
	if best == "" {
		return ""
	}
	return "did you mean " + best + "? Otherwise: "
}

// flagsFirst moves a command's flags before its folder, so that both orders work: the flag
// library takes everything after the first plain word as plain words.
func flagsFirst(app *cli.App, args []string) []string {
	if len(args) == 0 {
		return args
	}
	var cmd *cli.Command
	for _, c := range app.Commands {
		if c.Name == args[0] {
			cmd = c
		}
	}
	if cmd == nil {
		return args
	}
	head := 1
	if len(args) > 1 {
		for _, sub := range cmd.Subcommands {
			if sub.Name == args[1] {
				cmd, head = sub, 2
				break
			}
		}
	}
	flags, plain := slices.Clone(args[:head]), []string(nil)
	for i := head; i < len(args); i++ {
		a := args[i]
		switch {
		case a == "--":
			plain = append(plain, args[i+1:]...)
			i = len(args)
		case slices.Contains(cli.HelpFlag.Names(), strings.TrimLeft(a, "-")) && strings.HasPrefix(a, "-"):
			return append(slices.Clone(args[:head]), a) // the library takes a word beside it for a topic
		case !strings.HasPrefix(a, "-") || a == "-":
			plain = append(plain, a)
		case takesValue(cmd, a) && i+1 < len(args):
			flags = append(flags, a, args[i+1])
			i++
		case takesValue(cmd, a): // the last word: its value is missing, and nothing may be taken for it
			return append(flags, a)
		default:
			flags = append(flags, a)
		}
	}
	if len(plain) > 0 {
		flags = append(append(flags, "--"), plain...)
	}
	return flags
}

// takesValue tells whether the flag as written takes the next word as its value.
func takesValue(cmd *cli.Command, arg string) bool {
	name := strings.TrimLeft(arg, "-")
	if strings.Contains(name, "=") {
		return false
	}
	for _, f := range cmd.Flags {
		_, isBool := f.(*cli.BoolFlag)
		for _, n := range f.Names() {
			if n == name {
				return !isBool
			}
		}
	}
	return false
}
