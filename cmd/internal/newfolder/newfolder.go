// Package newfolder writes a new folder with files in it: all of it or nothing, for its owner alone, and never over anything.
package newfolder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/drills/lasting"
	"sevenyard/drills/regular"
)

// File is one file to write.
type File struct {
	Name string
	Data []byte
}

// ErrExists says that something is there already.
var ErrExists = errors.New("it exists already")

// Write makes dir with the files. They are written and synced in a folder beside it, which is then
// renamed; dir may exist only as an empty folder. What an earlier run that was killed left of such a folder is taken away.
func Write(dir string, files []File) (err error) {
	dir = filepath.Clean(dir)
	if err := free(dir); err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, regular.FolderMode); err != nil {
		return err
	}
	part := newfile.NewPart(dir)
	part.Sweep(abandoned)
	temp := part.Fresh()
	if err := os.Mkdir(temp, regular.FolderMode); err != nil {
		return err
	}
	var held []func()
	release := func() {
		for _, r := range held {
			r()
		}
		held = nil
	}
	defer release()
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(temp))
		}
	}()
	for _, f := range files {
		name := filepath.Join(temp, f.Name)
		if err := lasting.New(name, f.Data, nil); err != nil {
			return err
		}
		r, _, _ := newfile.Hold(name) // until the folder has its name, so that nobody takes it for abandoned
		held = append(held, r)
	}
	if paused != nil {
		paused(temp)
	}
	if runtime.GOOS == "windows" { // where a folder with open files in it cannot be renamed
		release()
	}
	// An empty folder makes way; Remove refuses any other.
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w: %s", ErrExists, dir)
	}
	if err := os.Rename(temp, dir); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%w: %s", ErrExists, dir)
		}
		return err
	}
	lasting.SyncFolder(parent)
	return nil
}

// paused, in tests, is called when the temporary folder is whole and has no other name yet.
var paused func(temp string)

// abandonedAfter is how old a temporary folder has to be before it can be taken away: time for the first file in it to be locked.
const abandonedAfter = time.Minute

// abandoned takes a temporary folder away that a killed run has left. Only files that this package may have written are ever removed:
// plain ones that nobody holds.
func abandoned(temp string) error {
	info, err := os.Lstat(temp)
	if err != nil || !info.IsDir() || time.Since(info.ModTime()) < abandonedAfter {
		return err
	}
	entries, err := os.ReadDir(temp)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			return nil
		}
		release, held, err := newfile.Hold(filepath.Join(temp, e.Name()))
		defer release()
		if err != nil || !held {
			return err
		}
	}
	for _, e := range entries {
		if err := os.Remove(filepath.Join(temp, e.Name())); err != nil {
			return err
		}
	}
	return os.Remove(temp)
}

// free tells whether dir is not there, or an empty folder.
func free(dir string) error {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return fmt.Errorf("%w: %s", ErrExists, dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%w: %s", ErrExists, dir)
	}
	return nil
}
