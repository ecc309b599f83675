package gameday

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// lineupScreen lays a plan out for people.
type lineupScreen struct {
	tty.View
	l      *report.Lineup
	sh     *report.Shown
	who    tty.People
	src    tty.Source
	limit  time.Duration // of the search
	detail bool
	said   int // the first so many cautions stand further up
	saved  bool
	under  string // what "best possible" is under, beyond the rules: " with so few changes"
	then   string // and what the second figure is under
	// asked: the coach has said who is there already.
	asked bool
}

// NewLineupScreen lays a plan out as text.
func NewLineupScreen(g *Game, l *report.Lineup, detail bool) *lineupScreen {
	who := g.callNames()
	return &lineupScreen{View: g.View, l: l, sh: g.Shown(), who: who, src: g.src, limit: g.Set.Limit, detail: detail, then: " with that",
		asked: len(g.Wishes.Absent)+len(g.Wishes.Late)+len(g.Wishes.Leaves)+len(g.Wishes.Hurt) > 0}
}

func (s *lineupScreen) Text() string {
	return s.body() + "\n" + s.closing()
}

// body is the plan without its last word.
func (s *lineupScreen) body() string {
	lines := s.table(0)
	if s.detail {
		lines = s.series()
	}
	return s.head() + s.owed() + s.loosened() + "\n" + s.grid() + s.legend() + "\n" + lines + "\n" + s.strength() + "\n" + s.rules() + s.cautions()
}

func (s *lineupScreen) head() string { return s.title() + s.away() }

func (s *lineupScreen) title() string {
	team := screen.Clean(s.l.Team)
	if team == "" {
		team = "Your team"
	}
	return s.Fold(s.Strong(fmt.Sprintf("%s, %s: %s, %s", team, s.sh.Division,
		prose.Count(len(s.l.Series), "series"), prose.Count(len(s.l.Kids), "kid"))), "")
}

// away is who is not there, or not all the time.
func (s *lineupScreen) away() string {
	out := ""
	for _, reason := range reasons {
		var kids []string
		for _, x := range s.sh.Out {
			if x.Why == reason.why && x.Last == 0 {
				kids = append(kids, x.Kid)
			}
		}
		if len(kids) > 0 {
			words := reason.words
			if reason.why == "not_in_plan" && s.sh.Bare {
				words = "not in the record of this game"
			}
			out += s.Fold(fmt.Sprintf("Not planned, %s: %s", words, tty.Sentence(s.who.List(kids))), "  ")
		}
	}
	gone := map[string]bool{}
	for _, x := range s.sh.Out {
		if x.Last > 0 {
			gone[x.Kid] = true
			out += s.Fold(fmt.Sprintf("%s is out, %s: series %d was the last one.", s.who.Inline(x.Kid), reasonWords(x.Why), x.Last), "  ")
		}
	}
	n := len(s.l.Series)
	for _, k := range s.l.Kids {
		switch first, last := k.Available[0], k.Available[1]; {
		case gone[k.Kid]:
		case len(k.Away) > 0:
			out += s.Fold(fmt.Sprintf("%s is there for series %s.", s.who.Inline(k.Kid), StretchWords(k.Stretches())), "  ")
		case first > 1 && last < n:
			out += s.Fold(fmt.Sprintf("%s is there from series %d up to and with series %d.", s.who.Inline(k.Kid), first, last), "  ")
		case first > 1 && first <= s.l.Played:
			out += s.Fold(fmt.Sprintf("%s came late: there from series %d.", s.who.Inline(k.Kid), first), "  ")
		case first > 1:
			out += s.Fold(fmt.Sprintf("%s comes late: there from series %d.", s.who.Inline(k.Kid), first), "  ")
		case last < n && last <= s.l.Played:
			out += s.Fold(fmt.Sprintf("%s has left: series %d was the last one.", s.who.Inline(k.Kid), last), "  ")
		case last < n:
			out += s.Fold(fmt.Sprintf("%s leaves early: series %d is the last one.", s.who.Inline(k.Kid), last), "  ")
		}
	}
	return out
}

// StretchWords say stretches of series: 1 to 2 and 5 to 8.
func StretchWords(stretches [][2]int) string {
	var parts []string
	for _, w := range stretches {
		if w[0] == w[1] {
			parts = append(parts, strconv.Itoa(w[0]))
		} else {
			parts = append(parts, fmt.Sprintf("%d to %d", w[0], w[1]))
		}
	}
	return prose.And(parts)
}

// loosened is what became of rules that cannot hold.
func (s *lineupScreen) loosened() string {
	if len(s.sh.Loosened) == 0 {
		return ""
	}
	head := "LOOSENED: not all your rules can hold in this game. Given up or changed:"
	if !slices.ContainsFunc(s.l.Loosening, func(x report.Loosening) bool { return !x.Kept }) {
		head = "LOOSENED, as in the plan that is changed, for fewer changes; --strict asks for the rules in full:"
	}
	out := "\n" + s.Fold(s.Strong(head), "")
	for _, words := range s.sh.Loosened {
		out += s.Fold("! "+words, "  ")
	}
	return out
}

