package assess

import "math"

// rises is the log likelihood of whole-number counts as a sum over attempts, not kids: with
// B(a+x, b+n-x)/B(a, b) = a(a+1)...(a+x-1) b(b+1)...(b+n-x-1) / ((a+b)...(a+b+n-1)) a league costs no more
// than its largest count.
type rises struct{ success, failure, all []float64 } // at j: kids with more than j

// mostRises is the number of attempts beyond which summing over kids is cheaper.
const mostRises = 400

func newRises(groups []countGroup) *rises {
	top := 0
	for _, g := range groups {
		if g.n > mostRises || g.n != math.Trunc(g.n) || g.x != math.Trunc(g.x) {
			return nil
		}
		top = max(top, int(g.n))
	}
	r := &rises{make([]float64, top), make([]float64, top), make([]float64, top)}
	for _, g := range groups {
		raise(r.success, g.x, g.weight)
		raise(r.failure, g.n-g.x, g.weight)
		raise(r.all, g.n, g.weight)
	}
	r.success, r.failure = trim(r.success), trim(r.failure)
	return r
}

func raise(counts []float64, to, by float64) {
	for j := range int(to) {
		counts[j] += by
	}
}

// trim cuts the zeros at the end.
func trim(v []float64) []float64 {
	for len(v) > 0 && v[len(v)-1] == 0 {
		v = v[:len(v)-1]
	}
	return v
}

func (r *rises) logLikelihood(alpha, beta float64) float64 {
	return rise(r.success, alpha) + rise(r.failure, beta) - rise(r.all, alpha+beta)
}

func rise(counts []float64, from float64) float64 {
	s := 0.0
	for j, n := range counts {
		s += n * math.Log(from+float64(j))
	}
	return s
}
