package logbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// seasonScreen lays a season out for a coach to show to a parent.
type seasonScreen struct {
	tty.View
	who   tty.People
	team  *drills.Team
	s     *report.Season
	roles []string // those played by anybody on the screen
	src   tty.Source
	one   bool // one kid, game by game
}

func newSeasonScreen(v tty.View, f *drills.Folder, s *gameplan.Season, out *report.Season, src tty.Source, one bool) *seasonScreen {
	x := &seasonScreen{View: v, who: tty.NewPeople(f), team: &f.Team, s: out, src: src, one: one}
	for _, id := range s.Kids {
		x.who.Ids = max(x.who.Ids, texttab.Width(id))
	}
	for _, role := range s.Roles {
		for _, k := range out.Kids {
			if k.Roles[role] > 0 {
				x.roles = append(x.roles, role)
				break
			}
		}
	}
	return x
}

func (s *seasonScreen) text() string {
	if len(s.s.Games) == 0 {
		return s.title() + "\n" + tty.Commands("No game is on record yet. After the game:", "sevenyard record "+s.src.Name+" --game 1 --from plan.json")
	}
	if s.one {
		return s.title() + "\n" + s.games() + "\n" + s.sum() + s.legend() + "\n" + s.even() + "\n" +
			tty.Commands("All kids side by side:", "sevenyard season "+s.src.Name)
	}
	return s.title() + "\n" + s.kids() + "\n" + s.legend() + s.gone() + "\n" + s.even() + "\n" + s.next()
}

func (s *seasonScreen) title() string {
	team := screen.Clean(s.s.Team)
	if team == "" {
		team = "Your team"
	}
	n := 0
	for _, g := range s.s.Games {
		n += len(g.Series)
	}
	if n == 0 {
		return s.Fold(s.Strong(fmt.Sprintf("%s, %s", team, s.team.Division.Words())), "  ")
	}
	text := fmt.Sprintf("%s, %s: %s on record, %s in all", team, s.team.Division.Words(), prose.Count(len(s.s.Games), "game"), prose.Count(n, "series"))
	if s.one {
		text += "; " + s.who.Inline(s.s.Kids[0].Kid)
	}
	return s.Fold(s.Strong(text), "  ")
}

// kids is a line a kid.
func (s *seasonScreen) kids() string {
	t := &texttab.Table{Head: []string{"kid", "games", "plays", "share", "owed"}, Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Right, texttab.Right, texttab.Right}}
	s.roleColumns(t)
	for _, k := range s.s.Kids {
		row := []string{s.who.Column(k.Kid), strconv.Itoa(k.Attended), strconv.Itoa(k.Series), tty.Point(k.Share), tty.Signed(k.Owed)}
		t.Rows = append(t.Rows, append(row, s.counts(k.Roles, k.LongestOff)...))
	}
	return s.Blocks(t, 1)
}

// roleColumns adds a column for each role played, and one for the bench.
func (s *seasonScreen) roleColumns(t *texttab.Table) {
	for _, role := range s.roles {
		t.Head, t.Align = append(t.Head, role), append(t.Align, texttab.Right)
	}
	t.Head, t.Align = append(t.Head, "bench"), append(t.Align, texttab.Right)
}

func (s *seasonScreen) counts(roles map[string]int, off int) []string {
	var out []string
	for _, role := range s.roles {
		out = append(out, count(roles[role]))
	}
	return append(out, count(off))
}

// count is a number for a table in which most are not 0.
func count(n int) string {
	if n == 0 {
		return "."
	}
	return strconv.Itoa(n)
}

// games is one kid's line for each game.
func (s *seasonScreen) games() string {
	t := &texttab.Table{Head: []string{"game", "date", "there", "plays", "share", "owed"},
		Align: []texttab.Align{texttab.Left, texttab.Left, texttab.Left, texttab.Right, texttab.Right, texttab.Right}}
	s.roleColumns(t)
	for i, p := range s.s.Kids[0].Games {
		g := s.s.Games[i]
		name := screen.Clean(g.Game)
		if g.Opponent != "" {
			name = screen.Clip(name+" "+screen.Clean(g.Opponent), tty.Longest)
		}
		row := []string{name, g.Date, "missed", "", "", tty.Signed(p.Owed)}
		if p.There != nil {
			row = []string{name, g.Date, from(p), strconv.Itoa(p.Series), tty.Point(p.Share), tty.Signed(p.Owed)}
			row = append(row, s.counts(p.Roles, p.LongestOff)...)
			if p.Hurt {
				row[2] += ", hurt"
			}
		}
		for len(row) < len(t.Head) {
			row = append(row, "")
		}
		t.Rows = append(t.Rows, row)
	}
	return s.Blocks(t, 1)
}