// reasons say why a kid is not planned.
var reasons = []struct{ why, words string }{
	{"absent", "absent"}, {"on_hold", "on medical hold"}, {"hurt", "hurt"}, {"not_in_plan", "not in the saved plan"},
}

func reasonWords(why string) string {
	for _, r := range reasons {
		if r.why == why {
			return r.words
		}
	}
	return why
}

// grid is kids by series, in as many blocks as the width asks for.
func (s *lineupScreen) grid() string {
	t := &texttab.Table{Head: []string{"kid"}, Align: []texttab.Align{texttab.Left}}
	for n := range s.l.Series {
		t.Head = append(t.Head, strconv.Itoa(n+1))
		t.Align = append(t.Align, texttab.Right)
	}
	t.Head = append(t.Head, "plays", "share")
	t.Align = append(t.Align, texttab.Right, texttab.Right)
	if s.l.Season != nil {
		t.Head, t.Align = append(t.Head, "owed"), append(t.Align, texttab.Right)
	}
	whole := true
	for _, k := range s.l.Kids {
		whole = whole && k.Share == math.Trunc(k.Share)
	}
	for _, k := range s.l.Kids {
		row := []string{s.who.Column(k.Kid)}
		for n := range s.l.Series {
			row = append(row, s.mark(k, n))
		}
		share := tty.Point(k.Share)
		if whole {
			share = strconv.Itoa(int(k.Share))
		}
		row = append(row, strconv.Itoa(k.Series), share)
		if s.l.Season != nil {
			row = append(row, s.balance(k.Kid))
		}
		t.Rows = append(t.Rows, row)
	}
	return s.Blocks(t, 1) + "\n"
}

// mark is what the kid does in series n (from 0): a role's letter, a dot for the bench, a dash for not there.
func (s *lineupScreen) mark(k report.LineupKid, n int) string {
	if !k.There(n + 1) {
		return s.Faint("-")
	}
	for _, slot := range s.l.Series[n].Slots {
		if slot.Kid == k.Kid {
			i, letter := findRole(s.sh, slot.Role)
			return s.Paint(i, letter)
		}
	}
	return s.Faint(".")
}

// findRole gives the place of a role, by which it has its colour, and its letter.
func findRole(sh *report.Shown, name string) (int, string) {
	for i, r := range sh.Roles {
		if r.Role == name {
			return i, r.Letter
		}
	}
	return 0, "?"
}

// legend explains the grid.
func (s *lineupScreen) legend() string {
	words := "share: an equal part of all turns"
	for _, k := range s.l.Kids {
		if !k.Throughout(len(s.l.Series)) {
			words += ", as far as the kid is there"
			break
		}
	}
	if s.l.Season != nil {
		words += "; owed: what earlier games owe, in series"
	}
	if slices.ContainsFunc(s.l.Kids, s.hurt) {
		words += ". " + tty.HurtShare
	}
	return s.letters() + s.Fold(words, "") + s.levelled()
}

// hurt tells whether the kid was hurt in this game, and is out.
func (s *lineupScreen) hurt(k report.LineupKid) bool { return slices.Contains(s.l.Hurt, k.Kid) }

// levelled explains why a kid who is there for fewer series has the same share as one who is there throughout.
func (s *lineupScreen) levelled() string {
	full := 0.0
	for _, k := range s.l.Kids {
		if k.Throughout(len(s.l.Series)) {
			full = max(full, k.Share)
		}
	}
	var kids []string
	for _, k := range s.l.Kids {
		if !k.Throughout(len(s.l.Series)) && !s.hurt(k) && full > 0 && math.Abs(k.Share-full) < 1e-9 {
			kids = append(kids, s.who.Inline(k.Kid))
		}
	}
	if len(kids) == 0 {
		return ""
	}
	are := "is"
	if len(kids) > 1 {
		are = "are"
	}
	return s.Fold(fmt.Sprintf("%s %s not there throughout, but long enough for as many turns as the others: turns are shared out, not time.", prose.And(kids), are), "")
}

// letters say what the marks of the grid mean.
func (s *lineupScreen) letters() string {
	var parts []string
	for i, r := range s.sh.Roles {
		for _, k := range s.l.Kids {
			if k.Roles[r.Role] > 0 {
				parts = append(parts, s.Paint(i, r.Letter)+" "+r.Role)
				break
			}
		}
	}
	parts = append(parts, s.Faint(".")+" bench")
	for _, k := range s.l.Kids {
		if !k.Throughout(len(s.l.Series)) {
			parts = append(parts, s.Faint("-")+" not there")
			break
		}
	}
	return s.Flow(parts)
}
