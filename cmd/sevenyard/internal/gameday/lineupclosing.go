package gameday

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// strength is the weakest series and the total, each with its bound and what is proven.
func (s *lineupScreen) strength() string {
	means := tty.PointsMean
	if s.detail {
		means += " Behind a fit stands its standard error."
	}
	return s.strengths() + s.sumNote() + s.Fold("Points: "+means, "") + s.marksNote()
}

// sumNote speaks up where the strengths as shown do not add up to the total as shown.
func (s *lineupScreen) sumNote() string {
	sum := int64(0)
	for _, line := range s.l.Series[s.l.Played:] {
		sum += tty.Tenths(line.Strength)
	}
	if sum == tty.Tenths(s.l.Total.Value) {
		return ""
	}
	return s.Fold(fmt.Sprintf("Every figure is rounded by itself: the strengths as shown add up to %s.", tty.Point(float64(sum)/10)), "")
}

// strengths are the figures alone.
func (s *lineupScreen) strengths() string {
	left := len(s.l.Series) - s.l.Played
	all := fmt.Sprintf("All %s together", prose.Count(left, "series"))
	if s.l.Played > 0 {
		all = fmt.Sprintf("The %s still to play", prose.Count(left, "series"))
	}
	weak := fmt.Sprintf("Weakest series, number %d: %s", s.l.Weakest.Series, tty.Point(s.l.Weakest.Value))
	total := fmt.Sprintf("%s: %s", all, tty.Point(s.l.Total.Value))
	n := max(len(weak), len(total)) + texttab.Gap
	rows := []string{s.bounded(weak, n, s.l.Weakest.Bounded, s.under), s.bounded(total, n, s.l.Total, s.then)}
	switch s.l.Favor {
	case "total":
		rows = []string{s.bounded(total, n, s.l.Total, s.under), s.bounded(weak, n, s.l.Weakest.Bounded, s.then)}
	case "even":
		rows = []string{s.levels(), s.Fold(total+".", "  ")}
	}
	return strings.Join(rows, "")
}

// levels are the strengths from the weakest series up, and how far up they are proven.
func (s *lineupScreen) levels() string {
	var all []float64
	for _, line := range s.l.Series[s.l.Played:] {
		all = append(all, line.Strength)
	}
	slices.Sort(all)
	var parts []string
	for i := 0; i < len(all); {
		j := i
		for j < len(all) && tty.Point(all[j]) == tty.Point(all[i]) { // alike as shown
			j++
		}
		part := tty.Point(all[i])
		if j > i+1 {
			part += fmt.Sprintf(" (%d times)", j-i)
		}
		parts, i = append(parts, part), j
	}
	text := "Series from the weakest up: " + strings.Join(parts, ", ")
	switch w := s.l.Weakest; {
	case s.sh.Ended == report.EndProven:
		text += "; each as strong as it can be with those before it (proven)."
	case s.provenLevels() > 1:
		text += fmt.Sprintf("; the first %d of %d are each as strong as they can be with those before them (proven), for the others that is not proven.", s.provenLevels(), len(all))
	case w.Proven:
		text += "; the first is the best possible (proven), for the others that is not proven."
	default:
		text += fmt.Sprintf("; the first could be at most %s, a gap of %s, and none is proven.", tty.Point(w.Bound), tty.Rise(w.Value, w.Bound))
	}
	return s.Fold(text, "  ")
}

// provenLevels is how many series, from the weakest up, are proven as strong as they can be.
func (s *lineupScreen) provenLevels() int { return s.l.Levels }

// bounded puts a value and what is proven of it on one line, or on two where the screen is narrow.
func (s *lineupScreen) bounded(text string, n int, b report.Bounded, with string) string {
	known := fmt.Sprintf("at most %s possible%s; gap %s, not proven", tty.Point(b.Bound), with, tty.Rise(b.Value, b.Bound))
	if b.Proven {
		known = "best possible" + with + " (proven)"
	}
	if n+len(known) > s.Width {
		return s.Fold(text, "") + s.Fold("  "+known, "  ")
	}
	return screen.Pad(text, n, false) + known + "\n"
}

// marksNote explains the marks that the plan shows.
func (s *lineupScreen) marksNote() string {
	own, untested := "", ""
	for _, line := range s.l.Series {
		for _, x := range line.Slots {
			switch tty.Mark(x.Own, x.Tested) {
			case "*":
				own = s.Fold(tty.OwnWords, "")
			case "?":
				untested = s.Fold(tty.UntestedWords, "")
			}
		}
	}
	return own + untested
}

func (s *lineupScreen) rules() string {
	head := "Rules kept"
	if n := s.l.Played; n > 0 {
		head += fmt.Sprintf(" from series %d on", n+1)
	}
	if len(s.sh.Loosened) > 0 {
		head += ", after loosening"
	}
	return s.Fold(head+": "+strings.Join(s.sh.Rules, "; ")+".", "  ")
}

