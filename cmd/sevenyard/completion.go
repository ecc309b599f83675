package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/sevenyard/internal/tty"
)

// shells are those that the program can complete its commands in, with how to switch it on.
var shells = []struct {
	name, how string
	write     func(io.Writer, []offer)
}{
	{"bash", "source <(sevenyard completion bash)", bashScript},
	{"zsh", "source <(sevenyard completion zsh)", zshScript},
	{"fish", "sevenyard completion fish | source", fishScript},
}

func newCompletion(sio tty.IO) *cli.Command {
	var names, hows []string
	for _, s := range shells {
		names, hows = append(names, s.name), append(hows, s.how)
	}
	return &cli.Command{
		Name: "completion", Usage: "a script by which a shell completes commands, flags and what they choose from", ArgsUsage: strings.Join(names, " | "),
		Description:  "Put the line for your shell into its start-up file:\n" + strings.Join(hows, "\n"),
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error {
			word := c.Args().First()
			for _, s := range shells {
				if s.name == word && c.Args().Len() == 1 {
					var b strings.Builder
					s.write(&b, offers(c.App))
					return sio.Document([]byte(b.String()))
				}
			}
			if word == "" {
				return tty.Usagef("which shell? There are bash, zsh and fish: sevenyard completion bash")
			}
			return tty.Usagef("no script for the shell %q; %sthere are bash, zsh and fish", word, tty.Meant(word, names))
		},
	}
}

// offer is what may follow a command: words below it, and flags.
type offer struct {
	path  string // "", "lineup", "draft pick"
	words []flagOffer
	flags []flagOffer
}

// flagOffer is a flag, or a word below a command.
type flagOffer struct {
	name, usage string
	value       string // "": it takes none; "file": the name of one; else what there is to choose from, with spaces, or "any"
}

// choices are what flags choose from.
var choices = map[string]string{"format": "text json", "color": "auto always never", "favor": "weakest total even", "mps-goal": "weakest total both", "paper": "letter a4"}

// takesFile are flags that name a file.
var takesFile = map[string]bool{"from": true, "save": true, "save-dir": true, "write-mps": true, "out": true, "lines": true, "csv": true, "board": true, "was": true, "draw": true}

// offers walks the commands.
func offers(app *cli.App) []offer {
	var out []offer
	var walk func(path string, commands []*cli.Command, flags []cli.Flag)
	walk = func(path string, commands []*cli.Command, flags []cli.Flag) {
		o := offer{path: path, flags: []flagOffer{{name: "help", usage: "what there is"}}}
		for _, c := range commands {
			if !c.Hidden && c.Name != "help" {
				o.words = append(o.words, flagOffer{name: c.Name, usage: c.Usage})
			}
		}
		for _, f := range flags {
			d, ok := f.(cli.DocGenerationFlag)
			if !ok || f.Names()[0] == "help" {
				continue
			}
			x := flagOffer{name: f.Names()[0], usage: d.GetUsage()}
			switch {
			case !d.TakesValue():
			case takesFile[x.name]:
				x.value = "file"
			case choices[x.name] != "":
				x.value = choices[x.name]
			default:
				x.value = "any"
			}
			o.flags = append(o.flags, x)
		}
		out = append(out, o)
		for _, c := range commands {
			if !c.Hidden && c.Name != "help" {
				walk(strings.TrimSpace(path+" "+c.Name), c.Subcommands, c.Flags)
			}
		}
	}
	walk("", app.Commands, nil)
	for i := range out {
		switch out[i].path {
		case "":
			out[i].words = append(out[i].words, flagOffer{name: "help", usage: "what there is, or about one command"})
			out[i].flags = append(out[i].flags, flagOffer{name: "version", usage: "which build this is"})
		case "completion":
			for _, s := range shells {
				out[i].words = append(out[i].words, flagOffer{name: s.name, usage: "for " + s.name})
			}
		}
	}
	return out
}

func bashScript(w io.Writer, all []offer) {
	fmt.Fprint(w, `# Completion of sevenyard for bash.
_sevenyard() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} at= word words= flags=
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case "$at $word" in
`)
	for _, o := range all {
		for _, x := range o.words {
			fmt.Fprintf(w, "      '%s %s') at='%s' ;;\n", o.path, x.name, strings.TrimSpace(o.path+" "+x.name))
		}
	}
	fmt.Fprint(w, "    esac\n  done\n  case \"$prev\" in\n")
	for _, list := range valueFlags(all) {
		fmt.Fprintf(w, "    %s) COMPREPLY=(%s); return ;;\n", "--"+strings.Join(list.flags, "|--"), bashValues(list.value))
	}
	fmt.Fprint(w, "  esac\n  case \"$at\" in\n")
	for _, o := range all {
		var words, flags []string
		for _, x := range o.words {
			words = append(words, x.name)
		}
		for _, x := range o.flags {
			flags = append(flags, "--"+x.name)
		}
		fmt.Fprintf(w, "    '%s') words='%s' flags='%s' ;;\n", o.path, strings.Join(words, " "), strings.Join(flags, " "))
	}
	fmt.Fprint(w, `  esac
  if [[ $cur == -* ]]; then
    COMPREPLY=($(compgen -W "$flags" -- "$cur"))
  elif [[ -n $words ]]; then
    COMPREPLY=($(compgen -W "$words" -- "$cur"))
  else
    compopt -o filenames
    COMPREPLY=($(compgen -d -- "$cur"))
  fi
}
complete -F _sevenyard sevenyard
`)
}

