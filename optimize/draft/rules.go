package draft

import (
	"cmp"
	"slices"
)

// rules are the hard rules of a pool beside the sizes, in the order of the kinds; those that forbid nothing are left out.
func (p *Pool) rules() []Rule {
	rules := []Rule{}
	for _, g := range p.Siblings {
		kids := slices.Sorted(slices.Values(g))
		if kids = slices.Compact(kids); len(kids) > 1 {
			rules = append(rules, Rule{Kind: Siblings, Kids: kids})
		}
	}
	for _, f := range p.Fixed {
		rules = append(rules, Rule{Kind: Settled, Kids: []int{f.Kid}, Teams: []int{f.Team}, Coach: f.Coach})
	}
	for k, kid := range p.Kids {
		if kid.Teams == nil || !slices.Contains(kid.Teams, false) {
			continue
		}
		r := Rule{Kind: Nights, Kids: []int{k}}
		for t, can := range kid.Teams {
			if can {
				r.Teams = append(r.Teams, t)
			}
		}
		rules = append(rules, r)
	}
	for _, a := range p.Apart {
		rules = append(rules, Rule{Kind: Apart, Kids: []int{min(a[0], a[1]), max(a[0], a[1])}})
	}
	if p.MaxReturning > 0 {
		rules = append(rules, p.returningRules()...)
	}
	slices.SortStableFunc(rules, p.compareRules)
	return slices.CompactFunc(rules, func(a, b Rule) bool { return a.Kind != Returning && p.compareRules(a, b) == 0 })
}

// returningRules limits every old team that has more kids in the pool than the limit.
func (p *Pool) returningRules() []Rule {
	var rules []Rule
	at := map[string]int{}
	for k, kid := range p.Kids {
		if kid.Returning == "" {
			continue
		}
		i, seen := at[kid.Returning]
		if !seen {
			i = len(rules)
			at[kid.Returning] = i
			rules = append(rules, Rule{Kind: Returning, Old: kid.Returning, Most: p.MaxReturning})
		}
		rules[i].Kids = append(rules[i].Kids, k)
	}
	return slices.DeleteFunc(rules, func(r Rule) bool { return len(r.Kids) <= r.Most })
}

// compareRules orders rules by kind and then by the labels of their kids, so that the order of the pool does not matter.
func (p *Pool) compareRules(a, b Rule) int {
	if c := cmp.Compare(a.Kind, b.Kind); c != 0 {
		return c
	}
	c := slices.CompareFunc(p.labels(a.Kids), p.labels(b.Kids), compareLabels)
	if c == 0 {
		c = slices.Compare(a.Teams, b.Teams)
	}
	return c
}

// labels are the sorted labels of kids.
func (p *Pool) labels(kids []int) []string {
	var l []string
	for _, k := range kids {
		l = append(l, p.Kids[k].Label)
	}
	slices.SortFunc(l, compareLabels)
	return l
}
