package gameday

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// wbgtFlag is the flag of commands that plan a game.
func wbgtFlag() cli.Flag {
	return &cli.StringFlag{Name: "wbgt", DefaultText: "no heat rules", Usage: "82F or 28C: the wet-bulb globe temperature (not that of the air), for water breaks and shorter turns"}
}

// readWBGT reads the reading; nil without one.
func readWBGT(c *cli.Context) (*drills.WBGT, error) {
	if !c.IsSet("wbgt") {
		return nil, nil
	}
	w, err := drills.ParseWBGT(c.String("wbgt"))
	if err != nil {
		return nil, tty.Usagef("--wbgt: %w", err)
	}
	return &w, nil
}

// heat is what the heat changes in the plan, and whose word that is.
func (s *lineupScreen) heat() string {
	h := s.l.Heat
	if h == nil {
		return ""
	}
	out := "\n" + s.Fold(s.Strong("Heat: WBGT "+planning.Degrees(drills.WBGT{F: h.WBGTF})), "")
	if len(s.l.Breaks) > 0 {
		var after []int
		for _, b := range s.l.Breaks {
			after = append(after, b.After)
		}
		out += s.Fold(fmt.Sprintf("- Water breaks after series %s: %d minutes each or more, in the shade.", prose.Ranges(after), h.BreakMinutes), "  ")
	}
	switch {
	case h.MaxOn > 0 && h.MaxOnKept:
		out += s.Fold(fmt.Sprintf("- At most %s in a row on the field.", prose.Count(min(h.MaxOn, max(1, s.l.Rules.MaxOn)), "series")), "  ")
	case h.MaxOn > 0:
		out += s.Fold(s.Strong(fmt.Sprintf("! Somebody is on the field for more than %s in a row: with so few kids there is no other plan. Make the series shorter, bring more kids, or cancel.",
			prose.Count(h.MaxOn, "series"))), "  ")
	}
	out += s.Fold(h.Word, "")
	for _, off := range h.Off {
		out += s.Fold(s.Strong("! "+strings.ToUpper(off[:1])+off[1:]+"."), "  ")
	}
	var sources []string
	for _, r := range h.Rules {
		if r.Counts {
			out += s.Fold("- "+r.Words, "  ")
		} else {
			out += s.Fold("- More cautious, and not counted: "+r.Words, "  ")
		}
		sources = append(sources, r.Source)
		if r.Superseded != "" {
			sources = append(sources, "in its place "+r.Superseded)
		}
	}
	out += s.Fold(planning.LocalFirst, "")
	if s.detail {
		out += s.Fold("Sources: "+strings.Join(sources, "; ")+".", "  ")
	}
	return out
}

// heat is what the heat changes in the plans of a league, and in which of them somebody is on the field for too long. Teams may go by
// different tables.
func (l *league) heat(out *report.Lineups) string {
	var words []string
	teams := map[string][]string{}
	tooLong := ""
	for _, x := range out.Teams {
		if x.Lineup == nil || x.Lineup.Heat == nil {
			continue
		}
		h := x.Lineup.Heat
		w := demands(h)
		if teams[w] == nil {
			words = append(words, w)
		}
		teams[w] = append(teams[w], screen.Clean(x.Folder))
		for _, off := range h.Off {
			tooLong += l.Fold(l.Strong(fmt.Sprintf("! %s: %s.", screen.Clean(x.Folder), off)), "  ")
		}
		if !h.MaxOnKept {
			tooLong += l.Fold(l.Strong(fmt.Sprintf("! %s: somebody is on the field for more than %s in a row. Make the series shorter, bring more kids, or cancel.",
				screen.Clean(x.Folder), prose.Count(h.MaxOn, "series"))), "  ")
		}
	}
	if len(words) == 0 {
		return ""
	}
	word := "Whose word that is: sevenyard lineup with one folder. " + planning.LocalFirst
	if len(words) == 1 {
		return "\n" + l.Fold(words[0]+" "+word, "") + tooLong
	}
	text := "\n"
	for _, w := range words {
		text += l.Fold(strings.Join(teams[w], ", ")+": "+w, "")
	}
	return text + l.Fold(word, "") + tooLong
}

// demands are what the heat asks for in a game, in a line.
func demands(h *report.Heat) string {
	words := "Heat: WBGT " + planning.Degrees(drills.WBGT{F: h.WBGTF}) + "."
	if h.League != "" {
		words += " The table is " + h.League + "."
	}
	if h.BreakEvery > 0 {
		every := "every series"
		if h.BreakEvery > 1 {
			every = fmt.Sprintf("every %d series", h.BreakEvery)
		}
		words += fmt.Sprintf(" Water breaks of %d minutes or more after %s.", h.BreakMinutes, every)
	}
	if h.MaxOn > 0 {
		words += fmt.Sprintf(" At most %s in a row on the field.", prose.Count(h.MaxOn, "series"))
	}
	return words
}

// breakLine is a water break after a series in words, "" where there is none.
func (s *lineupScreen) breakLine(after int) string {
	for _, b := range s.l.Breaks {
		if b.After == after {
			return s.Fold(fmt.Sprintf("  Then water, %d minutes or more.", b.Minutes), "  ")
		}
	}
	return ""
}

// breakRow is the line of a water break in a table of so many columns, nil where there is none.
func (s *lineupScreen) breakRow(after, columns int) []string {
	for _, b := range s.l.Breaks {
		if b.After == after {
			row := make([]string, columns)
			row[0] = s.Faint("water") // in the column that every block of the table repeats
			row[1] = s.Faint(fmt.Sprintf("%d min", b.Minutes))
			return row
		}
	}
	return nil
}