func bashValues(value string) string {
	switch value {
	case "file":
		return `$(compopt -o filenames; compgen -f -- "$cur")`
	case "any":
		return ""
	}
	return fmt.Sprintf(`$(compgen -W %q -- "$cur")`, value)
}

// valueFlag are flags that take the same kind of value.
type valueFlag struct {
	value string
	flags []string
}

// valueFlags groups the flags of all commands by what they take.
func valueFlags(all []offer) []valueFlag {
	var out []valueFlag
	seen := map[string]bool{}
	for _, o := range all {
	flags:
		for _, x := range o.flags {
			if x.value == "" || seen[x.name] {
				continue
			}
			seen[x.name] = true
			for i := range out {
				if out[i].value == x.value {
					out[i].flags = append(out[i].flags, x.name)
					continue flags
				}
			}
			out = append(out, valueFlag{x.value, []string{x.name}})
		}
	}
	return out
}

func zshScript(w io.Writer, all []offer) {
	fmt.Fprint(w, `#compdef sevenyard
# Completion of sevenyard for zsh.
_sevenyard() {
  local at= word
  local -a offered flags
  for word in "${words[@]:1:$((CURRENT-2))}"; do
    case "$at $word" in
`)
	for _, o := range all {
		for _, x := range o.words {
			fmt.Fprintf(w, "      '%s %s') at='%s' ;;\n", o.path, x.name, strings.TrimSpace(o.path+" "+x.name))
		}
	}
	fmt.Fprint(w, "    esac\n  done\n  case \"${words[CURRENT-1]}\" in\n")
	for _, list := range valueFlags(all) {
		values := "compadd -- " + list.value
		switch list.value {
		case "file":
			values = "_files"
		case "any":
			values = ":"
		}
		fmt.Fprintf(w, "    %s) %s; return ;;\n", "--"+strings.Join(list.flags, "|--"), values)
	}
	fmt.Fprint(w, "  esac\n  case \"$at\" in\n")
	for _, o := range all {
		fmt.Fprintf(w, "    '%s')\n      offered=(%s)\n      flags=(%s) ;;\n", o.path, zshList("", o.words), zshList("--", o.flags))
	}
	fmt.Fprint(w, `  esac
  if [[ ${words[CURRENT]} == -* ]]; then
    _describe -o flag flags
  elif (( $#offered )); then
    _describe command offered
  else
    _files -/
  fi
}
compdef _sevenyard sevenyard
`)
}

func zshList(lead string, list []flagOffer) string {
	var out []string
	for _, x := range list {
		out = append(out, quoteShell(lead+x.name+":"+strings.ReplaceAll(x.usage, ":", `\:`)))
	}
	return strings.Join(out, " ")
}

// quoteShell puts a text into the single quotes of a shell.
func quoteShell(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

func fishScript(w io.Writer, all []offer) {
	fmt.Fprint(w, `# Completion of sevenyard for fish.
function __sevenyard_at
  set -l at
  for word in (commandline -opc)[2..]
    switch "$at $word"
`)
	for _, o := range all {
		for _, x := range o.words {
			fmt.Fprintf(w, "      case '%s %s'\n        set at '%s'\n", o.path, x.name, strings.TrimSpace(o.path+" "+x.name))
		}
	}
	fmt.Fprint(w, "    end\n  end\n  test \"$at\" = \"$argv[1]\"\nend\ncomplete -c sevenyard -f\n")
	for _, o := range all {
		here := fmt.Sprintf("complete -c sevenyard -n \"__sevenyard_at '%s'\"", o.path)
		for _, x := range o.words {
			fmt.Fprintf(w, "%s -a %s -d %s\n", here, x.name, quoteFish(x.usage))
		}
		if len(o.words) == 0 {
			fmt.Fprintf(w, "%s -a '(__fish_complete_directories)'\n", here)
		}
		for _, x := range o.flags {
			value := ""
			switch x.value {
			case "":
			case "file":
				value = " -r -F"
			case "any":
				value = " -x"
			default:
				value = " -x -a " + quoteFish(x.value)
			}
			fmt.Fprintf(w, "%s -l %s%s -d %s\n", here, x.name, value, quoteFish(x.usage))
		}
	}
}

// quoteFish puts a text into the single quotes of fish, in which a backslash stands for the next sign.
func quoteFish(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text) + "'"
}
