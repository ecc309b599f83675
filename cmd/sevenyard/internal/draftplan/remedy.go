package draftplan

import (
	"context"
	"slices"

	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/optimize/draft"
)

// mostRemedies is how many rules of a conflict are tried.
const mostRemedies = 12

// Remedies are the rules of a conflict without which all others of the pool can hold: each was tried, and a split found.
func (pl *Plan) Remedies(ctx context.Context, c *draft.Conflict) []draft.Rule {
	var out []draft.Rule
	for _, r := range c.Rules[:min(mostRemedies, len(c.Rules))] {
		if s, err := draft.Random(ctx, pl.without(r), 1); err == nil && s != nil {
			out = append(out, r)
		}
	}
	return out
}

// without is the pool without one rule.
func (pl *Plan) without(r draft.Rule) *draft.Pool {
	p := *pl.Numbers
	switch r.Kind {
	case draft.Siblings:
		p.Siblings = slices.DeleteFunc(slices.Clone(p.Siblings), func(g []int) bool { return slices.Contains(g, r.Kids[0]) })
	case draft.Settled:
		p.Fixed = slices.DeleteFunc(slices.Clone(p.Fixed), func(f draft.Fixed) bool { return f.Kid == r.Kids[0] })
	case draft.Nights:
		p.Kids = slices.Clone(p.Kids)
		p.Kids[r.Kids[0]].Teams = nil
	case draft.Apart:
		p.Apart = slices.DeleteFunc(slices.Clone(p.Apart), func(a [2]int) bool {
			return slices.Contains(r.Kids, a[0]) && slices.Contains(r.Kids, a[1])
		})
	case draft.Returning:
		p.MaxReturning = 0
	}
	return &p
}

// remedies writes rules to leave out down. Kids go by their ids.
func (pl *Plan) remedies(rules []draft.Rule) []report.Remedy {
	out := []report.Remedy{}
	for _, r := range rules {
		out = append(out, report.Remedy{Steps: []report.Step{{Rule: ruleName(r), To: -1, Words: pl.RuleWords(r)}}})
	}
	return out
}
