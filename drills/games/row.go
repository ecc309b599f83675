package games

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"sevenyard/drills"
)

// The words of the column role that are no roles.
const (
	present = "present" // the kid was there
	void    = "void"    // the series, or the whole game, does not count
	opened  = "opened"  // an entry begins
	closed  = "closed"  // an entry is whole
	hurt    = "hurt"    // the kid was hurt in the series, and is out for the day
	cleared = "cleared" // the kid is hurt no longer, or never was; the notes say who says so
)

// reserved are those words, for a team that has a role of such a name.
var reserved = []string{present, void, opened, closed, hurt, cleared}

// hurtWords begin the words of a note that say that a kid was hurt. Versions before the role hurt wrote the note hurt beside the attendance,
// and people write what they like: one mark too many is cleared in a moment, and one too few puts a hurt kid back on the field.
var hurtWords = []string{"hurt", "injur", "concus"}

// saysHurt tells whether a note says that the kid was hurt.
func saysHurt(note string) bool {
	for _, word := range strings.FieldsFunc(strings.ToLower(note), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if slices.ContainsFunc(hurtWords, func(h string) bool { return strings.HasPrefix(word, h) }) {
			return true
		}
	}
	return false
}

const (
	maxSeries = 99
	maxEntry  = 999_999
	maxRows   = 1_000_000
)

var (
	columns  = []string{"game", "date", "opponent", "series", "role", "kid", "entry", "notes"}
	required = []string{"game", "series", "role", "kid"}
	spare    = []string{"entry", "notes"}
)

// row is one row of the file. Series first to last; 0 to 0 is the whole game, first to 0 is to its end.
type row struct {
	line                 int
	game, date, opponent string
	first, last          int
	role, kid            string
	entry                int // 0: typed by hand
	notes                string
	spoilt               bool // it cannot be read
	isSlot               bool // a kid in a role
}

// reader reads rows; texts that stand on many rows are kept once.
type reader struct {
	*drills.Sheet
	texts map[string]string
}

func (r *reader) text(column string) string {
	cell := drills.UnguardCell(r.Cell(column))
	if kept, ok := r.texts[cell]; ok {
		return kept
	}
	kept := strings.Clone(cell)
	r.texts[kept] = kept
	return kept
}

// row reads the current row; what is wrong with it is noted, and spoilt.
func (r *reader) row() row {
	x := row{line: r.Line(), game: r.text("game"), date: r.text("date"), opponent: r.text("opponent"), role: strings.ToLower(r.text("role")), kid: r.text("kid"), notes: r.text("notes")}
	fail := func(do, format string, args ...any) {
		r.Problem(x.line, do, format, args...)
		x.spoilt = true
	}
	if cell := r.Cell("entry"); cell != "" {
		n, err := strconv.Atoi(cell)
		if err != nil || n < 1 || n > maxEntry {
			fail("leave the cell empty in a row typed by hand", "entry is %s", drills.Quote(cell))
			n = 0
		}
		x.entry = n
	}
	if x.game == "" {
		fail("write the game's number or any short id", "the row has no game")
	} else if bad := drills.CheckID(x.game); bad != "" {
		fail("use letters and digits, such as 3", "game: %s", bad)
	}
	for _, t := range []struct{ column, text string }{{"date", x.date}, {"opponent", x.opponent}, {"notes", x.notes}} {
		if bad := drills.CheckText(t.text); bad != "" {
			fail("mend the cell", "%s %s", t.column, bad)
		}
	}
	r.body(&x, fail)
	return x
}

// body reads what the row says: who was where, who was there, what does not count.
func (r *reader) body(x *row, fail func(do, format string, args ...any)) {
	span := r.Cell("series")
	var ok bool
	x.first, x.last, ok = parseSpan(span)
	if !ok {
		fail("write a number from 1 to "+strconv.Itoa(maxSeries)+"; in rows of "+present+" and "+void+" also 3 to 8, 3 to end, or nothing for the whole game",
			"series is %s", drills.Quote(span))
	}
	kidless := x.role == void || x.role == opened || x.role == closed
	switch {
	case x.role == "":
		fail("write what the kid played, or "+present, "the row has no role")
	case kidless && x.kid != "":
		fail("empty the cell; a row of "+void+" is about a whole series or game", "a row of %s names kid %s", x.role, drills.Quote(x.kid))
	case (x.role == opened || x.role == closed) && x.entry == 0:
		fail("only the tool writes such rows: take it out, and empty the cells of its entry in the rows it belongs to", "a row of %s has no entry", x.role)
	case kidless:
	case x.kid == "":
		fail("write the kid's id", "no kid is named")
	default:
		if bad := drills.CheckID(x.kid); bad != "" {
			fail("write the kid's id as in roster.csv", "kid: %s", bad)
		}
	}
	switch {
	case x.role == hurt && ok && x.first != x.last:
		fail("write the one series in which it happened, or nothing", "a kid is hurt in one series, and series is %s", drills.Quote(span))
	case x.role == cleared && ok && x.first != x.last:
		fail("empty the cell", "a row of %s is about the whole game, and series is %s", cleared, drills.Quote(span))
	case x.role == cleared && x.notes == "":
		fail("write under notes who cleared the kid", "a row of %s does not say who says so", cleared)
	}
	if x.isSlot = !kidless && !slices.Contains(reserved, x.role); !x.isSlot || !ok || x.role == "" {
		return
	}
	if bad := drills.CheckText(x.role); bad != "" {
		fail("write a role such as front", "role %s", bad)
	}
	if x.first == 0 || x.first != x.last {
		fail("write one row for each series", "a kid in a role needs one series, and series is %s", drills.Quote(span))
	}
}

