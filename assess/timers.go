package assess

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// doubt is the chance of warning when nothing is wrong, for each timer and each practice check.
const doubt = 0.01

// mostTimers is how many timers of one drill are compared: each costs a fit, and a column with more names than
// a league has volunteers at a station holds something else.
const mostTimers = 40

// timers looks at what a volunteer with a stopwatch adds (a constant offset), at what a second try adds
// (practice), and at the six ICCs where the table of kids by trials is complete.
func (p *pool) timers(m *measured, ts []trial) {
	offsets, named := timerOffsets(ts, len(p.ids))
	if named > mostTimers {
		m.warn("%d different timers are named, too many to compare; nothing is said of how they read", named)
	}
	for _, o := range offsets {
		m.warn("timer %s reads %.2f %s %s than the others (give or take %.2f) on kids of the same ability; "+
			"let both time the same three kids, and use one timer for the whole drill next time",
			o.timer, math.Abs(o.offset), m.report.Unit, moreOrLess(o.offset), 1.96*o.se)
	}
	a, ok := NewTwoWay(byTrial(ts))
	if !ok {
		return
	}
	m.report.ICCs = a.ICCs()
	if a.MSResidual <= 0 {
		return
	}
	d1, d2 := float64(a.Columns-1), float64((a.Rows-1)*(a.Columns-1))
	if f := a.MSColumns / a.MSResidual; f > (distuv.F{D1: d1, D2: d2}).Quantile(1-doubt) {
		first, last := a.ColumnMeans[0], a.ColumnMeans[a.Columns-1]
		m.warn("trials differ as a group: trial 1 averages %.2f %s, trial %d %.2f (more than chance, F = %.1f); "+
			"an untimed practice try before the first trial helps", first, m.report.Unit, a.Columns, last, f)
	}
}

func moreOrLess(x float64) string {
	if x < 0 {
		return "less"
	}
	return "more"
}

// byTrial is the table of kids by trials, nil unless all tested kids have the same trial numbers.
func byTrial(ts []trial) [][]float64 {
	s := slices.Clone(ts)
	slices.SortStableFunc(s, func(a, b trial) int {
		return cmp.Or(cmp.Compare(a.kid, b.kid), cmp.Compare(a.Number, b.Number))
	})
	var table [][]float64
	var numbers, first []int
	for i, t := range s {
		if i == 0 || t.kid != s[i-1].kid {
			if len(table) == 1 {
				first = numbers
			} else if len(table) > 1 && !slices.Equal(first, numbers) {
				return nil
			}
			table, numbers = append(table, nil), nil
		}
		last := len(table) - 1
		table[last] = append(table[last], t.Value)
		numbers = append(numbers, t.Number)
	}
	if len(table) > 1 && !slices.Equal(first, numbers) {
		return nil
	}
	return table
}

// offset is how much more a timer reads than the others, with its standard error, in the drill's unit.
type offset struct {
	timer      string
	offset, se float64
}

// timerOffsets gives the timers whose offset is more than chance explains: one generalised
// least-squares fit a timer of y = mu + offset [timer] + a[kid] + e. It uses kids timed by both and,
// with the between-kid variance in its error, kids split between timers; kids that are in fact
// better are not put down to the timer unless the difference is far beyond that. named is the number of
// timers; with more than mostTimers none is looked at.
func timerOffsets(ts []trial, kids int) (out []offset, named int) {
	var names []string
	for _, t := range ts {
		if t.Timer == "" {
			return nil, 0 // who timed is not known for all
		}
		names = append(names, t.Timer)
	}
	slices.Sort(names)
	names = slices.Compact(names)
	if named = len(names); named < 2 || named > mostTimers {
		return nil, named
	} else if named == 2 {
		names = names[:1] // the other is the same fact with the sign turned
	}
	for _, name := range names {
		if o, df := oneTimer(ts, kids, name); df >= 3 && o.se > 0 &&
			math.Abs(o.offset)/o.se > (distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}).Quantile(1-doubt/2) {
			out = append(out, o)
		}
	}
	return out, named
}

// oneTimer fits one timer's offset. The degrees of freedom are those of kids, the scarcer kind.
func oneTimer(ts []trial, kids int, name string) (o offset, df int) {
	o.timer = name
	for range 3 { // the variance components need the offset taken out first
		values := make([][]float64, kids)
		share := make([]float64, kids) // trials by this timer
		for _, t := range ts {
			v := t.Value
			if t.Timer == name {
				v -= o.offset
				share[t.kid]++
			}
			values[t.kid] = append(values[t.kid], v)
		}
		a := NewOneWay(values)
		if a.Trials == a.Kids {
			a = a.assume(assumedForTimers)
		}
		if !(a.Within > 0) {
			return o, 0
		}
		// Normal equations of (mu, step), each kid's trials with variance I + ratio 11'.
		var n11, n12, n22, b1, b2 float64
		between := a.Between / a.Within
		for k, v := range values {
			if len(v) == 0 {
				continue
			}
			size, sum := float64(len(v)), sumOf(v)-float64(len(v))*a.Mean
			c := between / (1 + size*between)
			n11 += size - c*size*size
			n12 += share[k] - c*size*share[k]
			n22 += share[k] - c*share[k]*share[k]
			b1 += sum - c*size*sum
			b2 -= c * share[k] * sum
		}
		for _, t := range ts {
			if t.Timer == name {
				b2 += t.Value - o.offset - a.Mean
			}
		}
		det := n11*n22 - n12*n12
		if !(det > 1e-9*n11*n22) {
			return o, 0
		}
		o.offset += (n11*b2 - n12*b1) / det
		o.se = math.Sqrt(a.Within * n11 / det)
		df = a.Kids - 2
	}
	return o, df
}

// assumedForTimers splits one-trial variance in the timer check; the offset of kids split between
// timers depends on the sum alone, so the value hardly matters.
const assumedForTimers = 0.8
