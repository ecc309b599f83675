package drills

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sevenyard/drills/prose"
)

const ownSource = "the team's own"

var wordPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// readCatalogueKeys reads traits, drills, roles and formations, new ones or changes to known ones.
// The embedded catalogue is read by the same code as a team's own entries.
func readCatalogueKeys(s section, cat *Catalogue) (lines map[string]int) {
	lines = map[string]int{} // of each "trait NAME", "role NAME" and so on, for the checks at the end
	for _, v := range s.tables("traits") {
		readTrait(section{v, "[[traits]]", s.probs}, cat, lines)
	}
	for _, v := range s.tables("drills") {
		readDrill(section{v, "[[drills]]", s.probs}, cat)
	}
	for _, v := range s.tables("roles") {
		readRole(section{v, "[[roles]]", s.probs}, cat, lines)
	}
	seen := map[string]int{}
	for _, v := range s.tables("formations") {
		readFormation(section{v, "[[formations]]", s.probs}, cat, seen)
	}
	for name, line := range seen {
		lines["formation "+name] = line
	}
	return lines
}

// name reads the name of an entry: lower-case words joined by hyphens. With a name that cannot be one it
// gives the name and false.
func (s *section) name(kind string) (string, bool) {
	var name string
	if !s.str("name", &name) {
		if s.get("name") == nil {
			s.probs.add(s.line, `add name = "..."`, "%s has no name", s.what)
		}
		return "", false
	}
	if !wordPattern.MatchString(name) || len(name) > longID {
		s.probs.add(s.get("name").line, "write lower-case letters, digits and single hyphens, at most "+strconv.Itoa(longID),
			"%s cannot be the name of a %s", quote(name), kind)
		return name, false
	}
	s.what = kind + " " + name
	return name, true
}

func readTrait(s section, cat *Catalogue, lines map[string]int) {
	s.known("name", "title")
	name, ok := s.name("trait")
	if !ok {
		return
	}
	lines["trait "+name] = s.line
	t := Trait{Name: name, Title: name}
	i := slices.Index(cat.traitNames(), name)
	if i >= 0 {
		t = cat.Traits[i]
	}
	s.str("title", &t.Title)
	if i >= 0 {
		cat.Traits[i] = t
	} else {
		cat.Traits = append(cat.Traits, t)
	}
}

var defaultUnits = map[Kind]string{Timed: "s", Counted: "successes", Rated: "mark"}

func readDrill(s section, cat *Catalogue) {
	s.known("name", "title", "kind", "unit", "range", "ranges", "trials", "attempts", "reliability",
		"loads", "setup", "minutes", "safety", "source")
	name, ok := s.name("drill")
	if !ok {
		cat.spoil("drill", name)
		return
	}
	d := Drill{Name: name, Title: name, Trials: 2, Reliability: 0.6, Minutes: 2, Source: ownSource + "; reliability assumed, no source"}
	i := slices.Index(cat.drillNames(), name)
	if i >= 0 {
		d = cat.Drills[i]
	} else if s.get("kind") == nil || s.get("loads") == nil {
		s.probs.add(s.line, prose.DidYouMean(name, cat.drillNames(), "add the missing keys; known drills are "+prose.And(cat.drillNames())),
			"drill %s is new and lacks kind or loads", name)
		cat.spoil("drill", name)
		return
	}
	var kind string
	if s.str("kind", &kind) {
		if k := Kind(kind); k != Timed && k != Counted && k != Rated {
			s.probs.add(s.get("kind").line, `write "timed", "counted" or "rated"`, "kind in drill %s is %s", name, quote(kind))
		} else if i >= 0 && k != d.Kind {
			s.probs.add(s.get("kind").line, "give the new drill a name of its own", "drill %s is %s, and its kind cannot change", name, d.Kind)
		} else {
			d.Kind = k
		}
	}
	if i < 0 {
		d.Unit = defaultUnits[d.Kind]
	}
	s.str("title", &d.Title)
	s.str("unit", &d.Unit)
	s.integer("trials", 1, 20, &d.Trials)
	readAttempts(s, &d)
	readRanges(s, &d)
	s.float("reliability", 0.01, 0.99, &d.Reliability)
	s.str("setup", &d.Setup)
	s.float("minutes", 0.1, 60, &d.Minutes)
	s.str("safety", &d.Safety)
	s.str("source", &d.Source)
	if s.get("loads") != nil {
		d.Loads = s.shares("loads", s.get("loads"), cat.traitNames(), "trait")
	}
	if i >= 0 {
		cat.Drills[i] = d
	} else if d.Kind != "" {
		cat.Drills = append(cat.Drills, d)
	} else {
		cat.spoil("drill", name)
	}
}

func readAttempts(s section, d *Drill) {
	if d.Kind != Counted {
		if v := s.get("attempts"); v != nil {
			s.probs.add(v.line, "take it out", "attempts in drill %s, which is not counted", d.Name)
		}
		return
	}
	if d.Attempts == 0 {
		d.Attempts = 10
	}
	s.integer("attempts", 1, 1000, &d.Attempts)
}

// widest bounds of a plausible range, by kind.
var widest = map[Kind][2]float64{Timed: {0.1, 3600}, Counted: {1, 1000}, Rated: {1, 5}}

