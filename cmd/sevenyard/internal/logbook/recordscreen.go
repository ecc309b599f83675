package logbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// recordScreen says in words what was recorded.
type recordScreen struct {
	*recording
	o   *report.Record
	who tty.People
}

func newRecordScreen(r *recording, o *report.Record) *recordScreen {
	return &recordScreen{r, o, tty.NewPeople(r.folder)}
}

func (s *recordScreen) text() string {
	out := s.head()
	if len(s.o.Series) > 0 {
		out += "\n" + s.table()
	}
	if words := s.words(); words != "" {
		out += "\n" + words
	}
	for i, c := range s.o.Cautions {
		if i == 0 {
			out += "\n" + s.Fold("Keep in mind", "")
		}
		out += s.Fold("- "+c, "  ")
	}
	return out + "\n" + s.next()
}

// title is the game: "Game 3 against Egrets, 2026-09-12".
func (s *recordScreen) title() string {
	title := "Game " + s.o.Game
	if s.o.Opponent != "" {
		title += " against " + screen.Clean(s.o.Opponent)
	}
	if s.o.Date != "" {
		title += ", " + s.o.Date
	}
	return title
}

func (s *recordScreen) head() string {
	team := screen.Clean(s.o.Team)
	if team == "" {
		team = "Your team"
	}
	out := s.Fold(s.Strong(team+": "+s.title()), "")
	var parts []string
	for _, x := range []struct{ state, words string }{{"new", "recorded"}, {"corrected", "corrected"}, {"kept", "on record before"}} {
		var ns []int
		for _, line := range s.o.Series {
			if line.State == x.state {
				ns = append(ns, line.Number)
			}
		}
		if len(ns) > 0 {
			parts = append(parts, fmt.Sprintf("series %s %s", prose.Ranges(ns), x.words))
		}
	}
	switch {
	case s.o.VoidGame && len(parts) == 0:
		parts = []string{"nothing of this game counts any more"}
	case s.o.VoidGame:
		parts = append(parts, "all that was on record before does not count any more")
	case len(s.o.Void) > 0:
		parts = append(parts, fmt.Sprintf("series %s void", prose.Ranges(s.o.Void)))
	}
	if s.o.Entry == 0 {
		return out + s.Fold("Nothing new: the record says all of this already, and nothing was written.", "")
	}
	if len(parts) == 0 {
		parts = []string{"attendance recorded"}
	}
	text := prose.And(parts)
	dated := ""
	if s.o.DatedToday {
		dated = s.Fold(fmt.Sprintf("Dated today, %s; --date says otherwise.", s.o.Date), "")
	}
	return out + s.Fold(strings.ToUpper(text[:1])+text[1:]+fmt.Sprintf(" (games.csv, entry %d).", s.o.Entry), "") + dated
}

// table is a line for each series: the kids of each role, and who sat out, by their ids.
func (s *recordScreen) table() string {
	t := &texttab.Table{Head: []string{"series"}, Align: []texttab.Align{texttab.Right}}
	var used []string
	for i, r := range s.folder.Team.Catalogue.Roles {
		plays := func(x games.Slot) bool { return x.Role == r.Name }
		if slices.ContainsFunc(s.o.Series, func(line report.RecordSeries) bool { return slices.ContainsFunc(line.Slots, plays) }) {
			used = append(used, r.Name)
			t.Head = append(t.Head, s.Paint(i, r.Letter)+" "+r.Name)
			t.Align = append(t.Align, texttab.Left)
		}
	}
	t.Head = append(t.Head, s.Faint(".")+" bench")
	t.Align = append(t.Align, texttab.Left)
	for _, line := range s.o.Series {
		row := []string{strconv.Itoa(line.Number)}
		for _, role := range used {
			var kids []string
			for _, x := range line.Slots {
				if x.Role == role {
					kids = append(kids, x.Kid)
				}
			}
			slices.SortFunc(kids, drills.NaturalOrder)
			row = append(row, strings.Join(kids, " "))
		}
		t.Rows = append(t.Rows, append(row, strings.Join(line.Bench, " ")))
	}
	return s.Blocks(t, 1)
}

