package drills

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// table reads a CSV file row by row. Blank rows and notes (rows that start with #) are skipped.
type table struct {
	probs   *collector
	csv     *csv.Reader
	above   int            // lines before those that csv sees
	line    int            // of the current row
	header  []string       // as written, trimmed
	columns map[string]int // by known name
	cells   []string       // of the current row, trimmed; overwritten by the next
	comma   bool
}

// openTable finds the separator and reads the header; nil if there is none.
func openTable(data []byte, probs, warn *collector) *table {
	if !plausibleText(data, probs) {
		return nil
	}
	sep, skip := separator(data)
	noteWarnings(data, sep, warn)
	t := &table{probs: probs, columns: map[string]int{}, comma: sep == ','}
	if skip > 0 {
		t.above = 1
	}
	t.csv = csv.NewReader(bytes.NewReader(data[skip:]))
	t.csv.Comma, t.csv.Comment, t.csv.FieldsPerRecord, t.csv.ReuseRecord = sep, '#', -1, true
	t.csv.TrimLeadingSpace = sep != '\t'
	before := len(probs.list)
	if !t.next() || len(probs.list) > before {
		return nil
	}
	if len(t.cells) > maxColumns {
		probs.add(t.line, "is this the right file?", "%d columns, more than %d", len(t.cells), maxColumns)
		return nil
	}
	for _, h := range t.cells {
		t.header = append(t.header, strings.Clone(h))
	}
	for len(t.header) > 0 && t.header[len(t.header)-1] == "" {
		t.header = t.header[:len(t.header)-1]
	}
	return t
}

// next reads the next row that is neither blank nor a note.
func (t *table) next() bool {
	for {
		cells, err := t.csv.Read()
		var pe *csv.ParseError
		if errors.As(err, &pe) {
			lost := "the row was"
			if first, last := t.above+pe.StartLine, t.above+pe.Line; last > first {
				lost = fmt.Sprintf("lines %d to %d were", first, last)
			}
			t.probs.add(t.above+pe.StartLine, `close it, or write "" for a quotation mark inside quotes`,
				"a quotation mark that is not closed or stands inside a cell; %s not read", lost)
			if errors.Is(pe.Err, csv.ErrQuote) || errors.Is(pe.Err, csv.ErrBareQuote) {
				continue
			}
			return false
		}
		if err != nil {
			if !errors.Is(err, io.EOF) {
				t.probs.add(0, "check the file", "cannot be read: %s", err)
			}
			return false
		}
		line, _ := t.csv.FieldPos(0)
		t.line = line + t.above
		blank := true
		for i, c := range cells {
			cells[i] = strings.TrimSpace(c)
			blank = blank && cells[i] == ""
		}
		if blank || cells[0] == "#" || strings.HasPrefix(cells[0], "# ") {
			continue // a spreadsheet puts quotes around a note with commas
		}
		t.cells = cells
		return true
	}
}

// columnName is the known name that a header cell means.
func columnName(header string) string { return strings.ToLower(header) }

// name notes where the known columns stand, and reports unknown, double and missing ones.
func (t *table) name(known, required []string) bool {
	var unknown []int
	for i, h := range t.header {
		name := columnName(h)
		if !slices.Contains(known, name) {
			unknown = append(unknown, i)
			continue
		}
		t.column(name, i)
	}
	for _, i := range unknown {
		what, do := "unknown column "+quote(t.header[i]), "known columns are "+prose.And(known)
		if t.header[i] == "" {
			what = "column " + number(float64(i+1)) + " has no name"
		}
		t.probs.add(t.line, prose.DidYouMean(t.header[i], known, do), "%s", what)
	}
	return t.require(required)
}

func (t *table) column(name string, i int) {
	if _, twice := t.columns[name]; twice {
		t.probs.add(t.line, "take one of them out", "column %s stands twice", name)
		return
	}
	t.columns[name] = i
}

func (t *table) require(required []string) bool {
	ok := true
	for _, name := range required {
		if _, there := t.columns[name]; !there {
			t.probs.add(t.line, "start the file with a header line that names its columns", "column %s is missing", name)
			ok = false
		}
	}
	return ok
}

// cell gives the current row's cell of a known column, "" if there is none.
func (t *table) cell(name string) string {
	i, ok := t.columns[name]
	if !ok {
		return ""
	}
	return t.at(i)
}

func (t *table) at(i int) string {
	if i >= len(t.cells) {
		return ""
	}
	return t.cells[i]
}

// fits reports a row with more cells than the header names.
func (t *table) fits() bool {
	n := len(t.cells)
	for n > 0 && t.cells[n-1] == "" {
		n--
	}
	if n <= len(t.header) {
		return true
	}
	do := "take out what is too much"
	switch {
	case t.comma:
		do = "a decimal comma or a comma in a text needs quotes around the cell; or use semicolons between cells"
	case t.csv.Comma == ';':
		do = "a semicolon within a cell needs quotes around the cell; else take out what is too much"
	}
	t.probs.add(t.line, do, "%d cells, and the header names %d; the row was not read", n, len(t.header))
	return false
}
