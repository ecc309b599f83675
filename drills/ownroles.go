package drills

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sevenyard/drills/prose"
)

func readRole(s section, cat *Catalogue, lines map[string]int) {
	s.known("name", "title", "letter", "run", "pass", "weights")
	name, ok := s.name("role")
	if !ok {
		cat.spoil("role", name)
		return
	}
	lines["role "+name] = s.line
	r := Role{Name: name, Title: name, Letter: strings.ToUpper(name[:1])}
	i := slices.Index(cat.roleNames(), name)
	if i >= 0 {
		r = cat.Roles[i]
	} else if s.get("run") == nil || s.get("pass") == nil || s.get("weights") == nil {
		s.probs.add(s.line, prose.DidYouMean(name, cat.roleNames(), "add the missing keys; known roles are "+prose.And(cat.roleNames())),
			"role %s is new and lacks run, pass or weights", name)
		cat.spoil("role", name)
		return
	}
	s.str("title", &r.Title)
	s.str("letter", &r.Letter)
	letter, _ := utf8.DecodeRuneInString(r.Letter)
	if utf8.RuneCountInString(r.Letter) != 1 || !unicode.IsLetter(letter) && !unicode.IsDigit(letter) {
		s.probs.add(s.get("letter").line, `write one letter, such as "Q"`, "letter%s is %s", s.where(), quote(r.Letter))
	}
	for j, other := range cat.Roles {
		if j != i && strings.EqualFold(other.Letter, r.Letter) {
			s.probs.add(s.line, `add letter = "..." with one that is free`, "role %s has the letter %s of role %s", name, r.Letter, other.Name)
		}
	}
	s.float("run", 0, 1, &r.RunValue)
	s.float("pass", 0, 1, &r.PassValue)
	if r.RunValue+r.PassValue == 0 {
		s.probs.add(s.line, "give run or pass a value above 0", "role %s is worth nothing against run and pass", name)
	}
	if v := s.get("weights"); v != nil {
		r.Weights = s.shares("weights", v, cat.traitNames(), "trait")
	}
	if i >= 0 {
		cat.Roles[i] = r
	} else {
		cat.Roles = append(cat.Roles, r)
	}
}

const (
	mostSpots  = 11
	mostDeep   = 40.0 // yards from the line
	mostAcross = 27.0 // yards from the middle, on the widest of fields
)

// usualDeep is where a role lines up when a formation does not say, in yards from the line.
var usualDeep = map[string]float64{"front": 1, "corner": 5, "rusher": 7, "deep": 10}

func readFormation(s section, cat *Catalogue, seen map[string]int) {
	s.known("name", "title", "roles", "deep", "across", "grades", "source")
	name, ok := s.name("formation")
	if !ok {
		return
	}
	if line, twice := seen[name]; twice {
		s.probs.add(s.line, "take one of them out", "formation %s is already on line %d", name, line)
		return
	}
	seen[name] = s.line
	f := Formation{Name: name, Title: name, Grades: Grades{0, MaxGrade}, Source: ownSource}
	i := slices.Index(cat.formationNames(), name)
	if i >= 0 {
		f = cat.Formations[i]
	}
	s.str("title", &f.Title)
	s.str("source", &f.Source)
	s.grades("grades", &f.Grades)
	if s.get("roles") != nil || i < 0 {
		if f.Spots = readSpots(s, cat, name); f.Spots == nil {
			return
		}
	}
	readYards(s, "deep", 0, mostDeep, f.Spots, func(sp *Spot) *float64 { return &sp.Deep })
	readYards(s, "across", -mostAcross, mostAcross, f.Spots, func(sp *Spot) *float64 { return &sp.Across })
	if i >= 0 {
		cat.Formations[i] = f
	} else {
		cat.Formations = append(cat.Formations, f)
	}
}

// readSpots reads roles = [...] and puts the players where their roles usually stand.
func readSpots(s section, cat *Catalogue, name string) []Spot {
	roles, ok := s.words("roles")
	if !ok || len(roles) == 0 || len(roles) > mostSpots {
		if ok || s.get("roles") == nil {
			s.probs.add(s.line, `write roles = ["front", "deep", ...], 1 to `+strconv.Itoa(mostSpots)+" of them",
				"formation %s has %s", name, prose.Count(len(roles), "role"))
		}
		return nil
	}
	known := cat.roleNames()
	spots := make([]Spot, 0, len(roles))
	for _, r := range roles {
		role := cat.RoleMeant(r.text)
		if cat.isSpoilt("role", role) {
			continue
		}
		if !slices.Contains(known, role) {
			s.probs.add(r.line, prose.DidYouMean(role, known, "known roles are "+prose.And(known)), "unknown role %s%s", quote(strings.TrimSpace(r.text)), s.where())
			continue
		}
		deep, usual := usualDeep[role]
		if !usual {
			deep = usualDeep["corner"]
		}
		spots = append(spots, Spot{Role: role, Deep: deep})
	}
	if len(spots) < len(roles) {
		return nil
	}
	if n, counts := countedPlayers(name); counts && n != len(spots) {
		s.probs.add(s.line, "name it by counting players from the line back, or give it a name in words",
			"formation %s counts %d players and lists %s", name, n, prose.Count(len(spots), "role"))
	}
	spread(spots)
	return spots
}

// countedPlayers adds up a name such as 2-2-1; false if it is a name in words.
func countedPlayers(name string) (int, bool) {
	sum := 0
	for _, part := range strings.Split(name, "-") {
		n, err := strconv.Atoi(part)
		if err != nil || n > 99 {
			return 0, false
		}
		sum += n
	}
	return sum, true
}

// spread puts the players of each role side by side over 20 yd, the middle of a 25-yd field.
func spread(spots []Spot) {
	total, done := map[string]int{}, map[string]int{}
	for _, s := range spots {
		total[s.Role]++
	}
	for i := range spots {
		n, k := total[spots[i].Role], done[spots[i].Role]
		done[spots[i].Role]++
		spots[i].Across = math.Round(10*(20*(float64(k)+0.5)/float64(n)-10)) / 10
	}
}

func readYards(s section, key string, low, high float64, spots []Spot, to func(*Spot) *float64) {
	v := s.typed(key, isList)
	if v == nil {
		return
	}
	if len(v.list) != len(spots) {
		s.probs.add(v.line, "write one number for each role", "%s%s lists %s for %s", key, s.where(),
			prose.Count(len(v.list), "number"), prose.Count(len(spots), "role"))
		return
	}
	for i, e := range v.list {
		s.floatValue(key, e, low, high, to(&spots[i]))
	}
}
