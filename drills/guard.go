package drills

import (
	"strings"
	"unicode"
)

// guard is what stands before a cell that a spreadsheet would take for a formula. It shows the cell as text then.
const guard = "'"

// GuardCell makes a text safe to stand in a CSV file that a spreadsheet opens: one that begins as a formula does gets an apostrophe
// before it. Every other text stays as it is. UnguardCell takes the apostrophe off again, so that for every text
// UnguardCell(GuardCell(text)) is the text; a checksum over what a file says goes over the texts, not over the cells.
func GuardCell(text string) string {
	if formula(text) {
		return guard + text
	}
	return text
}

// UnguardCell gives the text that GuardCell made the cell of. A cell typed by hand is read as it stands, unless it
// begins with an apostrophe and what a formula begins with.
func UnguardCell(cell string) string {
	if strings.HasPrefix(cell, guard) && formula(cell) {
		return cell[len(guard):]
	}
	return cell
}

// formula tells whether a spreadsheet may take the text for a formula, whatever apostrophes it begins with: these count, since a text
// with one of its own has to come back with it. Besides the ASCII signs some spreadsheets take the wide ones, and some
// skip white space first; a tab or a line end at the beginning may end the cell before.
func formula(text string) bool {
	text = strings.TrimLeft(text, guard)
	if text != "" && strings.ContainsRune("\t\r\n", rune(text[0])) {
		return true
	}
	for _, r := range text {
		if !unicode.IsSpace(r) {
			return strings.ContainsRune("=+-@＝＋－＠", r)
		}
	}
	return false
}
