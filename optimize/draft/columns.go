package draft

import (
	"math"
	"slices"
	"strings"
)

// defaultStep is the grid of scores whose measure has no step of its own.
const defaultStep = 0.01

// column is one quantity that teams are to share evenly, in whole steps: a term of the objective.
type column struct {
	kind     PartKind
	measure  int     // index of the measure; -1: none
	x        []int64 // by kid, less about the mean
	sum      int64   // of x
	variance float64 // what squares are divided by, in steps squared: of the pool, divisor kids
	weight   int     // hundredths
}

// byLabel is the order in which kids are gone through wherever an order could matter.
func (p *Pool) byLabel() []int {
	order := make([]int, len(p.Kids))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return compareLabels(p.Kids[a].Label, p.Kids[b].Label) })
	return order
}

// compareLabels puts numbers first, the shorter before the longer: 2, 10, A.
func compareLabels(a, b string) int {
	switch x, y := digits(a), digits(b); {
	case x && !y:
		return -1
	case y && !x:
		return 1
	case x && len(a) != len(b):
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// columns are the terms of the objective, those that cannot differ between splits left out.
func (p *Pool) columns() []column {
	var cols []column
	for j, m := range p.Measures {
		step := m.Step
		if step == 0 {
			step = defaultStep
		}
		c := p.column(PartMeasure, m.Weight, func(k int) float64 { return p.Kids[k].Scores[j] / step })
		c.measure = j
		cols = append(cols, c)
	}
	cols = append(cols, p.gradeColumns()...)
	cols = append(cols, p.column(PartUntested, p.Weights.Untested, func(k int) float64 { return truth(p.Kids[k].Untested) }))
	cols = append(cols, p.column(PartUncertainty, p.Weights.Uncertainty, func(k int) float64 {
		if p.Kids[k].Errors == nil {
			return 0
		}
		se := p.Kids[k].Errors[0]
		return float64(se*se) / defaultStep
	}))
	cols = append(cols, p.column(PartReturning, p.Weights.Returning, func(k int) float64 { return truth(p.Kids[k].Returning != "") }))
	return slices.DeleteFunc(cols, func(c column) bool { return c.weight == 0 || c.variance == 0 })
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// column rounds values to whole steps and centres them. Rounding first makes the rest exact, so that no order of
// kids and no machine can make a difference.
func (p *Pool) column(kind PartKind, weight int, value func(k int) float64) column {
	n := int64(len(p.Kids))
	c := column{kind: kind, measure: -1, x: make([]int64, n), weight: weight}
	for k := range c.x {
		c.x[k] = int64(math.Round(value(k)))
		c.sum += c.x[k]
	}
	mean := int64(math.Round(float64(c.sum) / float64(n)))
	var squares int64
	for k := range c.x {
		c.x[k] -= mean
		squares += c.x[k] * c.x[k]
	}
	c.sum -= mean * n
	rest := float64(c.sum) / float64(n)
	c.variance = max(0, float64(squares)/float64(n)-float64(rest*rest))
	return c
}

// coarsen doubles the step, for numbers so long that costs would not fit into 64 bits.
func (c *column) coarsen() {
	c.sum = 0
	for k, x := range c.x {
		c.x[k] = x / 2
		c.sum += c.x[k]
	}
	c.variance /= 4
}

// gradeColumns counts the kids of each grade. Together they have the variance of one measure: the squares are divided by the sum of the
// grades' variances p(1-p). Of two grades one column says it all.
func (p *Pool) gradeColumns() []column {
	grades := p.grades()
	if len(grades) < 2 {
		return nil
	}
	var cols []column
	var variance float64
	for _, g := range grades {
		c := p.column(PartGrades, p.Weights.Grades, func(k int) float64 { return truth(p.Kids[k].Grade == g) })
		variance += c.variance
		cols = append(cols, c)
	}
	if len(grades) == 2 {
		return cols[:1]
	}
	for i := range cols {
		cols[i].variance = variance
	}
	return cols
}

// grades are the grades of the pool, ascending.
func (p *Pool) grades() []int {
	var grades []int
	for _, k := range p.Kids {
		grades = append(grades, k.Grade)
	}
	slices.Sort(grades)
	return slices.Compact(grades)
}
