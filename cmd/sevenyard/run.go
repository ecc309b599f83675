package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/draftday"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/logbook"
	"sevenyard/cmd/sevenyard/internal/pages"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// run is the whole program: it gives the exit status.
func run(ctx context.Context, args []string, sio tty.IO) int {
	out := screen.NewWriter(sio.Out)
	sio.RawErr, sio.Out, sio.Err, sio.Made = sio.Err, out, screen.NewWriter(sio.Err), &tty.Made{}
	app := newApp(sio)
	if len(args) > 1 && slices.Contains([]string{"help", "h"}, args[0]) && slices.ContainsFunc(args[1:], isOption) {
		return finish(sio, readManner(args), tty.Usagef("help takes no flags; say sevenyard help, or sevenyard help and a command or a topic"))
	}
	if len(args) == 1 && (args[0] == "--version" || args[0] == "-version") {
		_, err := fmt.Fprintln(sio.Out, versionWords())
		return finish(sio, tty.Manner{Hide: func(s string) string { return s }}, err)
	}
	err := app.RunContext(ctx, append([]string{app.Name}, flagsFirst(app, args)...))
	if bad := out.Err(); bad != nil && (err == nil || errors.Is(err, bad)) {
		sio.Unwritten(bad)
		return tty.ExitInput
	}
	if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		sio.Complain("sevenyard: stopped")
		return tty.ExitInput
	}
	status := finish(sio, readManner(args), err)
	if out.Err() != nil {
		status = max(status, tty.ExitInput)
	}
	return status
}

// isOption tells whether a word is a flag, but for the one that asks for help.
func isOption(word string) bool {
	return strings.HasPrefix(word, "-") && !slices.Contains(cli.HelpFlag.Names(), strings.TrimLeft(word, "-"))
}

// finish says what went wrong and gives the exit status.
func finish(sio tty.IO, m tty.Manner, err error) int {
	var usage tty.UsageError
	var coder cli.ExitCoder // the library's own, such as an unknown help topic
	var wish *asked.Problem
	var problems drills.Problems
	var no *tty.Refused
	var late *tty.Afterwards
	switch {
	case err == nil:
		return tty.ExitDone
	case errors.As(err, &late):
		for _, text := range late.Words() {
			sio.Complain(m.Hide(tty.Said(text)))
		}
		return tty.ExitInput
	case errors.Is(err, tty.ErrTold):
		return tty.ExitInput
	case errors.As(err, &usage), errors.As(err, &coder), errors.As(err, &wish):
		sio.Complain(m.Hide("sevenyard: " + tty.Said(tty.OneLine(err))))
		return tty.ExitUsage
	case m.Json:
		if err := report.Write(sio.Out, tty.HideIn(tty.Refusal(err), m.Hide)); err != nil {
			sio.Complain("sevenyard: " + tty.OneLine(err))
		}
		return tty.ExitInput
	case errors.As(err, &no):
		fmt.Fprint(sio.Err, no.Text)
		return tty.ExitInput
	case errors.As(err, &problems):
		for _, p := range tty.SaidProblems(problems) {
			sio.Complain(tty.HideProblem(p, m.Hide).Error())
		}
		fmt.Fprintf(sio.Err, "sevenyard: %s to mend first\n", prose.Count(len(problems), "problem"))
		return tty.ExitInput
	}
	sio.Complain(m.Hide("sevenyard: " + tty.Said(tty.OneLine(err))))
	return tty.ExitInput
}

func newApp(sio tty.IO) *cli.App {
	app := &cli.App{
		Name: "sevenyard", Usage: "drill times in, a lineup for every series out",
		Description: "Exit status: 0 done, 1 the files or the rules do not allow it, 2 the command line is wrong.\nNothing leaves this machine.",
		HideVersion: true, DisableSliceFlagSeparator: true,
		Writer: sio.Out, ErrWriter: sio.Err, OnUsageError: tty.OnUsage,
		ExitErrHandler: func(*cli.Context, error) {}, // run alone decides the exit status
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return tty.Usagef("no command %q; %sthere are %s (sevenyard help)",
					c.Args().First(), tty.Meant(c.Args().First(), tty.CommandNames(c.App)), prose.And(tty.CommandNames(c.App)))
			}
			return cli.ShowAppHelp(c)
		},
		Commands: []*cli.Command{team.NewStart(sio), team.NewDrills(sio), team.NewFormations(sio), team.NewCheck(sio), team.NewProfile(sio), gameday.NewLineup(sio), gameday.NewRebuild(sio), logbook.NewRecord(sio), logbook.NewClear(sio), logbook.NewSeason(sio), gameday.NewWhy(sio), pages.NewSheet(sio), draftday.NewDraft(sio), newCompletion(sio)},
	}
	helpAll(app, sio)
	help := newHelp(sio) // it is in no list of the commands
	helpOne(helpStyle(sio, screen.DefaultWidth), app.Name, help)
	app.Commands, app.Flags = append(app.Commands, help), append(app.Flags, cli.HelpFlag) // the library gives the flag only with its own command
	return app
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

func readManner(args []string) tty.Manner {
	m := tty.Manner{Hide: func(s string) string { return s }}
	for i, a := range args {
		if a == "--" {
			break
		}
		if !strings.HasPrefix(a, "-") {
			continue
		}
		name, value, given := strings.Cut(strings.TrimLeft(a, "-"), "=")
		if !given && i+1 < len(args) {
			value = args[i+1]
		}
		switch name {
		case "format":
			m.Json = value == "json"
		case "ids-only":
			if !given || value != "false" {
				m.Hide = tty.HideTyped(args, flagNames())
			}
		}
	}
	return m
}

// flagNames are the names of all flags there are.
var flagNames = sync.OnceValue(func() []string {
	var out []string
	var walk func([]*cli.Command)
	walk = func(commands []*cli.Command) {
		for _, c := range commands {
			for _, f := range c.Flags {
				out = append(out, f.Names()...)
			}
			walk(c.Subcommands)
		}
	}
	walk(newApp(tty.IO{}).Commands)
	return append(out, cli.HelpFlag.Names()...)
})
