package draftday

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// draftScreen lays a split out for people.
type draftScreen struct {
	tty.View
	d      *report.Draft
	pl     *draftplan.Plan
	who    tty.People
	split  draft.Split
	detail bool
	coach  map[string]string // by team, after the draw
	from   string            // the pool's folder, as it is typed
}

// NewDraftScreen lays a split of a pool out as text.
func NewDraftScreen(p *Pool, d *report.Draft, split draft.Split) *draftScreen {
	return &draftScreen{View: p.View, d: d, pl: p.Pl, who: p.callNames(), split: split, from: p.src.Name}
}

func (s *draftScreen) Text() string {
	out := s.head() + "\n" + s.teams() + s.moved() + "\n" + s.evenness() + "\n" + s.table() + s.madeOf() + "\n" + s.rules()
	out += s.carpools() + s.played() + "\n" + s.cautions()
	return out
}

func (s *draftScreen) head() string {
	name := screen.Clean(s.d.League)
	if name == "" {
		name = "Your league"
	}
	least, most, kids := math.MaxInt, 0, 0
	for _, t := range s.d.Teams {
		least, most, kids = min(least, len(t.Kids)), max(most, len(t.Kids)), kids+len(t.Kids)
	}
	size := strconv.Itoa(most)
	if least < most {
		size = fmt.Sprintf("%d or %d", least, most)
	}
	return s.Fold(s.Strong(fmt.Sprintf("%s, %s: %s, %s of %s", name, s.pl.Pool.League.Common.Division.Words(),
		prose.Count(kids, "kid"), prose.Count(len(s.d.Teams), "team"), size)), "")
}

// teams is the list of who is where.
func (s *draftScreen) teams() string {
	out := ""
	for i, t := range s.d.Teams {
		if i > 0 {
			out += "\n"
		}
		line := s.Strong(screen.Clean(t.Team))
		if c := s.coach[t.Team]; c != "" {
			line += ", " + screen.Clean(c)
		}
		if len(t.Nights) > 0 {
			var days []string
			for _, n := range t.Nights {
				days = append(days, drills.NightName(n))
			}
			line += ": practice on " + prose.And(days)
		}
		out += s.Fold(line, "  ")
		var kids []string
		for _, id := range t.Kids {
			kids = append(kids, s.who.Column(id))
		}
		out += s.columns(kids)
	}
	return out
}

// columns sets texts side by side in columns of one width, row by row.
func (s *draftScreen) columns(parts []string) string {
	wide := 0
	for _, p := range parts {
		wide = max(wide, texttab.Width(p))
	}
	per := max(1, (s.Width-texttab.Gap)/(wide+texttab.Gap))
	out := ""
	for i := 0; i < len(parts); i += per {
		line := ""
		for _, p := range parts[i:min(i+per, len(parts))] {
			line += "  " + screen.Pad(p, wide, false)
		}
		out += strings.TrimRight(line, " ") + "\n"
	}
	return out
}

// moved says who is on another team than before.
func (s *draftScreen) moved() string {
	if len(s.d.Moved) == 0 {
		return ""
	}
	return "\n" + movedWords(s.View, s.who, s.d.Moved)
}

// movedWords says how many kids changed teams, who came, who left, and who they are.
func movedWords(v tty.View, who tty.People, moved []report.Moved) string {
	var changed, came, left []string
	for _, m := range moved {
		switch {
		case m.From == "":
			came = append(came, fmt.Sprintf("%s to %s", who.Inline(m.Kid), m.To))
		case m.To == "":
			left = append(left, fmt.Sprintf("%s from %s", who.Inline(m.Kid), m.From))
		default:
			changed = append(changed, fmt.Sprintf("%s from %s to %s", who.Inline(m.Kid), m.From, m.To))
		}
	}
	out := ""
	if len(came) > 0 {
		out += v.Fold(tty.Sentence(fmt.Sprintf("%s came: %s", prose.Count(len(came), "kid"), strings.Join(came, "; "))), "  ")
	}
	if len(left) > 0 {
		out += v.Fold(tty.Sentence(fmt.Sprintf("%s left: %s", prose.Count(len(left), "kid"), strings.Join(left, "; "))), "  ")
	}
	if len(changed) == 0 {
		return out + v.Fold("Nobody who had a team changes it.", "  ")
	}
	return out + v.Fold(tty.Sentence(fmt.Sprintf("%s changed teams: %s", prose.Count(len(changed), "kid"), strings.Join(changed, "; "))), "  ")
}

// evenness is the spread by measure beside what other ways give, with bars, and what to think of it.
func (s *draftScreen) evenness() string {
	t := &texttab.Table{Head: []string{"apart", "teams", ""}, Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Left}}
	column := func(head string, align texttab.Align) {
		t.Head, t.Align = append(t.Head, head), append(t.Align, align)
	}
	snake, random := s.d.Snake, s.d.Random
	if snake != nil {
		column("snake", texttab.Right)
		column("", texttab.Left)
	}
	if random != nil {
		column("random", texttab.Right)
	}
	column("error", texttab.Right)
	most := 0.0
	for _, m := range s.d.Measures {
		most = max(most, s.d.Spread[m])
		if snake != nil {
			most = max(most, snake.Spread[m])
		}
	}
	for _, m := range s.d.Measures {
		row := []string{m, tty.Point(s.d.Spread[m]), bar(s.d.Spread[m], most)}
		if snake != nil {
			row = append(row, tty.Point(snake.Spread[m]), bar(snake.Spread[m], most))
		}
		if random != nil {
			row = append(row, tty.Point(random.Spread[m]))
		}
		t.Rows = append(t.Rows, append(row, tty.Point(s.d.Error[m].Range)))
	}
	if t.TotalWidth() > s.Width { // in a block of its own a bar would stand beside another number
		t = withoutBars(t)
	}
	out := s.Fold(s.Strong("How even the teams are"), "") + s.Blocks(t, 1)
	words := "Apart: the highest team mean less the lowest, in points; 10 points are one standard deviation of the kids. "
	if snake != nil {
		words += "Snake: the best kid left is picked in turn, by the same rules. "
	}
	out += s.Fold(words+"Error: how far apart measurement error alone would let teams look that are truly equal.", "")
	return out + s.verdict()
}

