package gameday

import (
	"fmt"
	"strconv"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// longestFolder is the most cells of a folder's name in the table.
const longestFolder = 24

// text is a line for every team, and what became of those without a plan.
func (l *league) text(out *report.Lineups, took time.Duration) string {
	t := &texttab.Table{
		Head:  []string{"folder", "kids", "series", "weakest", "total", "proven", "s"},
		Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Right, texttab.Right, texttab.Right, texttab.Left, texttab.Right},
	}
	notes, loosened := "", false
	for _, x := range out.Teams {
		name := screen.Clip(screen.Clean(x.Folder), longestFolder)
		took := fmt.Sprintf("%.2f", x.Seconds)
		if x.Lineup == nil {
			t.Rows = append(t.Rows, []string{name, "", "", "", "", "no plan", took})
			notes += l.without(x)
			continue
		}
		p := x.Lineup
		proven := "both"
		switch {
		case !p.Weakest.Proven && !p.Total.Proven:
			proven = "no"
		case !p.Total.Proven:
			proven = "weakest"
		case !p.Weakest.Proven:
			proven = "total"
		}
		if len(p.Loosened) > 0 {
			proven, loosened = proven+" !", true
		}
		t.Rows = append(t.Rows, []string{name, strconv.Itoa(len(p.Kids)), strconv.Itoa(len(p.Series)), tty.Point(p.Weakest.Value), tty.Point(p.Total.Value), proven, took})
	}
	text := l.Blocks(t, 1)
	if loosened {
		text += l.Fold("!: not all rules of that team can hold, and some were LOOSENED; sevenyard lineup with that folder alone says which.", "")
	}
	text += "\n" + notes + l.Fold(fmt.Sprintf("%s in %.1f s, %d of them proven the best there are%s.", prose.Count(len(out.Teams)-l.failed, "plan"), took.Seconds(),
		len(out.Teams)-l.failed-l.open, l.rest()), "")
	text += l.heat(out)
	if len(l.late) > 0 {
		return text
	}
	if l.saveDir != "" {
		return text + l.Fold(fmt.Sprintf("Saved in %s, each under its folder's name.", l.saveDir), "")
	}
	return text + l.Fold("To keep them, say the same again with --save-dir and a folder's name.", "")
}

// rest says how many teams have no plan.
func (l *league) rest() string {
	if l.failed == 0 {
		return ""
	}
	return fmt.Sprintf("; %s without a plan", prose.Count(l.failed, "team"))
}

// without says why a team has no plan, in short.
func (l *league) without(x report.TeamLineup) string {
	r := x.Refusal
	why := "its rules cannot hold together"
	if n := len(r.Problems); n > 0 {
		p := r.Problems[0]
		why = p.What
		if p.File != "" {
			why = fmt.Sprintf("%s:%d: %s", p.File, p.Line, p.What)
		}
		if n > 1 {
			why += fmt.Sprintf(", and %s more", prose.Count(n-1, "problem"))
		}
	}
	return l.Fold(fmt.Sprintf("%s: %s", screen.Clean(x.Folder), tty.Sentence(screen.Clean(why))), "  ")
}
