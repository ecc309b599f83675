// Package boardfile keeps the picks of a live draft in a file that survives a crash at any moment. It is a CSV file for people to
// look at: a row an event, each closed by a check that also covers the rows before it. Rows are only ever
// appended, under a lock, and are on the disk before Append returns. An event that was taken back stays, with a row below it that says so.
package boardfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/gofrs/flock"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/drills"
	"sevenyard/drills/lasting"
	"sevenyard/drills/regular"
)

// What a row says.
const (
	Start = "start" // the board begins; Kid holds a fingerprint of the pool
	Order = "order" // Team is the next in the order of round 1
	Pick  = "pick"  // Team calls Kid
	Undo  = "undo"  // the pick that stands last is taken back
)

// Row is one event.
type Row struct{ What, Team, Kid string }

// Board is an open file, locked until Close.
type Board struct {
	Rows  []Row
	Lines []int // of the rows in the file
	// Torn are the bytes of a last row that a crash cut off: they count for nothing.
	Torn []byte

	name  string
	read  []byte // the file as it was read, or written since
	end   int64  // of the last whole row
	check string // of the last row
	lock  *flock.Flock
}

var header = []string{"entry", "what", "team", "kid", "check"}

// maxFile is the most bytes that are read; a draft of 1,000 kids takes far fewer.
const maxFile = 4 << 20

// wait is how long to wait for another one who has the board open.
var wait = 3 * time.Second

// ErrBusy says that somebody else has the board open.
var ErrBusy = errors.New("the board is open elsewhere; try again when that is done")

// Create writes a new board, never over another file.
func Create(name string, rows []Row) error {
	var b bytes.Buffer
	b.WriteString(line(header))
	check := ""
	for i, r := range rows {
		var text string
		text, check = r.encode(i+1, check)
		b.WriteString(text)
	}
	return newfile.Write(name, b.Bytes(), false)
}

// Open locks and reads a board. What is wrong with it comes back as drills.Problems.
func Open(name string) (*Board, error) {
	b := &Board{name: name}
	if info, err := os.Stat(name); err != nil { // before the lock's file is made
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is no plain file", name)
	}
	lock := filepath.Join(filepath.Dir(name), "."+filepath.Base(name)+".lock")
	if err := regular.Lockable(lock); err != nil {
		return nil, fmt.Errorf("%s cannot be locked: %w", filepath.Base(name), err)
	}
	b.lock = flock.New(lock, flock.SetPermissions(regular.FileMode), flock.SetFlag(regular.LockFlag))
	for until := time.Now().Add(wait); ; time.Sleep(50 * time.Millisecond) {
		ok, err := b.lock.TryLock()
		if err != nil {
			return nil, err
		}
		if ok {
			break
		}
		if time.Now().After(until) {
			return nil, ErrBusy
		}
	}
	data, err := read(name)
	if b.read = data; err == nil {
		err = b.parse(data)
	}
	if err != nil {
		_ = b.Close()
		return nil, err
	}
	return b, nil
}

func read(name string) ([]byte, error) {
	data, err := regular.Read(name, maxFile)
	if err == nil && len(data) > maxFile {
		err = drills.Problems{{At: drills.Place{File: filepath.Base(name)}, What: "the file is too large for a board", Do: "is this the right file?"}}
	}
	return data, err
}

// Close gives the lock up.
func (b *Board) Close() error { return b.lock.Unlock() }

// ErrChanged says that another program, which knows nothing of the lock, has changed the file since it was read.
var ErrChanged = errors.New("another program has just changed the board; nothing was written: close it there, look whether the board is as it should be, and run the same again")

// Append writes rows below the others. A torn row is cut off first, and kept in a file of its own. Where the file is not what was read, nothing is
// written, and nothing cut: what a spreadsheet has saved since must not go as if a crash had left it. What fails on the way is taken back.
func (b *Board) Append(rows ...Row) error {
	text, check := "", b.check
	for i, r := range rows {
		var one string
		one, check = r.encode(len(b.Rows)+i+1, check)
		text += one
	}
	w := lasting.Appending{Name: b.name, Read: b.read, Size: b.end, Block: []byte(text)}
	if len(b.Torn) > 0 {
		w.Aside = func() error {
			_, err := lasting.Torn(b.name, b.Torn, nil)
			return err
		}
	}
	if err := w.Write(); errors.Is(err, lasting.ErrChanged) {
		return fmt.Errorf("%s: %w", filepath.Base(b.name), ErrChanged)
	} else if err != nil {
		return err
	}
	b.Rows, b.Torn, b.check = append(b.Rows, rows...), nil, check
	b.read = append(b.read[:b.end:b.end], text...)
	b.end += int64(len(text))
	return nil
}

func line(cells []string) string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write(cells) // into memory
	w.Flush()
	return b.String()
}

// encode gives the row's line and its check.
func (r Row) encode(entry int, before string) (text, check string) {
	check = r.check(entry, before)
	return line([]string{strconv.Itoa(entry), r.What, r.Team, r.Kid, check}), check
}

// check is the CRC-32 (IEEE) of the check before it and of the row's cells, with zero bytes between.
func (r Row) check(entry int, before string) string {
	sum := crc32.ChecksumIEEE([]byte(before + "\x00" + strconv.Itoa(entry) + "\x00" + r.What + "\x00" + r.Team + "\x00" + r.Kid))
	return fmt.Sprintf("x%08x", sum) // the letter keeps a spreadsheet from reading a number
}

// parse reads the rows. The last line is torn if it does not end, or holds zero bytes as some file systems leave them; any other
// line whose check fails is a problem.
func (b *Board) parse(data []byte) error {
	at := int64(len(line(header)))
	if int64(len(data)) < at || string(data[:at]) != line(header) {
		return b.problem(1, "this is no board: it does not begin with "+line(header)[:at-1], "give the file that ⟦start-board⟧ made, as it made it")
	}
	for number := 2; at < int64(len(data)); number++ {
		length := bytes.IndexByte(data[at:], '\n') + 1
		row, check, ok := Row{}, "", false
		if length > 0 {
			row, check, ok = b.row(data[at : at+int64(length)])
		}
		torn := length == 0 || at+int64(length) == int64(len(data)) && bytes.IndexByte(data[at:], 0) >= 0
		switch {
		case ok:
			b.Rows, b.Lines, b.check = append(b.Rows, row), append(b.Lines, number), check
			at += int64(length)
		case torn:
			b.end, b.Torn = at, bytes.Clone(data[at:])
			return nil
		default:
			return b.problem(number, "this row was changed, or one above it is missing", "a board is only ever added to: take the file as it was, and undo picks with ⟦undo⟧")
		}
	}
	b.end = at
	return nil
}

// row reads one line as the next row.
func (b *Board) row(text []byte) (Row, string, bool) {
	r := csv.NewReader(bytes.NewReader(text))
	cells, err := r.Read()
	if err != nil || len(cells) != len(header) || cells[0] != strconv.Itoa(len(b.Rows)+1) {
		return Row{}, "", false
	}
	row := Row{cells[1], cells[2], cells[3]}
	return row, cells[4], cells[4] == row.check(len(b.Rows)+1, b.check)
}

func (b *Board) problem(number int, what, do string) error {
	return drills.Problems{{At: drills.Place{File: filepath.Base(b.name), Line: number}, What: what, Do: do}}
}
