package assess

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// student is Student's t distribution with a table of its CDF. A league needs millions of values
// with the same degrees of freedom; cubic Hermite pieces give each in a few operations, 1e-8 or closer.
type student struct {
	df       float64
	exact    distuv.StudentsT
	logConst float64 // of the density
	cdf, pdf []float64
	tail     float64 // quantile of 0.975
}

const (
	tableStep = 1.0 / 16
	tableEnd  = 9.0 // beyond, the exact CDF is used
)

func newStudent(df float64) *student {
	s := &student{df: df, exact: distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}}
	a, _ := math.Lgamma((df + 1) / 2)
	b, _ := math.Lgamma(df / 2)
	s.logConst = a - b - math.Log(df*math.Pi)/2
	s.tail = s.exact.Quantile(0.975)
	n := int(tableEnd/tableStep) + 2
	s.cdf, s.pdf = make([]float64, n), make([]float64, n)
	for i := range n {
		z := float64(i) * tableStep
		s.cdf[i], s.pdf[i] = s.exact.CDF(z), s.density(z)
	}
	return s
}

func (s *student) density(z float64) float64 {
	return math.Exp(s.logConst - (s.df+1)/2*math.Log1p(z*z/s.df))
}

// at gives the CDF and the density at z.
func (s *student) at(z float64) (cdf, pdf float64) {
	x := math.Abs(z)
	if x < tableEnd {
		i := int(x / tableStep)
		u := x/tableStep - float64(i)
		f0, f1, d0, d1 := s.cdf[i], s.cdf[i+1], s.pdf[i]*tableStep, s.pdf[i+1]*tableStep
		c2 := 3*(f1-f0) - 2*d0 - d1
		c3 := d0 + d1 - 2*(f1-f0)
		cdf = f0 + u*(d0+u*(c2+u*c3))
		pdf = (d0 + u*(2*c2+u*3*c3)) / tableStep
	} else {
		cdf, pdf = s.exact.CDF(x), s.density(x)
	}
	if z < 0 {
		cdf = 1 - cdf
	}
	return cdf, pdf
}
