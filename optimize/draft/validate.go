package draft

import (
	"errors"
	"fmt"
	"math"
)

// Validate tells what about the pool makes no sense: indices out of range, labels twice, scores that are no
// numbers, beyond the limits. Rules that conflict are another matter: see Explain.
func (p *Pool) Validate() error {
	switch {
	case len(p.Teams) < 2 || len(p.Teams) > MaxTeams:
		return fmt.Errorf("draft: %d teams; there have to be 2 to %d", len(p.Teams), MaxTeams)
	case len(p.Kids) < len(p.Teams) || len(p.Kids) > MaxKids:
		return fmt.Errorf("draft: %d kids for %d teams; there have to be at least as many as teams, and at most %d", len(p.Kids), len(p.Teams), MaxKids)
	case len(p.Measures) < 1 || len(p.Measures) > MaxMeasures:
		return fmt.Errorf("draft: %d measures; there have to be 1 to %d", len(p.Measures), MaxMeasures)
	case len(p.Roles) > MaxRoles:
		return fmt.Errorf("draft: %d roles; there can be at most %d", len(p.Roles), MaxRoles)
	case len(p.Siblings) > MaxKids || len(p.Carpools) > MaxKids || entries(p.Siblings) > maxEntries || entries(p.Carpools) > maxEntries:
		return fmt.Errorf("draft: %d families and %d carpools; there can be at most %d each, of %d kids in all", len(p.Siblings), len(p.Carpools), MaxKids, maxEntries)
	case len(p.Fixed) > maxEntries || len(p.Apart) > MaxApart:
		return fmt.Errorf("draft: %d kids settled and %d pairs kept apart; there can be at most %d and %d", len(p.Fixed), len(p.Apart), maxEntries, MaxApart)
	case p.MaxReturning < 0:
		return errors.New("draft: the limit of returning kids is negative")
	}
	for _, w := range []int{p.Weights.Grades, p.Weights.Untested, p.Weights.Uncertainty, p.Weights.Returning, p.Weights.Carpool} {
		if w < 0 || w > maxWeight {
			return fmt.Errorf("draft: weight %d; it has to be 0 to %d", w, maxWeight)
		}
	}
	for _, r := range p.Roles {
		if r.Need < 0 || r.Need > MaxKids {
			return fmt.Errorf("draft: role %q needs %d kids", r.Label, r.Need)
		}
	}
	labels := map[string]bool{}
	for _, m := range p.Measures {
		if labels[m.Label] {
			return fmt.Errorf("draft: measure %q is there twice", m.Label)
		}
		labels[m.Label] = true
		if m.Weight < 0 || m.Weight > maxWeight {
			return fmt.Errorf("draft: weight %d of %q; it has to be 0 to %d", m.Weight, m.Label, maxWeight)
		}
		if math.IsNaN(m.Step) || math.IsInf(m.Step, 0) || m.Step < 0 {
			return fmt.Errorf("draft: step %v of %q", m.Step, m.Label)
		}
	}
	return errors.Join(p.validateKids(), p.validateRules())
}

// entries counts the kids of all groups, those named twice twice.
func entries(groups [][]int) int {
	n := 0
	for _, g := range groups {
		n += len(g)
	}
	return n
}

// maxEntries bounds lists that name kids, each of them perhaps more than once.
const maxEntries = 4 * MaxKids

// Bounds that keep all sums within 64 bits.
const (
	maxWeight = 10_000
	maxSteps  = 10_000_000
)

func (p *Pool) validateKids() error {
	seen := map[string]bool{}
	for _, t := range p.Teams {
		if seen[t] {
			return fmt.Errorf("draft: team %q is there twice", t)
		}
		seen[t] = true
	}
	clear(seen)
	for _, k := range p.Kids {
		switch {
		case seen[k.Label]:
			return fmt.Errorf("draft: kid %q is there twice", k.Label)
		case len(k.Scores) != len(p.Measures):
			return fmt.Errorf("draft: kid %q has %d scores for %d measures", k.Label, len(k.Scores), len(p.Measures))
		case k.Errors != nil && len(k.Errors) != len(p.Measures):
			return fmt.Errorf("draft: kid %q has %d errors for %d measures", k.Label, len(k.Errors), len(p.Measures))
		case k.Teams != nil && len(k.Teams) != len(p.Teams):
			return fmt.Errorf("draft: kid %q can be on %d teams of %d", k.Label, len(k.Teams), len(p.Teams))
		case k.Plays != nil && len(k.Plays) != len(p.Roles):
			return fmt.Errorf("draft: kid %q plays %d roles of %d", k.Label, len(k.Plays), len(p.Roles))
		}
		seen[k.Label] = true
		for j, m := range p.Measures {
			step := m.Step
			if step == 0 {
				step = defaultStep
			}
			if x := k.Scores[j] / step; math.IsNaN(x) || math.Abs(x) > maxSteps {
				return fmt.Errorf("draft: kid %q has %v as %q", k.Label, k.Scores[j], m.Label)
			}
			// Squared errors count in steps too.
			if k.Errors != nil && !(k.Errors[j] >= 0 && k.Errors[j] <= 300) {
				return fmt.Errorf("draft: kid %q has a standard error of %v in %q", k.Label, k.Errors[j], m.Label)
			}
		}
	}
	return nil
}

func (p *Pool) validateRules() error {
	kid := func(k int) error {
		if k < 0 || k >= len(p.Kids) {
			return fmt.Errorf("draft: kid %d of %d in a rule", k, len(p.Kids))
		}
		return nil
	}
	for _, g := range [][][]int{p.Siblings, p.Carpools} {
		for _, kids := range g {
			for _, k := range kids {
				if err := kid(k); err != nil {
					return err
				}
			}
		}
	}
	for _, f := range p.Fixed {
		if err := kid(f.Kid); err != nil {
			return err
		}
		if f.Team < 0 || f.Team >= len(p.Teams) {
			return fmt.Errorf("draft: team %d of %d in a rule", f.Team, len(p.Teams))
		}
	}
	for _, a := range p.Apart {
		if err := errors.Join(kid(a[0]), kid(a[1])); err != nil {
			return err
		}
		if a[0] == a[1] {
			return fmt.Errorf("draft: kid %q is to be kept apart from itself", p.Kids[a[0]].Label)
		}
	}
	return nil
}

// validateSplit tells whether a split fits the pool at all.
func (p *Pool) validateSplit(s Split) error {
	if len(s) != len(p.Kids) {
		return fmt.Errorf("draft: a split of %d kids for a pool of %d", len(s), len(p.Kids))
	}
	for k, t := range s {
		if t < Unplaced || t >= len(p.Teams) {
			return fmt.Errorf("draft: kid %q is on team %d of %d", p.Kids[k].Label, t, len(p.Teams))
		}
	}
	return nil
}
