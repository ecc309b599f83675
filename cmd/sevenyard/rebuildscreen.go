package main

import (
	"fmt"
	"strconv"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/cmd/sevenyard/internal/texttab"
)

// rebuildScreen lays a rebuilt plan out: the changes first, for whoever calls them out.
type rebuildScreen struct {
	*lineupScreen
	re    *report.Rebuild
	asked bool // for the trade-offs
	hurt  []gameplan.At
	// running: something said on the command line hints at a game that is on.
	running bool
}

// text ends with the changes: what was printed last is what a terminal shows without scrolling. next is what to do with the plan.
func (s *rebuildScreen) text(next string) string {
	plan := s.body()
	if !s.detail {
		brief := *s.lineupScreen
		brief.said = max(1, s.said) // what to do about a knock to the head stands in the plan that is changed, and with whoever is hurt
		plan = s.head() + "\n" + s.grid() + s.letters() + "\n" + s.strengths() + brief.cautions()
	}
	return plan + s.care() + "\n" + s.fresh() + s.tradeoffs() + next + s.changes()
}

// changes are what the assistant calls out, and what counts as over.
func (s *rebuildScreen) changes() string {
	out := "\n"
	if !s.detail {
		out = s.loosened() + out
	}
	switch n := s.re.Played; {
	case n == 1:
		out += s.Fold("Series 1 is over and stays as planned.", "  ")
	case n > 1:
		out += s.Fold(fmt.Sprintf("Series 1-%d are over and stay as planned.", n), "  ")
	case s.running:
		out += s.Fold(s.Strong(nonePlayed), "  ")
	}
	words := s.pl.ChangeWords(s.pl.Outcome.Result.Plan)
	for _, w := range words {
		out += s.Fold(s.Strong(w), "  ")
	}
	if len(words) == 0 {
		out += s.Fold(s.Strong("No change: the plan stands as it is."), "")
	}
	if c := s.count(); c != "" {
		out += s.Fold(c, "  ")
	}
	return out
}

// nonePlayed warns of a game that is on although nothing says so.
const nonePlayed = "No series counts as played, so every one may change. If the game is on, add --played and the number of series that are over."

// count says how many spots change, and whether fewer would do.
func (s *rebuildScreen) count() string {
	c := s.re.Changes
	spots := gameplan.Count(c.Value, "changed spot")
	switch {
	case s.re.ChangeCosts > 0 && s.re.Total.Proven:
		return fmt.Sprintf("%s, each counted as %g points of the total: no plan has a higher total less that (proven).", spots, s.re.ChangeCosts)
	case s.re.ChangeCosts > 0:
		return fmt.Sprintf("%s, each counted as %g points of the total. That this is the best such plan is not proven. %s", spots, s.re.ChangeCosts, s.open())
	case c.Proven && c.Value == 0:
		return ""
	case c.Proven:
		return spots + ": no plan under the rules changes fewer (proven)."
	}
	return fmt.Sprintf("%s; it takes at least %d, and whether fewer than %d would do is not proven. %s", spots, c.Bound, c.Value, s.open())
}

// care is what to do about a hurt kid. The tool sets no hold.
func (s *rebuildScreen) care() string {
	if len(s.hurt) == 0 {
		return ""
	}
	out := "\n"
	for _, text := range cautions(&s.pl.Team.Catalogue, "concussion") {
		out += s.Fold(text, "")
	}
	var kids []string
	for _, h := range s.hurt {
		kids = append(kids, h.Kid)
	}
	return out + s.Fold(fmt.Sprintf("This plan leaves %s out of this game only. For the next ones a person writes a hold into roster.csv, and clears it; this tool does neither.",
		s.who.list(kids)), "")
}

// fresh is what a plan without regard to the saved one would gain.
func (s *rebuildScreen) fresh() string {
	f := s.re.Fresh
	if f == nil {
		return s.Fold("What a fresh plan would gain was not found in the time given.", "")
	}
	known := "(proven)"
	if !f.Weakest.Proven || !f.Total.Proven {
		known = "(as far as was found in the time given)"
	}
	more := gameplan.Count(f.Changes, "changed spot")
	switch {
	case f.GainWeakest <= 0 && f.GainTotal <= 0:
		return s.Fold("A fresh plan would gain nothing "+known+".", "")
	case f.GainWeakest <= 0:
		return s.Fold(fmt.Sprintf("A fresh plan would gain nothing in the weakest series and %s in the total, for %s %s.", point(f.GainTotal), more, known), "")
	}
	total := "gain " + point(f.GainTotal)
	if f.GainTotal < 0 {
		total = "lose " + point(-f.GainTotal)
	}
	return s.Fold(fmt.Sprintf("A fresh plan would lift the weakest series by %s, to %s, and %s in the total, for %s %s.", point(f.GainWeakest), point(f.Weakest.Value), total, more, known), "")
}

func (s *rebuildScreen) tradeoffs() string {
	if !s.asked {
		return ""
	}
	if len(s.re.Tradeoffs) == 0 {
		return "\n" + s.Fold("No trade-offs were found in the time given.", "")
	}
	t := &texttab.Table{Head: []string{"changes", "weakest", "total", ""}, Align: []texttab.Align{texttab.Right, texttab.Right, texttab.Right, texttab.Left}}
	for _, x := range s.re.Tradeoffs {
		note := ""
		if !x.Weakest.Proven {
			note = "at most " + point(x.Weakest.Bound)
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(x.Changes), point(x.Weakest.Value), point(x.Total), note})
	}
	return "\n" + s.Fold("More changes, and the weakest series that they reach:", "") + s.blocks(t, 0) +
		s.Fold("A plan between the ends: add --change-costs with the points that a change is worth to you, such as 0.5.", "")
}