// readRanges reads range = [min, max], or ranges = [{grades, min, max}, ...].
func readRanges(s section, d *Drill) {
	bounds, known := widest[d.Kind]
	if !known {
		return
	}
	if s.get("range") != nil && s.get("ranges") != nil {
		s.probs.add(s.get("ranges").line, "take one of them out", "both range and ranges%s", s.where())
	}
	all := Grades{0, MaxGrade}
	if list := s.typed("range", isList); list != nil {
		r := Range{Grades: all}
		if len(list.list) != 2 {
			s.probs.add(list.line, "write range = [least, most]", "range%s holds %s", s.where(), prose.Count(len(list.list), "value"))
		} else if s.floatValue("range", list.list[0], bounds[0], bounds[1], &r.Min) &&
			s.floatValue("range", list.list[1], bounds[0], bounds[1], &r.Max) && s.ordered(list.line, r) {
			d.Ranges = []Range{r}
		}
	}
	if s.get("ranges") != nil {
		d.Ranges = nil
		for _, v := range s.tables("ranges") {
			t := section{v, "ranges of drill " + d.Name, s.probs}
			t.known("grades", "min", "max")
			r := Range{Grades: all}
			t.grades("grades", &r.Grades)
			if t.float("min", bounds[0], bounds[1], &r.Min) && t.float("max", bounds[0], bounds[1], &r.Max) && t.ordered(v.line, r) {
				d.Ranges = append(d.Ranges, r)
			} else if t.get("min") == nil || t.get("max") == nil {
				t.probs.add(v.line, "write { grades = \"k-1\", min = 4, max = 20 }", "min or max is missing%s", t.where())
			}
		}
	}
	if s.get("range") != nil || s.get("ranges") != nil || len(d.Ranges) > 0 {
		return
	}
	if d.Kind == Timed {
		s.probs.add(s.line, "add range = [least, most] in seconds: anything outside is refused", "drill %s has no range", d.Name)
		return
	}
	d.Ranges = []Range{{all, 1, map[Kind]float64{Counted: 50, Rated: 5}[d.Kind]}}
}

func (s section) ordered(line int, r Range) bool {
	if r.Min < r.Max {
		return true
	}
	s.probs.add(line, "write the smaller one first", "%s to %s%s is no range", number(r.Min), number(r.Max), s.where())
	return false
}

// shares reads a table of weights by name. Weights of 0 are left out; the caller makes the rest sum to 1.
func (s section) shares(key string, v *value, known []string, kind string) []Share {
	if v.kind != isTable {
		s.probs.add(v.line, "write "+key+" = { speed = 1.0 }", "%s%s is %s, not a table of weights", key, s.where(), v.kind)
		return nil
	}
	var list []Share
	for _, name := range known {
		if e := v.get(name); e != nil {
			sh := Share{Name: name}
			if s.floatValue(name, e, 0, 1000, &sh.Weight) && sh.Weight > 0 {
				list = append(list, sh)
			}
		}
	}
	for _, e := range v.keys {
		if !slices.Contains(known, e.key) {
			s.probs.add(e.line, prose.DidYouMean(e.key, known, "known "+kind+"s are "+prose.And(known)), "unknown %s %s%s", kind, quote(e.key), s.where())
		}
	}
	return list
}

func (s section) grades(key string, to *Grades) bool {
	v := s.get(key)
	if v == nil {
		return false
	}
	if v.kind != isString && v.kind != isInt {
		s.probs.add(v.line, `write it in quotes, such as "3-4"`, "%s%s is %s", key, s.where(), v.kind)
		return false
	}
	g, err := ParseGrades(v.text)
	if err != nil {
		what, do, _ := strings.Cut(err.Error(), "; ")
		s.probs.add(v.line, do, "%s%s: %s", key, s.where(), what)
		return false
	}
	*to = g
	return true
}

// finishCatalogue normalises loads per trait and weights per role, and reports what is left without.
func finishCatalogue(cat *Catalogue, probs *collector, lines map[string]int) {
	for _, t := range cat.Traits {
		sum := 0.0
		for _, d := range cat.Drills {
			for _, l := range d.Loads {
				if l.Name == t.Name {
					sum += l.Weight
				}
			}
		}
		if sum == 0 && len(cat.spoilt) > 0 {
			continue // a drill that could not be read may measure it
		}
		if sum == 0 {
			probs.add(lines["trait "+t.Name], "give a drill a load on it: loads = { "+t.Name+" = 1.0 }", "no drill measures trait %s", t.Name)
			continue
		}
		for i := range cat.Drills {
			for j := range cat.Drills[i].Loads {
				if l := &cat.Drills[i].Loads[j]; l.Name == t.Name {
					l.Weight = scaled(l.Weight, sum)
				}
			}
		}
	}
	for i := range cat.Roles {
		r := &cat.Roles[i]
		sum := 0.0
		for _, w := range r.Weights {
			sum += w.Weight
		}
		if sum == 0 {
			probs.add(lines["role "+r.Name], "give at least one trait a weight above 0", "role %s asks for no trait", r.Name)
			continue
		}
		for j := range r.Weights {
			r.Weights[j].Weight = scaled(r.Weights[j].Weight, sum)
		}
	}
}

// scaled divides by a sum; one that is 1 but for rounding leaves the weight as it was written.
func scaled(w, sum float64) float64 {
	if math.Abs(sum-1) < 1e-9 {
		return w
	}
	return w / sum
}
