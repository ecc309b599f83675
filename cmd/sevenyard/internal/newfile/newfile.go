// Package newfile writes a file, all of it or nothing, and over another one only when told to.
package newfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrExists says that something is there already.
var ErrExists = errors.New("it exists already")

// Free tells, before any work is done, whether a new file can have that name. Write asks again.
func Free(name string, replace bool) error {
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s is there and is no plain file", name)
	case !replace:
		return fmt.Errorf("%s: %w", name, ErrExists)
	}
	return nil
}

// Write writes the data to a temporary file beside name, syncs it, and gives it its name in one step.
func Write(name string, data []byte, replace bool) (err error) {
	if err := Free(name, replace); err != nil {
		return err
	}
	dir := filepath.Dir(name)
	f, err := os.CreateTemp(dir, "."+filepath.Base(name)+"-new-")
	if err != nil {
		return err
	}
	temp := f.Name()
	defer func() {
		if rest := os.Remove(temp); err == nil && rest != nil && !errors.Is(rest, fs.ErrNotExist) {
			err = rest
		}
	}()
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := settle(temp, name, replace); err != nil {
		return err
	}
	if d, err := os.Open(dir); err == nil { // where the system can, the name outlives a power cut too
		_ = d.Sync()
		_ = d.Close()
	}
	return nil
}

// settle gives the temporary file its name. A link fails where the name is taken, so that of two that write at once only one
// succeeds; file systems without links leave it at the look before.
func settle(temp, name string, replace bool) error {
	if replace {
		return os.Rename(temp, name)
	}
	err := os.Link(temp, name)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", name, ErrExists)
	}
	if err := Free(name, false); err != nil {
		return err
	}
	return os.Rename(temp, name)
}
