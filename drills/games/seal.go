package games

import (
	"fmt"
	"hash/crc32"
	"slices"
	"strconv"
	"strings"
	"time"

	"sevenyard/drills"
)

// sealed is the letter before the sum of a seal that covers everything. It also keeps a spreadsheet from reading 1e5 as a number.
const sealed = "s"

// seal is what the closing row says of the rows of its entry: how many, and the CRC-32 (IEEE 802.3) of all they say, the opening row
// included. It does not depend on their order, nor on how cells are quoted or ids are written (001, 1), so that sorting or saving the
// file in a spreadsheet does no harm; anything else that is changed shows.
func seal(rows []*row, date string) string {
	lines, said := make([]string, 0, len(rows)), 0
	for _, x := range rows {
		if x.role != opened && x.role != closed {
			said++
		}
		if x.role != closed {
			lines = append(lines, strings.Join([]string{drills.IDKey(x.game), date, x.opponent, span(x.first, x.last), x.role, drills.IDKey(x.kid), x.notes}, "\t")+"\n")
		}
	}
	slices.Sort(lines)
	return fmt.Sprintf("%d rows %s%08x", said, sealed, crc32.ChecksumIEEE([]byte(strings.Join(lines, ""))))
}

// oldSeal is the seal of earlier versions: it covers neither the opening row nor dates, opponents and notes.
func oldSeal(rows []*row) string {
	lines := make([]string, 0, len(rows))
	for _, x := range rows {
		if x.role != opened && x.role != closed {
			lines = append(lines, x.game+"\t"+span(x.first, x.last)+"\t"+x.role+"\t"+x.kid+"\n")
		}
	}
	slices.Sort(lines)
	return fmt.Sprintf("%d rows x%08x", len(lines), crc32.ChecksumIEEE([]byte(strings.Join(lines, ""))))
}

// broken says how an entry differs from what its seal says, or "". A date that a spreadsheet has written its own way is read as the one
// that the seal is of.
func (e *entry) broken(said string) string {
	head := e.rows[0]
	for _, x := range e.rows {
		if x.date != head.date || x.opponent != head.opponent {
			return "its rows have more than one date or opponent"
		}
	}
	is := seal(e.rows, head.date)
	for _, date := range DaysOf(head.date) {
		if said == seal(e.rows, date) {
			for _, x := range e.rows {
				x.date = date
			}
			return ""
		}
	}
	if said == is {
		return ""
	}
	return fmt.Sprintf("its closing row says %s, and here are %s", drills.Quote(said), drills.Quote(is))
}

// DaysOf are the days, as 2026-09-12, that a cell may mean that was typed otherwise or went through a spreadsheet: 12/9/2026 is two days.
func DaysOf(cell string) []string {
	var out []string
	add := func(t time.Time, err error) {
		if d := t.Format(time.DateOnly); err == nil && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	for _, sep := range []string{"/", ".", "-", " "} {
		text := strings.NewReplacer(". ", ".", " ", sep).Replace(cell)
		for _, form := range []string{"2|1|2006", "1|2|2006", "2006|1|2", "2|1|06", "1|2|06", "2|Jan|2006", "2|Jan|06", "Jan|2|2006", "2|January|2006"} {
			add(time.Parse(strings.ReplaceAll(form, "|", sep), strings.TrimSuffix(text, ".")))
		}
	}
	if n, err := strconv.Atoi(cell); err == nil && n > 20_000 && n < 80_000 { // days since 1899-12-30, as spreadsheets count
		add(time.Date(1899, 12, 30+n, 0, 0, 0, 0, time.UTC), nil)
	}
	return out
}
