package draftplan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// Changed says what saved teams say of themselves, or of their pool, that does not hold of them: the file may have been edited by hand, or the pool changed
// since. b is the balance of their split. Nothing of it is taken over from the file, so this is only to be said.
func (pl *Plan) Changed(sv *Saved, b *draft.Balance) []string {
	const after = "; all that is said of them here is worked out anew"
	by := "the file, or the pool, was changed since it was saved"
	if sv.Pool != "" {
		by = "the file was changed since it was saved"
	}
	switch {
	case sv.Pool != "" && sv.Pool != pl.Fingerprint():
		return []string{fmt.Sprintf("the pool has changed since %s was saved (scores, rules or kids): its teams are looked at with the pool as it is now%s", sv.file, after)}
	case sv.Objective != nil && differ(*sv.Objective, b.Objective):
		return []string{fmt.Sprintf("%s says that its teams have an unevenness of %.2f, and they have %.2f: %s%s", sv.file, *sv.Objective, b.Objective, by, after)}
	case pl.otherNumbers(sv, b):
		return []string{fmt.Sprintf("%s has other team means, ranges or unfilled spots than its teams have: %s%s", sv.file, by, after)}
	}
	return nil
}

// otherNumbers tells whether numbers that a file gives beside the objective are not those of its teams.
func (pl *Plan) otherNumbers(sv *Saved, b *draft.Balance) bool {
	if sv.Shortage != nil && *sv.Shortage != b.Shortage {
		return true
	}
	for j, m := range pl.Numbers.Measures {
		if said, there := sv.Spread[m.Label]; there && differ(said, b.Spread[j]) {
			return true
		}
	}
	for _, x := range sv.Teams {
		t, _ := pl.FindTeam(x.Team)
		for j, m := range pl.Numbers.Measures {
			if said, there := x.Means[m.Label]; there && differ(said, b.Teams[t].Means[j]) {
				return true
			}
		}
	}
	return false
}

// differ tells whether two numbers are not the same but for how they were written down.
func differ(a, b float64) bool { return !(math.Abs(a-b) <= 1e-6*max(1, math.Abs(b))) }

// BrokenWords says the rules that a split breaks, and how.
func (pl *Plan) BrokenWords(rules []draft.Rule, s draft.Split) []string {
	out := make([]string, len(rules))
	for i, r := range rules {
		out[i] = pl.RuleWords(r) + "; " + pl.brokenBy(r, s)
	}
	return out
}

// brokenBy says how a split breaks a rule.
func (pl *Plan) brokenBy(r draft.Rule, s draft.Split) string {
	team := func(k int) string {
		if s[k] == draft.Unplaced {
			return "no team"
		}
		return pl.Numbers.Teams[s[k]]
	}
	switch r.Kind {
	case draft.Siblings:
		var parts []string
		for _, k := range r.Kids {
			parts = append(parts, fmt.Sprintf("%s is on %s", pl.Kid(k), team(k)))
		}
		return strings.Join(parts, ", ")
	case draft.Settled, draft.Nights:
		return fmt.Sprintf("%s is on %s", pl.Kid(r.Kids[0]), team(r.Kids[0]))
	case draft.Apart:
		return "both are on " + team(r.Kids[0])
	}
	counts := make([]int, len(pl.Numbers.Teams))
	for k, t := range s {
		if t != draft.Unplaced && (r.Kind == draft.Sizes || slices.Contains(r.Kids, k)) {
			counts[t]++
		}
	}
	var parts []string
	for t, n := range counts {
		if n > r.Most || r.Kind == draft.Sizes && n < r.Least {
			parts = append(parts, fmt.Sprintf("%s has %d", pl.Numbers.Teams[t], n))
		}
	}
	return prose.And(parts)
}
