package gameplan

import (
	"context"
	"slices"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/optimize/rotation"
)

// Conflict writes the conflict of the outcome down; loosens: there is a plan once rules may be loosened.
func (pl *Plan) Conflict(loosens bool) *report.Conflict {
	c := pl.Outcome.Conflict
	out := &report.Conflict{Smallest: c.Smallest, Rules: []report.ConflictRule{}, Words: pl.ConflictWords(c.Rules), Facts: append([]string{}, pl.Facts(c.Rules)...), Remedies: []report.Remedy{}, Loosens: loosens}
	for _, r := range c.Rules {
		rule := report.ConflictRule{Rule: r.Kind.String(), Kids: []string{}, Words: pl.RuleWords(r)}
		for _, k := range r.Kids {
			rule.Kids = append(rule.Kids, pl.IDs[k])
		}
		out.Rules = append(out.Rules, rule)
	}
	for _, x := range pl.Outcome.Remedies {
		out.Remedies = append(out.Remedies, pl.remedy(x))
	}
	for _, steps := range pl.Outcome.Combined {
		r := pl.remedy(steps...)
		if !slices.ContainsFunc(out.Remedies, func(x report.Remedy) bool { return slices.EqualFunc(x.Steps, r.Steps, report.Step.Same) }) { // rules of several kids may come to the same
			out.Remedies = append(out.Remedies, r)
		}
	}
	return out
}

// Collision tells which rules cannot hold together in this game; nil: none was found to. It solves nothing beyond that.
func (pl *Plan) Collision(ctx context.Context, limit time.Duration) (*report.Conflict, error) {
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	set := rotation.Settings{Limit: time.Millisecond}
	if err := pl.Arrange(ctx, set, true); err != nil || pl.Outcome.Conflict == nil {
		return nil, err
	}
	loose, err := pl.Game.Arrange(ctx, set, false)
	return pl.Conflict(err == nil && loose.Conflict == nil), err
}

func (pl *Plan) remedy(steps ...rotation.Loosened) report.Remedy {
	out := report.Remedy{}
	for _, x := range steps {
		out.Steps = append(out.Steps, report.Step{Rule: x.Rule.Kind.String(), Kids: pl.stepKids(x), To: x.To, Words: pl.RemedyWords(x)})
	}
	return out
}

// stepKids are the ids of the kids whose rule a step changes; none where the rule is one for everybody.
func (pl *Plan) stepKids(x rotation.Loosened) []string {
	kids, out := x.Rule.Kids, []string{}
	switch k := x.Rule.Kind; {
	case k == rotation.RuleCover:
		kids = pl.cover(x.Rule).Kids
	case k == rotation.RuleMinShare || k == rotation.RuleShare:
		return out
	case k != rotation.RuleTogether && k != rotation.RuleApart && k != rotation.RulePin && !givenUp(x):
		return out
	}
	for _, k := range kids {
		out = append(out, pl.IDs[k])
	}
	return out
}
