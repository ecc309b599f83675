package draftplan

import (
	"context"
	"fmt"
	"slices"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// Bounds on the effort of Remedies.
const (
	mostRemedies = 12 // rules of a conflict that are tried one by one
	mostTogether = 12 // rules that are left out together
)

// Remedies are sets of rules without which all others of the pool can hold: each was tried, and a split found. They are single rules of the conflict;
// where none of these does, because others collide too, one set of several. Of the limit of returning kids it is not left out but raised: Most is then the least
// number with which a split was found.
func (pl *Plan) Remedies(ctx context.Context, c *draft.Conflict) [][]draft.Rule {
	var out [][]draft.Rule
	limit := false
	for _, r := range c.Rules[:min(mostRemedies, len(c.Rules))] {
		if r.Kind == draft.Returning && limit {
			continue // it is one number for all old teams
		}
		if pl.holds(ctx, []draft.Rule{r}) {
			limit = limit || r.Kind == draft.Returning
			out = append(out, pl.raised(ctx, []draft.Rule{r}))
		}
	}
	if out == nil {
		if set := pl.together(ctx, c); set != nil {
			out = append(out, pl.raised(ctx, set))
		}
	}
	return out
}

// raised puts the least limit of returning kids that was found to do in place of none at all.
func (pl *Plan) raised(ctx context.Context, set []draft.Rule) []draft.Rule {
	i := slices.IndexFunc(set, func(r draft.Rule) bool { return r.Kind == draft.Returning })
	if i < 0 {
		return set
	}
	most := 0 // with as many as this the limit forbids nothing
	count := map[string]int{}
	for _, k := range pl.Numbers.Kids {
		if k.Returning != "" {
			count[k.Returning]++
			most = max(most, count[k.Returning])
		}
	}
	p := pl.without(set)
	for p.MaxReturning = pl.Numbers.MaxReturning + 1; p.MaxReturning < most && ctx.Err() == nil; p.MaxReturning++ {
		if s, err := draft.Random(ctx, p, 1); err == nil && s != nil {
			break
		}
	}
	set = slices.Clone(set)
	set[i] = draft.Rule{Kind: draft.Returning, Most: p.MaxReturning, Old: set[i].Old, Kids: set[i].Kids}
	return slices.DeleteFunc(set, func(r draft.Rule) bool { return r.Kind == draft.Returning && r.Most != p.MaxReturning })
}

// RemedyWords says sets of rules to leave out, each rule as the league would change it.
func (pl *Plan) RemedyWords(rules []draft.Rule) []string {
	var out []string
	for _, r := range rules {
		if r.Kind == draft.Returning {
			out = append(out, raisedWords(r))
		}
	}
	for _, words := range pl.RulesWords(slices.DeleteFunc(slices.Clone(rules), func(r draft.Rule) bool { return r.Kind == draft.Returning })) {
		out = append(out, "without this: "+words)
	}
	return out
}

func raisedWords(r draft.Rule) string {
	return fmt.Sprintf("max_returning = %d in league.toml: at most %s of the same old team on one team", r.Most, prose.Count(r.Most, "kid"))
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
			step := report.Step{Rule: ruleName(r), Kids: pl.ids(r.Kids), To: -1, Words: pl.RuleWords(r)}
			if r.Kind == draft.Returning {
				step.To, step.Words = r.Most, raisedWords(r)
			}
			steps = append(steps, step)
		}
		out = append(out, report.Remedy{Steps: steps})
	}
	return out
}