// cautions are the first one in full and of the others what they begin with; all of them with --detail.
func (s *lineupScreen) cautions() string {
	all := s.l.Cautions[min(s.said, len(s.l.Cautions)):]
	if len(all) == 0 {
		return s.heat()
	}
	out := s.heat() + "\n" + s.Fold("Keep in mind", "")
	if s.detail {
		for _, c := range all {
			out += s.Fold("- "+c, "  ")
		}
		return out
	}
	var rest []string
	if s.said == 0 {
		out += s.Fold("- "+all[0], "  ")
		all = all[1:]
	}
	for _, c := range all {
		first, _, _ := strings.Cut(c, ". ")
		rest = append(rest, tty.Sentence(first))
	}
	if len(rest) > 0 {
		out += s.Fold("- "+strings.Join(rest, " "), "  ")
	}
	return out
}

// closing is what to know or do next.
func (s *lineupScreen) closing() string {
	out := s.Fold(s.verdict(), "") + s.next()
	if !s.saved {
		out += s.Fold("To change the plan at the field, keep it: the same again with --save plan.json.", "")
	}
	return out
}

// verdict says in full what is proven about the plan, and what is not.
func (s *lineupScreen) verdict() string {
	w, t := s.l.Weakest, s.l.Total
	if s.l.Favor == "total" {
		return s.totalVerdict(w, t)
	}
	if s.l.Favor == "even" && w.Proven {
		if s.sh.Ended == report.EndProven {
			return fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven); among those that reach it, none lifts the next weakest, and so on up (proven).", tty.Point(w.Value))
		}
		if n := s.provenLevels(); n > 1 {
			return fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven), nor then the next ones, up to the %d weakest (proven); the same may hold for the others, but that is not proven. %s",
				tty.Point(w.Value), n, s.open())
		}
		return fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven); the same may hold for the other series, but that is not proven. %s", tty.Point(w.Value), s.open())
	}
	switch {
	case w.Proven && t.Proven:
		return fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven), and none that reaches it has a higher total (proven).", tty.Point(w.Value))
	case w.Proven:
		return fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven). Its total may still grow by up to %s. %s", tty.Point(w.Value), tty.Rise(t.Value, t.Bound), s.open())
	}
	return fmt.Sprintf("This is the best plan found, not proven to be the best there is. No plan under these rules lifts the weakest series above %s, which is %s more than this one. %s",
		tty.Point(w.Bound), tty.Rise(w.Value, w.Bound), s.open())
}

func (s *lineupScreen) totalVerdict(w report.Weakest, t report.Bounded) string {
	switch {
	case w.Proven && t.Proven:
		return fmt.Sprintf("No plan under these rules has a higher total than %s (proven), and none that reaches it has a stronger weakest series (proven).", tty.Point(t.Value))
	case t.Proven:
		return fmt.Sprintf("No plan under these rules has a higher total than %s (proven). The weakest series may still grow by up to %s. %s", tty.Point(t.Value), tty.Rise(w.Value, w.Bound), s.open())
	}
	return fmt.Sprintf("This is the best plan found, not proven to be the best there is. No plan under these rules has a higher total than %s, which is %s more than this one. %s",
		tty.Point(t.Bound), tty.Rise(t.Value, t.Bound), s.open())
}

// open says why something is left unproven.
func (s *lineupScreen) open() string {
	switch s.sh.Ended {
	case report.EndStopped:
		return "You stopped the search: left to itself it may find a better plan, or prove that there is none."
	case report.EndTime:
		return fmt.Sprintf("The time limit stopped the search: another run may give another plan, and more time may tell (--seconds %d).", max(60, 3*int(s.limit.Seconds())))
	}
	return fmt.Sprintf("The search gave up by itself: this game is past what it can prove, and more time gives the same plan. Another start may find a better one (--seed %d).", s.l.Seed+1)
}

// next says how to plan again, with two of the team's own kids as the example; who has just done so knows.
func (s *lineupScreen) next() string {
	if len(s.l.Kids) < 2 || len(s.l.Series) < 3 || s.asked || s.sh.Ended != report.EndProven {
		return ""
	}
	away, late := s.l.Kids[0].Kid, s.l.Kids[1].Kid
	text := s.Fold(fmt.Sprintf("Somebody missing at the field? Plan again, here without kid %s and with kid %s from series 3 on:", away, late), "")
	return tty.Commands(strings.TrimRight(text, "\n"), fmt.Sprintf("sevenyard lineup %s --absent %s --late %s@3", s.src.Name, tty.Quote(away), tty.Quote(late)))
}

// example is a kid who is there to the end if there is one, and midway a series, to show how a rebuild is asked for.
func (s *lineupScreen) example() report.LineupKid {
	for _, k := range s.l.Kids {
		if k.Available[1] == len(s.l.Series) {
			return k
		}
	}
	return s.l.Kids[0]
}

func (s *lineupScreen) midway() int {
	return min(s.example().Available[1], max(s.l.Played+1, (len(s.l.Series)+2)/2))
}
