package assess

import "math"

// OneWay is a one-way random-effects analysis of variance: y[k,t] = mu + a[k] + e[k,t], kids k
// with m[k] trials each, a ~ (0, Between), e ~ (0, Within). Groups need not be of one size
// (Searle, Casella and McCulloch 1992, section 3.6).
type OneWay struct {
	Kids, Trials        int     // K kids that have a trial, and N trials in all
	N0                  float64 // (N - sum m²/N)/(K-1), the number of trials per kid that counts; 0 if K < 2
	Mean                float64 // estimated mean of the pool, weighted by what each kid's mean tells about it
	MSBetween, MSWithin float64 // mean squares, unit²; 0 where there are no degrees of freedom
	Between, Within     float64 // variance components, unit²; a negative Between is 0
}

// NewOneWay analyses values[k], the trials of kid k in any one unit. Kids without a trial are skipped.
func NewOneWay(values [][]float64) OneWay {
	var a OneWay
	var sum, squares float64
	for _, v := range values {
		if m := float64(len(v)); m > 0 {
			a.Kids++
			a.Trials += len(v)
			squares += m * m
			sum += sumOf(v)
		}
	}
	if a.Trials == 0 {
		return a
	}
	n := float64(a.Trials)
	grand := sum / n
	if low, high := bounds(values); alike(low, high) { // what is left between equal values is dust, and would pass for kids who differ
		a.Mean = low
		if a.Kids > 1 {
			a.N0 = (n - squares/n) / float64(a.Kids-1)
		}
		return a
	}
	var between, within float64
	for _, v := range values {
		if len(v) == 0 {
			continue
		}
		mean := meanOf(v)
		between += float64(len(v)) * (mean - grand) * (mean - grand)
		within += squaresAround(v, mean)
	}
	if a.Kids > 1 {
		a.N0 = (n - squares/n) / float64(a.Kids-1)
		a.MSBetween = between / float64(a.Kids-1)
	}
	if a.Trials > a.Kids {
		a.MSWithin = within / float64(a.Trials-a.Kids)
		a.Within = a.MSWithin
		if a.Kids > 1 {
			a.Between = math.Max(0, (a.MSBetween-a.MSWithin)/a.N0)
		}
	}
	a.Mean = a.pooledMean(values, grand)
	return a
}

// assume splits the variance of one trial each by an assumed single-trial reliability (0 to 1),
// because such data cannot split it. It does nothing when some kid has two trials.
func (a OneWay) assume(reliability float64) OneWay {
	if a.Trials == a.Kids && a.Kids > 1 {
		a.Between = reliability * a.MSBetween
		a.Within = (1 - reliability) * a.MSBetween
	}
	return a
}

// pooledMean is the generalised least-squares mean at the estimated components.
func (a OneWay) pooledMean(values [][]float64, grand float64) float64 {
	if a.Between == 0 {
		return grand
	}
	var sum, weights float64
	for _, v := range values {
		if m := float64(len(v)); m > 0 {
			w := 1 / (a.Between + a.Within/m)
			sum += w * (meanOf(v) - grand)
			weights += w
		}
	}
	return grand + sum/weights
}

// Reliability is the share of a kid's observed variance that is between kids when the result is
// the mean of so many trials: Between / (Between + Within/trials), from 0 to 1; with one trial it is
// ICC(1,1) with a negative value set to 0. It is 0 if nothing varies.
func (a OneWay) Reliability(trials float64) float64 {
	if a.Between == 0 || trials <= 0 {
		return 0
	}
	return a.Between / (a.Between + a.Within/trials)
}

// TwoWay is a two-way analysis of variance of a complete table, rows (kids) by columns (trials or
// timers), one value a cell.
type TwoWay struct {
	Rows, Columns                           int
	MSRows, MSColumns, MSResidual, MSWithin float64   // mean squares, unit²; MSWithin pools columns and residual
	ColumnMeans                             []float64 // the drill's unit
}

// NewTwoWay analyses table[row][column]. It reports false unless there are two rows and two columns
// at least and all rows are equally long.
func NewTwoWay(table [][]float64) (TwoWay, bool) {
	if len(table) < 2 || len(table[0]) < 2 {
		return TwoWay{}, false
	}
	if low, high := bounds(table); alike(low, high) {
		return flat(table, low)
	}
	n, k := float64(len(table)), float64(len(table[0]))
	a := TwoWay{Rows: len(table), Columns: len(table[0]), ColumnMeans: make([]float64, len(table[0]))}
	var grand, rows, columns, residual, within float64
	for _, row := range table {
		if len(row) != a.Columns {
			return TwoWay{}, false
		}
		grand += meanOf(row) / n
		for j, v := range row {
			a.ColumnMeans[j] += v / n
		}
	}
	for _, row := range table {
		mean := meanOf(row)
		rows += k * (mean - grand) * (mean - grand)
		within += squaresAround(row, mean)
		for j, v := range row {
			d := v - mean - (a.ColumnMeans[j] - grand)
			residual += d * d
		}
	}
	for _, c := range a.ColumnMeans {
		columns += n * (c - grand) * (c - grand)
	}
	a.MSRows = rows / (n - 1)
	a.MSColumns = columns / (k - 1)
	a.MSResidual = residual / ((n - 1) * (k - 1))
	a.MSWithin = within / (n * (k - 1))
	return a, true
}

// flat is the analysis of a table in which nothing varies.
func flat(table [][]float64, value float64) (TwoWay, bool) {
	a := TwoWay{Rows: len(table), Columns: len(table[0]), ColumnMeans: make([]float64, len(table[0]))}
	for i := range a.ColumnMeans {
		a.ColumnMeans[i] = value
	}
	for _, row := range table {
		if len(row) != a.Columns {
			return TwoWay{}, false
		}
	}
	return a, true
}

// bounds are the least and the greatest of all values; of none +Inf and -Inf.
func bounds(values [][]float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		for _, x := range v {
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	return low, high
}

// sameValue is how close values are the same but for the arithmetic of a unit.
const sameValue = 1e-9

// alike tells whether values between low and high are all the same but for the dust of floating point.
func alike(low, high float64) bool {
	return high-low <= sameValue*math.Max(1, math.Max(math.Abs(low), math.Abs(high)))
}

func sumOf(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s
}

func meanOf(v []float64) float64 { return sumOf(v) / float64(len(v)) }

func squaresAround(v []float64, c float64) float64 {
	s := 0.0
	for _, x := range v {
		s += (x - c) * (x - c)
	}
	return s
}
