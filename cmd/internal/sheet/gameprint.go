package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sevenyard/cmd/internal/texttab"
)

// Sizes of the printed game sheet. Numbers have at least 14 points, to be read at arm's length; heights are those of a wide type.
const (
	pageHigh          = 256.0 // mm, inside the margins of the smaller of Letter and A4
	pageWide          = 190.0
	pointsPerMM       = 72 / 25.4
	leastPt, mostPt   = 14.0, 26.0
	nameLeastPt       = 6.5
	longPt            = 7.0        // of ids that are words
	numberPt, smallPt = 15.0, 7.0  // of a series, and of what stands beside or below it
	besideCells       = 5          // of a formation's name beside the series
	seriesMM, listsMM = 22.0, 31.5 // of the columns: series; next and rest, each
	headMM            = 14.0       // above the grid, without the team's name
	footMM            = 17.0
	captionMM         = 15.0 // of a row of formations: title and words
	kidMM             = 5.3  // a line of the list of kids, which has three columns
	formsARow         = 3
	formRows          = 3 // on a page of formations
	mostRows          = 24
	bold              = 0.7 // width of a figure in ems, and of a space between two ids
	gap               = 0.55
)

// layOut shares series, formations and kids out to pages: all on one if that leaves every series the height it needs.
func (g *gamePage) layOut(rows []gameRow, pictures []*diagram) {
	g.list = g.listPt(rows)
	high := g.gridMM()
	one := high - g.squadMM() - footMM - rowOf(pictures)
	need, sum := 0.0, leastPt/pointsPerMM+3
	for _, r := range rows {
		n := g.needMM(r)
		need, sum = max(need, n), sum+n
	}
	g.Whole = len(pictures) <= formsARow && sum <= one
	g.Grids, g.Diagrams, g.Sides = [][]gameRow{rows}, [][]*diagram{pictures}, 1
	row := one / float64(len(rows)+1)
	if !g.Whole {
		g.Grids = chunks(rows, max(1, min(mostRows, int(high/need)-1)))
		row = high / float64(len(g.Grids[len(g.Grids)-1])+1)
		g.Diagrams = chunks(pictures, formsARow*formRows)
		// The kids' list follows the last formations where there is room for it.
		if n := len(g.Diagrams); n == 0 || rowOf(g.Diagrams[n-1]) > pageHigh-footMM-g.squadMM() {
			g.Diagrams = append(g.Diagrams, nil)
		}
		g.Sides = len(g.Grids) + len(g.Diagrams)
	}
	g.sizes(row)
	g.shorten()
}

// rowOf is the height of formations, in rows of three; one or two are drawn larger.
func rowOf(pictures []*diagram) float64 {
	wide, high := 60.0, 0.0
	if len(pictures) < formsARow {
		wide = 76
	}
	for i := 0; i < len(pictures); i += formsARow {
		most := 0.0
		for _, d := range pictures[i:min(i+formsARow, len(pictures))] {
			most = max(most, wide*d.High/d.Wide)
		}
		high += most + captionMM
	}
	return high
}

// boxMM is the printed width of one kid in the grid.
func (g *gamePage) boxMM() float64 {
	boxes := 0
	for _, r := range g.Roles {
		boxes += r.Most
	}
	return (pageWide - seriesMM - 2*listsMM) / float64(max(1, boxes))
}

// gridMM is the height for the grid on a page that has nothing else.
func (g *gamePage) gridMM() float64 {
	high := pageHigh - headMM - 8*float64(lines(g.Team, 46))
	for _, x := range slices.Concat(g.Loosened, g.Broken) {
		high -= 4.5 * float64(lines(x, 95))
	}
	for _, x := range g.Heat {
		high -= 4.5 * float64(lines("Heat: "+x, 95))
	}
	return high
}

// squadMM is the height of the list of kids.
func (g *gamePage) squadMM() float64 {
	high, most := 8.0, 0
	for i, k := range g.Kids {
		if i%3 == 0 {
			high, most = high+kidMM*float64(most), 0
		}
		most = max(most, lines(fmt.Sprintf("## %s %s plays %d, %s", k.ID, k.Name, k.Plays, k.When), 29))
	}
	high += kidMM * float64(most)
	if len(g.Others) > 0 {
		text := "Not in this plan: "
		for _, w := range g.Others {
			text += w.text() + ", "
		}
		high += 4.5 * float64(lines(text, 100))
	}
	return high
}

// lines is how many lines of so many cells a text may take; words are not torn apart.
func lines(text string, cells int) int {
	n, used := 1, 0
	for _, word := range strings.Fields(text) {
		w := texttab.Width(word)
		if used > 0 && used+1+w > cells {
			n, used = n+1, 0
		}
		if used > 0 {
			used++
		}
		for used += w; used > cells; used -= cells {
			n++
		}
	}
	return n
}

