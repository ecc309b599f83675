package draftday

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// changeScreen lays changes of teams out for people.
type changeScreen struct {
	tty.View
	pl  *draftplan.Plan
	who tty.People
	src tty.Source
}

func newChangeScreen(p *Pool) *changeScreen {
	return &changeScreen{View: p.View, pl: p.Pl, who: p.callNames(), src: p.src}
}

func (s *changeScreen) tradeText(r *report.Trade, sv *Saved, tr *draft.Trade) string {
	out := s.Fold(s.Strong("The trade"), "")
	for _, m := range r.Moves {
		along := ""
		if slices.Contains(r.Along, m.Kid) {
			along = ", along with a sibling"
		}
		out += s.Fold(tty.Sentence(fmt.Sprintf("%s goes from %s to %s%s", s.who.Inline(m.Kid), m.From, m.To, along)), "  ")
	}
	out += "\n"
	if !r.Allowed {
		out += s.Fold(s.Strong("Not allowed: it breaks"), "")
		for _, words := range s.pl.RulesWords(tr.Broken) {
			out += s.Fold("- "+words, "  ")
		}
		out += "\n"
	}
	out += s.compare([]string{"before", "after"}, []report.Evenness{r.Before, r.After})
	out += s.Fold(s.priceWords(r, draftplan.PartNames(tr.Before)), "")
	out += s.pointWords()
	if len(r.Counters) == 0 {
		if r.Price > shownPrice || !r.Allowed {
			none := "No counter-trade was found that makes it better."
			if !r.Allowed {
				none = "No counter-trade was found that keeps every rule."
			}
			out += "\n" + s.Fold(none, "")
		}
		return out
	}
	out += "\n" + s.Fold(s.Strong("Counter-trades, the cheapest first"), "") + s.options(r.Counters, r.Before.Objective)
	if r.Restored {
		return out + s.Fold("The last one brings the teams back to where they were, or better.", "")
	}
	return out + s.Fold("None of them brings the teams all the way back.", "")
}

// priceWords says what the price of a trade means, and what most of it is for.
func (s *changeScreen) priceWords(r *report.Trade, parts []string) string {
	words := ""
	price := cents(r.After.Objective) - cents(r.Before.Objective) // what is shown adds up
	switch {
	case math.Abs(r.Price) < shownPrice:
		words = "Price: nothing that shows. The teams are as even as before."
	case r.Price < 0:
		words = fmt.Sprintf("Price: %.2f less than nothing: the teams are more even than before.", -price)
	default:
		words = fmt.Sprintf("Price: %.2f.", price)
		most, cost := "", 0.0
		for _, p := range parts {
			if d := r.After.Parts[p] - r.Before.Parts[p]; d > cost {
				most, cost = p, d
			}
		}
		words += fmt.Sprintf(" The largest part of it is %s: %.2f.", partTitle(most), cost)
	}
	if before, after := r.Before.Shortage, r.After.Shortage; before != after {
		words += fmt.Sprintf(" Spots of the formation that teams cannot fill from their own kids: %d before, %d after; that counts before everything else.", before, after)
	}
	switch {
	case r.After.Even:
		words += " After it the teams are still even as far as anybody can tell."
	case r.Before.Even:
		words += " Before it the teams were even as far as anybody can tell; after it they differ by more than error alone does on average."
	}
	return words
}

// cents rounds as the screen does.
func cents(x float64) float64 { return math.Round(100*x) / 100 }

// partTitle is a part of the objective in words.
func partTitle(part string) string {
	switch part {
	case drills.EvenGrades:
		return "how the grades are mixed"
	case drills.EvenUntested:
		return "how many kids of a team nobody has seen"
	case drills.EvenUncertainty:
		return "how little is known about a team's kids"
	case drills.EvenReturning:
		return "how many kids of a team played last season"
	case drills.EvenOverall:
		return "the overall score"
	}
	return part
}

