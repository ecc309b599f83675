package assess

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ICC is one intraclass correlation with its central 95 % interval. Form is Shrout and Fleiss's
// name: the model (1: every row has its own columns; 2: columns are a sample; 3: these columns
// only) and 1 for a single value or k for the mean of k.
type ICC struct {
	Form             string
	Value, Low, High float64
}

// upperTail is the F quantile behind two-sided 95 % intervals.
const upperTail = 0.975

// ICCs gives the six coefficients of Shrout and Fleiss 1979 (Psychological Bulletin 86:420-428), in the
// order (1,1) (2,1) (3,1) (1,k) (2,k) (3,k), with the intervals of McGraw and Wong 1996
// (Psychological Methods 1:30-46, table 7). They are undefined, and nil, where nothing varies
// beside the rows or at all.
func (a TwoWay) ICCs() []ICC {
	if a.MSResidual <= 0 || a.MSWithin <= 0 {
		return nil
	}
	n, k := float64(a.Rows), float64(a.Columns)
	value := []float64{
		(a.MSRows - a.MSWithin) / (a.MSRows + (k-1)*a.MSWithin),
		(a.MSRows - a.MSResidual) / (a.MSRows + (k-1)*a.MSResidual + k*(a.MSColumns-a.MSResidual)/n),
		(a.MSRows - a.MSResidual) / (a.MSRows + (k-1)*a.MSResidual),
		(a.MSRows - a.MSWithin) / a.MSRows,
		(a.MSRows - a.MSResidual) / (a.MSRows + (a.MSColumns-a.MSResidual)/n),
		(a.MSRows - a.MSResidual) / a.MSRows,
	}
	var low, high [3]float64
	low[0], high[0] = iccInterval(a.MSRows/a.MSWithin, n-1, n*(k-1), k)
	low[1], high[1] = a.agreementInterval(value[1])
	low[2], high[2] = iccInterval(a.MSRows/a.MSResidual, n-1, (n-1)*(k-1), k)
	forms := []string{"(1,1)", "(2,1)", "(3,1)", "(1,k)", "(2,k)", "(3,k)"}
	out := make([]ICC, len(forms))
	for i, form := range forms {
		l, h := low[i%3], high[i%3]
		if i >= 3 {
			l, h = SpearmanBrown(l, k), SpearmanBrown(h, k)
		}
		if !finite(value[i]) || !finite(l) || !finite(h) {
			return nil // rows that do not differ at all leave a mean's coefficient without a limit
		}
		out[i] = ICC{Form: form, Value: value[i], Low: l, High: h}
	}
	return out
}

// iccInterval is the 95 % interval of a single value's ICC from its F ratio on (d1, d2) degrees of
// freedom with k values a row. For rows of unequal length k is OneWay.N0, and the interval is
// approximate.
func iccInterval(f, d1, d2, k float64) (low, high float64) {
	if d1 <= 0 || d2 <= 0 || k <= 1 {
		return 0, 1
	}
	if math.IsInf(f, 1) {
		return 1, 1
	}
	fl := f / distuv.F{D1: d1, D2: d2}.Quantile(upperTail)
	fu := f * distuv.F{D1: d2, D2: d1}.Quantile(upperTail)
	return (fl - 1) / (fl + k - 1), (fu - 1) / (fu + k - 1)
}

// agreementInterval is the 95 % interval of ICC(2,1), with Satterthwaite's degrees of freedom.
func (a TwoWay) agreementInterval(icc float64) (low, high float64) {
	n, k := float64(a.Rows), float64(a.Columns)
	fj := a.MSColumns / a.MSResidual
	rest := n*(1+(k-1)*icc) - k*icc
	v := (k - 1) * (n - 1) * (k*icc*fj + rest) * (k*icc*fj + rest) /
		((n-1)*k*k*icc*icc*fj*fj + rest*rest)
	v = math.Max(v, 1e-3)
	columns := k*a.MSColumns + (k*n-k-n)*a.MSResidual
	fl := distuv.F{D1: n - 1, D2: v}.Quantile(upperTail)
	fu := distuv.F{D1: v, D2: n - 1}.Quantile(upperTail)
	low = n * (a.MSRows - fl*a.MSResidual) / (fl*columns + n*a.MSRows)
	high = n * (fu*a.MSRows - a.MSResidual) / (columns + n*fu*a.MSRows)
	return low, high
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
