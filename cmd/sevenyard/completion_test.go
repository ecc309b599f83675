package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// shell is the path of a shell to try completion in.
func shell(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("SEVENYARD_PEERS") == "require" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// completed asks a shell what it would complete a line to; the line's last word is the one being typed.
func completed(t *testing.T, name, line string) []string {
	t.Helper()
	path := shell(t, name)
	script := filepath.Join(t.TempDir(), "script")
	require.NoError(t, os.WriteFile(script, []byte(done(t, "completion", name)), 0o600))
	words := strings.Split(line, " ")
	var ask string
	switch name {
	case "bash":
		quoted := make([]string, len(words))
		for i, w := range words {
			quoted[i] = quoteShell(w)
		}
		ask = "compopt() { :; }; source " + script + "; COMP_WORDS=(" + strings.Join(quoted, " ") + "); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _sevenyard; printf '%s\\n' \"${COMPREPLY[@]}\""
	case "fish":
		ask = "source " + script + "; complete -C " + quoteFish(line)
	case "zsh": // without a terminal nothing is completed; what would be offered is caught
		ask = "compdef() { :; }; _files() { :; }; _describe() { local from=${@[-1]}; print -rl -- ${${(P)from}%%:*}; }; compadd() { shift; print -rl -- $@; }; source " + script +
			"; words=(" + strings.Join(quoteAll(words), " ") + "); CURRENT=${#words}; _sevenyard"
	}
	cmd := exec.Command(path, "-c", ask)
	cmd.Env = append(os.Environ(), "HOME="+t.TempDir(), "XDG_CONFIG_HOME="+t.TempDir(), "XDG_DATA_HOME="+t.TempDir())
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	var got []string
	for _, l := range strings.Split(string(out), "\n") {
		word, _, _ := strings.Cut(l, "\t")
		if last := words[len(words)-1]; strings.HasPrefix(word, last) && word != "" {
			got = append(got, word)
		}
	}
	return got
}

func quoteAll(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = quoteShell(w)
	}
	return out
}

// TestCompletion: every shell offers the commands, the words below one, flags, and what a flag chooses from.
func TestCompletion(t *testing.T) {
	for _, name := range []string{"bash", "zsh", "fish"} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, completed(t, name, "sevenyard lin"), "lineup")
			require.Contains(t, completed(t, name, "sevenyard draft p"), "pick")
			require.NotContains(t, completed(t, name, "sevenyard draft p"), "profile")
			require.Contains(t, completed(t, name, "sevenyard lineup --ab"), "--absent")
			require.NotContains(t, completed(t, name, "sevenyard check --ab"), "--absent")
			require.ElementsMatch(t, []string{"weakest", "total", "even"}, completed(t, name, "sevenyard lineup --favor "))
			require.Contains(t, completed(t, name, "sevenyard completion f"), "fish")
		})
	}
}

// TestCompletionKnowsEveryFlag: what the scripts offer is what the commands take.
func TestCompletionKnowsEveryFlag(t *testing.T) {
	for _, s := range shells {
		text := done(t, "completion", s.name)
		for _, name := range flagNames() {
			if len(name) > 1 && name != "help" {
				require.Contains(t, text, name, s.name)
			}
		}
	}
	for _, wrong := range [][]string{{"completion"}, {"completion", "cmd"}, {"completion", "bash", "zsh"}} {
		require.Equal(t, 2, say(t, wrong...).status)
	}
}

// TestVersion: it is one line, and no other flag goes with it.
func TestVersion(t *testing.T) {
	text := done(t, "--version")
	require.Equal(t, 1, strings.Count(text, "\n"))
	require.True(t, strings.HasPrefix(text, "sevenyard "), text)
}
