package drills

import (
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// checkPool compares the rows of the pool with each other and with the league: kids that are not there, rules of one kid or
// pair that contradict each other, labels that nobody shares. Whether all rules together can hold is for the draft to find out.
func checkPool(doc *leagueDoc, sheet *poolSheet, leagueProbs, probs, warn *collector) {
	unknown := newUnknowns(leagueProbs)
	fixed := map[string]FixedKid{}
	for _, f := range doc.Fixed {
		if _, known := sheet.ros.find(f.Kid); !known {
			unknown.add("kid", f.Kid, f.At.Line)
		}
		fixed[f.Kid] = f
	}
	for _, c := range doc.Coaches {
		if _, known := sheet.ros.find(c.Kid); c.Kid != "" && !known {
			unknown.add("kid", c.Kid, c.At.Line)
		}
	}
	unknown.report(sheet.ros, nil)
	unknown = newUnknowns(probs)
	for i := range sheet.kids {
		k := &sheet.kids[i]
		if f, ok := fixed[k.ID]; ok && k.CoachOf >= 0 && f.Team != k.CoachOf {
			probs.add(k.Line, "keep one of the two", "kid %s: a parent coaches %s (coach_of), and league.toml, line %d, fixes the kid to %s",
				k.ID, doc.Teams[k.CoachOf].Name, f.At.Line, doc.Teams[f.Team].Name)
		}
		for _, id := range k.Apart {
			j, known := sheet.ros.find(id)
			if !known {
				unknown.add("kid", id, k.Line)
			}
			if j >= 0 && k.Siblings != "" && strings.EqualFold(k.Siblings, sheet.kids[j].Siblings) {
				probs.add(k.Line, "keep one of the two rules", "kids %s and %s are siblings, who stay together, and to be apart", k.ID, id)
			}
		}
		if sheet.nowhere(doc, k) {
			probs.add(k.Line, "mend nights, or the teams' nights or min_nights in league.toml",
				"kid %s can practise on %s, and no team can be played with these nights", k.ID, prose.And(nightNames(k.Nights)))
		}
	}
	unknown.report(sheet.ros, nil)
	if n := len(sheet.kids); n > 0 && n < len(doc.Teams) && len(probs.list) == 0 {
		probs.add(0, "add kids, or take teams out of league.toml", "%s for %s", prose.Count(n, "kid"), prose.Count(len(doc.Teams), "team"))
	}
	warnLabels(doc, sheet, warn)
}

// nowhere tells whether no team has nights for the kid.
func (s *poolSheet) nowhere(doc *leagueDoc, k *PoolKid) bool {
	for t := range doc.Teams {
		if doc.CanPlay(k.Nights, t) {
			return false
		}
	}
	return len(doc.Teams) > 0
}

func nightNames(nights []string) []string {
	out := make([]string, len(nights))
	for i, n := range nights {
		out[i] = NightName(n)
	}
	return out
}

// warnLabels points out families and cars of one kid, which ask for nothing and may be a slip, and old teams that may be one.
func warnLabels(doc *leagueDoc, sheet *poolSheet, warn *collector) {
	lonely := func(column string, labels func(*PoolKid) []string) {
		count := map[string]int{}
		var all []string
		for i := range sheet.kids {
			for _, l := range labels(&sheet.kids[i]) {
				if count[strings.ToLower(l)]++; count[strings.ToLower(l)] == 1 {
					all = append(all, l)
				}
			}
		}
		told := 0
		for i := range sheet.kids {
			k := &sheet.kids[i]
			for _, l := range labels(k) {
				if count[strings.ToLower(l)] > 1 {
					continue
				}
				do := "if another kid belongs to it, write the same there"
				if told++; told <= MaxProblems { // a near match takes time
					others := slices.DeleteFunc(slices.Clone(all), func(x string) bool { return strings.EqualFold(x, l) })
					if near := sameButDigits(l, others); near != "" {
						do = "did you mean " + quote(near) + "?"
					}
				}
				warn.add(k.Line, do, "kid %s: nobody else has %s %s, so it asks for nothing", k.ID, column, quote(l))
			}
		}
	}
	lonely("siblings", func(k *PoolKid) []string { return oneLabel(k.Siblings) })
	lonely("carpool", func(k *PoolKid) []string { return k.Carpools })
	known := doc.teamNames()
	for i := range sheet.kids {
		k := &sheet.kids[i]
		if k.Returning == "" || doc.findTeam(k.Returning) >= 0 {
			continue
		}
		if near := prose.Near(k.Returning, known); near != "" {
			warn.add(k.Line, "if it is that team, write it the same way", "kid %s: last season's team is %s, which is no team of league.toml but close to %s",
				k.ID, quote(k.Returning), near)
		}
	}
}

// sameButDigits is a near match that is no other number of the same kind: "fam 2" is not taken for "fam 3".
func sameButDigits(label string, others []string) string {
	near := prose.Near(label, others)
	noDigits := func(s string) string {
		return strings.Map(func(r rune) rune {
			if '0' <= r && r <= '9' {
				return -1
			}
			return r
		}, strings.ToLower(s))
	}
	if near == "" || noDigits(near) == noDigits(label) {
		return ""
	}
	return near
}
