package games

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"
	"unicode/utf8"

	"sevenyard/drills"
)

const maxFile = 64 << 20 // bytes

// fileState is what a writer has to know of the file.
type fileState struct {
	there     bool
	size      int64
	columns   []string
	separator rune
	lineEnd   string
	unended   bool  // the last row has no line end yet
	cut       int64 // what follows this byte is an entry cut off by a crash; -1: nothing
	last      int   // the last entry's number
}

// Read reads games.csv; name is for messages. The error is of type drills.Problems and lists every
// problem with its line; with one, the record holds what could be read. An entry that a crash has cut off at the end of
// the file does not count, and a warning says so.
func Read(name string, r io.Reader) (*Record, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	switch {
	case err != nil:
		return &Record{}, drills.Problems{{At: drills.Place{File: name}, What: fmt.Sprintf("cannot be read: %s", err), Do: "check that the file can be opened"}}
	case len(data) > maxFile:
		return &Record{}, drills.Problems{tooLarge(name)}
	}
	return parse(name, data)
}

func tooLarge(name string) drills.Problem {
	return drills.Problem{At: drills.Place{File: name}, What: "larger than 64 MiB", Do: "is this the right file?"}
}

// ReadFolder reads games.csv of a team folder. A folder without one has an empty record. An entry that is only half there may be one that is
// being written just now, so that it is looked at again for a moment: who was hurt may stand in it.
func ReadFolder(fsys fs.FS) (*Record, error) {
	rec, err := readFolder(fsys)
	for n := 0; rec.state.there && rec.state.cut >= 0 && n < 5; n++ {
		time.Sleep(20 * time.Millisecond)
		rec, err = readFolder(fsys)
	}
	return rec, err
}

func readFolder(fsys fs.FS) (*Record, error) {
	f, err := fsys.Open(File)
	if errors.Is(err, fs.ErrNotExist) {
		return &Record{}, nil
	}
	if err != nil {
		return &Record{}, drills.Problems{{At: drills.Place{File: File}, What: fmt.Sprintf("cannot be read: %s", err), Do: "check that the file can be opened"}}
	}
	defer f.Close()
	return Read(File, f)
}

// parse reads the whole file.
func parse(name string, data []byte) (*Record, error) {
	text := bytes.TrimRight(data, "\x00") // a crash of the machine can leave zeros
	rec := &Record{state: fileState{there: true, size: int64(len(data)), cut: -1, lineEnd: lineEnd(text)}}
	p, body := parseTail(name, text)
	switch {
	case body < len(text):
		rec.state.cut = int64(body)
	case len(text) > 0 && !bytes.HasSuffix(text, []byte(rec.state.lineEnd)):
		rec.state.unended = true
	}
	if len(text) < len(data) && rec.state.cut < 0 {
		rec.state.cut = int64(len(text))
	}
	if e := p.torn(); e != nil && !typedBelow(data, e.rows[0].line) {
		rec.state.cut = int64(offset(data, e.rows[0].line))
		p.entries = p.entries[:len(p.entries)-1]
	}
	if rec.state.cut >= 0 {
		p.Warn(lineOf(data, int(rec.state.cut)), "record it again: that also mends the file",
			"what begins here was cut off while it was written, and does not count")
	}
	if p.headed {
		rec.state.columns, rec.state.separator = p.Columns(), p.Separator()
	}
	for _, e := range p.entries {
		rec.state.last = max(rec.state.last, e.number)
	}
	p.resolve(name, rec)
	var err error
	rec.Warnings, err = p.Finish()
	return rec, err
}

// parser is the rows of a file.
type parser struct {
	reader
	rows    []row
	entries []*entry
	headed  bool // there is a header
}

func parseRows(name string, text []byte) *parser {
	p := &parser{reader: reader{drills.OpenSheet(name, bytes.NewReader(text), columns, required, spare...), map[string]string{}}}
	p.headed = p.Ready()
	p.rows = make([]row, 0, len(text)/24)
	for p.Next() {
		if len(p.rows) == maxRows {
			p.Problem(p.Line(), "is this the right file?", "more than %d rows; the rest was not read", maxRows)
			break
		}
		p.rows = append(p.rows, p.row())
	}
	p.entries = entries(p.rows)
	return p
}

