// Package newfolder writes a new folder with files in it: all of it or nothing, and never over anything.
package newfolder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File is one file to write.
type File struct {
	Name string
	Data []byte
}

// ErrExists says that something is there already.
var ErrExists = errors.New("it exists already")

// Write makes dir with the files. They are written and synced in a folder beside it, which is then
// renamed; dir may exist only as an empty folder.
func Write(dir string, files []File) (err error) {
	dir = filepath.Clean(dir)
	if err := free(dir); err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return err
	}
	temp, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+"-new-")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(temp))
		}
	}()
	if err := os.Chmod(temp, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if err := writeSynced(filepath.Join(temp, f.Name), f.Data); err != nil {
			return err
		}
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
	syncDir(parent)
	return nil
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

func writeSynced(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// syncDir makes the rename last through a power cut where the system can; where it cannot, the folder is still whole.
func syncDir(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
