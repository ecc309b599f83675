package drills

import "math"

// Drill finds a drill by its name.
func (c *Catalogue) Drill(name string) (Drill, bool) {
	for i := range c.Drills {
		if c.Drills[i].Name == name {
			return c.Drills[i], true
		}
	}
	return Drill{}, false
}

// Trait finds a trait by its name.
func (c *Catalogue) Trait(name string) (Trait, bool) {
	for i := range c.Traits {
		if c.Traits[i].Name == name {
			return c.Traits[i], true
		}
	}
	return Trait{}, false
}

// Role finds a role by its name.
func (c *Catalogue) Role(name string) (Role, bool) {
	for i := range c.Roles {
		if c.Roles[i].Name == name {
			return c.Roles[i], true
		}
	}
	return Role{}, false
}

// Formation finds a formation by its name.
func (c *Catalogue) Formation(name string) (Formation, bool) {
	for i := range c.Formations {
		if c.Formations[i].Name == name {
			return c.Formations[i], true
		}
	}
	return Formation{}, false
}

// Rule finds a fact of the rule books by its name, such as "rusher-distance".
func (c *Catalogue) Rule(name string) (Rule, bool) {
	for i := range c.Field {
		if c.Field[i].Name == name {
			return c.Field[i], true
		}
	}
	return Rule{}, false
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

// HigherIsBetter tells the direction of the drill's values: false for times.
func (d *Drill) HigherIsBetter() bool { return d.Kind != Timed }

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
