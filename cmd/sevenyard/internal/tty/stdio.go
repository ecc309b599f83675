package tty

import (
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"

	"github.com/agnivade/levenshtein"
	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/screen"
)

// IO is everything that run touches of the process.
type IO struct {
	In                       io.Reader // nil: there is none
	Out, Err                 io.Writer
	OutTerminal, ErrTerminal bool
	Columns                  int // of the terminal; 0: not known
	Getenv                   func(string) string
	Now                      func() time.Time // nil: the machine's clock

	RawErr io.Writer // for meters alone
	Made   *Made     // by this run
}

// Today is the date as the record writes it.
func (sio IO) Today() string {
	if sio.Now != nil {
		return sio.Now().Format(time.DateOnly)
	}
	return time.Now().Format(time.DateOnly)
}

// Complain writes one error: folded on a terminal, on one line for programs.
func (sio IO) Complain(text string) {
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

// OneLine is an error without line ends at its ends, further lines indented.
func OneLine(err error) string {
	return strings.TrimSpace(strings.ReplaceAll(err.Error(), "\n", "\n  "))
}

// Exit statuses.
const (
	ExitDone  = 0
	ExitInput = 1 // the input or the rules do not allow it, or it was interrupted
	ExitUsage = 2 // the command line is wrong
)

// UsageError is a wrong command line.
type UsageError struct{ Err error }

func (e UsageError) Error() string { return e.Err.Error() }

func (e UsageError) Unwrap() error { return e.Err }

// Usagef is a wrong command line, told as by fmt.Errorf.
func Usagef(format string, args ...any) error { return UsageError{Err: fmt.Errorf(format, args...)} }

// ErrTold is an error whose words are already out.
var ErrTold = errors.New("told")

// unknownFlag is how the flag library says that it does not know a flag.
const unknownFlag = "flag provided but not defined: -"

// OnUsage puts what the flag library says of a command line into the words of this program.
func OnUsage(c *cli.Context, err error, _ bool) error {
	name, unknown := strings.CutPrefix(err.Error(), unknownFlag)
	if !unknown {
		return UsageError{Err: badValue(c, err)}
	}
	name = strings.TrimLeft(name, "-")
	var flags []string
	if c.Command != nil {
		for _, f := range c.Command.Flags {
			flags = append(flags, "--"+f.Names()[0])
		}
	}
	return Usagef("no flag --%s; %sadd --help for what there is", name, Meant("--"+name, flags))
}

// Meant suggests the nearest of the names, if one is near.
func Meant(word string, names []string) string {
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

// CommandNames are the names of the commands, but for help.
func CommandNames(app *cli.App) []string {
	var out []string
	for _, c := range app.Commands {
		if c.Name != "help" {
			out = append(out, c.Name)
		}
	}
	return out
}

var (
	invalidValue = regexp.MustCompile(`(?s)^invalid (?:boolean )?value "(.*)" for (?:flag )?-([^:]+): `)
	noValue      = regexp.MustCompile(`^flag needs an argument: -+(.+)$`)
)

// badValue puts what the flag library says about a value into the words of this program.
func badValue(c *cli.Context, err error) error {
	if m := noValue.FindStringSubmatch(err.Error()); m != nil {
		return fmt.Errorf("--%s: a value is missing (add --help for what there is)", m[1])
	}
	m := invalidValue.FindStringSubmatch(err.Error())
	if m == nil || c.Command == nil {
		return fmt.Errorf("%w (add --help for what there is)", err)
	}
	for _, f := range c.Command.Flags {
		if f.Names()[0] != m[2] {
			continue
		}
		switch f.(type) {
		case *cli.IntFlag, *cli.Int64Flag:
			return fmt.Errorf("--%s: %q is no whole number; write digits, such as 3", m[2], m[1])
		case *cli.UintFlag, *cli.Uint64Flag:
			return fmt.Errorf("--%s: %q is no whole number from 0 on; write digits, such as 3", m[2], m[1])
		case *cli.Float64Flag:
			if strings.Contains(m[1], ",") {
				return fmt.Errorf("--%s: %q is no number; write it with a point, such as 0.5", m[2], m[1])
			}
			return fmt.Errorf("--%s: %q is no number; write one such as 0.5", m[2], m[1])
		case *cli.BoolFlag:
			return fmt.Errorf("--%s: it takes no value, so what is %q?", m[2], m[1])
		}
	}
	return fmt.Errorf("--%s: %q cannot be read (add --help for what there is)", m[2], m[1])
}

// Doing is an action: it reads what a command is told, and does it.
func Doing[T any](sio IO, read func(*cli.Context, IO) (T, error), run func(context.Context, T, IO) error) cli.ActionFunc {
	return func(c *cli.Context) error {
		o, err := read(c, sio)
		if err != nil {
			return err
		}
		return run(c.Context, o, sio)
	}
}
