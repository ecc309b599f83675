package assess

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/optimize"
)

// Count is Successes out of Attempts, 0 <= Successes <= Attempts.
type Count struct{ Successes, Attempts float64 }

// BetaBinomial is a fitted model of counts: kid k's true share is p[k] ~ Beta(Alpha, Beta) and the
// successes are binomial. Both are 0 if the counts vary no more than chance alone makes them, so
// that no finite pair fits best.
type BetaBinomial struct{ Alpha, Beta float64 }

// Reliability of a share of n attempts: n / (n + Alpha + Beta); 0 if there was no fit.
func (b BetaBinomial) Reliability(n float64) float64 {
	if b.Alpha == 0 || n <= 0 {
		return 0
	}
	return n / (n + b.Alpha + b.Beta)
}

// SDKid is the SD of true shares between kids, 0 to 0.5.
func (b BetaBinomial) SDKid() float64 {
	if b.Alpha == 0 {
		return 0
	}
	s := b.Alpha + b.Beta
	return math.Sqrt(b.Alpha*b.Beta/(s+1)) / s
}

// SEM is the standard error of measurement of one kid's share of n attempts, as a share: the root of
// the mean of p(1-p)/n over kids.
func (b BetaBinomial) SEM(n float64) float64 {
	if b.Alpha == 0 || n <= 0 {
		return 0
	}
	s := b.Alpha + b.Beta
	return math.Sqrt(b.Alpha * b.Beta / (s * (s + 1) * n))
}

// BetaMoments fits a beta distribution to shares (0 to 1) by their mean m and variance v:
// alpha + beta = m(1-m)/v - 1. It takes shares for true ones, so it is a starting value and a check;
// zero if the variance allows no fit.
func BetaMoments(shares []float64) BetaBinomial {
	if len(shares) < 2 {
		return BetaBinomial{}
	}
	m := meanOf(shares)
	v := squaresAround(shares, m) / float64(len(shares)-1)
	s := m*(1-m)/v - 1
	if !(s > 0) || math.IsInf(s, 1) {
		return BetaBinomial{}
	}
	return BetaBinomial{m * s, (1 - m) * s}
}

// largestSize is the alpha + beta beyond which kids count as all alike.
const largestSize = 1e5

// FitBetaBinomial fits by maximum likelihood (Griffiths 1973, Biometrics 29:637-648).
func FitBetaBinomial(counts []Count) BetaBinomial {
	groups := groupCounts(counts)
	var x, n float64
	shares := make([]float64, 0, len(counts))
	for _, c := range counts {
		if c.Attempts > 0 {
			x += c.Successes
			n += c.Attempts
			shares = append(shares, c.Successes/c.Attempts)
		}
	}
	if len(shares) < 2 || x <= 0 || x >= n {
		return BetaBinomial{}
	}
	start := BetaMoments(shares)
	if start.Alpha == 0 {
		start = BetaBinomial{10 * x / n, 10 * (1 - x/n)}
	}
	fit := maximise(groups, start)
	// Against one common share, the limit of an ever larger size.
	common := 0.0
	for _, g := range groups {
		common += g.weight * (g.x*math.Log(x/n) + (g.n-g.x)*math.Log1p(-x/n))
	}
	if s := fit.Alpha + fit.Beta; !finite(s) || s > largestSize || fit.logLikelihood(groups) <= common+1e-9 {
		return BetaBinomial{}
	}
	return fit
}

// maximise climbs the likelihood in (logit mean, log size).
func maximise(groups []countGroup, start BetaBinomial) BetaBinomial {
	at := func(v []float64) BetaBinomial {
		s := math.Exp(math.Max(-12, math.Min(v[1], 18)))
		m := 1 / (1 + math.Exp(-math.Max(-25, math.Min(v[0], 25))))
		return BetaBinomial{m * s, (1 - m) * s}
	}
	p := optimize.Problem{
		Func: func(v []float64) float64 { return -at(v).logLikelihood(groups) },
		Grad: func(grad, v []float64) {
			b := at(v)
			da, db := b.gradient(groups)
			s := b.Alpha + b.Beta
			grad[0] = -(da - db) * b.Alpha * b.Beta / s
			grad[1] = -(da*b.Alpha + db*b.Beta)
		},
	}
	s := start.Alpha + start.Beta
	first := []float64{math.Log(start.Alpha / start.Beta), math.Log(s)}
	settings := &optimize.Settings{GradientThreshold: 1e-9, MajorIterations: 200}
	// A line search that can get no further ends with an error at the best point so far.
	r, _ := optimize.Minimize(p, first, settings, &optimize.BFGS{})
	if r == nil {
		return start
	}
	return at(r.X)
}

// countGroup is weight kids with the same count.
type countGroup struct{ x, n, weight float64 }

// groupCounts gathers equal counts, in order, so that sums do not depend on the kids' order.
func groupCounts(counts []Count) []countGroup {
	s := slices.Clone(counts)
	slices.SortFunc(s, func(a, b Count) int {
		return cmp.Or(cmp.Compare(a.Attempts, b.Attempts), cmp.Compare(a.Successes, b.Successes))
	})
	var out []countGroup
	for _, c := range s {
		last := len(out) - 1
		switch {
		case c.Attempts <= 0:
		case last >= 0 && out[last].x == c.Successes && out[last].n == c.Attempts:
			out[last].weight++
		default:
			out = append(out, countGroup{c.Successes, c.Attempts, 1})
		}
	}
	return out
}

func (b BetaBinomial) logLikelihood(groups []countGroup) float64 {
	base := mathext.Lbeta(b.Alpha, b.Beta)
	s := 0.0
	for _, g := range groups {
		s += g.weight * (mathext.Lbeta(b.Alpha+g.x, b.Beta+g.n-g.x) - base)
	}
	return s
}

// gradient of the log likelihood by alpha and beta.
func (b BetaBinomial) gradient(groups []countGroup) (da, db float64) {
	pa, pb, ps := mathext.Digamma(b.Alpha), mathext.Digamma(b.Beta), mathext.Digamma(b.Alpha+b.Beta)
	for _, g := range groups {
		total := mathext.Digamma(b.Alpha+b.Beta+g.n) - ps
		da += g.weight * (mathext.Digamma(b.Alpha+g.x) - pa - total)
		db += g.weight * (mathext.Digamma(b.Beta+g.n-g.x) - pb - total)
	}
	return da, db
}
