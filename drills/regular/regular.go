// Package regular opens plain files and nothing else: never a pipe, a device or a folder, which could block for ever or never end. It
// also knows how files and folders with kids' names in them are made: for their owner alone.
package regular

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// The modes of what the program makes, whatever the umask: names of minors are nobody else's. What a person made, or opened to
// others since, keeps its mode.
const (
	FileMode   fs.FileMode = 0o600
	FolderMode fs.FileMode = 0o700
)

// ErrNotPlain says that what has the name is no plain file.
var ErrNotPlain = errors.New("is no plain file")

// ErrDangling says that the name is a link to something that is not there. It is no fs.ErrNotExist: something has the name.
var ErrDangling = errors.New("is a link to something that is not there")

// Open opens a plain file for reading, through links. It does not wait for anything.
func Open(name string) (*os.File, error) { return OpenFile(name, os.O_RDONLY, 0) }

// OpenFile opens a plain file that is there, or with os.O_CREATE makes one, but never through a link that leads nowhere.
func OpenFile(name string, flag int, perm fs.FileMode) (*os.File, error) {
	// The look before keeps devices from being opened at all, which can already do something; the one after counts.
	switch info, err := os.Stat(name); {
	case err == nil && !info.Mode().IsRegular():
		return nil, notPlain(name, info)
	case errors.Is(err, fs.ErrNotExist):
		if _, there := os.Lstat(name); there == nil {
			return nil, fmt.Errorf("%s %w", name, ErrDangling)
		}
		if flag&os.O_CREATE == 0 {
			return nil, err
		}
		flag |= os.O_EXCL // a link made meanwhile is not followed
	case err != nil:
		return nil, err
	}
	f, err := os.OpenFile(name, flag|dontWait, perm)
	if err != nil {
		return nil, err
	}
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		f.Close()
		if err != nil {
			return nil, err
		}
		return nil, notPlain(name, info)
	}
	return f, nil
}

func notPlain(name string, info fs.FileInfo) error {
	if info.IsDir() {
		return fmt.Errorf("%s %w but a folder", name, ErrNotPlain)
	}
	return fmt.Errorf("%s %w", name, ErrNotPlain)
}

// Read reads a plain file: at most so many bytes, and one more where there is more, so that the caller can say what is too large.
func Read(name string, most int64) ([]byte, error) {
	f, err := Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most+1))
}

// LockFlag is how a lock's file is opened once Lockable has looked at it.
const LockFlag = os.O_CREATE | os.O_RDONLY | DontFollow | dontWait

// Lockable refuses a lock's file that is there and is no plain file, or a link: what it leads to is another's.
func Lockable(name string) error {
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Mode()&fs.ModeSymlink != 0:
		return fmt.Errorf("%s is a link to something else; take the link away, and run the same again", name)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s %w; take it away, and run the same again", name, ErrNotPlain)
	}
	return nil
}

// Folder is os.DirFS whose files are opened by Open. Names in errors are within the folder.
func Folder(dir string) fs.FS { return folder{os.DirFS(dir), dir} }

type folder struct {
	fs.FS
	dir string
}

// Open opens a plain file or a folder.
func (d folder) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	full := filepath.Join(d.dir, filepath.FromSlash(name))
	if info, err := os.Stat(full); err == nil && info.IsDir() {
		return d.FS.Open(name)
	}
	f, err := Open(full)
	var path *fs.PathError
	switch {
	case errors.Is(err, ErrDangling):
		return nil, ErrDangling
	case errors.Is(err, ErrNotPlain):
		return nil, ErrNotPlain
	case errors.As(err, &path):
		return nil, &fs.PathError{Op: path.Op, Path: name, Err: path.Err}
	case err != nil:
		return nil, err
	}
	return f, nil
}

// Stat and ReadDir are what os.DirFS does.
func (d folder) Stat(name string) (fs.FileInfo, error)      { return fs.Stat(d.FS, name) }
func (d folder) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(d.FS, name) }
