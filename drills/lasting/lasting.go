// Package lasting writes files that have to outlive a crash at any moment: new ones whole or not at all, others only at their end, and what a crash has left
// of an end is put aside before it is taken out.
package lasting

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"sevenyard/drills/regular"
)

// Through is what bytes go through on their way into a file; nil: nothing. Tests break writing with it.
type Through func(io.Writer) io.Writer

func (t Through) writer(f *os.File) io.Writer {
	if t == nil {
		return f
	}
	return t(f)
}

// New writes a file that must not be there yet, for its owner alone, and has it on the disk before it returns.
func New(name string, data []byte, through Through) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, regular.FileMode)
	if err != nil {
		return err
	}
	_, err = through.writer(f).Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// SyncFolder makes a file's name outlive a power cut. Not every system lets a folder be opened or synced; then it is not.
func SyncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}

// ErrChanged says that a file is not what was read of it: a spreadsheet, say, knows nothing of a lock, and what it has saved must not be cut off as if a
// crash had left it.
var ErrChanged = errors.New("another program has just changed the file")

// FailedError says that writing failed. Back is what failed in taking it back; nil: the file is as it was.
type FailedError struct{ Err, Back error }

func (e *FailedError) Error() string { return errors.Join(e.Err, e.Back).Error() }

func (e *FailedError) Unwrap() []error { return []error{e.Err, e.Back} }

// Appending is a block on its way to the end of a file.
type Appending struct {
	Name    string
	Read    []byte       // the file as it was read
	Size    int64        // so many of its bytes stay; those behind them are what a crash has left
	Block   []byte       // goes behind those that stay
	Aside   func() error // puts what a crash has left aside; nil: there is nothing
	Through Through
}

// Write appends the block. Where the file is not what was read, nothing is written, and nothing cut (ErrChanged). What fails on the way is taken back
// (FailedError). Else the block is on the disk.
func (a *Appending) Write() error {
	f, err := regular.OpenFile(a.Name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	if is, err := io.ReadAll(io.LimitReader(f, int64(len(a.Read))+1)); err != nil {
		return err
	} else if !bytes.Equal(is, a.Read) {
		return ErrChanged
	}
	if a.Aside != nil {
		if err := a.Aside(); err != nil {
			return err
		}
	}
	if err := f.Truncate(a.Size); err != nil {
		return err
	}
	if _, err = f.Seek(a.Size, io.SeekStart); err == nil {
		_, err = a.Through.writer(f).Write(a.Block)
	}
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		return &FailedError{err, errors.Join(f.Truncate(a.Size), f.Sync())}
	}
	SyncFolder(filepath.Dir(a.Name))
	return nil
}

// Torn puts what a crash has left of a file into one of its own beside it, NAME.torn-1 or the next number, and gives that file's name. What was kept
// already, by a run that was itself cut off, is not kept twice.
func Torn(name string, data []byte, through Through) (string, error) {
	for n := 1; ; n++ {
		kept := fmt.Sprintf("%s.torn-%d", name, n)
		err := New(kept, data, through)
		switch {
		case errors.Is(err, fs.ErrExist):
			if old, err := regular.Read(kept, int64(len(data))); err == nil && bytes.Equal(old, data) {
				return kept, nil
			}
			continue
		case err != nil:
			_ = os.Remove(kept)
			return "", err
		}
		SyncFolder(filepath.Dir(name))
		return kept, nil
	}
}
