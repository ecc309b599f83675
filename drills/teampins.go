package drills

import (
	"fmt"
	"slices"

	"sevenyard/drills/prose"
)

func readPins(s section, t *Team) {
	for _, v := range s.tables("pin") {
		p := section{v, "[[pin]]", s.probs}
		p.known("kid", "role", "series", "must")
		pin := Pin{Must: true, At: Place{s.probs.file, v.line}}
		ok := true
		for _, key := range []string{"kid", "series"} {
			if p.get(key) == nil {
				p.probs.add(v.line, "add "+key+" = ...", "[[pin]] has no %s", key)
				ok = false
			}
		}
		if !ok {
			continue
		}
		pin.Kid, ok = p.id("kid", p.get("kid"))
		if !p.integer("series", 1, t.Series, &pin.Series) {
			ok = false
		}
		p.str("role", &pin.Role)
		p.bool("must", &pin.Must)
		pin.Role = t.Catalogue.RoleMeant(pin.Role)
		known := t.Catalogue.roleNames()
		if t.Catalogue.isSpoilt("role", pin.Role) {
			continue
		}
		if pin.Role != "" && !slices.Contains(known, pin.Role) {
			p.probs.add(p.get("role").line, prose.DidYouMean(pin.Role, known, "known roles are "+prose.And(known)), "unknown role %s in [[pin]]", quote(pin.Role))
			ok = false
		}
		if ok && pin.Must && pin.Role != "" && spotsFor(t.FormationAt(pin.Series), pin.Role) == 0 {
			f := t.FormationAt(pin.Series)
			p.probs.add(v.line, "pin another role or series, or change the formation",
				"kid %s is pinned as %s in series %d, whose formation %s has none", pin.Kid, pin.Role, pin.Series, f.Name)
			ok = false
		}
		if ok {
			t.Pins = append(t.Pins, pin)
		}
	}
	comparePins(t, s.probs)
}

func spotsFor(f Formation, role string) int {
	n := 0
	for _, s := range f.Spots {
		if role == "" || s.Role == role {
			n++
		}
	}
	return n
}

// comparePins reports pins that cannot hold beside each other.
func comparePins(t *Team, probs *collector) {
	type key struct {
		kid    string
		series int
	}
	type spot struct {
		series int
		role   string
	}
	byKid := map[key][]Pin{}
	must := map[spot]int{}
	for _, p := range t.Pins {
		k := key{p.Kid, p.Series}
		for _, q := range byKid[k] {
			if clash := pinClash(q, p); clash != "" {
				probs.add(p.At.Line, "keep one of the two", "kid %s, series %d: %s on line %d", p.Kid, p.Series, clash, q.At.Line)
			}
		}
		byKid[k] = append(byKid[k], p)
		if !p.Must {
			continue
		}
		f := t.FormationAt(p.Series)
		roles := []string{p.Role}
		if p.Role != "" {
			roles = append(roles, "")
		}
		for _, role := range roles {
			must[spot{p.Series, role}]++
			if n := spotsFor(f, role); must[spot{p.Series, role}] == n+1 {
				what := "spot"
				if role != "" {
					what = role + " spot"
				}
				probs.add(p.At.Line, "take a pin out", "series %d has %s, and with this one more kids are pinned to them",
					p.Series, prose.Count(n, what))
			}
		}
	}
}

// pinClash tells how two pins of one kid in one series contradict or repeat each other, or "".
func pinClash(a, b Pin) string {
	switch {
	case a.Role == b.Role && a.Must == b.Must:
		return "the same pin stands"
	case a.Must && b.Must && a.Role != "" && b.Role != "":
		return fmt.Sprintf("pinned as %s here, as %s", b.Role, a.Role)
	case a.Must != b.Must:
		bar := a
		if a.Must {
			bar = b
		}
		if bar.Role == "" || a.Role == b.Role {
			return "barred from what the kid is pinned to: the other pin stands"
		}
	}
	return ""
}
