package drills

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"
)

// Sizes beyond which a file is refused instead of read.
const (
	maxFile    = 64 << 20  // bytes of a table
	maxTOML    = 128 << 10 // bytes of team.toml: thousands of lines, and few enough to compare each with each
	maxLine    = 1 << 20   // bytes of one line
	maxKids    = 5_000
	maxTrials  = 1_000_000
	maxColumns = 500
)

// readAll reads a file as UTF-8 text with LF line ends and no byte order mark. With a problem it
// returns nil.
func readAll(r io.Reader, file string, limit int) ([]byte, *collector) {
	probs := &collector{file: file}
	data, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	switch {
	case err != nil:
		probs.add(0, "check that the file can be opened", "cannot be read: %s", err)
		return nil, probs
	case len(data) > limit:
		probs.add(0, "is this the right file?", "larger than %d KiB", limit>>10)
		return nil, probs
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		probs.add(0, "save it as UTF-8 (a spreadsheet: CSV UTF-8)", "is UTF-16 text, not UTF-8")
		return nil, probs
	case !isText(data):
		do := "write it with a text editor"
		if strings.HasSuffix(file, ".csv") {
			do = "open it in the spreadsheet and save it as CSV (CSV UTF-8)"
		}
		probs.add(0, do, "is no text file")
		return nil, probs
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	if data == nil {
		data = []byte{}
	}
	return data, probs
}

// isText tells a text from a spreadsheet's own file, a picture or the like: those begin with a mark of their own, or
// hold many zero bytes. A zero byte or two is a slip in a text, and is reported where it stands.
func isText(data []byte) bool {
	for _, mark := range []string{"PK\x03\x04", "\xd0\xcf\x11\xe0", "%PDF-", "\x89PNG", "\xff\xd8\xff"} {
		if bytes.HasPrefix(data, []byte(mark)) {
			return false
		}
	}
	head := data[:min(len(data), 8000)]
	return bytes.Count(head, []byte{0})*20 <= len(head) || bytes.Count(head, []byte{0}) < 3
}

// plausibleText reports lines that are no UTF-8 and lines too long to be rows.
func plausibleText(data []byte, probs *collector) bool {
	if utf8.Valid(data) && len(data) <= maxLine {
		return true
	}
	ok := true
	for line := 1; len(data) > 0; line++ {
		row, rest, _ := bytes.Cut(data, []byte("\n"))
		if len(row) > maxLine {
			probs.add(line, "is this the right file?", "a line of more than %d MiB", maxLine>>20)
			return false
		}
		if !utf8.Valid(row) {
			probs.add(line, "save the file as CSV UTF-8 and look at the letters with accents on this line", "not UTF-8 text: %s", quote(string(row)))
			ok = false
		}
		data = rest
	}
	return ok
}

// separator is the likeliest of comma, semicolon and tab in the header line. A first line such as
// "sep=;", which some spreadsheets write, says it outright; skip is its length.
func separator(data []byte) (sep rune, skip int) {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	if s := strings.TrimSpace(strings.ToLower(string(first[:min(len(first), 20)]))); strings.HasPrefix(s, "sep=") && len(first) <= 10 {
		for _, c := range ",;\t" {
			if bytes.HasSuffix(bytes.TrimRight(first, " "), []byte(string(c))) {
				return c, min(len(first)+1, len(data))
			}
		}
	}
	header := ""
	for rest := data; len(rest) > 0; {
		var row []byte
		row, rest, _ = bytes.Cut(rest, []byte("\n"))
		if trimmed := bytes.TrimSpace(row); len(bytes.Trim(trimmed, ",;\t ")) > 0 && trimmed[0] != '#' && !bytes.HasPrefix(trimmed, []byte(`"#`)) {
			header = string(row)
			break
		}
	}
	counts := map[rune]int{}
	quoted := false
	for _, c := range header {
		if c == '"' {
			quoted = !quoted
		} else if !quoted {
			counts[c]++
		}
	}
	sep = ','
	for _, c := range ";\t" {
		if counts[c] > counts[sep] {
			sep = c
		}
	}
	return sep, 0
}

// noteWarnings points out notes that look like a row whose jersey number was written as #7.
func noteWarnings(data []byte, sep rune, warn *collector) {
	for line := 1; len(data) > 0; line++ {
		row, rest, _ := bytes.Cut(data, []byte("\n"))
		if len(row) > 2 && row[0] == '#' && isDigit(row[1]) && bytes.ContainsRune(row, sep) {
			warn.add(line, "if it is a row, write the number without #", "a line that starts with # is a note and was not read: %s", quote(string(row)))
		}
		data = rest
	}
}