// from is the first and the last series a kid was there for.
func from(p report.SeasonPart) string {
	var parts []string
	for _, w := range (report.LineupKid{Available: *p.There, Away: p.Away}).Stretches() {
		if w[0] == w[1] {
			parts = append(parts, strconv.Itoa(w[0]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", w[0], w[1]))
		}
	}
	return strings.Join(parts, ", ")
}

// sum is one kid's season in a sentence.
func (s *seasonScreen) sum() string {
	k := s.s.Kids[0]
	text := fmt.Sprintf("%s came to %d of %s and played %s of the %d it was there for. The fair share of that is %s", s.who.Inline(k.Kid), k.Attended,
		prose.Count(len(s.s.Games), "game"), prose.Count(k.Series, "series"), k.There, tty.Point(k.Share))
	switch owed := tty.Signed(k.Owed); {
	case owed == "0":
		text += ": nothing is owed."
	case k.Owed > 0:
		text += fmt.Sprintf(": %s series are owed.", strings.TrimPrefix(owed, "+"))
	default:
		text += fmt.Sprintf(": %s series more than that.", strings.TrimPrefix(owed, "-"))
	}
	return s.Fold(text, "")
}

func (s *seasonScreen) legend() string {
	when := "owed: share less plays"
	if s.one {
		when += ", after each game"
	}
	text := "share: an equal part of all turns, as far as the kid was there; a missed game owes nothing. " + when + "; above 0 the kid comes first next time. " +
		"bench: most series in a row."
	if s.hurt() {
		text += " " + tty.HurtShare
	}
	if s.one && s.partly() {
		text += " Turns are shared out, not time: a kid who is there for a part of a game is due as many as the others, as far as they fit into it."
	}
	return s.Fold(text, "")
}

// hurt tells whether a kid on the screen was hurt in a game.
func (s *seasonScreen) hurt() bool {
	return slices.ContainsFunc(s.s.Kids, func(k report.SeasonKid) bool {
		return slices.ContainsFunc(k.Games, func(p report.SeasonPart) bool { return p.Hurt })
	})
}

// partly tells whether the one kid was there for a part of a game only, and not because it was hurt.
func (s *seasonScreen) partly() bool {
	for i, p := range s.s.Kids[0].Games {
		if n := s.s.Games[i].Series; p.There != nil && !p.Hurt && len(n) > 0 && (len(p.Away) > 0 || p.There[0] > n[0] || p.There[1] < n[len(n)-1]) {
			return true
		}
	}
	return false
}

// gone are kids of the record who are not on the roster.
func (s *seasonScreen) gone() string {
	var ids []string
	for _, k := range s.s.Kids {
		if k.Gone {
			ids = append(ids, k.Kid)
		}
	}
	if len(ids) == 0 {
		return ""
	}
	return s.Fold("Not on the roster any more: "+strings.Join(ids, ", ")+".", "  ")
}

// even says how even the season is, in two usual figures and what they mean.
func (s *seasonScreen) even() string {
	if s.s.Jain == nil || s.s.Gini == nil {
		return ""
	}
	return s.Fold("How even the season is, each kid measured by its own share:", "") +
		s.Fold(fmt.Sprintf("- Jain's index %s, and 1 is even. It is as if so large a part of the kids had the same, and the rest nothing.", index(*s.s.Jain)), "  ") +
		s.Fold(fmt.Sprintf("- Gini's index %s, and 0 is even. Two kids drawn by lot differ by twice that part of the average.", index(*s.s.Gini)), "  ")
}

// index is a figure from 0 to 1; what is not even does not read as even.
func index(x float64) string {
	text := strconv.FormatFloat(x, 'f', 3, 64)
	switch {
	case text == "1.000" && x < 1-1e-9:
		return "above 0.999"
	case text == "0.000" && x > 1e-9:
		return "below 0.001"
	}
	return text
}

// next is what to type next, with the kid owed most as the example.
func (s *seasonScreen) next() string {
	best := -1
	for i, k := range s.s.Kids {
		if !k.Gone && (best < 0 || k.Owed > s.s.Kids[best].Owed) {
			best = i
		}
	}
	if best < 0 {
		return ""
	}
	gives := "the larger share to those owed most"
	if s.s.Kids[best].Owed > 1 && s.team.Rules.PayBack > 0 {
		gives += ", and a series back to who is owed more than one, as far as there are kids who had more"
	}
	text := s.Fold("sevenyard lineup gives "+gives+". One kid's season, game by game:", "")
	return tty.Commands(strings.TrimRight(text, "\n"), "sevenyard season "+s.src.Name+" --kid "+tty.Quote(s.s.Kids[best].Kid))
}