// words are the corrections, and who was there.
func (s *recordScreen) words() string {
	out := ""
	for _, x := range s.o.Swaps {
		switch {
		case x.Out == "":
			out += s.Fold(fmt.Sprintf("Series %d: %s in the spot at %s that nobody had.", x.Series, s.who.Inline(x.In), x.Role), "  ")
		case x.In == "":
			out += s.Fold(fmt.Sprintf("Series %d: nobody in %s's spot at %s.", x.Series, s.who.Inline(x.Out), x.Role), "  ")
		default:
			out += s.Fold(fmt.Sprintf("Series %d: %s in for %s at %s.", x.Series, s.who.Inline(x.In), s.who.Inline(x.Out), x.Role), "  ")
		}
	}
	if len(s.o.Series) == 0 {
		if len(s.o.Away) > 0 && !s.o.VoidGame {
			out += s.Fold("Not there: "+tty.Sentence(s.who.List(s.o.Away)), "  ")
		}
		if len(s.o.Hurt) > 0 {
			out += s.Fold("Still on record as hurt, and out for the day: "+tty.Sentence(s.who.List(s.o.Hurt)), "  ")
		}
		return out
	}
	end := s.o.Series[len(s.o.Series)-1].Number
	there := fmt.Sprintf("There: %s.", prose.Count(len(s.o.Kids), "kid"))
	if s.account.Everybody {
		there = fmt.Sprintf("There: everybody on the roster, %s; if not, say so with --absent, --late or --left.", prose.Count(len(s.o.Kids), "kid"))
		if len(s.o.Away) > 0 {
			there = fmt.Sprintf("There: everybody else on the roster, %s.", prose.Count(len(s.o.Kids), "kid"))
		}
	}
	out += s.Fold(there, "  ")
	if len(s.o.Away) > 0 {
		out += s.Fold("Not there: "+tty.Sentence(s.who.List(s.o.Away)), "  ")
	}
	for _, k := range s.o.Kids {
		switch who := s.who.Inline(k.Kid); {
		case slices.Contains(s.o.Hurt, k.Kid):
			out += s.Fold(fmt.Sprintf("%s was hurt, and is out for the day: series %d was the last one.", who, k.Present[1]), "  ")
		case len(k.Away) > 0:
			out += s.Fold(fmt.Sprintf("%s was there for series %s.", who, gameday.StretchWords(report.LineupKid{Available: k.Present, Away: k.Away}.Stretches())), "  ")
		case k.Present[0] > 1 && k.Present[1] < end:
			out += s.Fold(fmt.Sprintf("%s was there for series %d to %d.", who, k.Present[0], k.Present[1]), "  ")
		case k.Present[0] > 1:
			out += s.Fold(fmt.Sprintf("%s came late: there from series %d.", who, k.Present[0]), "  ")
		case k.Present[1] < end:
			out += s.Fold(fmt.Sprintf("%s left early: series %d was the last one.", who, k.Present[1]), "  ")
		}
	}
	if len(s.o.Hurt) > 0 {
		out += s.Fold(tty.HurtShare, "")
		out += s.Fold("For the next games a person writes a hold into roster.csv, and clears it; this tool does neither.", "")
	}
	return out
}

// next is what to type next: the rest of the game, or the season.
func (s *recordScreen) next() string {
	end := 0
	if n := len(s.o.Series); n > 0 {
		end = s.o.Series[n-1].Number
	}
	if end > 0 && s.told.Plan != nil && end < len(s.told.Plan.Series) {
		return tty.Commands(strings.TrimRight(s.Fold("Plan the rest, when somebody drops out or comes:", ""), "\n"),
			fmt.Sprintf("sevenyard rebuild %s --game %s --from %s", s.src.Name, s.o.Game, tty.Quote(s.told.PlanName)))
	}
	return tty.Commands(strings.TrimRight(s.Fold("Something wrong? Record it again: what is said last counts. Next:", ""), "\n"), "sevenyard season "+s.src.Name)
}
