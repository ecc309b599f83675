package drills

import (
	"io"
	"slices"
)

// Sheet is a table that a person keeps, for readers in other packages: it takes what the readers here
// take (commas, semicolons or tabs, any line ends, a byte order mark, notes, blank rows) and gathers
// problems the same way.
type Sheet struct {
	t           *table // nil: there is nothing to read
	probs, warn *collector
}

// OpenSheet reads the header of a table. Columns not among known are problems, and so is one of
// required that is missing. Spare names columns that a header need not have: where it does not, they
// follow the last column it names, in that order. A file without a header has no rows.
func OpenSheet(file string, r io.Reader, known, required []string, spare ...string) *Sheet {
	data, probs := readAll(r, file, maxFile)
	s := &Sheet{probs: probs, warn: &collector{file: file}}
	if data == nil {
		return s
	}
	t := openTable(data, probs, s.warn)
	if t == nil || !t.name(known, required) {
		return s
	}
	for _, name := range spare {
		if _, there := t.columns[name]; !there {
			t.columns[name] = len(t.header)
			t.header = append(t.header, name)
		}
	}
	s.t = t
	return s
}

// Ready tells whether the header was there and understood.
func (s *Sheet) Ready() bool { return s.t != nil }

// Next goes to the next row that holds something. A row with more cells than columns is a problem,
// and is passed over.
func (s *Sheet) Next() bool {
	for s.t != nil && s.t.next() {
		if s.t.fits() {
			return true
		}
	}
	return false
}

// Line is that of the current row.
func (s *Sheet) Line() int { return s.t.line }

// Cell is the current row's cell in a column, trimmed; "" where there is none. It stays valid until
// the next row.
func (s *Sheet) Cell(column string) string { return s.t.cell(column) }

// Columns are the names of the columns from left to right in lower case, spare ones included.
func (s *Sheet) Columns() []string {
	out := make([]string, len(s.t.header))
	for name, i := range s.t.columns {
		out[i] = name
	}
	return out
}

// Separator is what stands between the cells.
func (s *Sheet) Separator() rune { return s.t.csv.Comma }

// Problem notes what is wrong on a line, and what to do about it; line 0 is the whole file.
func (s *Sheet) Problem(line int, do, format string, args ...any) {
	s.probs.add(line, do, format, args...)
}

// Warn notes what looks odd on a line and counts.
func (s *Sheet) Warn(line int, do, format string, args ...any) { s.warn.add(line, do, format, args...) }

// Finish gives the warnings and, as an error of type Problems, all problems, both in the order of lines.
func (s *Sheet) Finish() (Problems, error) { return s.warn.finish(), s.probs.finish().err() }

// CheckID says what is wrong with an id (of a kid, of a game), or "".
func CheckID(id string) string { return badID(id) }

// CheckText says why a text cannot be shown on a screen, or "".
func CheckText(text string) string { return badText(text, longText) }

// Quote shows a value from a file: in quotation marks, control characters escaped, long ones cut.
func Quote(value string) string { return quote(value) }

// RoleNames are the names of the roles, in the catalogue's order.
func (c *Catalogue) RoleNames() []string { return c.roleNames() }

// KidAdvice suggests whom an id that the roster does not have may mean.
func KidAdvice(id string, roster []Kid) string { return rosterOf(slices.Clone(roster)).advice(id) }
