package assess

import "math"

// shape is what all kids with the same number of trials share: given node i, a kid with mean y is
// Student t around a[i] + lambda[i] y with scale[i].
type shape struct {
	a, lambda, scale []float64
	// Means over the nodes: a kid's estimate is meanA + meanLambda y; the squared error around it, by
	// the doubted weights, is a square in y.
	meanA, meanLambda           float64
	varA, covALambda, varLambda float64
	meanSquare                  float64 // of scale
}

// shapeOf is made once for each number of trials.
func (t *timed) shapeOf(m int) *shape {
	s := &t.shapes[m]
	if s.a != nil {
		return s
	}
	n := len(t.nodes)
	s.a, s.lambda, s.scale = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, node := range t.nodes {
		lambda := float64(m) * node.r / (1 + float64(m)*node.r)
		s.lambda[i] = lambda
		s.a[i] = kelley(node.mu, lambda, 0)
		square := node.s2 * (kelleyVariance(node.r, lambda) + (1-lambda)*(1-lambda)/node.w)
		s.scale[i] = math.Sqrt(square)
		s.meanA += node.weight * s.a[i]
		s.meanLambda += node.weight * lambda
		s.meanSquare += node.doubted * square
	}
	for i, node := range t.nodes {
		da, dl := s.a[i]-s.meanA, s.lambda[i]-s.meanLambda
		s.varA += node.doubted * da * da
		s.covALambda += node.doubted * da * dl
		s.varLambda += node.doubted * dl * dl
	}
	return s
}

// posterior of one kid on the inner scale. sd is the mixture's root mean square around mean; on fewer than three degrees of
// freedom no SD exists and it is the half width of the interval over 1.96.
type posterior struct{ mean, sd, low, high float64 }

// kid with m trials and mean y (inner scale, 0 if m is 0).
func (t *timed) kid(m int, y float64) posterior {
	s := t.shapeOf(m)
	p := posterior{mean: s.meanA + s.meanLambda*y}
	df := t.t.df
	p.sd = math.Sqrt(s.varA + 2*y*s.covALambda + y*y*s.varLambda + s.meanSquare*df/math.Max(df-2, 1))
	p.low, p.high = t.quantile(s, y, 0.025, p), t.quantile(s, y, 0.975, p)
	if df < 3 {
		p.sd = (p.high - p.low) / (2 * 1.96)
	}
	return p
}

// quantile 0.025 or 0.975 of the mixture for a kid with mean y. It lies between the nodes' own quantiles.
func (t *timed) quantile(s *shape, y, prob float64, p posterior) float64 {
	z := math.Copysign(t.t.tail, prob-0.5)
	low, high := math.Inf(1), math.Inf(-1)
	for i := range s.a {
		q := s.a[i] + s.lambda[i]*y + z*s.scale[i]
		low, high = math.Min(low, q), math.Max(high, q)
	}
	start := p.mean + math.Copysign(2*p.sd, z)
	return rootBetween(low, high, start, 1e-9*p.sd, func(x float64) (value, slope float64) {
		value = -prob
		for i := range s.a {
			cdf, pdf := t.t.at((x - s.a[i] - s.lambda[i]*y) / s.scale[i])
			value += t.nodes[i].doubted * cdf
			slope += t.nodes[i].doubted * pdf / s.scale[i]
		}
		return value, slope
	})
}
