package drills

import (
	"io"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// What a team plays when team.toml does not say.
const (
	DefaultSeries    = 8
	DefaultFormation = "2-3"
	DefaultFavor     = "weakest"
	DefaultPayBack   = 1
)

const mostSeries = 60

// ReadTeam reads team.toml, on top of the embedded catalogue. The error is of type Problems; with
// one, the team is what could be read. What depends on the roster is checked by ReadFolder.
// Without a division the team's is k to 8.
func ReadTeam(r io.Reader) (*Team, Problems, error) {
	data, probs := readAll(r, "team.toml", maxTOML)
	if data == nil {
		return defaultTeam(), nil, probs.finish().err()
	}
	doc := readTeam(data, probs)
	return &doc.team, doc.warn.finish(), probs.finish().err()
}

func defaultTeam() *Team {
	t := &Team{Division: Grades{0, 8}, Series: DefaultSeries, Favor: DefaultFavor, Rules: Rules{PayBack: DefaultPayBack}, Importance: map[string]float64{}, Catalogue: Default()}
	f, _ := t.Catalogue.Formation(DefaultFormation)
	t.Formations = []Formation{f}
	return t
}

// teamDoc is team.toml with the lines that the checks against the roster need.
type teamDoc struct {
	team          Team
	hasDivision   bool
	hasSeries     bool
	togetherLines []int
	apartLines    []int
	formationLine int
	tree          *value
	warn          *collector
}

// FormationAt is the formation of a series, counted from 1.
func (t *Team) FormationAt(series int) Formation {
	return t.Formations[(max(series, 1)-1)%len(t.Formations)]
}

// readHead reads what a team and a league have in common: the catalogue's changes, name, division and series. It gives the lines of own entries.
func readHead(s section, doc *teamDoc) map[string]int {
	t := &doc.team
	lines := readCatalogueKeys(s, &t.Catalogue)
	readWeights(s, &t.Catalogue, lines)
	finishCatalogue(&t.Catalogue, s.probs, lines)
	if s.str("name", &t.Name) {
		if bad := badText(t.Name, longName); bad != "" {
			s.probs.add(s.get("name").line, "shorten it", "name %s", bad)
		}
	}
	doc.hasDivision = s.grades("division", &t.Division)
	doc.hasSeries = s.integer("series", 1, mostSeries, &t.Series)
	return lines
}

func readTeam(data []byte, probs *collector) *teamDoc {
	doc := &teamDoc{team: *defaultTeam(), warn: &collector{file: "team.toml"}}
	tree := parseTOML(data, probs)
	if tree == nil {
		return doc
	}
	doc.tree = tree
	t := &doc.team
	s := section{tree, "", probs}
	s.known("name", "division", "series", "formation", "favor", "together", "apart", "rules", "cover", "pin",
		"importance", "weights", "heat", "traits", "drills", "roles", "formations")
	lines := readHead(s, doc)
	if s.str("favor", &t.Favor) && !slices.Contains(favors, t.Favor) {
		probs.add(s.get("favor").line, prose.DidYouMean(t.Favor, favors, "write "+prose.Or(favors)), "favor is %s", quote(t.Favor))
		t.Favor = DefaultFavor
	}
	readHeatName(s, t)
	readFormations(s, doc, lines)
	t.Together, doc.togetherLines = readPairs(s, "together")
	t.Apart, doc.apartLines = readPairs(s, "apart")
	checkPairs(doc, probs)
	readRules(s, t)
	readCovers(s, t)
	readPins(s, t)
	readImportance(s, t)
	return doc
}

var favors = []string{"weakest", "total", "even"}

// readWeights reads [weights.ROLE]: a trait named there has the new weight, the others keep theirs.
func readWeights(s section, cat *Catalogue, lines map[string]int) {
	v := s.typed("weights", isTable)
	if v == nil {
		return
	}
	known := cat.roleNames()
	for _, e := range v.keys {
		i := slices.Index(known, e.key)
		if i < 0 && cat.isSpoilt("role", e.key) {
			continue
		}
		if i < 0 {
			s.probs.add(e.line, prose.DidYouMean(e.key, known, "known roles are "+prose.And(known)), "unknown role %s in [weights]", quote(e.key))
			continue
		}
		lines["role "+e.key] = e.line
		t := section{e.val, "[weights." + e.key + "]", s.probs}
		own := t.shares("weights."+e.key, e.val, cat.traitNames(), "trait")
		if e.val.kind != isTable {
			continue
		}
		var merged []Share
		for _, name := range cat.traitNames() {
			from := cat.Roles[i].Weights
			if e.val.get(name) != nil {
				from = own
			}
			if j := slices.IndexFunc(from, func(s Share) bool { return s.Name == name }); j >= 0 {
				merged = append(merged, from[j])
			}
		}
		cat.Roles[i].Weights = merged
	}
}

func readFormations(s section, doc *teamDoc, own map[string]int) {
	t := &doc.team
	v := s.get("formation")
	doc.formationLine = 0
	// The default too may have been changed by the team's own [[formations]].
	list := []*value{{kind: isString, text: DefaultFormation}}
	if v != nil {
		doc.formationLine = v.line
		list = []*value{v}
		if v.kind == isList {
			list = v.list
		}
	}
	if len(list) == 0 || len(list) > mostSeries {
		s.probs.add(v.line, `write formation = "2-3"`, "formation lists %s", prose.Count(len(list), "formation"))
		return
	}
	known := t.Catalogue.formationNames()
	var formations []Formation
	for _, e := range list {
		if e.kind != isString {
			s.probs.add(e.line, `write formation = "2-3" or ["2-3", "4-1"]`, "formation is %s", e.kind)
			return
		}
		name := strings.TrimSpace(e.text)
		f, ok := t.Catalogue.Formation(name)
		if _, tried := own["formation "+name]; !ok && tried {
			continue // a formation of the team's own whose problems are reported where it stands
		}
		if !ok {
			s.probs.add(e.line, prose.DidYouMean(name, known, "known formations are "+prose.And(known)), "unknown formation %s", quote(name))
			continue
		}
		formations = append(formations, f)
	}
	if len(formations) == len(list) {
		t.Formations = formations
	}
}

// readPairs reads [["2", "9"], ...], each pair once.
func readPairs(s section, key string) (pairs []Pair, lines []int) {
	v := s.typed(key, isList)
	if v == nil {
		return nil, nil
	}
	for _, e := range v.list {
		do := `write ` + key + ` = [["2", "9"]]: pairs in a list`
		if e.kind != isList || len(e.list) != 2 {
			s.probs.add(e.line, do, "%s holds something other than pairs of kids", key)
			continue
		}
		a, ok1 := s.id(key, e.list[0])
		b, ok2 := s.id(key, e.list[1])
		if !ok1 || !ok2 {
			continue
		}
		if a == b {
			s.probs.add(e.line, do, "%s pairs kid %s with the same kid", key, quote(a))
			continue
		}
		if j := slices.IndexFunc(pairs, samePair(Pair{a, b})); j >= 0 {
			s.probs.add(e.line, "take one of them out", "%s has the pair %s, %s twice, first on line %d", key, a, b, lines[j])
			continue
		}
		pairs, lines = append(pairs, Pair{a, b}), append(lines, e.line)
	}
	return pairs, lines
}

func samePair(p Pair) func(Pair) bool {
	return func(q Pair) bool { return q == p || q[0] == p[1] && q[1] == p[0] }
}

func checkPairs(doc *teamDoc, probs *collector) {
	for i, p := range doc.team.Apart {
		if j := slices.IndexFunc(doc.team.Together, samePair(p)); j >= 0 {
			probs.add(doc.apartLines[i], "keep one of the two rules", "kids %s and %s are apart, and together on line %d",
				p[0], p[1], doc.togetherLines[j])
		}
	}
}

func readRules(s section, t *Team) {
	v := s.typed("rules", isTable)
	if v == nil {
		return
	}
	r := section{v, "[rules]", s.probs}
	r.known("max_on", "max_off", "min_roles", "season_roles", "max_same_role", "min_share", "pay_back")
	var on, off int
	if r.integer("max_on", 1, mostSeries, &on) {
		t.Rules.MaxOn = &on
	}
	if r.integer("max_off", 0, mostSeries, &off) {
		t.Rules.MaxOff = &off
	}
	r.integer("min_roles", 0, mostSeries, &t.Rules.MinRoles)
	r.integer("season_roles", 0, mostSeries, &t.Rules.SeasonRoles)
	r.integer("max_same_role", 0, mostSeries, &t.Rules.MaxSameRole)
	r.float("min_share", 0, 1, &t.Rules.MinShare)
	r.integer("pay_back", 0, mostSeries, &t.Rules.PayBack)
	if known := len(t.Catalogue.Roles); t.Rules.SeasonRoles > known {
		r.probs.add(r.get("season_roles").line, "ask for fewer", "season_roles is %d, and there are %s", t.Rules.SeasonRoles, prose.Count(known, "role"))
	}
	roles := map[string]bool{}
	for i := range min(t.Series, len(t.Formations)) {
		for _, spot := range t.Formations[i].Spots {
			roles[spot.Role] = true
		}
	}
	if t.Rules.MinRoles > len(roles) {
		r.probs.add(r.get("min_roles").line, "ask for fewer, or plan another formation",
			"min_roles is %d, and the formations have %s", t.Rules.MinRoles, prose.Count(len(roles), "role"))
	}
}

func readCovers(s section, t *Team) {
	for _, v := range s.tables("cover") {
		c := section{v, "[[cover]]", s.probs}
		c.known("kids", "at_least")
		cover := Cover{AtLeast: 1, At: Place{s.probs.file, v.line}}
		list := c.typed("kids", isList)
		if list == nil {
			if c.get("kids") == nil {
				c.probs.add(v.line, `add kids = ["3", "7"]`, "[[cover]] names no kids")
			}
			continue
		}
		for _, e := range list.list {
			id, ok := c.id("kids", e)
			if ok && slices.Contains(cover.Kids, id) {
				c.probs.add(e.line, "name every kid once", "kid %s stands twice in [[cover]]", quote(id))
			} else if ok {
				cover.Kids = append(cover.Kids, id)
			}
		}
		c.integer("at_least", 1, mostSpots, &cover.AtLeast)
		spots := mostSpots
		for _, f := range t.Formations {
			spots = min(spots, len(f.Spots))
		}
		switch {
		case cover.AtLeast > len(list.list):
			c.probs.add(v.line, "name more kids or ask for fewer", "[[cover]] wants %d of %s on the field", cover.AtLeast, prose.Count(len(list.list), "kid"))
		case cover.AtLeast > spots:
			c.probs.add(v.line, "ask for fewer", "[[cover]] wants %d kids on the field, a formation has %s", cover.AtLeast, prose.Count(spots, "spot"))
		default:
			t.Covers = append(t.Covers, cover)
		}
	}
}

func readImportance(s section, t *Team) {
	v := s.typed("importance", isTable)
	if v == nil {
		return
	}
	known := t.Catalogue.roleNames()
	i := section{v, "[importance]", s.probs}
	allowed := known
	for _, e := range v.keys {
		if t.Catalogue.isSpoilt("role", e.key) {
			allowed = append(allowed, e.key)
		}
	}
	i.known(allowed...)
	for _, role := range known {
		x := 0.0
		if e := i.get(role); e != nil && i.floatValue(role, e, 0.001, 1000, &x) {
			t.Importance[role] = x
		}
	}
}
