package sheet

import (
	"fmt"
	"math"
	"slices"

	"sevenyard/cmd/internal/report"
)

// Rows of the team page's tables on a printed page.
const (
	fitsAPage = 25
	planAPage = 22
	dotsAPage = 20

	wholeHeads = 30 // most series whose numbers stand on one line above the plan
)

type teamPage struct {
	Team, Division, Lead string
	Roles                []role
	Fits                 [][]fitRow
	Steps                []step
	Numbers              []int
	Plans                [][]planRow
	Owed                 bool // a record tells what is owed
	Strength             []*plot
	Together             bool // plan and strength share a page
	Weakest              report.Weakest
	Total                report.Bounded
	WeakestWords, All    string
	TotalWords           string
	Loosened, Cautions   []string
	Broken               []string // rules that a saved plan does not keep
	Marks                string
}

type fitRow struct {
	who
	Fits []fit
}

// fit is a cell of the heat map: a number, and its step as a colour and as a sign.
type fit struct {
	Shown, Mark string
	step
	Never bool
}

// step is one of five steps of the heat map.
type step struct{ Class, Sign, Words string }

// steps are half a standard deviation wide around the middle; the outer ones are open.
var steps = []struct {
	from float64
	step
}{
	{57.5, step{"h1", "++", "57.5 and more"}},
	{52.5, step{"h2", "+", "52.5 to 57.5"}},
	{47.5, step{"h3", "·", "47.5 to 52.5"}},
	{42.5, step{"h4", "\u2212", "42.5 to 47.5"}},
	{math.Inf(-1), step{"h5", "\u2212\u2212", "below 42.5"}},
}

func stepOf(x float64) step {
	for _, s := range steps {
		if x >= s.from {
			return s.step
		}
	}
	return steps[2].step // no number
}

type planRow struct {
	who
	Cells  []planCell
	Series int
	Share  float64
	Owed   string
}

// planCell is a kid in a series: a role's letter, a dot for the bench, a dash where the kid is not there.
type planCell struct {
	Letter, Tone, Words string
}

// TeamSheet is the team on a screen or the wall: fits as a heat map, the plan, and how strong each series is.
func TeamSheet(p *report.Profile, l *report.Lineup, roles []string, t Team) (*Page, error) {
	g := &teamPage{
		Team: t.title(), Division: t.Division, Lead: fmt.Sprintf("%d kids, %d series", len(p.Kids), len(l.Series)), Roles: t.roles(roles),
		Weakest: l.Weakest, Total: l.Total, Loosened: l.Loosened, Broken: l.Broken, Cautions: t.Cautions,
	}
	for _, s := range steps {
		g.Steps = append(g.Steps, s.step)
	}
	g.fits(p, t)
	g.plan(l, t)
	g.strength(l)
	rows := 0
	for _, p := range g.Plans {
		rows += len(p)
	}
	g.Together = rows+len(l.Series) <= planAPage+10 && len(g.Plans) == 1
	sides := len(g.Fits) + len(g.Plans)
	if !g.Together {
		sides += len(g.Strength)
	}
	html, err := render("team.html", t.title()+": team page", g.style(), g)
	return &Page{html, sides}, err
}

func (g *teamPage) fits(p *report.Profile, t Team) {
	var rows []fitRow
	own, untested := false, false
	for _, k := range p.Kids {
		row := fitRow{who: t.who(k.Kid)}
		for _, r := range g.Roles {
			f, ok := k.Fits[r.Name]
			c := fit{Shown: withError(f.Fit, f.SE), step: stepOf(f.Fit), Never: slices.Contains(t.Never[k.Kid], r.Name)}
			switch {
			case !ok:
				c = fit{Shown: "–"}
			case f.Own:
				c.Mark, own = "*", true
			case !f.Tested:
				c.Mark, untested = "?", true
			}
			row.Fits = append(row.Fits, c)
		}
		rows = append(rows, row)
	}
	g.Fits = chunks(rows, fitsAPage)
	if own {
		g.Marks += " * the coach's own number."
	}
	if untested {
		g.Marks += " ? not tested: 50 is no result, only the middle."
	}
}

func (g *teamPage) plan(l *report.Lineup, t Team) {
	for _, s := range l.Series {
		g.Numbers = append(g.Numbers, s.Number)
	}
	var rows []planRow
	for _, k := range l.Kids {
		row := planRow{who: t.who(k.Kid), Series: k.Series, Share: k.Share, Owed: "–"}
		if k.Owed != nil {
			row.Owed, g.Owed = fixed(*k.Owed, 1), true
		}
		for _, s := range l.Series {
			row.Cells = append(row.Cells, t.cell(k.Kid, s))
		}
		rows = append(rows, row)
	}
	g.Plans = chunks(rows, planAPage)
}

