package assess

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// The tabulated CDF is within 1e-6 of the exact one, far below what an interval's probability needs.
func TestStudentTable(t *testing.T) {
	for _, df := range []float64{1, 2, 3, 5, 11, 40, 300, 6000} {
		s := newStudent(df)
		for z := -12.0; z <= 12; z += .0137 {
			cdf, pdf := s.at(z)
			assert.InDelta(t, s.exact.CDF(z), cdf, 1e-6, "df %v, z %v", df, z)
			assert.InDelta(t, s.exact.Prob(z), pdf, 1e-4, "df %v, z %v", df, z)
		}
	}
}

// The adaptive grid against brute force: 40,000 even points in log r, exact t quantile search by bisection.
func TestTimedAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 20 {
		values := make([][]float64, 3+rng.IntN(20))
		for k := range values {
			for range rng.IntN(4) {
				values[k] = append(values[k], math.Round(100*(6.4+.3*rng.NormFloat64()))/100)
			}
			slices.Sort(values[k])
		}
		values[0], values[1] = []float64{6.1, 6.3}, []float64{6.4, 6.6}
		m := newTimed(values, .8, 0)
		var mean, spreadSum, square, total, doubtedTotal, below float64
		y := (6.2 - m.origin) / m.scale
		p := m.kid(2, y)
		top := math.Inf(-1)
		const steps = 40000
		for i := range steps {
			x := ratios.low + ratios.width()*(float64(i)+.5)/steps
			_, l := m.node(x)
			top = math.Max(top, l)
		}
		for i := range steps {
			x := ratios.low + ratios.width()*(float64(i)+.5)/steps
			n, l := m.node(x)
			lambda := 2 * n.r / (1 + 2*n.r)
			center := n.mu + lambda*(y-n.mu)
			sq := n.s2 * (n.r*(1-lambda) + (1-lambda)*(1-lambda)/n.w)
			w, d := math.Exp(l-top+m.prior.log(x)), math.Exp(l-top+m.doubted.log(x))
			total += w
			doubtedTotal += d
			mean += w * center
			spreadSum += w * math.Sqrt(n.r*n.s2)
			square += d * (sq*m.t.df/(m.t.df-2) + (center-p.mean)*(center-p.mean))
			if i%20 == 0 {
				below += 20 * d * m.t.exact.CDF((p.low-center)/math.Sqrt(sq))
			}
		}
		assert.InDelta(t, mean/total, p.mean, 1e-6)
		assert.InDelta(t, math.Sqrt(square/doubtedTotal), p.sd, 1e-6)
		assert.InDelta(t, .025, below/doubtedTotal, 1e-5)
	}
}

// The counted grid against brute force on 500 by 500 even points.
func TestCountedAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 6 {
		counts := make([]Count, 4+rng.IntN(20))
		for k := range counts {
			n := float64(10 * (1 + rng.IntN(3)))
			counts[k] = Count{math.Round(n * (.2 + .6*rng.Float64())), n}
		}
		m := newCounted(counts, .6)
		p := m.kid(counts[0])
		const side = 500
		v, u := span{-14, 14}, span{-9, math.Log(999)}
		logs := make([]float64, 0, side*side)
		nodes := make([]countedNode, 0, side*side)
		for i := range side {
			for j := range side {
				n, l := m.logDensity(v.low+v.width()*(float64(i)+.5)/side, u.low+u.width()*(float64(j)+.5)/side)
				nodes, logs = append(nodes, n), append(logs, l)
			}
		}
		var mean, pool, sd, below float64
		for i, w := range normalise(logs) {
			if w < 1e-10 {
				continue
			}
			n := nodes[i]
			a, b := n.alpha+counts[0].Successes, n.beta+counts[0].Attempts-counts[0].Successes
			mean += w * a / (a + b)
			pool += w * n.alpha / (n.alpha + n.beta)
			sd += w * math.Sqrt(n.alpha*n.beta/(n.alpha+n.beta+1)) / (n.alpha + n.beta)
			below += w * mathext.RegIncBeta(a, b, p.low)
		}
		// A hundredth of the error bar is far below anything that is shown.
		assert.InDelta(t, mean, p.mean, .01*p.sd)
		assert.InDelta(t, pool, m.mean, .01*p.sd)
		assert.InEpsilon(t, sd, m.sdKid, 5e-3)
		assert.InDelta(t, .025, below, 5e-4)
	}
}

// The likelihood summed over attempts is the one summed over kids.
func TestRises(t *testing.T) {
	groups := groupCounts([]Count{{0, 10}, {10, 10}, {4, 10}, {4, 10}, {13, 30}, {1, 1}})
	for _, b := range []BetaBinomial{{.01, .3}, {2, 5}, {4000, 9000}} {
		assert.InDelta(t, b.logLikelihood(groups), newRises(groups).logLikelihood(b.Alpha, b.Beta), 1e-9*(b.Alpha+b.Beta))
	}
	assert.Nil(t, newRises([]countGroup{{1.5, 10, 1}}))
	assert.Nil(t, newRises([]countGroup{{1, 1e6, 1}}))
}

// rootBetween keeps to its bracket whatever the slope says.
func TestRootBetween(t *testing.T) {
	cdf := func(slope func(x float64) float64) func(x float64) (float64, float64) {
		return func(x float64) (float64, float64) { return distuv.UnitNormal.CDF(x) - .975, slope(x) }
	}
	for _, slope := range []func(float64) float64{
		distuv.UnitNormal.Prob,
		func(float64) float64 { return 0 },
		func(float64) float64 { return math.NaN() },
		func(float64) float64 { return 1e-9 },
	} {
		assert.InDelta(t, 1.959964, rootBetween(-50, 50, 0, 1e-9, cdf(slope)), close6)
	}
}
