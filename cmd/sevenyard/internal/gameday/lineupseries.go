package gameday

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// table is a line for each series but the first so many: its strength, the kids of each role, and who rests, by their ids.
func (s *lineupScreen) table(over int) string {
	t := &texttab.Table{Head: []string{"series", "form", "strength"}, Align: []texttab.Align{texttab.Right, texttab.Left, texttab.Right}}
	var used []string
	for i, r := range s.sh.Roles {
		for _, k := range s.l.Kids {
			if k.Roles[r.Role] > 0 {
				used = append(used, r.Role)
				t.Head = append(t.Head, s.Paint(i, r.Letter)+" "+r.Role)
				t.Align = append(t.Align, texttab.Left)
				break
			}
		}
	}
	t.Head = append(t.Head, s.Faint(".")+" bench")
	t.Align = append(t.Align, texttab.Left)
	for i := range s.l.Series[over:] {
		line := &s.l.Series[over+i]
		strength := tty.Point(line.Strength)
		if line.Number == s.l.Weakest.Series {
			strength = s.Strong(strength)
		}
		form := line.Formation
		if n, full := len(line.Slots), s.spots(line.Number); n < full {
			form += fmt.Sprintf(" (%d of %d)", n, full)
		}
		row := []string{strconv.Itoa(line.Number), form, strength}
		for _, role := range used {
			var kids []string
			for _, x := range line.Slots {
				if x.Role == role {
					kids = append(kids, x.Kid+tty.Mark(x.Own, x.Tested))
				}
			}
			row = append(row, strings.Join(kids, " "))
		}
		t.Rows = append(t.Rows, append(row, strings.Join(line.Bench, " ")))
		if row := s.breakRow(line.Number, len(t.Head)); row != nil {
			t.Rows = append(t.Rows, row)
		}
	}
	return s.Blocks(t, 1) + s.shortNote()
}

// series is one block for each series: who where, how well they fit, who rests.
func (s *lineupScreen) series() string {
	label, cell := 0, 0
	for _, r := range s.sh.Roles {
		label = max(label, texttab.Width(r.Letter+" "+r.Role))
	}
	label = max(label, len(". bench")) + texttab.Gap
	for _, line := range s.l.Series {
		for _, slot := range line.Slots {
			cell = max(cell, texttab.Width(s.slot(slot)))
		}
	}
	per := max(1, (s.Width-2-label+texttab.Gap)/(cell+texttab.Gap))
	out := ""
	for i := range s.l.Series {
		if i > 0 {
			out += "\n"
		}
		out += s.oneSeries(&s.l.Series[i], label, cell, per) + s.breakLine(s.l.Series[i].Number)
	}
	if short := s.shortNote(); short != "" {
		out += "\n" + short
	}
	return out
}

// shortNote keeps anybody from taking a short-handed series for a strong one.
func (s *lineupScreen) shortNote() string {
	short := func(line report.LineupSeries) bool { return len(line.Slots) < s.spots(line.Number) }
	if !slices.ContainsFunc(s.l.Series[s.l.Played:], short) {
		return ""
	}
	return s.Fold("The strength of a short-handed series is a mean over fewer spots: a higher number does not make it stronger than a full one.", "")
}

func (s *lineupScreen) slot(x report.Placed) string {
	return fmt.Sprintf("%s %s ±%s%s", screen.Pad(s.who.Column(x.Kid), s.kidWidth(), false), screen.Pad(screen.Figure(x.Fit, 0), 2, true), screen.Figure(x.SE, 0), tty.Mark(x.Own, x.Tested))
}

func (s *lineupScreen) kidWidth() int {
	w := 0
	for _, k := range s.l.Kids {
		w = max(w, texttab.Width(s.who.Column(k.Kid)))
	}
	return w
}

func (s *lineupScreen) oneSeries(line *report.LineupSeries, label, cell, per int) string {
	head := fmt.Sprintf("Series %d   %s   strength %s", line.Number, line.Formation, tty.Point(line.Strength))
	if n, full := len(line.Slots), s.spots(line.Number); n < full {
		head += fmt.Sprintf("   short-handed, %d of %d", n, full)
	}
	if line.Number == s.l.Weakest.Series {
		head += "   the weakest"
	}
	if line.Number <= s.l.Played {
		head += "   over"
	}
	out := s.Strong(strings.TrimRight(s.Flow(strings.Split(head, "   ")), "\n")) + "\n"
	for i, role := range s.sh.Roles {
		var cells []string
		for _, x := range line.Slots {
			if x.Role == role.Role {
				cells = append(cells, screen.Pad(s.slot(x), cell, false))
			}
		}
		name := screen.Pad(s.Paint(i, role.Letter)+" "+role.Role, label, false)
		for at := 0; at < len(cells); at += per {
			out += strings.TrimRight("  "+name+strings.Join(cells[at:min(len(cells), at+per)], "  "), " ") + "\n"
			name = screen.Pad("", label, false)
		}
	}
	bench := s.who.List(line.Bench)
	if bench == "" {
		bench = "nobody"
	}
	hang := strings.Repeat(" ", 2+label)
	return out + HangFold(s.Style, "  "+screen.Pad(s.Faint(".")+" bench", label, false), bench, hang)
}

// spots is the number of spots of a series.
func (s *lineupScreen) spots(series int) int { return s.sh.Spots[series-1] }

// HangFold folds a text beside a label that keeps its spaces.
func HangFold(st screen.Style, label, text, hang string) string {
	inner := st
	inner.Width = max(10, st.Width-texttab.Width(hang))
	lines := strings.Split(strings.TrimRight(inner.Fold(text, ""), "\n"), "\n")
	for i := range lines {
		if i == 0 {
			lines[i] = label + lines[i]
		} else {
			lines[i] = hang + lines[i]
		}
	}
	return strings.Join(lines, "\n") + "\n"
}
