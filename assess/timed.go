package assess

import (
	"math"
	"slices"
)

// The averaged model of timed and rated drills. Trials are y[k,t] = mu + a[k] + e[k,t], a and e
// normal with variances r s2 and s2. With a flat mu and s2 ~ 1/s2 integrated out, the ratio r has
//
//	log p(r|y) = -1/2 sum log(1 + m[k] r) - 1/2 log sum w[k] - (M-1)/2 log Q(r) + log prior
//
// with w[k] = m[k]/(1 + m[k] r), mu(r) = sum w[k] ybar[k] / sum w[k] and
// Q(r) = SSW + sum w[k] (ybar[k] - mu(r))². Given r a kid's true result is Student t on M-1 degrees
// of freedom around mu(r) + lambda[k] (ybar[k] - mu(r)), lambda[k] = m[k] r/(1 + m[k] r), with squared scale
// Q/(M-1) (r (1-lambda[k]) + (1-lambda[k])²/sum w). (Box and Tiao 1973, chapter 5.) Everything a kid
// gets is a mean over r. A kid without a trial is the case m = 0.

const (
	timedNodes  = 64
	timedPoints = 41
	timedDepth  = 40.0 // log density left out at the edges of the grid
)

// ratios is the range of log r that is looked at: reliability of one trial from 0.000006 to 0.999. No
// trial of a drill in the field is more reliable, and trials that agree to the last digit written
// down must not claim an error of zero.
var ratios = span{-12, math.Log(999)}

var timedRule = newLegendre(timedNodes)

// timedGroup is the kids with the same number of trials.
type timedGroup struct{ m, kids, sum, squares float64 }

// timedNode is one value of r with what follows from it. Estimates are averaged with weight, the
// catalogue's reliability taken at its word; errors and intervals with doubted, which allows for its being
// wrong. One weight for both would either leave five kids' intervals too short where a drill is much
// less reliable than assumed, or pull estimates in too far where it is more reliable.
type timedNode struct{ weight, doubted, r, mu, s2, w float64 }

// timed is the pool's posterior. Lengths are in units of the pool's range, centred.
type timed struct {
	origin, scale float64 // unit value = origin + scale * inner value
	within        float64 // sum of squares within kids
	trials, kids  float64 // M and K
	groups        []timedGroup
	prior         prior
	doubted       prior
	nodes         []timedNode
	t             *student
	mean, sdKid   float64 // posterior means of mu and of the between-kid SD; sdKid 0: the pool does not say
	shapes        []shape // by number of trials
}

// newTimed needs two different values at least. Higher values are better. values[k] are kid k's trials,
// sorted; kids must come in an order of their own, so that sums do not depend on the file's. step is
// how finely values can be written down: trials cannot agree better than rounding lets them, which leaves
// a variance of step²/12. 0 if the step does not matter.
func newTimed(values [][]float64, reliability, step float64) *timed {
	t := &timed{prior: newPrior(reliability)}
	means := t.standardise(values, step)
	for i, v := range values {
		if len(v) > 0 {
			t.add(float64(len(v)), means[i])
		}
	}
	t.doubted = t.prior.or(anything(t.trials, t.kids))
	t.integrate()
	return t
}

// standardise sets origin and scale and gives the kids' means on the inner scale.
func (t *timed) standardise(values [][]float64, step float64) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if len(v) > 0 {
			low, high = math.Min(low, v[0]), math.Max(high, v[len(v)-1])
		}
	}
	t.scale = high - low
	means := make([]float64, len(values))
	total := 0.0
	for k, v := range values {
		if len(v) == 0 {
			continue
		}
		inner := make([]float64, len(v))
		for i, x := range v {
			inner[i] = (x - low) / t.scale
		}
		means[k] = meanOf(inner)
		t.within += squaresAround(inner, means[k])
		t.trials += float64(len(v))
		total += means[k]
		t.kids++
	}
	center := total / t.kids
	for k := range means {
		means[k] -= center
	}
	t.origin = low + center*t.scale
	d := step / t.scale
	t.within = math.Max(t.within, (t.trials-t.kids)*d*d/12)
	return means
}

func (t *timed) add(m, mean float64) {
	i, found := slices.BinarySearchFunc(t.groups, m, func(g timedGroup, m float64) int { return int(g.m - m) })
	if !found {
		t.groups = slices.Insert(t.groups, i, timedGroup{m: m})
	}
	t.groups[i].kids++
	t.groups[i].sum += mean
	t.groups[i].squares += mean * mean
}

// node gives the values at log ratio x and the log likelihood of x.
func (t *timed) node(x float64) (n timedNode, logLikelihood float64) {
	n.r = math.Exp(x)
	var det, first, second float64
	for _, g := range t.groups {
		w := g.m / (1 + g.m*n.r)
		n.w += w * g.kids
		first += w * g.sum
		second += w * g.squares
		det += g.kids * math.Log1p(g.m*n.r)
	}
	n.mu = first / n.w
	q := math.Max(t.within+second-n.mu*first, 1e-300)
	n.s2 = q / (t.trials - 1)
	return n, -det/2 - math.Log(n.w)/2 - (t.trials-1)/2*math.Log(q)
}

func (t *timed) integrate() {
	s := zoom(ratios, timedPoints, timedDepth, func(x float64) float64 { _, l := t.node(x); return l + t.doubted.log(x) })
	nodes := make([]timedNode, timedNodes)
	plain, doubted := make([]float64, timedNodes), make([]float64, timedNodes)
	for i, u := range timedRule.at {
		x := s.low + u*s.width()
		n, l := t.node(x)
		l += math.Log(timedRule.weight[i])
		nodes[i], plain[i], doubted[i] = n, l+t.prior.log(x), l+t.doubted.log(x)
	}
	plain, doubted = normalise(plain), normalise(doubted)
	for i, n := range nodes {
		if n.weight, n.doubted = plain[i], doubted[i]; n.weight > 1e-14 || n.doubted > 1e-14 {
			t.nodes = append(t.nodes, n)
		}
	}
	t.t = newStudent(t.trials - 1)
	root := 0.0
	for _, n := range t.nodes {
		t.mean += n.weight * n.mu
		root += n.weight * math.Sqrt(n.r*n.s2)
	}
	if df := t.trials - 1; df >= 3 {
		// E sqrt(s2) from s2 ~ Q/chi²(df), given r.
		a, _ := math.Lgamma((df - 1) / 2)
		b, _ := math.Lgamma(df / 2)
		t.sdKid = root * math.Sqrt(df/2) * math.Exp(a-b)
	}
	top := 0
	for _, g := range t.groups {
		top = max(top, int(g.m))
	}
	t.shapes = make([]shape, top+1)
}