// withoutBars is a table without the columns that have no head.
func withoutBars(t *texttab.Table) *texttab.Table {
	out := &texttab.Table{Rows: make([][]string, len(t.Rows))}
	for i, head := range t.Head {
		if head == "" {
			continue
		}
		out.Head, out.Align = append(out.Head, head), append(out.Align, t.Align[i])
		for n, row := range t.Rows {
			out.Rows[n] = append(out.Rows[n], row[i])
		}
	}
	return out
}

// bar draws a value as a small bar, the largest ten cells long.
func bar(x, most float64) string {
	const cells = 10
	if !(most > 0) {
		return ""
	}
	halves := int(math.Round(2 * cells * x / most))
	return strings.Repeat("█", halves/2) + strings.Repeat("▌", halves%2)
}

// errorWords compares how far apart the teams are with what the error of measurement alone does.
func (s *draftScreen) errorWords() string {
	var more, maybe []string
	for _, m := range s.d.Measures {
		switch e := s.d.Error[m]; {
		case e.Even:
		case s.d.Spread[m] > e.Range95:
			more = append(more, m)
		default:
			maybe = append(maybe, m)
		}
	}
	if len(more)+len(maybe) == 0 {
		return "In everything measured the teams differ by less than the error of measurement: they are even as far as anybody can tell."
	}
	var parts []string
	if len(more) > 0 {
		parts = append(parts, fmt.Sprintf("In %s the teams differ by more than the error of measurement explains: it alone does that in less than one case of twenty.", prose.And(more)))
	}
	if len(maybe) > 0 {
		parts = append(parts, fmt.Sprintf("In %s they differ by more than the error alone does on average, but by no more than it well may.", prose.And(maybe)))
	}
	if len(more)+len(maybe) < len(s.d.Measures) {
		parts = append(parts, "In all else they are even as far as anybody can tell.")
	}
	return strings.Join(parts, " ")
}

// verdict says what the numbers mean, no more than they do.
func (s *draftScreen) verdict() string {
	out := s.errorWords()
	switch {
	case s.d.Shortage > 0:
		out += fmt.Sprintf(" %s of the formation cannot be filled by teams from their own kids: see the table below.", prose.Count(s.d.Shortage, "spot"))
	case len(s.pl.Numbers.Roles) > 0:
		out += fmt.Sprintf(" Every team can fill %s from its own kids.", s.pl.Folder.Team.Formations[0].Name)
	}
	switch {
	case len(s.d.Broken) > 0:
		return s.Fold(out+fmt.Sprintf(" But they break %s, so nothing is proven of them.", prose.Count(len(s.d.Broken), "rule")), "")
	case s.d.Better != nil:
		return s.Fold(out+" "+betterWords(s.pl, s.d, s.from), "")
	case s.d.Proven:
		return s.Fold(out+" No split under these rules is more even (proven).", "")
	}
	return s.Fold(out+" That no split is more even is not proven.", "")
}

// table is a row a team.
func (s *draftScreen) table() string {
	t := &texttab.Table{Head: []string{"team", "kids"}, Align: []texttab.Align{texttab.Left}}
	grades := s.grades()
	for _, g := range grades {
		label := "grade " + g
		if g == "" {
			label = "no grade"
		}
		t.Head = append(t.Head, label)
	}
	t.Head = append(t.Head, "untested", "returning")
	if s.d.Shortage > 0 {
		t.Head = append(t.Head, "unfilled")
	}
	t.Head = append(t.Head, s.d.Measures...)
	for range len(t.Head) - 1 {
		t.Align = append(t.Align, texttab.Right)
	}
	for _, x := range s.d.Teams {
		row := []string{screen.Clip(screen.Clean(x.Team), tty.Longest), strconv.Itoa(len(x.Kids))}
		for _, g := range grades {
			row = append(row, strconv.Itoa(x.Grades[g]))
		}
		row = append(row, strconv.Itoa(x.Untested), strconv.Itoa(x.Returning))
		if s.d.Shortage > 0 {
			row = append(row, strconv.Itoa(x.Shortage))
		}
		for _, m := range s.d.Measures {
			row = append(row, tty.Point(x.Means[m]))
		}
		t.Rows = append(t.Rows, row)
	}
	return s.Blocks(t, 1)
}

// grades are those of the pool, as the teams count them, ascending; "" stands for not given.
func (s *draftScreen) grades() []string {
	var out []string
	for g := -1; g <= drills.MaxGrade; g++ {
		name := ""
		if g >= 0 {
			name = drills.Grades{Low: g, High: g}.String()
		}
		for _, t := range s.d.Teams {
			if t.Grades[name] > 0 {
				out = append(out, name)
				break
			}
		}
	}
	return out
}
