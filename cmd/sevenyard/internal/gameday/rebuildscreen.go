package gameday

import (
	"fmt"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// rebuildScreen lays a rebuilt plan out: the changes first, for whoever calls them out.
type rebuildScreen struct {
	*lineupScreen
	re   *report.Rebuild
	way  planning.Way
	hurt []gameplan.At
	// running: something said on the command line hints at a game that is on.
	running bool
	taken   bool     // somebody is taken out, not hurt as far as was said
	calls   []string // the sentences to call out
}

func newRebuildScreen(o rebuildOptions, g *Game, re *report.Rebuild) *rebuildScreen {
	way := o.way
	s := &rebuildScreen{lineupScreen: NewLineupScreen(g, &re.Lineup, o.detail), re: re, way: way, hurt: g.Wishes.Hurt, taken: len(g.Wishes.Absent)+len(g.Wishes.Leaves) > 0}
	s.calls = s.sh.Calls
	switch {
	case s.sh.Bare:
	case way.Costs > 0:
		s.under = " at that price in so few changes"
	case way.Changes >= 0:
		s.under = " in at most " + prose.Count(way.Changes, "change")
		s.then = " with that in " + prose.Count(re.Changes.Value, "change")
	default:
		s.under = " with so few changes"
	}
	if len(s.hurt) > 0 {
		s.said = 1 // the one about a knock to the head
	}
	return s
}

// text begins with the changes and ends with their number, for the last screen of a terminal. next is what to do with the plan.
func (s *rebuildScreen) text(next string) string {
	plan := s.grid() + s.legend() + "\n" + s.table(s.re.Played) + "\n" + s.strengths() + s.rules() + s.briefly()
	if s.detail {
		plan = s.grid() + s.legend() + "\n" + s.series() + "\n" + s.strength() + "\n" + s.rules() + s.cautions()
	}
	if s.sh.Bare && !s.detail {
		plan = s.grid() + s.legend() + "\n" + s.table(0) + "\n" + s.strength() + s.rules() + s.briefly()
	}
	who := s.away() + s.owed() + s.loosened()
	if who != "" {
		who = "\n" + strings.TrimLeft(who, "\n")
	}
	return s.title() + s.changes() + s.care() + who + "\n" + s.fresh() + s.tradeoffs() + plan + next + "\n" + s.closingLine()
}

// briefly are the cautions without those that stand in the plan that is changed, and with whoever is hurt.
func (s *rebuildScreen) briefly() string {
	brief := *s.lineupScreen
	brief.said = max(1, s.said)
	return brief.cautions()
}

// changes are what the assistant calls out, and what counts as over.
func (s *rebuildScreen) changes() string {
	out := ""
	switch n := s.re.Played; {
	case n > 0:
		out += s.Fold(fmt.Sprintf("Series %s over and %s.", prose.Are(1, n), map[bool]string{true: "stays as it was", false: "stay as they were"}[n == 1]), "  ")
	case s.running:
		out += s.Fold(s.Strong(nonePlayed), "  ")
	case s.way.Played < 0 && s.taken && len(s.calls) > 0:
		out += s.Fold(noneOver, "  ")
	}
	for _, w := range s.calls {
		out += s.Fold(s.Strong(w), "  ")
	}
	if len(s.calls) == 0 {
		out += s.Fold(s.Strong("No change: the plan stands as it is."), "")
	}
	if s.sh.Bare {
		return out + s.Fold("There is no plan to keep (--from): the series still to play are planned anew.", "  ")
	}
	if c := s.count(); c != "" {
		out += s.Fold(c, "  ")
	}
	return out
}

// closingLine repeats, where a terminal has scrolled the changes away, how many there are.
func (s *rebuildScreen) closingLine() string {
	n := s.re.Changes.Value
	if s.sh.Bare {
		return s.Fold(s.calls[0], "  ")
	}
	if n == 0 {
		return s.Fold("No change to call out.", "")
	}
	var in []int
	for _, c := range s.re.Changes.List {
		if len(in) == 0 || in[len(in)-1] != c.Series {
			in = append(in, c.Series)
		}
	}
	return s.Fold(fmt.Sprintf("%s to call out, at the top: series %s.", prose.Count(n, "changed spot"), prose.Ranges(in)), "")
}

// nonePlayed warns of a game that is on although nothing says so.
const nonePlayed = "No series counts as played, so every one may change. If the game is on, add --played and the number of series that are over."

// noneOver says the same where nothing hints at a game that is on: kids who do not come are known before it.
const noneOver = "No series counts as over. Is the game on? Add --played and how many are."

// count says how many spots change, and whether fewer would do.
func (s *rebuildScreen) count() string {
	c := s.re.Changes
	spots := prose.Count(c.Value, "changed spot")
	worth := fmt.Sprintf("%g points", s.re.ChangeCosts)
	if s.re.ChangeCosts == 1 {
		worth = "1 point"
	}
	switch {
	case s.re.ChangeCosts > 0 && s.re.Total.Proven:
		return fmt.Sprintf("%s, each counted as %s of the total: no plan has a higher total less that (proven).", spots, worth)
	case s.re.ChangeCosts > 0:
		return fmt.Sprintf("%s, each counted as %s of the total. That this is the best such plan is not proven. %s", spots, worth, s.open())
	case s.way.Changes >= 0 && c.Proven && s.re.Weakest.Proven:
		return fmt.Sprintf("%s: with at most %d no weakest series is stronger, and one as strong takes no fewer (proven).", spots, s.way.Changes)
	case s.way.Changes >= 0:
		return fmt.Sprintf("%s. That this is the best plan with at most %d is not proven. %s", spots, s.way.Changes, s.open())
	case c.Proven && c.Value == 0:
		return ""
	case c.Proven:
		return spots + ": no plan under the rules changes fewer (proven)."
	}
	return fmt.Sprintf("%s; it takes at least %d, and whether fewer than %d would do is not proven. %s", spots, c.Bound, c.Value, s.open())
}

// care is what to do about a hurt kid. The hold is of this plan; a lasting one is a person's to set.
func (s *rebuildScreen) care() string {
	if len(s.hurt) == 0 {
		if !s.taken || s.re.Played == 0 && !s.running {
			return ""
		}
		return "\n" + s.Fold("Out with a knock, or hurt in any way? Say so with --hurt and the series, as in --hurt 4@5: it holds the kid out for the rest of the day.", "")
	}
	out := "\n"
	for _, text := range s.sh.Care {
		out += s.Fold(text, "")
	}
	var kids []string
	for _, h := range s.hurt {
		kids = append(kids, h.Kid)
	}
	return out + s.Fold(fmt.Sprintf("%s: on hold for the rest of the day, in this plan and in those made from it. For the next games a person writes a hold into roster.csv, "+
		"and clears it; this tool does neither.", s.who.List(kids)), "")
}

// fresh is what a plan without regard to the saved one would gain, and how to have some of it.
func (s *rebuildScreen) fresh() string {
	f := s.re.Fresh
	switch {
	case s.sh.Bare:
		return ""
	case f == nil && s.sh.Ended == report.EndStopped:
		return ""
	case f == nil:
		return s.Fold("What a fresh plan would gain was not found in the time given.", "") + "\n"
	}
	known := "(proven)"
	if !f.Weakest.Proven || !f.Total.Proven {
		known = "(as far as was found in the time given)"
	}
	more := prose.Count(f.Changes, "changed spot")
	if !f.ChangesProven {
		more = "at most " + more
	}
	total := tty.Rise(s.re.Total.Value, f.Total.Value)
	var text string
	switch {
	case f.GainWeakest < 0 || f.GainWeakest == 0 && f.GainTotal <= 0:
		return s.Fold("A fresh plan would gain nothing "+known+".", "") + "\n"
	case f.GainWeakest == 0:
		text = fmt.Sprintf("A fresh plan would gain nothing in the weakest series and %s in the total, for %s %s.", total, more, known)
	default:
		then := "leave the total as it is"
		if f.GainTotal > 0 {
			then = "gain " + total + " in the total"
		} else if f.GainTotal < 0 {
			then = "lose " + total + " in the total"
		}
		text = fmt.Sprintf("A fresh plan would lift the weakest series by %s, to %s, and %s, for %s %s.", tty.Rise(s.re.Weakest.Value, f.Weakest.Value), tty.Point(f.Weakest.Value), then, more, known)
	}
	switch {
	case s.way.Tradeoffs:
	case f.GainWeakest > 0:
		text += " In between: add --tradeoffs, --changes N or --change-costs X."
	default:
		text += " In between: add --change-costs X."
	}
	if s.re.Played == 0 {
		text += " The fresh plan itself is what sevenyard lineup gives, told who is there."
	}
	return s.Fold(text, "") + "\n"
}

func (s *rebuildScreen) tradeoffs() string {
	var rows []report.Tradeoff
	for _, x := range s.re.Tradeoffs { // more changes for what cannot be seen are none
		if n := len(rows); n == 0 || tty.Point(x.Weakest.Value) != tty.Point(rows[n-1].Weakest.Value) {
			rows = append(rows, x)
		}
	}
	switch n := len(rows); {
	case !s.way.Tradeoffs || s.sh.Bare || s.sh.Ended == report.EndStopped:
		return ""
	case n == 0:
		return s.Fold("No trade-offs were found in the time given.", "") + "\n"
	case n == 1:
		x := rows[0]
		text := "More changes would not make the weakest series stronger"
		if !x.Weakest.Proven {
			text = "No stronger weakest series was found for more changes in the time given"
		}
		return s.Fold(fmt.Sprintf("%s: it is %s with %s already.", text, tty.Point(x.Weakest.Value), prose.Count(x.Changes, "changed spot")), "") + "\n"
	}
	t := &texttab.Table{Head: []string{"changes", "weakest", "total", ""}, Align: []texttab.Align{texttab.Right, texttab.Right, texttab.Right, texttab.Left}}
	for _, x := range rows {
		note := ""
		if !x.Weakest.Proven {
			note = "at most " + tty.Point(x.Weakest.Bound)
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(x.Changes), tty.Point(x.Weakest.Value), tty.Point(x.Total), note})
	}
	return s.Fold("More changes, and the weakest series that they reach:", "") + s.Blocks(t, 0) +
		s.Fold(fmt.Sprintf("To take one: the same again with --changes %d. Or let a change cost points, such as --change-costs 0.5.", rows[len(rows)-1].Changes), "") + "\n"
}
