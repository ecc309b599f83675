package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// helpAt is what help says on a terminal of so many columns, 0: none.
func helpAt(t *testing.T, columns int, words ...string) string {
	var out, errs bytes.Buffer
	status := run(context.Background(), append([]string{"help"}, words...), tty.IO{Out: &out, Err: &errs, OutTerminal: columns > 0, Columns: columns,
		Getenv: func(string) string { return "" }})
	require.Equal(t, tty.ExitDone, status, errs.String())
	require.Empty(t, errs.String())
	return out.String()
}

// Every topic fits its screen, with no marks left, and the program's own help lists it.
func TestTopicsFit(t *testing.T) {
	listed := helpAt(t, 0)
	for _, topic := range topics() {
		require.Regexp(t, `(?m)^  `+topic.name+` +`, listed)
		title, _, _ := strings.Cut(strings.TrimLeft(topic.page, "# "), "\n")
		for _, columns := range []int{0, 40, 47, 63, 80, 100, 250} {
			got := helpAt(t, columns, topic.name)
			require.Contains(t, got, title+"\n")
			limit := columns
			if limit == 0 {
				limit = 80
			}
			for _, l := range strings.Split(got, "\n") {
				if !strings.HasPrefix(l, "  sevenyard ") {
					require.LessOrEqual(t, texttab.Width(l), min(limit, pageWidth), "%s: %q", topic.name, l)
				}
				require.NotRegexp(t, "`|\\*\\*|^\\||\\]\\(", l, topic.name)
			}
		}
	}
}

// The two halves of the page of the commands are all of it, each with something to say.
func TestTopicsAreWhole(t *testing.T) {
	text := ""
	for _, topic := range topics() {
		require.Greater(t, len(topic.page), 1000, topic.name)
		if topic.name == "commands" || topic.name == "json" {
			text += topic.page
		}
	}
	require.Equal(t, reference, text)
}

// help on a command says what its --help says; a word that is a command and a topic gets both.
func TestHelpOnCommandsAndTopics(t *testing.T) {
	require.Equal(t, done(t, "lineup", "--help"), done(t, "help", "lineup"))
	require.Equal(t, done(t, "draft", "swap", "--help"), done(t, "help", "draft", "swap"))
	both := done(t, "help", "draft")
	require.True(t, strings.HasPrefix(both, done(t, "draft", "--help")+"\nThe draft\n"), both)
	require.Equal(t, done(t, "--help"), done(t, "help"))
	require.Equal(t, done(t, "help"), done(t, "h"))
	for _, c := range []struct{ args, says string }{
		{"filse", `no help on "filse"; did you mean files?`},
		{"linup", `no help on "linup"; did you mean lineup?`},
		{"nosuch", `no help on "nosuch"; there is some on each command, and on the topics files, commands, json and draft`},
		{"files json", `one topic at a time; what is "json"?`},
		{"json linup", `no schema "linup"; did you mean lineup?`},
		{"json lineup why", `one schema at a time; what is "why"?`},
		{"draft nosuch", `no help on "draft nosuch"`},
		{"lineup --demo", `help takes no flags`},
	} {
		got := say(t, append([]string{"help"}, strings.Fields(c.args)...)...)
		require.Equal(t, tty.ExitUsage, got.status)
		require.Empty(t, got.out)
		require.Contains(t, got.err, c.says)
	}
}

// help json prints every schema, and the page lists them all.
func TestHelpPrintsSchemas(t *testing.T) {
	page := done(t, "help", "json")
	for _, name := range report.SchemaNames() {
		require.Regexp(t, `(?m)^`+name+` +`, page)
		got := done(t, "help", "json", name)
		require.Equal(t, got, done(t, "help", "json", "sevenyard."+name+"/1"))
		var schema struct{ Title string }
		require.NoError(t, json.Unmarshal([]byte(got), &schema))
		require.Equal(t, "sevenyard."+name+"/1", schema.Title)
	}
}
