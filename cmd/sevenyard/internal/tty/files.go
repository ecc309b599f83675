package tty

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"syscall"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/drills/games"
	"sevenyard/drills/regular"
)

// inputNames are the files of team and pool folders that a person keeps, or that are kept for a person.
var inputNames = []string{"team.toml", "roster.csv", "results.csv", "fits.csv", games.File, "league.toml", "pool.csv"}

// inputFlags name files that a command reads.
var inputFlags = []string{"from", "was", "draw", "lines", "board"}

// Target is a file that a command is asked to write: never over one that it reads, by whatever name.
func Target(c *cli.Context, name string, kind newfile.Kind) newfile.Target {
	t := newfile.Target{Name: name, Kind: kind, Replace: c.Bool("replace"), Names: inputNames}
	for _, flag := range inputFlags {
		called := "the file of --" + flag
		if flag == "board" {
			called = "the board"
		}
		if in := c.String(flag); in != "" && in != "-" {
			t.Inputs = append(t.Inputs, newfile.Input{Name: in, Called: called})
		}
	}
	if Here() {
		t.Folders = append(t.Folders, ".")
	}
	for _, dir := range c.Args().Slice() {
		if IsFolder(dir) {
			t.Folders = append(t.Folders, dir)
		}
	}
	return t
}

// Taken says why a file cannot be written.
func Taken(name string, err error) error {
	var input *newfile.InputError
	switch {
	case errors.Is(err, newfile.ErrExists):
		return fmt.Errorf("%s is there already, and nothing is written over; choose another name, or add --replace", name)
	case errors.As(err, &input):
		return UsageError{Err: err}
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s cannot be written: there is no folder %s; make it first, or choose another name", name, filepath.Dir(name))
	case errors.Is(err, syscall.ENOTDIR):
		return fmt.Errorf("%s cannot be written: %s is no folder; choose another name", name, filepath.Dir(name))
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s cannot be written: its folder may not be written to; choose another name", name)
	}
	return err
}

// Unwritable says what to do where a team's record may not be written; other errors stay as they are.
func Unwritable(dir string, err error) error {
	if !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return fmt.Errorf("nothing was recorded: %s in the folder %s may not be written by you; have its owner allow it, or go on in a copy of the folder that is yours (%w)",
		games.File, dir, err)
}

// PlainFile says what a file that a command is to read has to be.
func PlainFile(name string, err error) error {
	switch {
	case errors.Is(err, regular.ErrDangling):
		return fmt.Errorf("%w; give the file itself", err)
	case errors.Is(err, regular.ErrNotPlain):
		return fmt.Errorf("%w; give a plain file", err)
	}
	return err
}
