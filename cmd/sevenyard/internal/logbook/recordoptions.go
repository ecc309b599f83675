package logbook

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/played"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/regular"
)

// recordOptions are what the command was told.
type recordOptions struct {
	tty.FolderOptions
	told  *played.Told // but for what stands in the lines
	line  []string     // series typed with the command
	lines string       // a file of such lines; -: standard input
}

func readRecordOptions(c *cli.Context, sio tty.IO) (o recordOptions, err error) {
	if o.View, err = tty.ReadView(c, sio); err != nil {
		return o, err
	}
	if c.Bool("demo") {
		return o, tty.Usagef("the invented team is inside the program, where nothing can be written; sevenyard start --demo sandpipers makes a folder of it to record in")
	}
	if o.Source, err = tty.ReadSource(c); err != nil {
		return o, err
	}
	if o.told, err = readTold(c); err != nil {
		return o, err
	}
	o.told.Today, o.line, o.lines = sio.Today(), c.StringSlice("line"), c.String("lines")
	return o, nil
}

// readTold reads what the flags say.
func readTold(c *cli.Context) (*played.Told, error) {
	t := &played.Told{Game: c.String("game"), PlanName: c.String("from"), Date: c.String("date"), Opponent: strings.TrimSpace(c.String("opponent")), Played: -1}
	if t.Game == "" {
		return nil, tty.Usagef("which game? Give it a number or any short id: --game 3")
	}
	if c.IsSet("played") {
		if t.Played = c.Int("played"); t.Played < 0 {
			return nil, tty.Usagef("--played: %d; give the number of series that were played", t.Played)
		}
		if c.String("from") == "" {
			return nil, tty.Usagef("--played: of which plan? Give it with --from plan.json, or type the series with --line")
		}
	}
	return t, readCorrections(c, t)
}

// readCorrections reads the flags about kids, and reports all that is wrong with them at once.
func readCorrections(c *cli.Context, t *played.Told) error {
	var wrong []error
	each := func(flag string, read func(string) error) {
		for _, text := range c.StringSlice(flag) {
			if err := read(text); err != nil {
				wrong = append(wrong, err)
			}
		}
	}
	each("absent", func(text string) error {
		kids, err := gameplan.ParseKids(asked.Absent, text)
		t.Absent = append(t.Absent, kids...)
		return err
	})
	for _, x := range []struct {
		field asked.Field
		into  *[]gameplan.At
	}{{asked.Late, &t.Late}, {asked.Left, &t.Left}, {asked.Hurt, &t.Hurt}} {
		each(string(x.field), func(text string) error {
			ats, err := gameplan.ParseAts(x.field, text)
			*x.into = append(*x.into, ats...)
			return err
		})
	}
	each("before-hold", func(text string) error {
		kids, err := gameplan.ParseKids(asked.Hold, text)
		t.BeforeHold = append(t.BeforeHold, kids...)
		return err
	})
	each("swap", func(text string) error {
		swaps, err := gameplan.ParseSwaps(text)
		t.Swaps = append(t.Swaps, swaps...)
		return err
	})
	each("void", func(text string) error {
		all, ns, err := played.ParseVoid(text)
		t.VoidGame, t.Void = t.VoidGame || all, append(t.Void, ns...)
		return err
	})
	if len(wrong) == 0 {
		return nil
	}
	return tty.UsageError{Err: errors.Join(wrong...)}
}

// readTyped reads the lines typed by hand, and adds what they say.
func (o recordOptions) readTyped(ctx context.Context, sio tty.IO, f *drills.Folder) error {
	t := o.told
	add := func(name string, in io.Reader) error {
		l, err := played.ReadLines(name, in, f)
		if err != nil {
			return err
		}
		t.Lines = append(t.Lines, l.Lines...)
		t.Absent = append(t.Absent, l.Absent...)
		t.Late, t.Left, t.Hurt = append(t.Late, l.Late...), append(t.Left, l.Left...), append(t.Hurt, l.Hurt...)
		t.Void, t.VoidGame = append(t.Void, l.Void...), t.VoidGame || l.VoidGame
		return nil
	}
	if typed := o.line; len(typed) > 0 {
		if err := add("--line", strings.NewReader(strings.Join(typed, "\n"))); err != nil {
			return err
		}
	}
	switch name := o.lines; name {
	case "":
	case "-":
		if sio.In == nil {
			return errors.New("there is nothing to read lines from")
		}
		text, err := sio.ReadInput(ctx, played.MaxTyped)
		if ctx.Err() != nil {
			return errNothingRecorded
		}
		if err != nil {
			return err
		}
		if err := add("standard input", strings.NewReader(text)); err != nil {
			return err
		}
	default:
		in, err := regular.Open(name)
		if errors.Is(err, regular.ErrNotPlain) {
			err = fmt.Errorf("%w; give a plain file, or type the lines with --lines -", err)
		}
		if err != nil {
			return err
		}
		defer in.Close()
		if err := add(name, in); err != nil {
			return err
		}
	}
	nothing := t.Plan == nil && len(t.Lines)+len(t.Swaps)+len(t.Absent)+len(t.Late)+len(t.Left)+len(t.Hurt)+len(t.Void) == 0 && !t.VoidGame
	if nothing && t.Date == "" && t.Opponent == "" {
		if last := gameday.FindLastPlan(o.Source, sio, f); last != nil {
			return tty.Usagef("what was played? If it was the plan in %s: the same again with --from %s; else give series with --line %q", last.Words(), tty.Quote(last.Name), "1: F 2 3, C 4 11, D 14")
		}
		return tty.Usagef("what was played? Give the plan with --from plan.json, or series with --line %q", "1: F 2 3, C 4 11, D 14")
	}
	return nil
}
