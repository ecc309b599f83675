package draftday

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// rules says which rules there are, and that all are kept: what was checked by a look at every rule.
func (s *draftScreen) rules() string {
	broken := draft.Check(s.pl.Numbers, s.split)
	if len(broken) > 0 { // saved teams may be anything
		return s.broken(broken, len(broken))
	}
	out := s.Fold(s.Strong("Rules, all kept"), "")
	if s.detail {
		for _, words := range s.pl.RulesWords(s.pl.Rules()) {
			out += s.Fold("- "+words, "  ")
		}
		return out
	}
	for _, line := range s.RuleLines() {
		out += s.Fold("- "+line, "  ")
	}
	return out
}

// broken says which rules are broken, and how; of those that are not shown only how many there are.
func (s *draftScreen) broken(shown []draft.Rule, all int) string {
	out := s.Fold(s.Strong(fmt.Sprintf("%s broken", prose.Count(all, "rule"))), "")
	for _, words := range s.pl.BrokenWords(shown, s.split) {
		out += s.Fold("! "+words, "  ")
	}
	for range all - len(shown) {
		out += s.Fold("! "+apartBroken, "  ")
	}
	return out
}

// madeOf is what the unevenness is the sum of, and how much of it no split can avoid.
func (s *draftScreen) madeOf() string {
	if !s.detail {
		return ""
	}
	t := &texttab.Table{Head: []string{"unevenness", "counts", "unavoidable"}, Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Right}}
	for _, p := range s.d.Parts {
		t.Rows = append(t.Rows, []string{p.Part, fmt.Sprintf("%.2f", p.Cost), fmt.Sprintf("%.2f", p.Bound)})
	}
	t.Rows = append(t.Rows, []string{"all together", fmt.Sprintf("%.2f", s.d.Objective), fmt.Sprintf("%.2f", s.d.Bound)})
	return "\n" + s.Blocks(t, 1) + s.Fold("Sums of squared differences between the teams, each in its own standard deviations and with its weight ([evenness] in league.toml). "+
		"Unavoidable: no split under these rules has less, as far as is known.", "")
}

// RuleLines are the rules in short, those of one kind on a line. Who is not to be with whom is nobody's business but the league's, so
// it is only counted.
func (s *draftScreen) RuleLines() []string {
	byKind := map[string][]report.KeptRule{}
	for _, r := range s.d.Rules {
		byKind[r.Rule] = append(byKind[r.Rule], r)
	}
	var out []string
	for _, r := range byKind["sizes"] {
		out = append(out, r.Words)
	}
	if list := byKind["siblings"]; len(list) > 0 {
		var parts []string
		for _, r := range list {
			parts = append(parts, fmt.Sprintf("%s (%s)", s.names(r.Kids), strings.Join(r.Teams, ", ")))
		}
		out = append(out, "siblings together: "+strings.Join(parts, "; "))
	}
	for _, kind := range []struct{ rule, words string }{{"coach", "on the team a parent coaches"}, {"fixed", "placed by the league"}} {
		if list := byKind[kind.rule]; len(list) > 0 {
			var parts []string
			for _, r := range list {
				parts = append(parts, fmt.Sprintf("%s (%s)", s.names(r.Kids), strings.Join(r.Teams, ", ")))
			}
			out = append(out, kind.words+": "+strings.Join(parts, "; "))
		}
	}
	if n := len(byKind["nights"]); n > 0 {
		out = append(out, fmt.Sprintf("%s with nights of their own, each on a team whose nights fit", prose.Count(n, "kid")))
	}
	if n := len(byKind["apart"]); n > 0 {
		out = append(out, fmt.Sprintf("%s kept apart", prose.Count(n, "pair")))
	}
	if list := byKind["returning"]; len(list) > 0 {
		out = append(out, fmt.Sprintf("at most %s of the same old team on one team", prose.Count(s.pl.Numbers.MaxReturning, "kid")))
	}
	return out
}

// names lists kids within a sentence.
func (s *draftScreen) names(ids []string) string {
	var out []string
	for _, id := range ids {
		out = append(out, s.who.Inline(id))
	}
	return prose.And(out)
}

