package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills/prose"
)

// Drawing says how the teams came to their coaches, of the record of a draw.
type Drawing struct {
	Words string            // as typed in front of everybody
	Coach map[string]string // by team
}

// What fits on a printed page of the draft: teams beside each other, and lines of kids and of rules.
const (
	teamsAcross = 4
	linesAPage  = 46
	rulesAPage  = 44
	ruleCells   = 96 // of a printed line
)

type draftPage struct {
	League, Division, Lead string
	Seed                   uint64
	Words                  string
	Teams                  [][]teamCard
	Measures               *plot
	Snake                  bool
	SnakeWords             string
	Even                   string
	Rules                  [][]string
	Carpools               string
	Cautions               []string
}

type teamCard struct {
	Name, Nights, Coach string
	Kids                []who
	Overall             string
	Short               string // what a team's row says beside
}

// Draft is the page for the draft's room: the teams side by side, how even they are, and the rules they keep. Rules are in words, as
// far as they are everybody's business; title is a measure in plain words.
func Draft(d *report.Draft, rules []string, draw *Drawing, t Team) (*Page, error) {
	g := &draftPage{
		League: t.title(), Division: t.Division, Seed: d.Seed, Cautions: t.Cautions,
		Lead: fmt.Sprintf("%d teams, %d kids", len(d.Teams), kidsOf(d)), Snake: d.Snake != nil,
	}
	if draw != nil {
		g.Words = draw.Words
	}
	g.teams(d, draw, t)
	g.spread(d, t)
	g.Rules = lineChunks(rules)
	if n := len(d.Carpools); n > 0 {
		kept := 0
		for _, c := range d.Carpools {
			if c.Granted {
				kept++
			}
		}
		g.Carpools = fmt.Sprintf("Carpools wished for: %d, of which %d are on one team.", n, kept)
	}
	html, err := render("draft.html", t.title()+": draft page", "", g)
	return &Page{html, len(g.Teams) + 1 + max(0, len(g.Rules)-1)}, err
}

func kidsOf(d *report.Draft) int {
	n := 0
	for _, t := range d.Teams {
		n += len(t.Kids)
	}
	return n
}

func (g *draftPage) teams(d *report.Draft, draw *Drawing, t Team) {
	var page []teamCard
	lines, row := 0, 0
	for i, x := range d.Teams {
		c := teamCard{Name: x.Team, Nights: strings.Join(x.Nights, ", "), Overall: fixed(x.Means["overall"], 1)}
		if draw != nil {
			c.Coach = draw.Coach[x.Team]
		}
		for _, id := range x.Kids {
			w := t.who(id)
			w.Name = screen.Clip(w.Name, 24)
			c.Kids = append(c.Kids, w)
		}
		// A row of cards is as high as its longest; a long name takes two lines.
		if i%teamsAcross == 0 {
			row = 0
			for _, y := range d.Teams[i:min(i+teamsAcross, len(d.Teams))] {
				high := 4
				for _, id := range y.Kids {
					high += 1 + (texttab.Width(screen.Clip(t.Names[id], 24))+texttab.Width(id))/19
				}
				row = max(row, high)
			}
			if lines+row > linesAPage && len(page) > 0 {
				g.Teams, page, lines = append(g.Teams, page), nil, 0
			}
			lines += row
		}
		page = append(page, c)
	}
	g.Teams = append(g.Teams, page)
}

// spread is a row for each measure: the range of the teams' means, and the snake draft's beside it.
func (g *draftPage) spread(d *report.Draft, t Team) {
	most := 0.5
	for _, m := range d.Measures {
		most = math.Max(most, d.Spread[m])
		if d.Snake != nil {
			most = math.Max(most, d.Snake.Spread[m])
		}
	}
	ax := axis{scale: scale{0, math.Ceil(most)}, Line: math.NaN()}
	step := math.Max(1, math.Ceil(ax.High/8))
	var at []float64
	for x := 0.0; x < ax.High; x += step {
		at = append(at, x)
	}
	ax.Marks = ax.marks(append(at, ax.High)...)
	if n := len(ax.Marks); n > 2 && ax.High-at[len(at)-1] < step {
		ax.Marks = slices.Delete(ax.Marks, n-2, n-1)
	}
	g.Measures = newPlot("spread", ax)
	lower := 0
	for _, m := range d.Measures {
		x := dot{Label: t.traitTitle(m), Value: d.Spread[m], Shown: fixed(d.Spread[m], 1)}
		if d.Snake != nil {
			s := d.Snake.Spread[m]
			x.Other, x.Words = &s, "snake "+fixed(s, 1)
			if d.Spread[m] < s {
				lower++
			}
		}
		g.Measures.add(x)
	}
	if d.Snake != nil {
		g.SnakeWords = fmt.Sprintf("The spread is smaller than the snake draft's in %d of %d measures.", lower, len(d.Measures))
		if d.Snake.Mended > 0 {
			g.SnakeWords += fmt.Sprintf(" To keep the rules, %s had to be moved after the snake.", prose.Count(d.Snake.Mended, "kid"))
		}
	}
	even := 0
	for _, m := range d.Measures {
		if d.Error[m].Even {
			even++
		}
	}
	g.Even = fmt.Sprintf("In %d of %d measures the teams differ by less than measurement error alone would make truly equal teams differ.", even, len(d.Measures))
}

// lineChunks shares texts out to pages by the lines they take.
func lineChunks(texts []string) [][]string {
	var out [][]string
	var page []string
	lines := 26 // of the first page, above the rules
	for _, x := range texts {
		need := 1 + texttab.Width(x)/ruleCells
		if lines+need > rulesAPage+8 && len(page) > 0 {
			out, page, lines = append(out, page), nil, 0
		}
		page, lines = append(page, x), lines+need
	}
	return append(out, page)
}
