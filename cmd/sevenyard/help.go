package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// helpAll gives the program and its commands their help, as wide as the screen.
func helpAll(app *cli.App, sio tty.IO) {
	st := helpStyle(sio, screen.DefaultWidth)
	text := st.Fold(app.Name+" - "+app.Usage, "  ") + "\nCommands\n" + commandList(st, app.Commands) + "\n" + described(st, app.Description) +
		"\n" + tty.Commands("More about one:", app.Name+" COMMAND --help") + "\nTopics\n" + topicList(st) + "\n" + tty.Commands("One of them:", app.Name+" help TOPIC")
	app.CustomAppHelpTemplate = literal(text)
	for _, c := range app.Commands {
		helpOne(st, app.Name, c)
	}
}

func helpOne(st screen.Style, parent string, c *cli.Command) {
	name := parent + " " + c.Name
	text := st.Fold(name+" - "+c.Usage, "  ") + "\n"
	use := strings.TrimSpace(c.ArgsUsage)
	if len(c.Subcommands) > 0 && use == "" {
		use = "COMMAND"
	}
	text += st.Fold("Usage: "+name+" "+use, "  ")
	if c.Description != "" {
		text += "\n" + described(st, c.Description)
	}
	if len(c.Subcommands) > 0 {
		text += "\nCommands\n" + commandList(st, c.Subcommands)
	}
	if len(c.Flags) > 0 {
		text += "\nFlags\n"
	}
	for _, f := range c.Flags {
		if d, ok := f.(cli.DocGenerationFlag); ok {
			text += entry(st, flagLabel(f, d), flagWords(d))
		}
	}
	c.CustomHelpTemplate = literal(text)
	for _, sub := range c.Subcommands {
		helpOne(st, name, sub)
	}
}

// literal is a template that gives just the text.
func literal(text string) string { return strings.ReplaceAll(text, "{{", `{{"{{"}}`) }

func commandList(st screen.Style, cs []*cli.Command) string {
	out := ""
	for _, c := range cs {
		if !c.Hidden {
			out += entry(st, c.Name, c.Usage)
		}
	}
	return out
}

// described folds a description line by line; a command to type stays whole.
func described(st screen.Style, text string) string {
	out := ""
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "sevenyard ") {
			out += "  " + line + "\n"
		} else {
			out += st.Fold(line, "")
		}
	}
	return out
}

// labelWidth is the room for a flag, beside which its words stand.
const labelWidth = 22

// entry sets words beside a label, or below it where it is long or the screen narrow.
func entry(st screen.Style, label, words string) string {
	lead := "  " + label
	hang := strings.Repeat(" ", labelWidth)
	if st.Width < 60 {
		hang = "      "
	}
	if texttab.Width(lead)+1 >= len(hang) {
		return lead + "\n" + gameday.HangFold(st, hang, words, hang)
	}
	return gameday.HangFold(st, screen.Pad(lead, len(hang), false), words, hang)
}

func flagLabel(f cli.Flag, d cli.DocGenerationFlag) string {
	label := "--" + strings.Join(f.Names(), ", --")
	if !d.TakesValue() {
		return label
	}
	switch f.(type) {
	case *cli.IntFlag, *cli.Uint64Flag, *cli.UintFlag, *cli.Int64Flag:
		return label + " N"
	case *cli.Float64Flag:
		return label + " X"
	}
	return label + " ..."
}

func flagWords(d cli.DocGenerationFlag) string {
	words := d.GetUsage()
	if !d.TakesValue() {
		return words
	}
	left := d.GetDefaultText()
	if unquoted := strings.Trim(left, `"`); unquoted != "" {
		return fmt.Sprintf("%s (left out: %s)", words, unquoted)
	}
	return words
}
