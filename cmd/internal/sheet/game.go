package sheet

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
)

type gamePage struct {
	Team, Division, Lead string
	Loosened, Broken     []string
	Heat                 []string // what it asks for; empty: no reading was given
	Roles                []gameRole
	Grids                [][]gameRow
	Whole                bool // everything on one page
	Diagrams             [][]*diagram
	Kids                 []gameKid
	Others               []who // on the roster, not in the plan
	Cautions             []string
	Sides                int

	number, name, list float64 // sizes in the printed grid, points
}

// LastPicture tells whether the i-th page of diagrams is the last one.
func (g *gamePage) LastPicture(i int) bool { return i == len(g.Diagrams)-1 }

type gameRole struct {
	role
	Most int // kids in it at a time
}

// gameRow is one series. Next are those on the bench who come in for the series after it.
type gameRow struct {
	Number        int
	Formation     string
	Beneath       bool // the formation's name stands below the number
	Water         int  // minutes of a break after the series; 0: none
	Over          bool
	Cells         [][]who // by role
	Next, Rests   []string
	Last, NoBench bool
}

type gameKid struct {
	who
	Plays int
	When  string // "from series 3", or nothing
}

// Game is the sheet for the clipboard.
func Game(l *report.Lineup, t Team) (*Page, error) {
	g := &gamePage{
		Team: t.title(), Division: t.Division, Loosened: l.Loosened, Broken: l.Broken, Cautions: t.Cautions,
		Lead: fmt.Sprintf("%d series, %d kids", len(l.Series), len(l.Kids)),
	}
	g.Heat = heatWords(l)
	g.roles(l, t)
	rows := g.rows(l, t)
	g.kids(l, t)
	g.layOut(rows, t.diagrams(l))
	html, err := render("game.html", t.title()+": game sheet", g.style(), g)
	return &Page{html, g.Sides}, err
}

// roles are the columns: every role of the game, as wide as the most kids it has at a time.
func (g *gamePage) roles(l *report.Lineup, t Team) {
	most := map[string]int{}
	var names []string
	for _, s := range l.Series {
		have := map[string]int{}
		for _, x := range s.Slots {
			have[x.Role]++
			most[x.Role] = max(most[x.Role], have[x.Role])
			names = append(names, x.Role)
		}
	}
	for _, r := range t.roles(names) {
		g.Roles = append(g.Roles, gameRole{r, most[r.Name]})
	}
}

func (g *gamePage) rows(l *report.Lineup, t Team) []gameRow {
	var out []gameRow
	for i, s := range l.Series {
		row := gameRow{Number: s.Number, Formation: screen.Clip(s.Formation, 9), Over: i < l.Played, Cells: make([][]who, len(g.Roles)), Last: i == len(l.Series)-1, NoBench: len(s.Bench) == 0}
		row.Beneath = texttab.Width(row.Formation) > besideCells
		for _, b := range l.Breaks {
			if b.After == s.Number {
				row.Water = b.Minutes
			}
		}
		for _, x := range s.Slots {
			at := slices.IndexFunc(g.Roles, func(r gameRole) bool { return r.Name == x.Role })
			row.Cells[at] = append(row.Cells[at], t.who(x.Kid))
		}
		for _, id := range s.Bench {
			if !row.Last && slices.ContainsFunc(l.Series[i+1].Slots, func(x report.Placed) bool { return x.Kid == id }) {
				row.Next = append(row.Next, id)
			} else {
				row.Rests = append(row.Rests, id)
			}
		}
		out = append(out, row)
	}
	return out
}

func (g *gamePage) kids(l *report.Lineup, t Team) {
	n := len(l.Series)
	for _, k := range l.Kids {
		line := gameKid{who: t.who(k.Kid), Plays: k.Series}
		switch first, last := k.Available[0], k.Available[1]; {
		case slices.Contains(l.Hurt, k.Kid):
			line.When = fmt.Sprintf("out after series %d", last)
		case len(k.Away) > 0:
			var parts []string
			for _, w := range k.Stretches() {
				parts = append(parts, fmt.Sprintf("%d to %d", w[0], w[1]))
			}
			line.When = "series " + strings.Join(parts, ", ")
		case first > 1 && last < n:
			line.When = fmt.Sprintf("series %d to %d", first, last)
		case first > 1:
			line.When = fmt.Sprintf("from series %d", first)
		case last < n:
			line.When = fmt.Sprintf("to series %d", last)
		}
		g.Kids = append(g.Kids, line)
	}
	for _, id := range t.Roster {
		if !slices.ContainsFunc(l.Kids, func(k report.LineupKid) bool { return k.Kid == id }) {
			g.Others = append(g.Others, t.who(id))
		}
	}
}

// diagrams draws every formation once, with the kids of the first series that is still to play in it.
func (t Team) diagrams(l *report.Lineup) []*diagram {
	var order []string
	series := map[string][]string{}
	first := map[string]int{}
	for i, s := range l.Series {
		if _, seen := first[s.Formation]; !seen {
			order = append(order, s.Formation)
			first[s.Formation] = i
		}
		if first[s.Formation] < l.Played && i >= l.Played {
			first[s.Formation] = i
		}
		series[s.Formation] = append(series[s.Formation], fmt.Sprint(s.Number))
	}
	var out []*diagram
	for _, name := range order {
		at := slices.IndexFunc(t.Catalogue.Formations, func(f drills.Formation) bool { return f.Name == name })
		s := l.Series[first[name]]
		if at < 0 || !inOrder(t.Catalogue.Formations[at], s.Slots) {
			continue // played in another way than the catalogue's: nobody knows where they stood
		}
		kids := make([]string, len(s.Slots))
		for i, x := range s.Slots {
			kids[i] = x.Kid
		}
		d := t.draw(fmt.Sprintf("field%d", len(out)+1), t.Catalogue.Formations[at], kids)
		d.Words = "series " + strings.Join(series[name], ", ")
		if len(series[name]) > 1 {
			d.Words += fmt.Sprintf("; drawn with the kids of series %d", s.Number)
		}
		out = append(out, d)
	}
	return out
}

func inOrder(f drills.Formation, slots []report.Placed) bool {
	if len(slots) > len(f.Spots) || len(slots) == 0 {
		return false
	}
	for i, x := range slots {
		if f.Spots[i].Role != x.Role {
			return false
		}
	}
	return true
}
