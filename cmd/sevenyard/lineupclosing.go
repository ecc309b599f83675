package main

import (
	"fmt"
	"strings"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/cmd/sevenyard/internal/screen"
	"sevenyard/cmd/sevenyard/internal/texttab"
	"sevenyard/optimize/rotation"
)

// strength is the weakest series and the total, each with its bound and what is proven.
func (s *lineupScreen) strength() string {
	weak := fmt.Sprintf("Weakest series, number %d: %s", s.l.Weakest.Series, point(s.l.Weakest.Value))
	total := fmt.Sprintf("All %s together: %s", gameplan.Count(len(s.l.Series), "series"), point(s.l.Total.Value))
	n := max(len(weak), len(total)) + texttab.Gap
	rows := []string{s.bounded(weak, n, s.l.Weakest.Bounded, ""), s.bounded(total, n, s.l.Total, " with that")}
	if s.set.Favor == rotation.Total {
		rows = []string{s.bounded(total, n, s.l.Total, ""), s.bounded(weak, n, s.l.Weakest.Bounded, " with that")}
	}
	return strings.Join(rows, "") + s.Fold(fmt.Sprintf("Points: %s Behind a fit stands its standard error.%s", pointsMean, s.ownNote()), "")
}

// bounded puts a value and what is proven of it on one line, or on two where the screen is narrow.
func (s *lineupScreen) bounded(text string, n int, b report.Bounded, with string) string {
	known := fmt.Sprintf("at most %s possible%s; gap %s, not proven", point(b.Bound), with, point(b.Bound-b.Value))
	if b.Proven {
		known = "best possible" + with + " (proven)"
	}
	if n+len(known) > s.Width {
		return s.Fold(text, "") + s.Fold("  "+known, "  ")
	}
	return screen.Pad(text, n, false) + known + "\n"
}

const pointsMean = "50 is the middle of your team, 10 points are one standard deviation."

func (s *lineupScreen) ownNote() string {
	for _, line := range s.l.Series {
		for _, x := range line.Slots {
			if s.own(x) != "" {
				return " *: your own number, from fits.csv."
			}
		}
	}
	return ""
}

func point(x float64) string { return fmt.Sprintf("%.1f", x) }

func (s *lineupScreen) rules() string {
	return s.Fold("Rules kept: "+strings.Join(s.pl.RulesInForce(), "; ")+".", "  ")
}

func (s *lineupScreen) cautions() string {
	out := ""
	for _, c := range s.l.Cautions {
		out += s.Fold("- "+c, "  ")
	}
	if out == "" {
		return ""
	}
	return "\n" + s.Fold("Keep in mind", "") + out
}

// closing is what to know or do next.
func (s *lineupScreen) closing() string {
	w, t := s.l.Weakest, s.l.Total
	if s.set.Favor == rotation.Total {
		return s.closingTotal(w, t)
	}
	if s.set.Favor == rotation.Even && w.Proven {
		more := "; the same may hold for the other series, but the time given did not suffice to prove it"
		if s.pl.Outcome.Result.Status == rotation.Proven {
			more = "; among those that reach it, none lifts the next weakest, and so on up (proven)"
		}
		return s.Fold(fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven)%s.", point(w.Value), more), "") + s.next()
	}
	switch {
	case w.Proven && t.Proven:
		return s.Fold(fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven), and none that reaches it has a higher total (proven).", point(w.Value)), "") + s.next()
	case w.Proven:
		return s.Fold(fmt.Sprintf("No plan under these rules lifts the weakest series above %s (proven). Its total may still grow by up to %s; more time may tell: %s.",
			point(w.Value), point(t.Bound-t.Value), s.moreTime()), "")
	}
	return s.Fold(fmt.Sprintf("This is the best plan found in the time given. No plan under these rules lifts the weakest series above %s, which is %s more than this one; more time may tell: %s.",
		point(w.Bound), point(w.Bound-w.Value), s.moreTime()), "")
}

func (s *lineupScreen) closingTotal(w report.Weakest, t report.Bounded) string {
	switch {
	case w.Proven && t.Proven:
		return s.Fold(fmt.Sprintf("No plan under these rules has a higher total than %s (proven), and none that reaches it has a stronger weakest series (proven).", point(t.Value)), "") + s.next()
	case t.Proven:
		return s.Fold(fmt.Sprintf("No plan under these rules has a higher total than %s (proven). The weakest series may still grow by up to %s; more time may tell: %s.",
			point(t.Value), point(w.Bound-w.Value), s.moreTime()), "")
	}
	return s.Fold(fmt.Sprintf("This is the best plan found in the time given. No plan under these rules has a higher total than %s, which is %s more than this one; more time may tell: %s.",
		point(t.Bound), point(t.Bound-t.Value), s.moreTime()), "")
}

func (s *lineupScreen) moreTime() string {
	return fmt.Sprintf("--seconds %d", max(60, 3*int(s.set.Limit.Seconds())))
}

// next says how to plan again, with two of the team's own kids as the example; who has just done so knows.
func (s *lineupScreen) next() string {
	if len(s.l.Kids) < 2 || len(s.l.Series) < 3 || s.told {
		return ""
	}
	away, late := s.l.Kids[0].Kid, s.l.Kids[1].Kid
	text := s.Fold(fmt.Sprintf("Somebody missing at the field? Plan again, here without kid %s and with kid %s from series 3 on:", away, late), "")
	return commands(strings.TrimRight(text, "\n"), fmt.Sprintf("sevenyard lineup %s --absent %s --late %s@3", s.src.Name, quote(away), quote(late)))
}
