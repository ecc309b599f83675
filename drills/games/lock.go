package games

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"sevenyard/drills/regular"
)

// lock takes the lock, and says in it who has it.
func (j *Journal) lock(ctx context.Context) (unlock func(), err error) {
	name := filepath.Join(j.Dir, lockFile)
	if err := lockable(name); err != nil {
		return nil, err
	}
	l := flock.New(name, flock.SetPermissions(regular.FileMode), flock.SetFlag(regular.LockFlag))
	got, err := l.TryLock() // once in any case, however short the wait and slow the machine
	if err == nil && !got {
		wait, cancel := context.WithTimeout(ctx, j.Wait)
		defer cancel()
		got, err = l.TryLockContext(wait, 20*time.Millisecond)
	}
	switch {
	case got:
		if err := lockable(name); err != nil { // it may have been exchanged meanwhile
			return nil, errors.Join(err, l.Unlock())
		}
		_ = sayHolder(name, "process "+strconv.Itoa(os.Getpid())+"\n") // a courtesy
		return func() {
			_ = sayHolder(name, "")
			_ = l.Unlock()
		}, nil
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.Is(err, context.DeadlineExceeded):
		busy := &LockedError{}
		if by, err := regular.Read(name, maxHolder); err == nil && len(by) > 0 && holder.Match(by) {
			busy.By = strings.TrimSpace(string(by))
		}
		if info, err := os.Stat(name); err == nil {
			busy.For = time.Since(info.ModTime())
		}
		return nil, busy
	}
	return nil, fmt.Errorf("%s cannot be locked: %w", File, err)
}

// holder is what stands in the lock's file: nothing, or who holds the lock, or what a crash left of that.
var holder = regexp.MustCompile(`^(p(r(o(c(e(s(s( [0-9]*\n?)?)?)?)?)?)?)?|\x00*)$`)

// maxHolder is the most bytes of it.
const maxHolder = 40

// lockable refuses a lock's file that is not one that this package made: a link would let the lock be written into what it leads to,
// and a file with something else in it is not ours to empty.
func lockable(name string) error {
	if err := regular.Lockable(name); err != nil {
		return fmt.Errorf("%s cannot be locked: %w", File, err)
	}
	if is, err := regular.Read(name, maxHolder); err == nil && !holder.Match(is) {
		return fmt.Errorf("%s cannot be locked: %s is another file than the one kept for that; move it elsewhere, and run the same again", File, name)
	}
	return nil
}

// sayHolder writes into the lock's file who holds it.
func sayHolder(name, who string) error {
	f, err := regular.OpenFile(name, os.O_RDWR|regular.DontFollow, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Truncate(0), write(f, who), f.Close())
}

func write(w io.Writer, text string) error {
	_, err := io.WriteString(w, text)
	return err
}