// torn is an entry at the end of the file that was opened and not closed, with nothing else after its opening
// row; nil if there is none. Rows that a person typed below are no reason to throw anything away: then it is a problem.
func (p *parser) torn() *entry {
	if len(p.entries) == 0 {
		return nil
	}
	e := p.entries[len(p.entries)-1]
	n := len(e.rows)
	if e.count(closed) > 0 || e.rows[0].role != opened || e.count(opened) > 1 {
		return nil
	}
	tail := p.rows[len(p.rows)-n:]
	if tail[0].line != e.rows[0].line {
		return nil
	}
	return e
}

// parseTail reads the rows, and tells how many bytes of the text hold them. The bytes after the last line end are the delicate
// part: a row whose line end a person left out is a row, and what a crash left of one is not. The tool writes an
// opening row first, which names no kid, and a closing row last, which tells whether it is whole.
func parseTail(name string, text []byte) (p *parser, read int) {
	end := 1 + bytes.LastIndexAny(text, "\r\n")
	p = parseRows(name, text)
	if len(bytes.TrimSpace(text[end:])) == 0 || len(bytes.TrimSpace(text[:end])) == 0 {
		return p, len(text)
	}
	before := parseRows(name, text[:end])
	if !before.headed || !utf8.Valid(trimRune(text[end:])) {
		return p, len(text)
	}
	e := before.torn()
	switch x := p.lastRow(); {
	case e == nil && bytes.HasPrefix(bytes.TrimSpace(text[end:]), []byte("#")):
		return p, len(text) // a person's note
	case x.line != lineOf(text, end): // nothing that can be read
	case e == nil && !x.begins():
		return p, len(text)
	case e != nil && x.role == closed && x.entry == e.number && p.entries[len(p.entries)-1].fault() == "":
		return p, len(text)
	}
	return before, end
}

// begins tells whether a row without its end may be what a crash has left of an opening row. A person's row says more: a series, a role of
// its own, a kid.
func (x *row) begins() bool {
	return x.game != "" && x.first == 0 && strings.HasPrefix(opened, x.role) && x.kid == "" && x.notes == ""
}

// typedBelow tells whether a person's note stands below the line: then it is for a person to say what was cut off.
func typedBelow(data []byte, line int) bool {
	for _, text := range bytes.FieldsFunc(data[offset(data, line):], func(r rune) bool { return r == '\n' || r == '\r' }) {
		if bytes.HasPrefix(bytes.TrimSpace(text), []byte("#")) {
			return true
		}
	}
	return false
}

// trimRune takes a letter off the end that is only there in part.
func trimRune(text []byte) []byte {
	for i := len(text) - 1; i >= 0 && i >= len(text)-utf8.UTFMax; i-- {
		if utf8.RuneStart(text[i]) && !utf8.FullRune(text[i:]) {
			return text[:i]
		}
	}
	return text
}

// lastRow is the last row, none with line 0.
func (p *parser) lastRow() row {
	if len(p.rows) == 0 {
		return row{}
	}
	return p.rows[len(p.rows)-1]
}

// lineEnd is the first line end of the text, "\n" if there is none.
func lineEnd(text []byte) string {
	i := bytes.IndexAny(text, "\r\n")
	switch {
	case i < 0 || text[i] == '\n':
		return "\n"
	case i+1 < len(text) && text[i+1] == '\n':
		return "\r\n"
	}
	return "\r"
}

// offset is the byte at which a line, counted from 1, begins.
func offset(data []byte, line int) int {
	at := 0
	for ; line > 1 && at < len(data); line-- {
		i := bytes.IndexAny(data[at:], "\r\n")
		if i < 0 {
			return len(data)
		}
		at += i + 1
		if data[at-1] == '\r' && at < len(data) && data[at] == '\n' {
			at++
		}
	}
	return at
}

// lineOf is the line, counted from 1, on which a byte stands.
func lineOf(data []byte, at int) int {
	line := 1
	for i, c := range data[:at] {
		if c == '\n' && !(i > 0 && data[i-1] == '\r') || c == '\r' {
			line++
		}
	}
	return line
}
