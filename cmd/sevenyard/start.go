package main

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/newfolder"
	"sevenyard/cmd/sevenyard/internal/screen"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

func newStart(sio stdio) *cli.Command {
	return &cli.Command{
		Name: "start", Usage: "make a new team folder", ArgsUsage: "DIR",
		Description:  "The new files say in notes what goes where. Nothing that exists is ever written over.",
		Flags:        []cli.Flag{demoFlag("write the invented team into the folder, to look at and to play with")},
		OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runStart(c, sio) },
	}
}

func runStart(c *cli.Context, sio stdio) error {
	args := c.Args().Slice()
	switch {
	case len(args) == 0:
		return usagef("where to? Give a folder that is not there yet, such as: sevenyard start sandpipers")
	case len(args) > 1:
		return usagef("one folder at a time; what is %q?", args[1])
	}
	dir := args[0]
	from := drills.Templates()
	if c.Bool("demo") {
		from = fixtures.Demo()
	}
	files, err := readAll(from)
	if err != nil {
		return err
	}
	if err := newfolder.Write(dir, files); err != nil {
		if errors.Is(err, newfolder.ErrExists) {
			return fmt.Errorf("%s is there already, and nothing is ever written over; choose another name", dir)
		}
		return err
	}
	st := screen.Style{Width: screen.DefaultWidth}
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	fmt.Fprint(sio.Out, st.Fold(fmt.Sprintf("Made %s with %s.", dir, gameplan.And(names)), ""))
	name := quote(dir)
	if c.Bool("demo") {
		fmt.Fprint(sio.Out, commands("An invented team, yours to change. Next:", "sevenyard lineup "+name))
		return nil
	}
	fmt.Fprint(sio.Out, st.Fold("Next: put your kids into roster.csv and their times into results.csv; the notes in the files say how.", ""),
		commands("How to run the drills, and then:", "sevenyard drills", "sevenyard check "+name))
	return nil
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