// carpools says which wishes are kept, and what those that are not would cost.
func (s *draftScreen) carpools() string {
	if len(s.d.Carpools) == 0 {
		return ""
	}
	var kept, not []string
	priced := false
	for _, c := range s.d.Carpools {
		who := s.names(c.Kids)
		switch {
		case !c.Possible:
			not = append(not, who+" (the rules forbid it)")
		case !c.Priced:
			not = append(not, who+" (no way was found that keeps the rules)")
		case c.Granted && c.Price < shownPrice:
			kept = append(kept, who+" (costs nothing)")
		case c.Granted:
			kept, priced = append(kept, fmt.Sprintf("%s (costs %.2f)", who, c.Price)), true
		default:
			not, priced = append(not, fmt.Sprintf("%s (would cost %.2f)", who, c.Price)), true
		}
	}
	out := "\n" + s.Fold(s.Strong(fmt.Sprintf("Carpools: %d of %d on one team", len(kept), len(s.d.Carpools))), "")
	if len(kept) > 0 {
		out += s.Fold("- together: "+strings.Join(kept, "; "), "  ")
	}
	if len(not) > 0 {
		out += s.Fold("- not together: "+strings.Join(not, "; "), "  ")
	}
	if priced {
		out += s.price()
	}
	return out
}

// shownPrice is the least price that shows in two digits.
const shownPrice = 0.005

// price explains the unit of prices.
func (s *draftScreen) price() string {
	return s.Fold(fmt.Sprintf("Price, as far as was searched: %.2f is what it counts if one team is off by 1 point overall (carpools in league.toml says what a car too many counts).",
		s.pl.PointPrice()), "")
}

// played is how the teams do when each plays its own best plan.
func (s *draftScreen) played() string {
	p := s.d.Play
	if p == nil || p.Draft == nil {
		return ""
	}
	t := &texttab.Table{
		Head:  []string{"", "weakest series", "apart", "average", "apart"},
		Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Right, texttab.Right, texttab.Right},
	}
	proven := true
	for _, x := range []struct {
		name string
		p    *report.Played
	}{{"teams", p.Draft}, {"snake", p.Snake}, {"random", p.Random}} {
		if x.p == nil {
			continue
		}
		proven = proven && x.p.Proven
		t.Rows = append(t.Rows, []string{
			x.name, spanOf(x.p.Teams, func(t report.TeamPlay) float64 { return t.Weakest }), tty.Point(x.p.WeakestSpread),
			spanOf(x.p.Teams, func(t report.TeamPlay) float64 { return t.Average }), tty.Point(x.p.AverageSpread),
		})
	}
	var forms []string
	for _, f := range p.Formation {
		if !slices.Contains(forms, f) {
			forms = append(forms, f)
		}
	}
	out := "\n" + s.Fold(s.Strong("Tried out by playing"), "") + s.Blocks(t, 1)
	words := fmt.Sprintf("Every team plays its own best plan of %s in %s, with equal turns: the strength of its weakest series and of its average one, from the lowest team to the highest.",
		prose.Count(p.Series, "series"), strings.Join(forms, ", "))
	if !proven {
		words += " Not every plan is proven in the time given, so another run may differ a little."
	}
	return out + s.Fold(words, "")
}

// spanOf gives the lowest and the highest value of the teams.
func spanOf(teams []report.TeamPlay, value func(report.TeamPlay) float64) string {
	low, high := value(teams[0]), value(teams[0])
	for _, t := range teams {
		low, high = min(low, value(t)), max(high, value(t))
	}
	return tty.Point(low) + " to " + tty.Point(high)
}

func (s *draftScreen) cautions() string {
	out := s.Fold("Drill times are not all there is to a kid: let people who know the kids look at the list before it is posted.", "")
	for _, k := range s.pl.Folder.Roster {
		if k.Hold != "" {
			return out + s.Fold("Kids on medical hold have a team and are not counted on to play; a person clears a hold, never the tool.", "")
		}
	}
	return out
}
