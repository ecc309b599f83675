package sheet

import (
	"slices"
	"strings"

	"sevenyard/drills"
)

// role is how a page shows a role: a letter, a word and a colour.
type role struct {
	Name, Letter, Tone string
	index              int
}

// role finds a role; one that the catalogue does not know any more shows its first letter.
func (t Team) role(name string) role {
	i := slices.IndexFunc(t.Catalogue.Roles, func(r drills.Role) bool { return r.Name == name })
	if i < 0 {
		letter := "?"
		for _, r := range name {
			letter = strings.ToUpper(string(r))
			break
		}
		return role{name, letter, tone(5), len(t.Catalogue.Roles)}
	}
	return role{name, t.Catalogue.Roles[i].Letter, tone(i), i}
}

// roles gives the roles of some names in the catalogue's order, each once.
func (t Team) roles(names []string) []role {
	var out []role
	for _, n := range names {
		if r := t.role(n); !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b role) int { return a.index - b.index })
	return out
}

// traitTitle is a trait in plain words.
func (t Team) traitTitle(name string) string {
	for _, x := range t.Catalogue.Traits {
		if x.Name == name && x.Title != "" {
			return x.Title
		}
	}
	return name
}
