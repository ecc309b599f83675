package draftplan

import (
	"context"
	"slices"

	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/optimize/draft"
)

// Bounds on the effort of Remedies.
const (
	mostRemedies = 12 // rules of a conflict that are tried one by one
	mostTogether = 12 // rules that are left out together
)

// Remedies are sets of rules without which all others of the pool can hold: each was tried, and a split found. They are single rules of the conflict;
// where none of these does, because others collide too, one set of several.
func (pl *Plan) Remedies(ctx context.Context, c *draft.Conflict) [][]draft.Rule {
	var out [][]draft.Rule
	for _, r := range c.Rules[:min(mostRemedies, len(c.Rules))] {
		if pl.holds(ctx, []draft.Rule{r}) {
			out = append(out, []draft.Rule{r})
		}
	}
	if out == nil {
		if set := pl.together(ctx, c); set != nil {
			out = append(out, set)
		}
	}
	return out
}

// holds tells whether a split was found that keeps all rules but those.
func (pl *Plan) holds(ctx context.Context, but []draft.Rule) bool {
	s, err := draft.Random(ctx, pl.without(but), 1)
	return err == nil && s != nil
}

// together leaves out a rule of one conflict after another, those first that a league can change most easily, and then takes back what was not
// needed.
func (pl *Plan) together(ctx context.Context, c *draft.Conflict) []draft.Rule {
	var set []draft.Rule
	for c != nil && len(c.Rules) > 0 && len(set) < mostTogether {
		set = append(set, slices.MinFunc(c.Rules, func(a, b draft.Rule) int { return ease(a) - ease(b) }))
		c = draft.Explain(ctx, pl.without(set))
	}
	if !pl.holds(ctx, set) {
		return nil
	}
	for i := len(set) - 1; i >= 0; i-- {
		if less := slices.Delete(slices.Clone(set), i, i+1); pl.holds(ctx, less) {
			set = less
		}
	}
	return set
}

// ease orders rules by how easily a league changes them: its own decisions before what families can do.
func ease(r draft.Rule) int {
	order := []string{"fixed", "returning", "apart", "nights", "siblings", "coach"}
	if i := slices.Index(order, ruleName(r)); i >= 0 {
		return i
	}
	return len(order)
}

// without is the pool without some rules.
func (pl *Plan) without(rules []draft.Rule) *draft.Pool {
	p := *pl.Numbers
	p.Kids = slices.Clone(p.Kids)
	for _, r := range rules {
		leaveOut(&p, r)
	}
	return &p
}

func leaveOut(p *draft.Pool, r draft.Rule) {
	switch r.Kind {
	case draft.Siblings:
		p.Siblings = slices.DeleteFunc(slices.Clone(p.Siblings), func(g []int) bool { return slices.Contains(g, r.Kids[0]) })
	case draft.Settled:
		p.Fixed = slices.DeleteFunc(slices.Clone(p.Fixed), func(f draft.Fixed) bool { return f.Kid == r.Kids[0] })
	case draft.Nights:
		p.Kids[r.Kids[0]].Teams = nil
	case draft.Apart:
		p.Apart = slices.DeleteFunc(slices.Clone(p.Apart), func(a [2]int) bool {
			return slices.Contains(r.Kids, a[0]) && slices.Contains(r.Kids, a[1])
		})
	case draft.Returning:
		p.MaxReturning = 0
	}
}

// remedies writes sets of rules to leave out down. Kids go by their ids.
func (pl *Plan) remedies(sets [][]draft.Rule) []report.Remedy {
	out := []report.Remedy{}
	for _, rules := range sets {
		var steps []report.Step
		for _, r := range rules {
			steps = append(steps, report.Step{Rule: ruleName(r), To: -1, Words: pl.RuleWords(r)})
		}
		out = append(out, report.Remedy{Steps: steps})
	}
	return out
}
