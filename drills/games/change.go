package games

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"sevenyard/drills"
)

// Change is what one entry says about one game. Everything it does not name stays as it is on record.
type Change struct {
	Game, Date, Opponent string
	VoidGame             bool       // the whole game as it was on record does not count
	Void                 []int      // these series do not count
	Series               []Series   // each replaces the one of its number, if there is one
	Kids                 []Presence // all who were there, each kid's stretches in order, in place of what is on record, Last 0 to the end; none: as it is
	Hurt                 []Mark     // kids hurt in this game, out for the day
	Cleared              []Mark     // kids who are hurt no longer, or never were, and By whom that is said; Series only where the record has no mark
}

// rows are the change as rows, without the opening and the closing one.
func (c *Change) rows(number int) []*row {
	var out []*row
	add := func(x row) {
		x.game, x.date, x.opponent, x.entry = c.Game, c.Date, c.Opponent, number
		out = append(out, &x)
	}
	if c.VoidGame {
		add(row{role: void})
	}
	for _, n := range c.Void {
		add(row{role: void, first: n, last: n})
	}
	for _, p := range c.Kids {
		x := row{role: present, kid: p.Kid, first: p.First, last: p.Last}
		if p.First <= 1 && p.Last == 0 {
			x.first = 0 // all game
		}
		add(x)
	}
	for _, m := range c.Cleared {
		add(row{role: cleared, kid: m.Kid, first: m.Series, last: m.Series, notes: m.By})
	}
	for _, m := range c.Hurt {
		add(row{role: hurt, kid: m.Kid, first: m.Series, last: m.Series})
	}
	for _, s := range c.Series {
		for _, x := range s.Slots {
			add(row{role: x.Role, kid: x.Kid, first: s.Number, last: s.Number})
		}
	}
	return out
}

// encode is the change as it is appended to a file of that state.
func (c *Change) encode(st fileState) ([]byte, error) {
	number := st.last + 1
	rows := c.rows(number)
	frame := row{game: c.Game, date: c.Date, opponent: c.Opponent, entry: number}
	first, last := frame, frame
	first.role, last.role = opened, closed
	rows = append([]*row{&first}, rows...)
	last.notes = seal(rows, c.Date)
	rows = append(rows, &last)

	names := st.columns
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if len(names) == 0 {
		names = columns
		if err := w.Write(names); err != nil {
			return nil, err
		}
	} else {
		w.Comma = st.separator
	}
	for _, x := range rows {
		cells, err := x.cells(names)
		if err != nil {
			return nil, err
		}
		if err := w.Write(cells); err != nil {
			return nil, err
		}
	}
	if w.Flush(); w.Error() != nil {
		return nil, w.Error()
	}
	end := st.lineEnd
	if end == "" {
		end = "\n"
	}
	text := out.String()
	if st.unended {
		text = "\n" + text
	}
	return []byte(strings.ReplaceAll(text, "\n", end)), nil // no cell holds a line end: texts are checked before
}

// cells puts a row under the columns of the file, whatever their order.
func (x *row) cells(names []string) ([]string, error) {
	says := map[string]string{"game": x.game, "date": x.date, "opponent": drills.GuardCell(x.opponent), "series": span(x.first, x.last),
		"role": x.role, "kid": x.kid, "entry": strconv.Itoa(x.entry), "notes": drills.GuardCell(x.notes)}
	cells := make([]string, len(names))
	for i, name := range names {
		cells[i] = says[name]
		delete(says, name)
	}
	for _, name := range columns {
		if says[name] != "" {
			return nil, drills.Problems{{At: drills.Place{File: File, Line: 1}, What: "there is no column " + name,
				Do: "add " + name + " at the end of the header line, or leave --" + name + " out"}}
		}
	}
	return cells, nil
}

// check reports what cannot be written at all; what does not go together with the record shows when it is read again.
func (c *Change) check() error {
	for _, t := range []struct{ what, text string }{{"the date", c.Date}, {"the opponent", c.Opponent}} {
		if bad := drills.CheckText(t.text); bad != "" {
			return fmt.Errorf("%s %s", t.what, bad)
		}
	}
	if bad := drills.CheckID(c.Game); bad != "" {
		return fmt.Errorf("game: %s", bad)
	}
	for _, m := range c.Cleared {
		if bad := drills.CheckText(m.By); bad != "" || m.By == "" {
			return fmt.Errorf("who cleared kid %s: the name is missing or %s", m.Kid, bad)
		}
	}
	if len(c.Series)+len(c.Kids)+len(c.Void)+len(c.Hurt)+len(c.Cleared) == 0 && !c.VoidGame {
		return fmt.Errorf("an entry without anything to record")
	}
	return nil
}
