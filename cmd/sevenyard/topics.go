package main

import (
	_ "embed" // the reference
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/manual"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

//go:embed README.md
var reference string

// jsonChapter begins what the page of the commands says to other programs.
const jsonChapter = "## For other programs\n"

// pageWidth is as wide as a page is set, in cells: longer lines are hard to read.
const pageWidth = 100

// topic is something that help explains beside the commands.
type topic struct{ name, usage, page string }

func topics() []topic {
	commands, other, _ := strings.Cut(reference, jsonChapter)
	return []topic{
		{"files", "the files you keep: every column and key", drills.Reference()},
		{"commands", "each command at work, and what it goes by", commands},
		{"json", "what other programs get; help json NAME prints the JSON Schema of an object", jsonChapter + other},
		{"draft", "how a pool becomes even teams, and what is done with them", draft.Reference()},
	}
}

// newHelp explains the program, a command, a topic, or the schema of an object.
func newHelp(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "help", Aliases: []string{"h"}, Usage: "explain a command or a topic", ArgsUsage: "[COMMAND | TOPIC | json NAME]", HideHelpCommand: true,
		Action: func(c *cli.Context) error {
			words := c.Args().Slice()
			switch {
			case len(words) == 0:
				return cli.ShowAppHelp(c)
			case words[0] == "json" && len(words) > 1:
				return showSchema(sio, words[1:])
			}
			return explain(sio, c, words)
		},
	}
}

// explain shows a command's flags, a topic's page, or both where one word means both.
func explain(sio tty.IO, c *cli.Context, words []string) error {
	cmd := c.App.Command(words[0])
	if cmd != nil && len(words) > 1 { // of a command within
		sub := cmd.Command(words[1])
		if sub == nil || len(words) > 2 {
			return tty.Usagef("no help on %q; say sevenyard %s --help for what there is", strings.Join(words, " "), words[0])
		}
		return cli.ShowCommandHelp(cli.NewContext(&cli.App{Name: cmd.Name, Commands: cmd.Subcommands, Writer: c.App.Writer}, nil, nil), sub.Name)
	}
	page := ""
	for _, t := range topics() {
		if t.name == words[0] {
			page = manual.Text(t.page, helpStyle(sio, pageWidth))
		}
	}
	switch {
	case cmd == nil && page == "":
		names := append(tty.CommandNames(c.App), topicNames()...)
		return tty.Usagef("no help on %q; %sthere is some on each command, and on the topics %s (sevenyard help)", words[0], tty.Meant(words[0], names), prose.And(topicNames()))
	case len(words) > 1:
		return tty.Usagef("one topic at a time; what is %q?", words[1])
	case cmd != nil:
		if err := cli.ShowCommandHelp(c, cmd.Name); err != nil {
			return err
		}
		if page != "" {
			page = "\n" + page
		}
	}
	_, err := io.WriteString(sio.Out, page)
	return err
}

// showSchema prints a JSON Schema as it stands, for programs.
func showSchema(sio tty.IO, words []string) error {
	if len(words) > 1 {
		return tty.Usagef("one schema at a time; what is %q?", words[1])
	}
	text, ok := report.SchemaText(words[0])
	if !ok {
		return tty.Usagef("no schema %q; %sthere are %s", words[0], tty.Meant(words[0], report.SchemaNames()), prose.And(report.SchemaNames()))
	}
	_, err := io.WriteString(sio.Out, text)
	return err
}

func topicNames() []string {
	var names []string
	for _, t := range topics() {
		names = append(names, t.name)
	}
	return names
}

// helpStyle is as wide as the terminal, where there is one, up to so many cells.
func helpStyle(sio tty.IO, most int) screen.Style {
	st := screen.Style{Width: screen.DefaultWidth}
	if sio.OutTerminal && sio.Columns > 0 {
		st.Width = max(screen.MinWidth, min(most, sio.Columns))
	}
	return st
}

// topicList is the topics as the program's own help lists them.
func topicList(st screen.Style) string {
	out := ""
	for _, t := range topics() {
		out += entry(st, t.name, t.usage)
	}
	return out
}