func (t Team) cell(kid string, s report.LineupSeries) planCell {
	for _, x := range s.Slots {
		if x.Kid == kid {
			r := t.role(x.Role)
			return planCell{r.Letter, r.Tone, r.Name}
		}
	}
	if slices.Contains(s.Bench, kid) {
		return planCell{"·", "bench", "bench"}
	}
	return planCell{"–", "away", "not there"}
}

// strength is a dot for each series. No plan lifts the weakest one above the line.
func (g *teamPage) strength(l *report.Lineup) {
	low, high := math.Min(l.Weakest.Bound, 50), math.Max(l.Weakest.Bound, 50)
	for _, s := range l.Series {
		low, high = math.Min(low, s.Strength), math.Max(high, s.Strength)
	}
	ax := axis{scale: scale{math.Floor(low) - 1, math.Ceil(high) + 1}, Line: l.Weakest.Bound}
	every := math.Max(1, math.Ceil((ax.High-ax.Low)/8))
	var at []float64
	for x := ax.Low; x <= ax.High; x += every {
		at = append(at, x)
	}
	ax.Marks = ax.marks(at...)
	if ax.Marks[len(ax.Marks)-1].At != "100.00%" {
		ax.Marks[len(ax.Marks)-1].End = ""
	}
	for i, part := range chunks(l.Series, dotsAPage) {
		p := newPlot(fmt.Sprintf("strength%d", i+1), ax)
		for _, s := range part {
			d := dot{Label: fmt.Sprintf("Series %d", s.Number), Value: s.Strength, Shown: fixed(s.Strength, 1), Words: s.Formation}
			if s.Number == l.Weakest.Series {
				d.Words += ", the weakest"
			}
			p.add(d)
		}
		g.Strength = append(g.Strength, p)
	}
	g.bounds(l)
}

// bounds says what is proven, and under what: a rebuilt plan is the best among those rebuilt in the same way, and what has been played is
// out of the question.
func (g *teamPage) bounds(l *report.Lineup) {
	weakest, all, under, keeping := "the weakest series", "All series together", "under these rules", "that keeps the weakest series"
	if l.Played > 0 {
		weakest, all = "the weakest series still to play", "The series still to play together"
	}
	if l.Schema == report.RebuildSchema {
		under, keeping = "rebuilt from the earlier one in this way", "rebuilt in this way that keeps the weakest series"
	}
	switch l.Favor {
	case "total":
		under, keeping = under+" and with this total", under
	case "even":
		keeping = "with series as even as these"
	}
	g.All = all
	g.WeakestWords = "The line: " + boundWords(l.Weakest.Bounded, "no plan "+under+" lifts "+weakest+" above %s (proven).", "no plan "+under+" lifts "+weakest+" above %s; that this plan is the best one is not proven.")
	g.TotalWords = boundWords(l.Total, "no plan "+keeping+" has more than %s (proven)", "no plan "+keeping+" can have more than %s; that this one is the best is not proven")
}

func boundWords(b report.Bounded, proven, open string) string {
	if b.Proven {
		return fmt.Sprintf(proven, fixed(b.Bound, 1))
	}
	return fmt.Sprintf(open, fixed(b.Bound, 1))
}

// mostAcross is how many series of a kid stand beside each other on a phone.
const mostAcross = 9

// style gives the plan's columns their width in print, and shares a kid's series out evenly to the lines that a phone needs for them.
func (g *teamPage) style() string {
	n, whole := float64(len(g.Numbers)+3), ""
	if len(g.Numbers) <= wholeHeads {
		whole = ".turns thead th { white-space: nowrap }\n"
	}
	lines := max(1, (len(g.Numbers)+mostAcross-1)/mostAcross)
	across := (len(g.Numbers) + lines - 1) / lines
	phone := fmt.Sprintf("@media screen and (max-width: 46rem) {\n.turns tr { grid-template-columns: repeat(%d, minmax(0, 2.6rem)) }\n}\n", max(4, across))
	return phone + fmt.Sprintf("@media print {\n.turns td, .turns thead th { font-size: %.1fpt }\n%s}\n", math.Max(5, math.Min(10, 135*pointsPerMM/n/2.1)), whole)
}
