package drills

import (
	"math"
	"strings"
)

// Drill finds a drill by its name.
func (c *Catalogue) Drill(name string) (Drill, bool) {
	return find(c.Drills, func(d *Drill) bool { return d.Name == name })
}

// Role finds a role by its name.
func (c *Catalogue) Role(name string) (Role, bool) {
	return find(c.Roles, func(r *Role) bool { return r.Name == name })
}

// RoleMeant is the name of the role that a typed word means: its name in any case, or its letter. A word that means none comes back in small
// letters.
func (c *Catalogue) RoleMeant(typed string) string {
	name := strings.ToLower(strings.TrimSpace(typed))
	if _, ok := c.Role(name); ok {
		return name
	}
	if r, ok := find(c.Roles, func(r *Role) bool { return r.Letter != "" && strings.EqualFold(r.Letter, name) }); ok {
		return r.Name
	}
	return name
}

// Formation finds a formation by its name.
func (c *Catalogue) Formation(name string) (Formation, bool) {
	return find(c.Formations, func(f *Formation) bool { return f.Name == name })
}

// Rule finds a fact of the rule books by its name, such as "rusher-distance".
func (c *Catalogue) Rule(name string) (Rule, bool) {
	return find(c.Field, func(r *Rule) bool { return r.Name == name })
}

func find[T any](list []T, is func(*T) bool) (T, bool) {
	for i := range list {
		if is(&list[i]) {
			return list[i], true
		}
	}
	var none T
	return none, false
}

// CautionsOn gives the cautions of a topic, in the catalogue's order.
func (c *Catalogue) CautionsOn(topic string) []Caution {
	var list []Caution
	for _, k := range c.Cautions {
		if k.Topic == topic {
			list = append(list, k)
		}
	}
	return list
}

// RunShare is the share of plays that are runs in a division, 0 to 1: the mean over its grades.
// A division that the catalogue says nothing of has 0.5.
func (c *Catalogue) RunShare(division Grades) float64 {
	sum, n := 0.0, 0
	for g := max(division.Low, 0); g <= min(division.High, MaxGrade); g++ {
		for _, s := range c.RunShares {
			if s.Grades.Contains(g) {
				sum += s.Share
				n++
				break
			}
		}
	}
	if n == 0 {
		return 0.5
	}
	return sum / float64(n)
}

// RangeFor is the plausible range of one trial for kids of the given grades, in the drill's unit
// (counted drills: attempts): the widest span of the catalogue's ranges that touch those grades,
// and of all its ranges if none does.
func (d *Drill) RangeFor(grades Grades) Range {
	r := Range{Grades: grades, Min: math.Inf(1), Max: math.Inf(-1)}
	for _, touch := range []bool{true, false} {
		for _, k := range d.Ranges {
			if !touch || k.Grades.Overlaps(grades) {
				r.Min, r.Max = min(r.Min, k.Min), max(r.Max, k.Max)
			}
		}
		if r.Min <= r.Max {
			return r
		}
	}
	return r
}

// spoiltName is a drill or a role, kind being "drill" or "role". The name is as [drillName] writes it, so
// that one that may not be a name is known again in the rows that use it.
type spoiltName struct{ kind, name string }

// spoil notes an entry of the team's own that could not be read. Its problem is reported where it stands;
// rows that name it must not be called unknown on top.
func (c *Catalogue) spoil(kind, name string) {
	if name == "" {
		return // no row can mean it
	}
	if c.spoilt == nil {
		c.spoilt = map[spoiltName]bool{}
	}
	c.spoilt[spoiltName{kind, drillName(name)}] = true
}

func (c *Catalogue) isSpoilt(kind, name string) bool {
	return len(c.spoilt) > 0 && c.spoilt[spoiltName{kind, drillName(name)}]
}

func names[T any](list []T, name func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = name(&list[i])
	}
	return out
}

func (c *Catalogue) drillNames() []string {
	return names(c.Drills, func(d *Drill) string { return d.Name })
}

func (c *Catalogue) traitNames() []string {
	return names(c.Traits, func(t *Trait) string { return t.Name })
}

func (c *Catalogue) roleNames() []string {
	return names(c.Roles, func(r *Role) string { return r.Name })
}

func (c *Catalogue) formationNames() []string {
	return names(c.Formations, func(f *Formation) string { return f.Name })
}

// clone copies a catalogue so deeply that nobody can change another's.
func (c *Catalogue) clone() Catalogue {
	out := Catalogue{
		Traits:     append([]Trait(nil), c.Traits...),
		Drills:     append([]Drill(nil), c.Drills...),
		Roles:      append([]Role(nil), c.Roles...),
		Formations: append([]Formation(nil), c.Formations...),
		RunShares:  append([]RunShare(nil), c.RunShares...),
		Field:      append([]Rule(nil), c.Field...),
		Cautions:   append([]Caution(nil), c.Cautions...),
	}
	for i := range out.Drills {
		out.Drills[i].Ranges = append([]Range(nil), out.Drills[i].Ranges...)
		out.Drills[i].Loads = append([]Share(nil), out.Drills[i].Loads...)
	}
	for i := range out.Roles {
		out.Roles[i].Weights = append([]Share(nil), out.Roles[i].Weights...)
	}
	for i := range out.Formations {
		out.Formations[i].Spots = append([]Spot(nil), out.Formations[i].Spots...)
	}
	return out
}
