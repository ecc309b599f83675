package assess

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// The averaged model of counted drills: kid k has x[k] successes of n[k] attempts, with a true share
// p[k] ~ Beta(mu c, (1-mu) c). mu is flat from 0 to 1; the reliability at ten attempts, 10/(10+c), has a
// beta prior around the catalogue's value, and around a high one in case the catalogue is too low.
// Given (mu, c) a kid is Beta(x + mu c, n - x + (1-mu) c); everything a kid gets is a mean over the two.

const (
	tenAttempts   = 10.0
	countedPoints = 13
	countedDepth  = 15.0 // log density left out at the edges of the grid
	meanReach     = 9.0  // how far the pool's mean may be from its share, in logits
	// largest share of the weight that nodes left out of intervals may have together
	countedRest = 1e-5
)

var (
	meanRule        = newLegendre(16)
	reliabilityRule = newLegendre(28)
	// logits of the reliability at ten attempts that are looked at
	logitReliabilities = span{-12, math.Log(999)}
)

// countedNode is one (mu, c) as alpha and beta.
type countedNode struct{ weight, alpha, beta float64 }

// counted is the pool's posterior. Values are shares, 0 to 1.
type counted struct {
	groups      []countGroup
	rises       *rises  // of the same counts, nil where they have to be summed group by group
	center      float64 // logit of the pool's share
	prior       prior
	nodes       []countedNode
	mean, sdKid float64 // posterior means of mu and of the between-kid SD
	done        map[Count]posterior
}

func newCounted(counts []Count, reliability float64) *counted {
	c := &counted{groups: groupCounts(counts), prior: newPrior(reliability).or(wellDone), done: map[Count]posterior{}}
	c.rises = newRises(c.groups)
	var x, n float64
	for _, g := range c.groups {
		x += g.weight * g.x
		n += g.weight * g.n
	}
	c.center = math.Log((x + 0.5) / (n - x + 0.5))
	c.integrate()
	return c
}

// logDensity at v = logit mu and u = logit of the reliability at ten attempts.
func (c *counted) logDensity(v, u float64) (n countedNode, l float64) {
	size := tenAttempts * math.Exp(-u)
	n.alpha = size / (1 + math.Exp(-v))
	n.beta = size / (1 + math.Exp(v))
	if c.rises != nil {
		l = c.rises.logLikelihood(n.alpha, n.beta)
	} else {
		l = BetaBinomial{n.alpha, n.beta}.logLikelihood(c.groups)
	}
	return n, l + c.prior.log(u) - math.Log1p(math.Exp(-v)) - math.Log1p(math.Exp(v)) // flat in mu
}

// means is where the pool's mean lives, in logits, given u; top is its largest log density.
func (c *counted) means(u float64) (v span, top float64) {
	top = math.Inf(-1)
	v = zoom(span{c.center - meanReach, c.center + meanReach}, countedPoints, countedDepth, func(v float64) float64 {
		_, l := c.logDensity(v, u)
		top = math.Max(top, l)
		return l
	})
	return v, top
}

// integrate lays the grid: nodes for the reliability, and for each of them nodes for the mean over the range
// where it lives then, because few kids far apart say little of the mean and many alike say much.
func (c *counted) integrate() {
	u := zoom(logitReliabilities, countedPoints, countedDepth, func(u float64) float64 {
		_, top := c.means(u)
		return top
	})
	nodes := make([]countedNode, 0, len(reliabilityRule.at)*len(meanRule.at))
	logs := make([]float64, 0, len(reliabilityRule.at)*len(meanRule.at))
	for j, b := range reliabilityRule.at {
		at := u.low + b*u.width()
		v, _ := c.means(at)
		for i, a := range meanRule.at {
			n, l := c.logDensity(v.low+a*v.width(), at)
			nodes = append(nodes, n)
			logs = append(logs, l+math.Log(meanRule.weight[i]*reliabilityRule.weight[j]*v.width()))
		}
	}
	for i, w := range normalise(logs) {
		nodes[i].weight = w
	}
	// Heaviest first, without the many that together weigh next to nothing.
	slices.SortStableFunc(nodes, func(a, b countedNode) int { return cmp.Compare(b.weight, a.weight) })
	sum := 0.0
	for i, n := range nodes {
		sum += n.weight
		if sum >= 1-countedRest {
			nodes = nodes[:i+1]
			break
		}
	}
	for _, n := range nodes {
		n.weight /= sum
		s := n.alpha + n.beta
		c.mean += n.weight * n.alpha / s
		c.sdKid += n.weight * math.Sqrt(n.alpha*n.beta/(s+1)) / s
		c.nodes = append(c.nodes, n)
	}
}

// kid with so many successes; an untested kid has Count{}.
func (c *counted) kid(x Count) posterior {
	if p, ok := c.done[x]; ok {
		return p
	}
	var p posterior
	var square float64
	for _, n := range c.nodes {
		a, b := n.alpha+x.Successes, n.beta+x.Attempts-x.Successes
		p.mean += n.weight * a / (a + b)
	}
	for _, n := range c.nodes {
		a, b := n.alpha+x.Successes, n.beta+x.Attempts-x.Successes
		d := a/(a+b) - p.mean
		square += n.weight * (d*d + a*b/((a+b)*(a+b)*(a+b+1)))
	}
	p.sd = math.Sqrt(square)
	p.low, p.high = c.quantile(x, 0.025, p), c.quantile(x, 0.975, p)
	c.done[x] = p
	return p
}

// quantile of the mixture of betas, from the beta of the same mean and variance as a start.
func (c *counted) quantile(x Count, prob float64, p posterior) float64 {
	s := p.mean*(1-p.mean)/(p.sd*p.sd) - 1
	start := p.mean
	if s > 0 {
		start = mathext.InvRegIncBeta(p.mean*s, (1-p.mean)*s, prob)
	}
	logConst := make([]float64, len(c.nodes))
	for i, n := range c.nodes {
		logConst[i] = mathext.Lbeta(n.alpha+x.Successes, n.beta+x.Attempts-x.Successes)
	}
	return rootBetween(0, 1, start, 1e-5*math.Min(p.sd, start), func(q float64) (value, slope float64) {
		value = -prob
		lq, lr := math.Log(q), math.Log1p(-q)
		for i, n := range c.nodes {
			a, b := n.alpha+x.Successes, n.beta+x.Attempts-x.Successes
			value += n.weight * mathext.RegIncBeta(a, b, q)
			slope += n.weight * math.Exp((a-1)*lq+(b-1)*lr-logConst[i])
		}
		return value, slope
	})
}
