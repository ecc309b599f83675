package newfile

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/gofrs/flock"

	"sevenyard/drills/regular"
)

// Part names what is written beside a target before it gets the target's name. Who writes it holds a lock on it, which ends with the
// process however that ends: what bears such a name and is not locked was left by a run that was killed.
type Part struct{ dir, prefix string }

// partSuffix ends the names, after 16 hexadecimal digits.
const partSuffix = ".part"

var partMiddle = regexp.MustCompile(`^[0-9a-f]{16}$`)

// NewPart is the temporary names of a target. A long name is cut, since the file system limits it.
func NewPart(target string) Part {
	const most = 200 // bytes, of the 255 that file systems allow
	base := filepath.Base(target)
	for len(base) > most {
		_, size := utf8.DecodeLastRuneInString(base)
		base = base[:len(base)-size]
	}
	return Part{filepath.Dir(target), "." + base + "."}
}

// Fresh is a name that nothing has yet, in all likelihood.
func (p Part) Fresh() string {
	var random [8]byte
	_, _ = rand.Read(random[:]) // does not fail
	return filepath.Join(p.dir, p.prefix+hex.EncodeToString(random[:])+partSuffix)
}

// Sweep gives all that bears such a name and is no link to take, which is to remove it where nobody holds it. It is a courtesy: what
// fails is left for the next time.
func (p Part) Sweep(take func(name string) error) {
	entries, err := os.ReadDir(p.dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		middle, ours := strings.CutPrefix(e.Name(), p.prefix)
		if !ours {
			continue
		}
		middle, ours = strings.CutSuffix(middle, partSuffix)
		if !ours || !partMiddle.MatchString(middle) {
			continue
		}
		name := filepath.Join(p.dir, e.Name())
		switch {
		case e.Type().IsRegular():
			if release, held, _ := Hold(name); held {
				_ = take(name)
				release()
			}
		case e.IsDir():
			_ = take(name)
		}
	}
}

// Hold locks a plain file that is there; held is false where another process has it. An error says that the file, or
// any on its file system, cannot be locked.
func Hold(name string) (release func(), held bool, err error) {
	l := flock.New(name, flock.SetFlag(os.O_RDWR))
	if held, err = l.TryLock(); !held {
		return func() {}, false, err
	}
	return func() { _ = l.Unlock() }, true, nil
}

// create makes the temporary file and holds it. Between the two a run that cleans up may take it; then another one is made. On
// a file system without locks nobody can clean up either.
func (p Part) create() (f *os.File, release func(), err error) {
	for range 10 {
		f, err = os.OpenFile(p.Fresh(), os.O_WRONLY|os.O_CREATE|os.O_EXCL, regular.FileMode)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		release, held, cannot := Hold(f.Name())
		is, err1 := f.Stat()
		named, err2 := os.Lstat(f.Name())
		if (held || cannot != nil) && err1 == nil && err2 == nil && os.SameFile(is, named) {
			return f, release, nil
		}
		err = errors.Join(errors.New("the temporary file has been taken away"), f.Close())
		_ = os.Remove(f.Name())
		release()
	}
	return nil, nil, err
}
