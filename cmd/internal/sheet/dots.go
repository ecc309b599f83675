package sheet

import (
	"fmt"
	"math"
)

// scale is the axis of a dot plot, in T points.
type scale struct{ Low, High float64 }

// points is the axis of scores: three standard deviations to either side of the middle.
var points = scale{20, 80}

// at is a place on the axis, 0 to 1; what is off it stands at its end.
func (s scale) at(x float64) float64 {
	return math.Min(1, math.Max(0, (x-s.Low)/(s.High-s.Low)))
}

// axis is an axis with its marks, and the band and the line behind the dots.
type axis struct {
	scale
	Marks    []mark
	From, To float64 // the band; none: equal
	Line     float64 // NaN: none
	Words    string  // what the line is
}

// mark is a number below the axis.
type mark struct {
	At    string
	Label string
	End   string // class: first and last stand inside
}

// pool is the axis of scores: the line is the pool's mean, the band one standard deviation to either side.
func pool() axis {
	return axis{scale: points, Marks: points.marks(20, 30, 40, 50, 60, 70, 80), From: 40, To: 60, Line: 50}
}

func (s scale) marks(xs ...float64) []mark {
	var out []mark
	for i, x := range xs {
		m := mark{At: percent(s.at(x)), Label: trim(x)}
		switch i {
		case 0:
			m.End = "start"
		case len(xs) - 1:
			m.End = "end"
		}
		out = append(out, m)
	}
	return out
}

// Band and Width are the place of the band.
func (a axis) Band() string  { return percent(a.at(a.From)) }
func (a axis) Width() string { return percent(a.at(a.To) - a.at(a.From)) }

// Rule is the place of the line.
func (a axis) Rule() string { return percent(a.at(a.Line)) }

// HasLine tells whether there is a line.
func (a axis) HasLine() bool { return !math.IsNaN(a.Line) }

// dot is one row of a plot: a value, and how sure it is.
type dot struct {
	ID, Label string
	Mark      *role // a role's letter before the label
	Value     float64
	SE        float64 // 0: no error bar
	Shown     string  // the numbers, as printed beside
	Words     string
	Blank     string // instead of a dot: why there is none
	Other     *float64
	axis      axis
}

// Axis is the row's axis.
func (d dot) Axis() axis { return d.axis }

// X and the bars are places along the axis.
func (d dot) X() string     { return percent(d.axis.at(d.Value)) }
func (d dot) Low1() string  { return percent(d.axis.at(d.Value - d.SE)) }
func (d dot) High1() string { return percent(d.axis.at(d.Value + d.SE)) }
func (d dot) Low2() string  { return percent(d.axis.at(d.Value - 2*d.SE)) }
func (d dot) High2() string { return percent(d.axis.at(d.Value + 2*d.SE)) }

// Second is the place of a second value, drawn as a ring.
func (d dot) Second() string { return percent(d.axis.at(*d.Other)) }

// Alt is the picture in words.
func (d dot) Alt() string {
	s := d.Label + ": " + d.Shown
	if d.Words != "" {
		s += ", " + d.Words
	}
	return s
}

// plot is rows on one axis.
type plot struct {
	ID   string
	Rows []dot
	axis axis
}

// Axis is the plot's axis.
func (p plot) Axis() axis { return p.axis }

func newPlot(id string, a axis) *plot { return &plot{ID: id, axis: a} }

func (p *plot) add(d dot) {
	d.ID, d.axis = fmt.Sprintf("%s-%d", p.ID, len(p.Rows)+1), p.axis
	p.Rows = append(p.Rows, d)
}

// withError is a value with its standard error, as printed.
func withError(x, se float64) string { return fixed(x, 0) + " ±" + fixed(se, 0) }
