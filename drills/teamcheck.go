package drills

import (
	"slices"
	"strings"
)

// checkTeam compares team.toml with the roster: kids that are not there, pins that cannot hold,
// formations that the division does not use.
func checkTeam(doc *teamDoc, ros *roster, probs *collector) {
	t := &doc.team
	unknown := newUnknowns(probs)
	for _, m := range mentionedKids(doc.tree) {
		if _, known := ros.find(strings.TrimSpace(m.text)); !known {
			unknown.add("kid", strings.TrimSpace(m.text), m.line)
		}
	}
	for i, p := range t.Together {
		for j, id := range p {
			if k, _ := ros.find(id); k >= 0 && ros.kids[k].Hold != "" {
				doc.warn.add(doc.togetherLines[i], "", "kid %s is on hold, so together with %s asks for nothing now", id, p[1-j])
			}
		}
	}
	for _, p := range t.Pins {
		i, _ := ros.find(p.Kid)
		if i < 0 || !p.Must {
			continue
		}
		k := &ros.kids[i]
		if k.Hold != "" {
			probs.add(p.At.Line, "take the pin out; only a person clears a hold", "kid %s is pinned in series %d and on medical hold (roster.csv, line %d)", k.ID, p.Series, k.Line)
		}
		if slices.Contains(k.Never, p.Role) {
			probs.add(p.At.Line, "pin another role, or change roster.csv", "kid %s is pinned as %s, which the kid never plays (roster.csv, line %d)", k.ID, p.Role, k.Line)
		}
	}
	unknown.report(ros, nil)
	warnFormations(doc)
}

// mentionedKids gives every place of team.toml that names a kid, those of rules with other problems too.
func mentionedKids(tree *value) []*value {
	var ids []*value
	var collect func(v *value)
	collect = func(v *value) {
		switch {
		case v == nil:
		case v.kind == isString || v.kind == isInt:
			ids = append(ids, v)
		case v.kind == isList:
			for _, e := range v.list {
				collect(e)
			}
		}
	}
	if tree == nil {
		return nil
	}
	collect(tree.get("together"))
	collect(tree.get("apart"))
	for _, rule := range [][2]string{{"cover", "kids"}, {"pin", "kid"}} {
		if list := tree.get(rule[0]); list != nil {
			for _, e := range list.list {
				collect(e.get(rule[1]))
			}
		}
	}
	return ids
}

func warnFormations(doc *teamDoc) {
	t := &doc.team
	least, _ := t.Catalogue.Rule("rusher-distance")
	for i, f := range t.Formations {
		if slices.ContainsFunc(t.Formations[:i], func(g Formation) bool { return g.Name == f.Name }) {
			continue
		}
		if !f.Grades.Overlaps(t.Division) {
			doc.warn.add(doc.formationLine, "check the league's rules", "formation %s is used in grades %s, the division is %s", f.Name, f.Grades, t.Division)
		}
		for _, s := range f.Spots {
			if s.Role == "rusher" && s.Deep < least.Value {
				doc.warn.add(doc.formationLine, "check the league's rules", "formation %s has a rusher %s yd off the line; rule books say %s yd (%s)",
					f.Name, number(s.Deep), number(least.Value), least.Source)
			}
		}
	}
}

// warnKids points out kids whose grade is not the division's, and kids who play none of the roles.
func warnKids(doc *teamDoc, ros *roster, warn *collector) {
	t := &doc.team
	for i := range ros.kids {
		k := &ros.kids[i]
		if doc.hasDivision && k.Grade >= 0 && !t.Division.Contains(k.Grade) {
			warn.add(k.Line, "", "kid %s is in grade %s, the division is %s", k.ID, gradeString(k.Grade), t.Division)
		}
		plays := slices.ContainsFunc(t.Catalogue.roleNames(), func(role string) bool {
			return usesRole(t, role) && !slices.Contains(k.Never, role)
		})
		if !plays {
			warn.add(k.Line, "take a role out of never, or the kid sits all game", "kid %s plays none of the roles of the formations", k.ID)
		}
	}
}
