// Package newfile writes a file, all of it or nothing, for its owner alone, and over another one only when told to and only where the
// other one is this program's own.
package newfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"sevenyard/drills/lasting"
	"sevenyard/drills/regular"
)

// ErrExists says that something is there already.
var ErrExists = errors.New("it exists already")

// Target is a file to write.
type Target struct {
	Name    string
	Kind    Kind // what will be written
	Replace bool // a file of the same kind that is there may be written over
	// Inputs are the files that the command reads, which are never written over; Folders those in which
	// the names in Names are such files, whether they are there or not.
	Inputs  []Input
	Folders []string
	Names   []string
}

// Input is a file that a command reads, and what to call it.
type Input struct{ Name, Called string }

// InputError says that the file to write is one that the command reads.
type InputError struct{ Name, Called string }

func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %s, which nothing is written over; choose another name", e.Name, e.Called)
}

// ForeignError says that what is there is no file of the kind that is to be written.
type ForeignError struct {
	Name string
	Kind Kind
}

func (e *ForeignError) Error() string {
	return fmt.Sprintf("%s is there and is no %s that sevenyard wrote; nothing else is ever written over, so choose another name, or take the file away yourself", e.Name, e.Kind)
}

// Free tells, before any work is done, whether a new file can have that name. Write asks again.
func Free(name string, replace bool) error { return Target{Name: name, Replace: replace}.Free() }

// Write writes data as a file of that name.
func Write(name string, data []byte, replace bool) error {
	return Target{Name: name, Replace: replace}.Write(data)
}

// Free tells, before any work is done, whether the file can be written. Write asks again.
func (t Target) Free() error {
	if err := t.noInput(); err != nil {
		return err
	}
	info, err := os.Lstat(t.Name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Mode()&fs.ModeSymlink != 0:
		return fmt.Errorf("%s is there and is a link, which nothing is written through; choose another name", t.Name)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s is there and is no plain file", t.Name)
	case !t.Replace:
		return fmt.Errorf("%s: %w", t.Name, ErrExists)
	}
	ours, err := t.Kind.wrote(t.Name)
	if err == nil && !ours {
		err = &ForeignError{t.Name, t.Kind}
	}
	return err
}

// noInput refuses a file that the command reads. Files are compared themselves, not their names, so that links and a file
// system that takes capitals for small letters change nothing.
func (t Target) noInput() error {
	for _, in := range t.Inputs {
		if Same(t.Name, in.Name) {
			return &InputError{t.Name, in.Called}
		}
	}
	for _, dir := range t.Folders {
		for _, name := range t.Names {
			if Same(t.Name, filepath.Join(dir, name)) {
				return &InputError{t.Name, name + " of " + dir}
			}
		}
	}
	return nil
}

// Same tells whether two names are of one file, or would be on a file system that takes capitals for small letters.
func Same(a, b string) bool {
	one, err1 := os.Stat(a)
	two, err2 := os.Stat(b)
	if err1 == nil && err2 == nil && os.SameFile(one, two) {
		return true
	}
	if !strings.EqualFold(filepath.Base(a), filepath.Base(b)) {
		return false
	}
	if filepath.Clean(a) == filepath.Clean(b) {
		return true
	}
	one, err1 = os.Stat(filepath.Dir(a))
	two, err2 = os.Stat(filepath.Dir(b))
	return err1 == nil && err2 == nil && os.SameFile(one, two)
}

// Write writes the data to a temporary file beside the target, syncs it, and gives it its name in one step. What an earlier run that was
// killed left of such temporary files is taken away.
func (t Target) Write(data []byte) (err error) {
	if err := t.Free(); err != nil {
		return err
	}
	dir := filepath.Dir(t.Name)
	part := NewPart(t.Name)
	part.Sweep(func(name string) error { return os.Remove(name) })
	f, release, err := part.create()
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", t.Name, err)
	}
	temp := f.Name()
	defer func() {
		if rest := os.Remove(temp); err == nil && rest != nil && !errors.Is(rest, fs.ErrNotExist) {
			err = rest
		}
		release()
	}()
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(regular.FileMode), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("%s cannot be written: %w", t.Name, err)
	}
	if paused != nil {
		paused(temp)
	}
	if runtime.GOOS == "windows" { // where an open file cannot be renamed
		release()
	}
	if err := t.settle(temp); err != nil {
		return err
	}
	lasting.SyncFolder(dir)
	return nil
}

// paused, in tests, is called when the temporary file is whole and has no other name yet.
var paused func(temp string)

// settle gives the temporary file its name. A link fails where the name is taken, so that of two that write at once only one
// succeeds; file systems without links leave it at the look before.
func (t Target) settle(temp string) error {
	if t.Replace {
		return os.Rename(temp, t.Name)
	}
	err := os.Link(temp, t.Name)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", t.Name, ErrExists)
	}
	if err := t.Free(); err != nil {
		return err
	}
	return os.Rename(temp, t.Name)
}
