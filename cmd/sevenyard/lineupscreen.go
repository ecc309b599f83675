package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/cmd/sevenyard/internal/screen"
	"sevenyard/cmd/sevenyard/internal/texttab"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// lineupScreen lays a plan out for people.
type lineupScreen struct {
	view
	l   *report.Lineup
	pl  *gameplan.Plan
	who people
	src source
	set rotation.Settings
	// told: the coach has used --absent and the like already.
	told bool
}

func (s *lineupScreen) text() string {
	return s.head() + "\n" + s.grid() + s.legend() + "\n" + s.series() + s.strength() + "\n" + s.rules() + s.cautions() + "\n" + s.closing()
}

func (s *lineupScreen) head() string {
	team := screen.Clean(s.l.Team)
	if team == "" {
		team = "Your team"
	}
	out := s.Fold(s.Strong(fmt.Sprintf("%s, %s: %s, %s", team, division(s.pl.Team.Division),
		gameplan.Count(len(s.l.Series), "series"), gameplan.Count(len(s.l.Kids), "kid"))), "")
	for _, away := range s.pl.Away {
		why := "absent"
		if away.Hold {
			why = "on medical hold"
		}
		out += s.Fold(fmt.Sprintf("Not planned: %s, %s.", s.who.inline(away.ID), why), "  ")
	}
	n := len(s.l.Series)
	for _, k := range s.l.Kids {
		switch first, last := k.Available[0], k.Available[1]; {
		case first > 1 && last < n:
			out += s.Fold(fmt.Sprintf("%s is there from series %d up to and with series %d.", s.who.inline(k.Kid), first, last), "  ")
		case first > 1:
			out += s.Fold(fmt.Sprintf("%s comes late: there from series %d.", s.who.inline(k.Kid), first), "  ")
		case last < n:
			out += s.Fold(fmt.Sprintf("%s leaves early: series %d is the last one.", s.who.inline(k.Kid), last), "  ")
		}
	}
	if len(s.l.Loosened) > 0 {
		out += "\n" + s.Fold(s.Strong("LOOSENED: not all your rules can hold in this game. Given up or changed:"), "")
		for _, x := range s.l.Loosened {
			out += s.Fold("! "+x, "  ")
		}
	}
	return out
}

// grid is kids by series, in as many blocks as the width asks for.
func (s *lineupScreen) grid() string {
	t := &texttab.Table{Head: []string{"kid"}, Align: []texttab.Align{texttab.Left}}
	for n := range s.l.Series {
		t.Head = append(t.Head, strconv.Itoa(n+1))
		t.Align = append(t.Align, texttab.Right)
	}
	t.Head = append(t.Head, "plays", "share")
	t.Align = append(t.Align, texttab.Right, texttab.Right)
	whole := true
	for _, k := range s.l.Kids {
		whole = whole && k.Share == math.Trunc(k.Share)
	}
	for _, k := range s.l.Kids {
		row := []string{s.who.column(k.Kid)}
		for n := range s.l.Series {
			row = append(row, s.mark(k, n))
		}
		share := point(k.Share)
		if whole {
			share = strconv.Itoa(int(k.Share))
		}
		t.Rows = append(t.Rows, append(row, strconv.Itoa(k.Series), share))
	}
	return s.blocks(t, 1) + "\n"
}

// mark is what the kid does in series n (from 0): a role's letter, a dot for the bench, a dash for not there.
func (s *lineupScreen) mark(k report.LineupKid, n int) string {
	if n+1 < k.Available[0] || n+1 > k.Available[1] {
		return s.Faint("-")
	}
	for _, slot := range s.l.Series[n].Slots {
		if slot.Kid == k.Kid {
			i, role := findRole(s.pl.Team, slot.Role)
			return s.Paint(i, role.Letter)
		}
	}
	return s.Faint(".")
}

func findRole(t *drills.Team, name string) (int, drills.Role) {
	for i, r := range t.Catalogue.Roles {
		if r.Name == name {
			return i, r
		}
	}
	return 0, drills.Role{Name: name, Letter: "?"}
}

func (s *lineupScreen) legend() string {
	var parts []string
	for i, r := range s.pl.Team.Catalogue.Roles {
		for _, k := range s.l.Kids {
			if k.Roles[r.Name] > 0 {
				parts = append(parts, s.Paint(i, r.Letter)+" "+r.Name)
				break
			}
		}
	}
	parts = append(parts, s.Faint(".")+" bench")
	for _, k := range s.l.Kids {
		if k.Available != [2]int{1, len(s.l.Series)} {
			parts = append(parts, s.Faint("-")+" not there")
			break
		}
	}
	return s.Flow(parts) + s.Fold("share: the fair number of series for the time a kid is there", "")
}

// series is one block for each series: who where, how well they fit, who rests.
func (s *lineupScreen) series() string {
	label, cell := 0, 0
	for _, r := range s.pl.Team.Catalogue.Roles {
		label = max(label, texttab.Width(r.Letter+" "+r.Name))
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
		out += s.oneSeries(&s.l.Series[i], label, cell, per) + "\n"
	}
	return out
}

func (s *lineupScreen) slot(x report.Slot) string {
	return fmt.Sprintf("%s %2.0f ±%.0f%s", screen.Pad(s.who.column(x.Kid), s.kidWidth(), false), x.Fit, x.SE, s.own(x))
}

func (s *lineupScreen) kidWidth() int {
	w := 0
	for _, k := range s.l.Kids {
		w = max(w, texttab.Width(s.who.column(k.Kid)))
	}
	return w
}

// own marks the coach's own numbers.
func (s *lineupScreen) own(x report.Slot) string {
	for _, k := range s.pl.Profile.Kids {
		if k.ID != x.Kid {
			continue
		}
		for _, f := range k.Fits {
			if f.Name == x.Role && f.Own {
				return "*"
			}
		}
	}
	return ""
}

func (s *lineupScreen) oneSeries(line *report.LineupSeries, label, cell, per int) string {
	head := fmt.Sprintf("Series %d   %s   strength %.1f", line.Number, line.Formation, line.Strength)
	if n, full := len(line.Slots), s.spots(line.Formation); n < full {
		head += fmt.Sprintf("   short-handed, %d of %d", n, full)
	}
	if line.Number == s.l.Weakest.Series {
		head += "   the weakest"
	}
	out := s.Strong(strings.TrimRight(s.Flow(strings.Split(head, "   ")), "\n")) + "\n"
	for i, role := range s.pl.Team.Catalogue.Roles {
		var cells []string
		for _, x := range line.Slots {
			if x.Role == role.Name {
				cells = append(cells, screen.Pad(s.slot(x), cell, false))
			}
		}
		name := screen.Pad(s.Paint(i, role.Letter)+" "+role.Name, label, false)
		for at := 0; at < len(cells); at += per {
			out += strings.TrimRight("  "+name+strings.Join(cells[at:min(len(cells), at+per)], "  "), " ") + "\n"
			name = screen.Pad("", label, false)
		}
	}
	bench := s.who.list(line.Bench)
	if bench == "" {
		bench = "nobody"
	}
	hang := strings.Repeat(" ", 2+label)
	return out + hangFold(s.Style, "  "+screen.Pad(s.Faint(".")+" bench", label, false), bench, hang)
}

// spots is the number of spots of a formation.
func (s *lineupScreen) spots(name string) int {
	for _, f := range s.pl.Game.Forms {
		if f.Label == name {
			return len(f.Spots)
		}
	}
	return 0
}

// hangFold folds a text beside a label that keeps its spaces.
func hangFold(st screen.Style, label, text, hang string) string {
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
