package assess

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// concentration of the beta prior on a reliability: its mean is the catalogue's value, and it weighs as
// much as four observations.
const concentration = 4.0

// prior on a reliability: a mixture of beta densities.
type prior []beta

// beta is one density, with its log weight less its log norm.
type beta struct{ a, b, scale float64 }

// second is what a prior turns to when the catalogue may be wrong (contamination in the sense of Berger
// and Berliner 1986, Annals of Statistics 14:461-486). Weights and shapes are ours: they were chosen so
// that intervals and estimates hold over simulated pools of 5 to 40 kids whose drills are far less or far
// more reliable than the catalogue says.
type second struct{ weight, a, b float64 }

var wellDone = second{0.5, 3.2, 0.8} // more reliable than most

// anything is any reliability alike. With one trial each the catalogue is all there is to go by; the more
// trials go beyond that, the more weight falls to what they can decide themselves.
func anything(trials, kids float64) second { return second{0.4 * (1 - kids/trials), 1, 1} }

// newPrior keeps the mean within 0.05 to 0.95, where the density stays proper in practice.
func newPrior(reliability float64) prior {
	r := math.Max(0.05, math.Min(reliability, 0.95))
	if math.IsNaN(r) {
		r = 0.5
	}
	a, b := concentration*r, concentration*(1-r)
	return prior{{a, b, -mathext.Lbeta(a, b)}}
}

// or is p with a second opinion.
func (p prior) or(s second) prior {
	if s.weight <= 0 {
		return p
	}
	out := prior{{s.a, s.b, math.Log(s.weight) - mathext.Lbeta(s.a, s.b)}}
	for _, b := range p {
		b.scale += math.Log1p(-s.weight)
		out = append(out, b)
	}
	return out
}

// log density in x, the logit of the reliability.
func (p prior) log(x float64) float64 {
	u, v := math.Log1p(math.Exp(-x)), math.Log1p(math.Exp(x))
	if len(p) == 1 {
		return p[0].scale - p[0].a*u - p[0].b*v
	}
	sum := 0.0
	for _, b := range p {
		sum += math.Exp(b.scale - b.a*u - b.b*v)
	}
	return math.Log(sum)
}