// needMM is the least height of a series.
func (g *gamePage) needMM(r gameRow) float64 {
	need := (1.04*leastPt + 1.04*nameLeastPt + 1.5) / pointsPerMM
	number := numberPt * 1.05
	if r.Beneath {
		number += 1.1 * smallPt
	}
	if r.Water > 0 {
		number += 1.3 * smallPt
	}
	need = max(need, (number+1.5)/pointsPerMM)
	wide := max(1, int(g.boxMM()*pointsPerMM/(bold*longPt))-1)
	for _, cell := range r.Cells {
		for _, k := range cell {
			if long(k.ID) {
				need = max(need, (longPt*float64(1+lines(k.ID, wide))+1.1*nameLeastPt+3)/pointsPerMM)
			}
		}
	}
	for _, ids := range [][]string{r.Next, r.Rests} {
		need = max(need, (1.25*g.list*float64(g.listLines(ids))+1.5)/pointsPerMM)
	}
	return need
}

// listLines is how many lines a list of ids takes at the end of a row.
func (g *gamePage) listLines(ids []string) int {
	n, used, room := 1, 0.0, listRoom/g.list
	for _, id := range ids {
		wide := bold * float64(texttab.Width(id))
		if used > 0 && used+gap+wide > room {
			n, used = n+1, 0
		}
		if used > 0 {
			used += gap
		}
		for used += wide; used > room; used -= room {
			n++
		}
	}
	return n
}

// listRoom is the width of a list in points.
const listRoom = (listsMM - 2.2) * pointsPerMM

// listPt is the size of the lists at the end of a row: one line if that leaves them readable.
func (g *gamePage) listPt(rows []gameRow) float64 {
	widest, most := 1.0, 0 // in ems
	for _, r := range rows {
		for _, ids := range [][]string{r.Next, r.Rests} {
			if most = max(most, len(ids)); !r.Last { // the last one's are all but those on the field
				widest = max(widest, bold*float64(texttab.Width(strings.Join(ids, "")))+gap*float64(len(ids)-1))
			}
		}
	}
	least := 10.5
	if most > 12 {
		least = 8
	}
	return max(least, min(14, 0.995*listRoom/widest))
}

// sizes are those of a number and a name, as large as a row of that height allows. Long ids have a size of their own, in style.css.
func (g *gamePage) sizes(row float64) {
	longest := 1
	for _, k := range g.Kids {
		if !long(k.ID) {
			longest = max(longest, texttab.Width(k.ID))
		}
	}
	wide := (g.boxMM() - 2.4) * pointsPerMM / (bold * float64(longest))
	g.number = max(leastPt, min(mostPt, 0.5*row*pointsPerMM, wide))
	sevenCells := (g.boxMM() - 1.6) * pointsPerMM / (7 * nameWide)
	g.name = max(nameLeastPt, min(10, 0.45*g.number, sevenCells))
}

// nameWide is the width of a name's letter in ems, with some to spare.
const nameWide = 0.64

// shorten cuts names to what fits beside each other.
func (g *gamePage) shorten() {
	cells := max(3, min(14, int((g.boxMM()-1.6)*pointsPerMM/(nameWide*g.name))))
	for _, rows := range g.Grids {
		for _, r := range rows {
			for j, cell := range r.Cells {
				// Inside the column's padding, and the gaps between its kids: style.css.
				room := (g.boxMM() - 2/float64(g.Roles[j].Most) - 0.9) * pointsPerMM / g.name
				for i := range cell {
					n := cells
					for cell[i].Short = short(cell[i].Name, n); n > 2 && ems(cell[i].Short) > room; n-- {
						cell[i].Short = short(cell[i].Name, n-1)
					}
				}
			}
		}
	}
}

// ems is the width of a name in a wide type, by classes of letters: a count of letters alone is short for "Mammow".
func ems(text string) float64 {
	wide := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("MWmw@%…", r):
			wide += 1
		case strings.ContainsRune("fijlrtI.,:;'|!()- ", r):
			wide += 0.42
		case unicode.IsUpper(r) || strings.ContainsRune("<>+=", r):
			wide += 0.8
		default:
			wide += nameWide * float64(texttab.Width(string(r)))
		}
	}
	return wide
}

// style is the part of the style that depends on the game.
func (g *gamePage) style() string {
	var b strings.Builder
	b.WriteString("@media print, (min-width: 46.01rem) {\n")
	for i, r := range g.Roles {
		fmt.Fprintf(&b, ".plan .c%d .kid { flex: 0 1 calc(%.2f%% - .25rem) }\n", i, 100/float64(r.Most))
	}
	b.WriteString("}\n@media print {\n")
	fmt.Fprintf(&b, ".plan .kid b:not(.long) { font-size: %.1fpt }\n.plan .kid i { font-size: %.1fpt }\n", g.number, g.name)
	fmt.Fprintf(&b, ".plan .list { font-size: %.1fpt }\n", g.list)
	fmt.Fprintf(&b, ".plan col.s { width: %.1fmm }\n.plan col.l { width: %.1fmm }\n", seriesMM, listsMM)
	if g.boxMM() < 20 { // room for the word of a role with one kid
		b.WriteString(".plan thead th { font-size: 7pt; padding-right: 0 }\n")
	}
	for i, r := range g.Roles {
		fmt.Fprintf(&b, ".plan col.c%d { width: %.1fmm }\n", i, g.boxMM()*float64(r.Most))
	}
	b.WriteString("}\n")
	return b.String()
}
