package team

import (
	"math"
	"strings"

	"sevenyard/assess"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// strokes are the signs of a dot plot: the middle of the pool, two standard errors, one, the score itself, and the middle where an error
// crosses it.
type strokes struct{ middle, far, near, dot, cross rune }

var (
	fineStrokes  = strokes{'│', '─', '━', '●', '┼'}
	plainStrokes = strokes{'|', '-', '=', 'o', '+'} // for a terminal that can do little
)

// The plot's axis, in points; what is off it stands at its end.
const plotLow, plotHigh = 20.0, 80.0

// plotted draws every kid's traits, a line each: the score, with its error to either side.
func (s *profileScreen) plotted() string {
	label := 0
	for _, t := range s.f.Team.Catalogue.Traits {
		label = max(label, texttab.Width(t.Name))
	}
	cells := min(61, s.Width-label-len("   49 ±10?")) | 1 // odd, so that 50 has a cell of its own
	if cells > s.Width-label-len("   49 ±10?") {
		cells -= 2
	}
	if cells < 13 { // a trait of one's own with a long name: the numbers alone say it better
		return s.traits()
	}
	pad := strings.Repeat(" ", label+3)
	axis := pad + screen.Pad("20", cells/2-1, false) + "50" + screen.Pad("80", cells-cells/2-1, true)
	out, untested := "", false
	for _, k := range s.p.Kids {
		out += s.Strong(s.who.Column(k.ID)) + "\n"
		for _, t := range k.Traits {
			strip := s.marks().strip(t, cells)
			if !t.Tested {
				strip, untested = s.marks().strip(assess.Score{T: math.NaN()}, cells), true
			}
			out += "  " + screen.Pad(t.Name, label, false) + " " + strip + " " + score(t) + "\n"
		}
		out += s.Faint(axis) + "\n"
	}
	m := s.marks()
	out += s.Fold(string(m.dot)+" the score, "+string(m.near)+" one standard error to either side, "+string(m.far)+" two, "+string(m.middle)+" the middle of the team ("+string(m.cross)+" where an error crosses it).", "")
	if untested {
		out += s.Fold(tty.UntestedWords, "")
	}
	return out
}

func (s *profileScreen) marks() strokes {
	if s.plain {
		return plainStrokes
	}
	return fineStrokes
}

// strip is a line of so many cells; a score that is no number leaves it empty but for the middle.
func (m strokes) strip(x assess.Score, cells int) string {
	line := []rune(strings.Repeat(" ", cells))
	at := func(v float64) int {
		part := (v - plotLow) / (plotHigh - plotLow)
		return int(math.Round(min(1, max(0, part)) * float64(cells-1)))
	}
	middle := at((plotLow + plotHigh) / 2)
	line[middle] = m.middle
	if math.IsNaN(x.T) {
		return string(line)
	}
	for i := at(x.T - 2*x.SE); i <= at(x.T+2*x.SE); i++ {
		line[i] = m.far
	}
	for i := at(x.T - x.SE); i <= at(x.T+x.SE); i++ {
		line[i] = m.near
	}
	if line[middle] != m.middle {
		line[middle] = m.cross
	}
	line[at(x.T)] = m.dot
	return string(line)
}
