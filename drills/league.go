package drills

import (
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// League is league.toml with the catalogue's defaults filled in.
type League struct {
	Common       Team // name, division, formations and catalogue, the same for every team of the league
	Teams        []LeagueTeam
	MaxReturning int // most kids of the same old team on one team; 0: no limit
	// MinNights is how many of its team's nights a kid has to be able to come to; 0: all of them.
	MinNights int
	Fixed     []FixedKid
	Coaches   []Coach  // for the draw of teams to coaches
	Evenness  []Weight // how much a difference between teams counts, where it is not the usual 1
}

// LeagueTeam is a team to be drafted.
type LeagueTeam struct {
	Name   string
	Nights []string // practice nights, from "mon" to "sun", in the order of the week; empty: not settled, so any night
	At     Place
}

// FixedKid is a kid whose team the league has settled.
type FixedKid struct {
	Kid  string
	Team int // index of League.Teams
	At   Place
}

// Coach is a head coach, who gets a team by the draw or, with a kid of the own in the pool, has the team the kid is on.
type Coach struct {
	Name string
	Kid  string // id of the coach's own kid; "" none
	At   Place
}

// Weight is the weight of something named, at least 0; 1 is the usual one.
type Weight struct {
	Name  string
	Value float64
}

// What [evenness] can weigh beside the traits.
const (
	EvenOverall     = "overall"
	EvenGrades      = "grades"
	EvenUntested    = "untested"
	EvenUncertainty = "uncertainty"
	EvenReturning   = "returning"
	EvenCarpools    = "carpools"
)

// CanPlay tells whether a kid who can practise on these nights (none listed: on any) can be on a team.
func (l *League) CanPlay(nights []string, team int) bool {
	own := l.Teams[team].Nights
	if len(nights) == 0 || len(own) == 0 {
		return true
	}
	n := 0
	for _, night := range own {
		if slices.Contains(nights, night) {
			n++
		}
	}
	if l.MinNights > 0 {
		return n >= min(l.MinNights, len(own))
	}
	return n == len(own)
}

func (l *League) teamNames() []string {
	return names(l.Teams, func(t *LeagueTeam) string { return t.Name })
}

// findTeam gives the team of that name, -1 if there is none. Case does not count.
func (l *League) findTeam(name string) int {
	return slices.IndexFunc(l.Teams, func(t LeagueTeam) bool { return strings.EqualFold(t.Name, name) })
}

const (
	mostTeams  = 60
	mostWeight = 100
)

// leagueDoc is league.toml with the lines that the checks against the pool need.
type leagueDoc struct {
	League
	game *teamDoc
}

func newLeagueDoc() *leagueDoc {
	return &leagueDoc{game: &teamDoc{team: *defaultTeam(), warn: &collector{file: "league.toml"}}}
}

func readLeague(data []byte, probs *collector) *leagueDoc {
	doc := newLeagueDoc()
	tree := parseTOML(data, probs)
	if tree == nil {
		return doc
	}
	doc.game.tree = tree
	t := &doc.game.team
	s := section{tree, "", probs}
	s.known("name", "division", "max_returning", "min_nights", "team", "fixed", "coach", "evenness", "series", "formation",
		"importance", "weights", "traits", "drills", "roles", "formations")
	lines := readHead(s, doc.game)
	readFormations(s, doc.game, lines)
	readImportance(s, t)
	s.integer("max_returning", 0, maxKids, &doc.MaxReturning)
	s.integer("min_nights", 0, len(week), &doc.MinNights)
	readTeams(s, doc)
	warnMinNights(s, doc)
	readFixed(s, doc)
	readCoaches(s, doc)
	readEvenness(s, doc, lines)
	return doc
}

// warnMinNights tells of teams with fewer nights than a kid has to be able to come to: there it comes to all of them.
func warnMinNights(s section, doc *leagueDoc) {
	for _, t := range doc.Teams {
		if n := len(t.Nights); n > 0 && n < doc.MinNights {
			doc.game.warn.add(s.get("min_nights").line, "if that is not meant, write a smaller number",
				"min_nights is %d, and %s has %s: a kid there has to be able to come to all of them", doc.MinNights, quote(t.Name), prose.Count(n, "night"))
		}
	}
}

func readTeams(s section, doc *leagueDoc) {
	list := s.tables("team")
	if len(list) > mostTeams {
		s.probs.add(list[mostTeams].line, "is this one league?", "%s, more than %d", prose.Count(len(list), "team"), mostTeams)
		return
	}
	before := len(s.probs.list)
	for _, v := range list {
		x := section{v, "[[team]]", s.probs}
		x.known("name", "nights")
		team := LeagueTeam{At: Place{s.probs.file, v.line}}
		if x.get("name") == nil {
			x.probs.add(v.line, `add name = "Egrets"`, "[[team]] has no name")
		} else if x.str("name", &team.Name) {
			at := x.get("name").line
			if bad := badText(team.Name, longName); bad != "" {
				x.probs.add(at, "shorten it", "name in [[team]] %s", bad)
			}
			if team.Name == "" {
				x.probs.add(at, `write name = "Egrets"`, "a team's name is empty")
			} else if i := doc.findTeam(team.Name); i >= 0 {
				x.probs.add(at, "give every team a name of its own", "team %s is already on line %d", quote(team.Name), doc.Teams[i].At.Line)
				continue
			}
		}
		if words, ok := x.words("nights"); ok {
			for _, e := range words {
				night, near := parseNight(e.text)
				if night == "" {
					x.probs.add(e.line, near, "nights in [[team]] has %s", quote(e.text))
				} else if !slices.Contains(team.Nights, night) {
					team.Nights = append(team.Nights, night)
				}
			}
			sortNights(team.Nights)
		}
		doc.Teams = append(doc.Teams, team)
	}
	if len(doc.Teams) < 2 && len(s.probs.list) == before {
		line := 0
		if len(list) > 0 {
			line = list[0].line
		}
		s.probs.add(line, "write [[team]] and below it name = \"Egrets\", once for every team", "%s to draft, and it takes at least two", prose.Count(len(doc.Teams), "team"))
	}
}

func readFixed(s section, doc *leagueDoc) {
	lines := map[string]int{}
	for _, v := range s.tables("fixed") {
		x := section{v, "[[fixed]]", s.probs}
		x.known("kid", "team")
		ok := true
		for _, key := range []string{"kid", "team"} {
			if x.get(key) == nil {
				x.probs.add(v.line, "add "+key+" = ...", "[[fixed]] has no %s", key)
				ok = false
			}
		}
		if !ok {
			continue
		}
		fixed := FixedKid{Team: -1, At: Place{s.probs.file, v.line}}
		fixed.Kid, ok = x.id("kid", x.get("kid"))
		name := ""
		if x.str("team", &name) {
			fixed.Team = x.findTeamFor(doc, name)
		}
		if first, twice := lines[fixed.Kid]; ok && twice {
			x.probs.add(v.line, "keep one of the two", "kid %s is already in [[fixed]] on line %d", quote(fixed.Kid), first)
			continue
		}
		if !ok {
			continue
		}
		lines[fixed.Kid] = v.line
		if fixed.Team >= 0 {
			doc.Fixed = append(doc.Fixed, fixed)
		}
	}
}

func readCoaches(s section, doc *leagueDoc) {
	list := s.tables("coach")
	if len(list) > mostTeams {
		s.probs.add(list[mostTeams].line, "one for every team is enough", "%d coaches, more than %d", len(list), mostTeams)
		return
	}
	for _, v := range list {
		x := section{v, "[[coach]]", s.probs}
		x.known("name", "kid")
		c := Coach{At: Place{s.probs.file, v.line}}
		if x.get("name") == nil {
			x.probs.add(v.line, `add name = "..."`, "[[coach]] has no name")
			continue
		}
		if !x.str("name", &c.Name) {
			continue
		}
		at := x.get("name").line
		if bad := badText(c.Name, longName); bad != "" {
			x.probs.add(at, "shorten it", "name in [[coach]] %s", bad)
			continue
		}
		if c.Name == "" {
			x.probs.add(at, `write name = "..."`, "a coach's name is empty")
			continue
		}
		if kid := x.get("kid"); kid != nil {
			c.Kid, _ = x.id("kid", kid)
		}
		twice := slices.IndexFunc(doc.Coaches, func(o Coach) bool {
			return strings.EqualFold(o.Name, c.Name) || o.Kid != "" && o.Kid == c.Kid
		})
		if twice >= 0 {
			x.probs.add(v.line, "give every coach once, each with a name and a kid of the own", "coach %s is already on line %d, or has the same kid", quote(c.Name), doc.Coaches[twice].At.Line)
			continue
		}
		doc.Coaches = append(doc.Coaches, c)
	}
}

// findTeamFor is findTeam with a problem for a team that is not there.
func (s section) findTeamFor(doc *leagueDoc, name string) int {
	i := doc.findTeam(name)
	if i < 0 && len(doc.Teams) > 0 { // else the teams are the problem
		s.probs.add(s.get("team").line, prose.DidYouMean(name, doc.teamNames(), "the teams are "+prose.And(doc.teamNames())), "unknown team %s in %s", quote(name), s.what)
	}
	return i
}

// readEvenness reads [evenness]: weights for overall, traits, grades and so on. lines are those of the league's own traits.
func readEvenness(s section, doc *leagueDoc, lines map[string]int) {
	others := []string{EvenOverall, EvenGrades, EvenUntested, EvenUncertainty, EvenReturning, EvenCarpools}
	for _, name := range doc.game.team.Catalogue.traitNames() {
		if slices.Contains(others, name) {
			s.probs.add(lines["trait "+name], "give the trait another name", "a trait cannot be named %s in a league: teams are made even in something else of that name", name)
		}
	}
	v := s.typed("evenness", isTable)
	if v == nil {
		return
	}
	e := section{v, "[evenness]", s.probs}
	allowed := append([]string{EvenOverall}, doc.game.team.Catalogue.traitNames()...)
	allowed = append(allowed, EvenGrades, EvenUntested, EvenUncertainty, EvenReturning, EvenCarpools)
	e.known(allowed...)
	for _, name := range allowed {
		w := Weight{Name: name}
		if x := e.get(name); x != nil && e.floatValue(name, x, 0, mostWeight, &w.Value) {
			doc.Evenness = append(doc.Evenness, w)
		}
	}
}
