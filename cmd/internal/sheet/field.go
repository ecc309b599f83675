package sheet

import (
	"fmt"
	"math"
	"strings"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
)

// Diagrams are drawn in tenths of a yard: the line of scrimmage is y = 0, the middle of the field x = 0, and the picture is seen as the
// defense sees it, the other team above.
const yard = 10.0

// Sizes in a diagram at full scale, tenths of a yard. A kid's label hangs below its spot.
const (
	spotRadius = 7.5 // a front player's does not touch the line
	numberSize = 17.0
	nameSize   = 11.0
	labelRoom  = spotRadius + numberSize + nameSize // from a spot's middle to the end of its label
	letterWide = 0.62                               // of its size, on average, in a wide type
	numberWide = 0.7                                // the same, bold
	wideLabel  = 38.0
)

// diagram is one formation to scale, with the kids of one series on it.
type diagram struct {
	ID                string
	Name, Words       string
	Desc              string
	Note              string
	X, Y, Wide, High  float64
	Left, Right, Edge float64 // sidelines, and how deep they are drawn
	Yards             []yardLine
	Spots             []spot
}

func (d *diagram) Box() string { return fmt.Sprintf("%.4g %.4g %.4g %.4g", d.X, d.Y, d.Wide, d.High) }

// yardLine is a line along the field, so many yards off the line of scrimmage.
type yardLine struct {
	Y     float64
	Label string
	At    float64 // where the label stands
	Rush  bool    // the least distance of a rusher
}

// spot is a kid at a place; sizes in the diagram's units.
type spot struct {
	X, Y, R      float64
	Role         role
	Kid          who
	Shown        string
	Number, Size float64 // the number's line and its size
	Line, Name   float64 // the name's, 0: none
	Letter, Drop float64 // size of the role's letter, and how far its line is below the middle
}

// draw draws the first spots of a formation, one for each kid.
func (t Team) draw(id string, form drills.Formation, kids []string) *diagram {
	d := &diagram{ID: id, Name: form.Name}
	spots := form.Spots[:min(len(form.Spots), len(kids))]
	width, _ := t.Catalogue.Rule("field-width")
	half, deep := max(width.Value, 20)/2, 8.0
	rushers := false
	for _, s := range form.Spots {
		half, deep = max(half, math.Abs(s.Across)), max(deep, s.Deep)
		rushers = rushers || s.Role == "rusher"
	}
	margin := 1.4
	d.Left, d.Right, d.Edge = -half*yard, half*yard, (deep+4.2)*yard
	d.X, d.Wide, d.Y = -(half+margin)*yard, 2*(half+margin)*yard, -1.8*yard
	d.High = d.Edge - d.Y
	for y := 5.0; y < deep+3; y += 5 {
		d.Yards = append(d.Yards, yardLine{Y: y * yard, Label: fixed(y, 0), At: d.X + 2})
	}
	if least, known := t.Catalogue.Rule("rusher-distance"); known && rushers {
		d.Yards = append(d.Yards, yardLine{Y: least.Value * yard, Label: fixed(least.Value, 1), At: d.Right + 2, Rush: true})
		d.Yards[len(d.Yards)-1].Label = strings.TrimSuffix(d.Yards[len(d.Yards)-1].Label, ".0")
		for _, s := range spots {
			if s.Role == "rusher" && s.Deep < least.Value {
				d.Note = fmt.Sprintf("A rusher %s yd off the line: rule books say %s yd. The league's own book decides.", trim(s.Deep), trim(least.Value))
			}
		}
	}
	scale := room(spots)
	var words []string
	for i, s := range spots {
		sp := t.place(s, kids[i], scale)
		sp.label(scale, free(spots, i, scale, d.Wide))
		d.Spots = append(d.Spots, sp)
		words = append(words, fmt.Sprintf("%s %s: %s yd off the line, %s", s.Role, sp.Kid.text(), trim(s.Deep), sideways(s.Across)))
	}
	d.Desc = strings.Join(words, "; ") + "."
	return d
}

func (t Team) place(s drills.Spot, kid string, scale float64) spot {
	r := spotRadius * scale
	return spot{X: s.Across * yard, Y: s.Deep * yard, R: r, Role: t.role(s.Role), Kid: t.who(kid), Letter: 1.35 * r, Drop: 0.48 * r}
}

// label sets number and name below the spot, as large as the free width allows.
func (s *spot) label(scale, wide float64) {
	s.Size = min(numberSize*scale, wide/(numberWide*float64(max(1, texttab.Width(s.Kid.ID)))))
	s.Shown = s.Kid.ID
	if least := 0.55 * numberSize * scale; s.Size < least { // a long id: cut, and whole in the description and in the lists
		s.Size = least
		s.Shown = screen.Clip(s.Kid.ID, max(2, int(wide/(numberWide*least))))
	}
	s.Number = s.Y + s.R + 0.86*s.Size
	if cells := int(wide / (letterWide * nameSize * scale)); s.Kid.Name != "" && cells >= 3 {
		s.Kid.Short = short(s.Kid.Name, min(cells, 12))
		s.Name = nameSize * scale
		s.Line = s.Number + 1.02*s.Name
	}
}

// room is the scale, 1 at most, at which no spot lies on another one's label.
func room(spots []drills.Spot) float64 {
	scale := 1.0
	for i, a := range spots {
		for _, b := range spots[:i] {
			across, deep := math.Abs(a.Across-b.Across)*yard, math.Abs(a.Deep-b.Deep)*yard
			scale = min(scale, max(across/wideLabel, deep/(labelRoom+spotRadius)))
		}
	}
	return max(scale, 0.25)
}

// free is the width for a label, between the neighbours at about the same depth and inside the picture.
func free(spots []drills.Spot, i int, scale, wide float64) float64 {
	w := wide - 2*math.Abs(spots[i].Across)*yard - 4
	for j, b := range spots {
		if j != i && math.Abs(spots[i].Deep-b.Deep)*yard < (labelRoom+spotRadius)*scale {
			w = min(w, math.Abs(spots[i].Across-b.Across)*yard)
		}
	}
	return max(w, wideLabel*scale/2)
}

func sideways(across float64) string {
	switch {
	case across < 0:
		return trim(-across) + " yd left of the middle"
	case across > 0:
		return trim(across) + " yd right of the middle"
	}
	return "in the middle"
}

// trim writes a distance without needless digits.
func trim(x float64) string { return strings.TrimSuffix(fixed(x, 1), ".0") }
