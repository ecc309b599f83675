package games

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"sevenyard/drills"
	"sevenyard/drills/lasting"
	"sevenyard/drills/regular"
)

// Journal appends to games.csv in a team folder. Nothing that stands in the file is ever changed: an entry goes below
// it, in one piece, under a lock, and is on the disk before Update returns. The only bytes that are
// ever taken out are those after the last whole entry that a crash left behind, and they are kept in a file beside it.
type Journal struct {
	Dir  string
	Wait time.Duration // how long to wait for another one that writes

	through lasting.Through // tests break writing with it
}

// The files beside games.csv.
const (
	lockFile = "." + File + ".lock" // stays; what counts is the lock on it
	newFile  = "." + File + ".new"  // only ever there while the first entry is written
)

// Result is what Update did.
type Result struct {
	Record *Record // as it is now
	Entry  int     // the number of the entry written; 0: there was nothing to write
	Cut    int64   // bytes of an entry that a crash had cut off, taken out of games.csv
	Kept   string  // the file they are kept in, "" if none were cut
}

// LockedError says that somebody else is writing.
type LockedError struct {
	By  string // "process 123", "" if not known
	For time.Duration
}

func (e *LockedError) Error() string {
	who := "another sevenyard record"
	if e.By != "" {
		who += " (" + e.By + ")"
	}
	return fmt.Sprintf("%s has been writing %s for %s; nothing was recorded: run the same again when it is done, or end it",
		who, File, max(time.Second, e.For.Round(time.Second)))
}

// Update reads the record, asks what to change, and appends that as one entry. Where change gives nil, nothing is written. An
// entry that does not go together with the record, or a record with problems, gives drills.Problems and writes nothing.
func (j *Journal) Update(ctx context.Context, change func(*Record) (*Change, error)) (*Result, error) {
	unlock, err := j.lock(ctx)
	if err != nil {
		return nil, err
	}
	defer unlock()
	name := filepath.Join(j.Dir, File)
	data, err := regular.Read(name, maxFile)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("nothing was recorded: %w", err)
	}
	a, err := Add(data, err == nil, change)
	if err != nil || a.Block == nil {
		if a == nil {
			return nil, err
		}
		return &Result{Record: a.Record}, err
	}
	if err := ctx.Err(); err != nil { // the last moment at which nothing has happened yet
		return nil, err
	}
	res := &Result{Record: a.Record, Entry: a.Entry, Cut: int64(len(a.Torn))}
	if a.First {
		return res, j.create(name, a.Block)
	}
	return res, j.append(name, data, a, res)
}

// otherLine is how a problem names another row.
var otherLine = regexp.MustCompile(`(, also on line | \(line )(\d+)\)?`)

// notThere takes the lines out of problems with rows that have not been written, which would stand on the first line or below.
func notThere(err error, first int) error {
	var ps drills.Problems
	if !errors.As(err, &ps) {
		return err
	}
	for i := range ps {
		ps[i].At.Line = 0
		ps[i].What = otherLine.ReplaceAllStringFunc(ps[i].What, func(s string) string {
			if n, _ := strconv.Atoi(otherLine.FindStringSubmatch(s)[2]); n < first {
				return s
			}
			return ""
		})
		ps[i].Do = "nothing was recorded"
	}
	return ps
}

// create writes the first entry: the file appears whole or not at all. The temporary file has always the same name, so that
// a crash leaves at most one, and the next run takes it away. It must not write into it: after a crash in settle it is another name of a
// record, which may have been moved elsewhere since.
func (j *Journal) create(name string, data []byte) error {
	temp := filepath.Join(j.Dir, newFile)
	if err := os.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	err := lasting.New(temp, data, j.through)
	if err == nil {
		err = settle(temp, name)
	}
	if err != nil {
		_ = os.Remove(temp)
		return fmt.Errorf("nothing was recorded: %w", err)
	}
	lasting.SyncFolder(j.Dir)
	return nil
}

// settle gives the file its name, unless somebody has made one of that name meanwhile. A link fails then; file
// systems without links leave it at a look before.
func settle(temp, name string) error {
	if os.Link(temp, name) == nil {
		_ = os.Remove(temp) // else the next create does
		return nil
	}
	if _, there := os.Lstat(name); there == nil {
		return fmt.Errorf("%s has just been made by somebody else; run the same again", File)
	}
	return os.Rename(temp, name)
}

// append writes the addition at the end of the whole entries, and puts what a crash has left behind them aside.
func (j *Journal) append(name string, read []byte, a *Addition, res *Result) error {
	w := lasting.Appending{Name: name, Read: read, Size: int64(a.Whole), Block: a.Block, Through: j.through}
	if len(a.Torn) > 0 {
		w.Aside = func() (err error) {
			res.Kept, err = j.keep(a.Torn)
			return err
		}
	}
	err := w.Write()
	var failed *lasting.FailedError
	switch {
	case errors.Is(err, lasting.ErrChanged):
		return fmt.Errorf("nothing was recorded: another program has just changed %s; close it there and run the same again", File)
	case errors.As(err, &failed) && failed.Back != nil:
		return fmt.Errorf("the entry was cut off while it was written, and does not count; the next run mends that: %w", err)
	case failed != nil:
		return fmt.Errorf("nothing was recorded, and %s is as it was: %w", File, failed.Err)
	}
	return err
}

// keep puts what a crash left behind into a file of its own, games.csv.torn-1 or the next number.
func (j *Journal) keep(torn []byte) (string, error) {
	name, err := lasting.Torn(filepath.Join(j.Dir, File), torn, j.through)
	if err != nil {
		return "", fmt.Errorf("nothing was recorded: what a crash has left in %s could not be put aside: %w", File, err)
	}
	return filepath.Base(name), nil
}
