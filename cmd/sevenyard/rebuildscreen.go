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
}

func (s *rebuildScreen) text() string {
	return s.changes() + s.care() + "\n" + s.body() + "\n" + s.fresh() + s.tradeoffs()
}

func (s *rebuildScreen) changes() string {
	out := ""
	for _, w := range s.pl.ChangeWords(s.pl.Outcome.Result.Plan) {
		out += s.Fold(s.Strong(w), "  ")
	}
	if out == "" {
		out = s.Fold(s.Strong("No change: the plan stands as it is."), "")
	}
	if n := s.re.Played; n > 0 {
		is := "is"
		if n > 1 {
			is = "are"
		}
		out += s.Fold(fmt.Sprintf("Series %s %s over and %s as planned.", span(n), is, map[bool]string{true: "stay", false: "stays"}[n > 1]), "  ")
	}
	return out + s.Fold(s.count(), "  ")
}

func span(n int) string {
	if n == 1 {
		return "1"
	}
	return "1-" + strconv.Itoa(n)
}

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