// parseSpan reads the series of a row: 4; 3 to 8, also 3-8; 3 to end; or nothing.
func parseSpan(s string) (first, last int, ok bool) {
	if s == "" {
		return 0, 0, true
	}
	a, b, two := strings.Cut(s, "to")
	if !two {
		a, b, two = strings.Cut(strings.ReplaceAll(s, "–", "-"), "-")
	}
	if first, ok = series(a); !ok {
		return 0, 0, false
	}
	switch b = strings.ToLower(strings.TrimSpace(b)); {
	case !two:
		return first, first, true
	case b == "end":
		return first, 0, true
	}
	last, ok = series(b)
	return first, last, ok && first <= last
}

// series reads a series' number; a spreadsheet may have made 4 into 4.0.
func series(s string) (int, bool) {
	s = strings.TrimSuffix(strings.TrimSpace(s), ".0")
	for _, c := range s {
		if c < '0' || c > '9' {
			return 0, false
		}
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n >= 1 && n <= maxSeries
}

// span writes the series of a row so that no spreadsheet takes it for a date, as it would 3-8.
func span(first, last int) string {
	switch {
	case first == 0:
		return ""
	case last == 0:
		return strconv.Itoa(first) + " to end"
	case first == last:
		return strconv.Itoa(first)
	}
	return strconv.Itoa(first) + " to " + strconv.Itoa(last)
}

// entry is one run of the tool: its rows, opening and closing row included, as the file has them.
type entry struct {
	number int
	rows   []*row
	at     int // the line of its closing row
}

// lines gives "line 4" or "lines 4 to 9".
func (e *entry) lines() string {
	first, last := e.rows[0].line, e.rows[len(e.rows)-1].line
	if first == last {
		return fmt.Sprintf("line %d", first)
	}
	return fmt.Sprintf("lines %d to %d", first, last)
}

// entries groups the rows, in the order of their numbers.
func entries(rows []row) []*entry {
	index := map[int]*entry{}
	var out []*entry
	for i := range rows {
		x := &rows[i]
		if x.entry == 0 {
			continue
		}
		e := index[x.entry]
		if e == nil {
			e = &entry{number: x.entry}
			index[x.entry] = e
			out = append(out, e)
		}
		e.rows = append(e.rows, x)
	}
	slices.SortStableFunc(out, func(a, b *entry) int { return cmp.Compare(a.number, b.number) })
	return out
}

// count tells how many rows have the role.
func (e *entry) count(role string) int {
	n := 0
	for _, x := range e.rows {
		if x.role == role {
			n++
		}
	}
	return n
}

// fault says what is wrong with a closed entry, or "".
func (e *entry) fault() string {
	said := ""
	for _, x := range e.rows {
		if x.spoilt {
			return "a row of it cannot be read"
		}
		if drills.IDKey(x.game) != drills.IDKey(e.rows[0].game) {
			return "its rows are of more than one game"
		}
		if x.role == closed {
			said, e.at = x.notes, x.line
		}
	}
	if e.count(closed) > 1 {
		return "it is closed twice"
	}
	if !strings.Contains(said, " "+sealed) { // written by an earlier version
		if is := oldSeal(e.rows); said != is {
			return fmt.Sprintf("its closing row says %s, and here are %s", drills.Quote(said), drills.Quote(is))
		}
		return ""
	}
	return e.broken(said)
}

// keep is what to do about an entry that is not as it was written.
const keep = "undo the change; or, to keep what stands here, take its rows of " + opened + " and " + closed + " out and empty the cells of entry in the others"