func (s *changeScreen) pointWords() string {
	return s.Fold(fmt.Sprintf("Unevenness sums squared differences between the teams in everything measured; %.2f is one team off by 1 point overall.", s.pl.PointPrice()), "")
}

// compare sets splits side by side: how far apart the teams are in every measure.
func (s *changeScreen) compare(names []string, list []report.Evenness) string {
	return s.Blocks(s.uneven(s.spreadTable(names, list), list), 1)
}

func (s *changeScreen) spreadTable(names []string, list []report.Evenness) *texttab.Table {
	t := &texttab.Table{Head: append([]string{"apart"}, names...), Align: []texttab.Align{texttab.Left}}
	for range names {
		t.Align = append(t.Align, texttab.Right)
	}
	for _, m := range s.pl.Measures() {
		row := []string{m}
		for _, e := range list {
			row = append(row, tty.Point(e.Spread[m]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// spreads is compare without the objective.
func (s *changeScreen) spreads(names []string, list []report.Evenness) string {
	return s.Blocks(s.spreadTable(names, list), 1)
}

// uneven adds the objective, and what cannot be filled.
func (s *changeScreen) uneven(t *texttab.Table, list []report.Evenness) *texttab.Table {
	row, short := []string{"unevenness"}, []string{"unfilled spots"}
	any := false
	for _, e := range list {
		row, short = append(row, fmt.Sprintf("%.2f", e.Objective)), append(short, fmt.Sprint(e.Shortage))
		any = any || e.Shortage > 0
	}
	t.Rows = append(t.Rows, row)
	if any {
		t.Rows = append(t.Rows, short)
	}
	return t
}

// options lists changes with their numbers.
func (s *changeScreen) options(list []report.DraftOption, before float64) string {
	out := ""
	for i, o := range list {
		var parts []string
		for _, m := range o.Placed {
			parts = append(parts, fmt.Sprintf("%s to %s", s.who.Inline(m.Kid), m.To))
		}
		for _, m := range o.Moves {
			parts = append(parts, fmt.Sprintf("%s from %s to %s", s.who.Inline(m.Kid), m.From, m.To))
		}
		moved := "nobody moves"
		if n := len(o.Moves); n > 0 {
			moved = prose.Count(n, "kid") + " moves"
			if n > 1 {
				moved = prose.Count(n, "kid") + " move"
			}
		}
		if len(parts) == 0 {
			parts = []string{"the teams stay as they are"}
		}
		out += s.Fold(fmt.Sprintf("%d. %s: %s. Unevenness %.2f, before %.2f; overall %s apart.", i+1, moved, strings.Join(parts, "; "),
			o.After.Objective, before, tty.Point(o.After.Spread[drills.EvenOverall])), "   ")
	}
	return out
}

// savedWords says what was written, and who moved in all; or how to have it written, where there is a way.
func (s *changeScreen) savedWords(out *teamTargets, sv *Saved, after draft.Split, how string) string {
	if out.plan == "" {
		if how == "" {
			return ""
		}
		return "\n" + s.Fold("Not saved: the same again with --save and a new file's name"+how+".", "")
	}
	moved := append(s.pl.Moved(sv.Now, after), sv.gone...)
	words := fmt.Sprintf("Saved as %s.", out.plan)
	if n := len(sv.rows); n > 0 {
		kids := "kid"
		if n > 1 {
			kids = "kids"
		}
		words += fmt.Sprintf(" Now take the rows of %s %s out of pool.csv and results.csv: whoever is in pool.csv and on no team counts as a kid who came late.", kids, prose.And(sv.rows))
	}
	was := ""
	if filepath.Clean(out.plan) != filepath.Clean(sv.file) {
		was = " --was " + tty.Quote(sv.file)
	}
	text := strings.TrimRight(s.Fold(words+" The list to post, with who changed teams:", ""), "\n")
	return "\n" + movedWords(s.View, s.who, moved) + tty.Commands(text, fmt.Sprintf("sevenyard draft post %s --from %s%s", s.src.Name, tty.Quote(out.plan), was))
}
