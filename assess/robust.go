package assess

import (
	"math"
	"slices"
)

// oddZ is the modified z-score beyond which a value looks odd (Iglewicz and Hoaglin 1993).
const oddZ = 3.5

// quartile is the standard normal's upper quartile, which puts a MAD on the scale of an SD.
const quartile = 0.6744897501960817

// median of v, which is left as it is; 0 if v is empty.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	h := len(s) / 2
	if len(s)%2 == 1 {
		return s[h]
	}
	return s[h-1] + (s[h]-s[h-1])/2
}

// MAD is the median absolute deviation from the median, in the unit of v, not rescaled. Divided by
// 0.6745 it estimates the SD of normal values. It is 0 for fewer than two values.
func MAD(v []float64) float64 {
	m := median(v)
	d := make([]float64, len(v))
	for i, x := range v {
		d[i] = math.Abs(x - m)
	}
	return median(d)
}

// ModifiedZ gives 0.6745 (x - median) / MAD for every value (Iglewicz and Hoaglin 1993, How to Detect
// and Handle Outliers). When more than half of the values are equal the MAD is 0 and says nothing;
// all are 0 then.
func ModifiedZ(v []float64) []float64 {
	z := make([]float64, len(v))
	m, mad := median(v), MAD(v)
	if mad == 0 {
		return z
	}
	for i, x := range v {
		z[i] = quartile * (x - m) / mad
	}
	return z
}
