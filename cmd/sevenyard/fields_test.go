package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// TestFieldsAreFlags: what the terminal spells for a field is a flag that there is, and a command with that flag.
func TestFieldsAreFlags(t *testing.T) {
	app := newApp(tty.IO{})
	for _, f := range asked.Fields {
		words := strings.Fields(tty.Spell(f, "2 3"))
		require.NotEmpty(t, words, f)
		flags := flagNames()
		if words[0] == "sevenyard" || words[0] == "rebuild" {
			words = words[len(words)-len(strings.Fields(strings.TrimPrefix(strings.Join(words, " "), "sevenyard "))):]
			cmd := app.Command(words[0])
			require.NotNil(t, cmd, "%s: no command %s", f, words[0])
			for len(words) > 1 && cmd.Command(words[1]) != nil {
				words, cmd = words[1:], cmd.Command(words[1])
			}
			flags = nil
			for _, x := range cmd.Flags {
				flags = append(flags, x.Names()...)
			}
		}
		for _, w := range words {
			if name, is := strings.CutPrefix(w, "--"); is {
				require.Contains(t, flags, name, "%s: %v", f, words)
			}
		}
		require.NotContains(t, tty.Spell(f, ""), "%s", f)
		require.NotContains(t, tty.Spell(f, ""), "⟦", f)
	}
	require.Equal(t, "--late 9@3", tty.Spell(asked.Late, "9@3"))
	require.Equal(t, "say so with sevenyard clear --kid 2 --game 3 --by NAME", tty.Said("say so with "+asked.ClearKid.With("2 3")))
}
