package team

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/newfolder"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/fixtures"
)

// NewStart is the command start.
func NewStart(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "start", Usage: "make a new team folder", ArgsUsage: "DIR",
		Description: "The new files say in notes what goes where. Nothing that exists is ever written over.",
		Flags: []cli.Flag{
			tty.DemoFlag("write the invented team into the folder, to look at and to play with"),
			&cli.BoolFlag{Name: "pool", Usage: "a folder for the draft instead: league, pool of kids, results"},
		},
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readStartOptions, runStart),
	}
}

// startOptions are what the command was told.
type startOptions struct {
	dir        string
	demo, pool bool
}

func readStartOptions(c *cli.Context, _ tty.IO) (o startOptions, err error) {
	args := c.Args().Slice()
	switch {
	case len(args) == 0:
		return o, tty.Usagef("where to? Give a folder that is not there yet, such as: sevenyard start sandpipers")
	case len(args) > 1:
		return o, tty.Usagef("one folder at a time; what is %q?", args[1])
	}
	return startOptions{dir: args[0], demo: c.Bool("demo"), pool: c.Bool("pool")}, nil
}

func runStart(_ context.Context, o startOptions, sio tty.IO) error {
	dir := o.dir
	from := drills.Templates()
	switch {
	case o.demo && o.pool:
		from = fixtures.Pool()
	case o.demo:
		from = fixtures.Demo()
	case o.pool:
		from = drills.PoolTemplates()
	}
	files, err := readAll(from)
	if err != nil {
		return err
	}
	if err := newfolder.Write(dir, files); err != nil {
		if errors.Is(err, newfolder.ErrExists) {
			return fmt.Errorf("%s is there already, and nothing is ever written over; choose another name", dir)
		}
		if errors.Is(err, fs.ErrPermission) {
			return fmt.Errorf("%s cannot be made: the folder it is to stand in may not be written to; choose another place", dir)
		}
		return err
	}
	sio.Did("%s is made", dir)
	st := screen.Style{Width: screen.DefaultWidth}
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	fmt.Fprint(sio.Out, st.Fold(fmt.Sprintf("Made %s with %s.", dir, prose.And(names)), ""))
	name := tty.Quote(dir)
	if o.pool {
		fmt.Fprint(sio.Out, nextForPool(st, name, o.demo))
		return nil
	}
	if o.demo {
		fmt.Fprint(sio.Out, tty.Commands("An invented team, yours to change. Next:", "sevenyard lineup "+name))
		return nil
	}
	fmt.Fprint(sio.Out, "Next:\n", st.Fold("1. Write your kids into roster.csv; the notes in the file say how.", "   "),
		tty.Commands("2. See how each drill is set up and run:", "sevenyard drills"),
		st.Fold("3. Write the times into results.csv, as its notes say.", "   "),
		tty.Commands("4. Have all of it checked:", "sevenyard check "+name))
	return nil
}

// nextForPool says how a new pool folder goes on.
func nextForPool(st screen.Style, name string, demo bool) string {
	if demo {
		return tty.Commands("An invented league, yours to change. Next:", "sevenyard draft "+name+" --save teams.json")
	}
	return "Next:\n" + st.Fold("1. Write your teams into league.toml and your kids into pool.csv; the notes in the files say how.", "   ") +
		tty.Commands("2. See how each drill is set up and run:", "sevenyard drills") +
		st.Fold("3. Write the times into results.csv, as its notes say.", "   ") +
		tty.Commands("4. Draft the teams, or read what is to be mended first:", "sevenyard draft "+name)
}

// readAll takes the plain files at the root of a file system, by name.
func readAll(from fs.FS) ([]newfolder.File, error) {
	entries, err := fs.ReadDir(from, ".")
	if err != nil {
		return nil, err
	}
	var files []newfolder.File
	for _, e := range entries {
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		data, err := fs.ReadFile(from, e.Name())
		if err != nil {
			return nil, err
		}
		files = append(files, newfolder.File{Name: e.Name(), Data: data})
	}
	return files, nil
}
