package assess

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"
)

// The beta distribution of the moments has the shares' mean and variance: mean a/(a+b), variance m(1-m)/(a+b+1).
func TestMomentsAreThoseOfTheShares(t *testing.T) {
	for _, pair := range [][2]float64{{.05, .95}, {.2, .4}, {.5, .51}, {.1, .8}} {
		var shares []float64
		for range 10 {
			shares = append(shares, pair[0], pair[1])
		}
		m := meanOf(shares)
		v := squaresAround(shares, m) / 19
		b := BetaMoments(shares)
		require.Greater(t, b.Alpha, 0.0, "%v", pair)
		assert.InDelta(t, m, b.Alpha/(b.Alpha+b.Beta), 1e-12)
		assert.InDelta(t, v, m*(1-m)/(b.Alpha+b.Beta+1), 1e-12)
		assert.InDelta(t, math.Sqrt(v), b.SDKid(), 1e-12)
	}
}

// Results are in the drill's unit: another zero and another unit move and stretch estimates and intervals, and errors with them.
func TestResultsFollowTheUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		f := folderOf(rapid.IntRange(3, 8).Draw(t, "kids"))
		for k := range f.Roster {
			for range 1 + rng.IntN(3) {
				add(f, k+1, "shuttle", math.Round(100*(6.4+.4*rng.NormFloat64()))/100)
			}
		}
		want := Assess(f)
		shift, scale := rapid.Float64Range(-3, 50).Draw(t, "shift"), rapid.Float64Range(.1, 100).Draw(t, "scale")
		for i := range f.Trials {
			f.Trials[i].Value = shift + scale*f.Trials[i].Value
		}
		got := Assess(f)
		if want.Reports[0].SDKid == 0 && want.Reports[0].SDTrial == 0 {
			return // all the same: the plausible range speaks, which has a unit of its own
		}
		for k := range f.Roster {
			a, b := want.Kids[k].Results[0], got.Kids[k].Results[0]
			tolerance := 1e-6 * (1 + math.Abs(shift) + scale)
			assert.InDeltaSlice(t, []float64{shift + scale*a.Estimate, scale * a.SE, shift + scale*a.Low, shift + scale*a.High},
				[]float64{b.Estimate, b.SE, b.Low, b.High}, tolerance)
			assert.True(t, a.Low < a.Estimate && a.Estimate < a.High, "%+v", a)
		}
		r, s := want.Reports[0], got.Reports[0]
		assert.InDeltaSlice(t, []float64{shift + scale*r.Mean, scale * r.SDKid, scale * r.SDTrial, scale * r.SEM, scale * r.MDC, r.ICC1, r.ICCMean, r.ICC1Low, r.ICC1High},
			[]float64{s.Mean, s.SDKid, s.SDTrial, s.SEM, s.MDC, s.ICC1, s.ICCMean, s.ICC1Low, s.ICC1High}, 1e-6*(1+math.Abs(shift)+scale))
	})
}

// The report of a timed drill is that of the published parts: the analysis of variance of the times, its interval, and the six coefficients where every kid has
// the same trials.
func TestTimedReport(t *testing.T) {
	f := folderOf(7)
	for k, row := range shroutFleiss {
		add(f, k+1, "shuttle", row...)
	}
	r := Assess(f).Reports[0]
	a := NewOneWay(shroutFleiss)
	two, _ := NewTwoWay(shroutFleiss)
	assert.Equal(t, []int{6, 24}, []int{r.Kids, r.Trials})
	assert.Equal(t, two.ICCs(), r.ICCs)
	assert.InDelta(t, .1657418, r.ICC1, close6)
	assert.InDelta(t, .4427971, r.ICCMean, close6)
	assert.InDelta(t, -.1329323, r.ICC1Low, close6)
	assert.InDelta(t, .7225601, r.ICC1High, close6)
	assert.InDelta(t, a.Mean, r.Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(a.Within), r.SEM, 1e-12)
	assert.InDelta(t, 1.96*math.Sqrt2*math.Sqrt(a.Within), r.MDC, 1e-12)
	assert.Equal(t, r.SEM, r.SDTrial)
	assert.InDelta(t, math.Sqrt(a.Between), r.SDKid, 1e-12)
	assert.Equal(t, TrialsFor(.8, .1657418), r.TrialsFor80)
	assert.False(t, r.Assumed)
	add(f, 7, "shuttle", 5, 6)
	assert.Nil(t, Assess(f).Reports[0].ICCs, "a kid with fewer trials")
}

// A counted drill's report where the kids tell nothing apart: the share of all attempts, and the binomial's error of one trial.
func TestCountedReportWithoutAFit(t *testing.T) {
	f := folderOf(5)
	for k, v := range []float64{5, 5, 5, 5} {
		add(f, k+1, "catch", v, 3)
	}
	r := Assess(f).Reports[2]
	assert.Equal(t, []int{4, 8}, []int{r.Kids, r.Trials})
	assert.Equal(t, []float64{0, 0, 0, 0, 0}, []float64{r.Alpha, r.Beta, r.SDKid, r.ICC1, r.ICCMean})
	assert.InDelta(t, .4, r.Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(.4*.6/10), r.SEM, 1e-12)
	assert.Equal(t, 0, r.TrialsFor80)
}

// A prior is a density of the reliability: it sums to 1 over all of them, and its mean is that of its parts, the catalogue's value in its own part.
func TestPriorIsADensity(t *testing.T) {
	sums := func(p prior) (all, mean float64) {
		for x := -150.0; x < 150; x += .02 {
			r := 1 / (1 + math.Exp(-x))
			density := math.Exp(p.log(x)) // of the reliability, times dr/dx = r (1-r), which log has in it
			all += .02 * density
			mean += .02 * density * r
		}
		return all, mean
	}
	for given, taken := range map[float64]float64{.3: .3, .8: .8, 0: .05, 1: .95, .05: .05, math.NaN(): .5} {
		all, mean := sums(newPrior(given))
		assert.InDelta(t, 1, all, 1e-6, given)
		assert.InDelta(t, taken, mean, 1e-6, given)
		all, mean = sums(newPrior(given).or(anything(30, 10)))
		assert.InDelta(t, 1, all, 1e-6, given)
		weight := .4 * (1 - 10./30)
		assert.InDelta(t, (1-weight)*taken+weight*.5, mean, 1e-6, given)
		all, mean = sums(newPrior(given).or(wellDone))
		assert.InDelta(t, 1, all, 1e-6, given)
		assert.InDelta(t, .5*taken+.5*.8, mean, 1e-6, given)
	}
	assert.Equal(t, newPrior(.6), newPrior(.6).or(anything(10, 10)), "one trial each: the catalogue is all there is")
}

// The check for practice is the F test of trials: on 1 and 10 degrees of freedom one in a hundred is beyond 10.04 (any table of F). Of two trials F is the
// square of t, n m^2 / s^2 of the differences, here with s = .2 and n = 11.
func TestPracticeIsWarnedOfByTheTable(t *testing.T) {
	for f, warns := range map[float64]bool{9.8: false, 10.3: true} {
		pool := folderOf(11)
		for k := range 11 {
			noise := .2 * float64(k%2*2-1)
			if k == 10 {
				noise = 0
			}
			add(pool, k+1, "shuttle", 7+.1*float64(k)+math.Sqrt(.04*f/11)+noise, 7+.1*float64(k))
		}
		text := ""
		for _, w := range Assess(pool).Warnings {
			text += w
		}
		if warns {
			assert.Contains(t, text, "trials differ as a group: trial 1 averages 7.69 s, trial 2 7.50 (more than chance, F = 10.3)")
		} else {
			assert.NotContains(t, text, "differ as a group")
		}
	}
}

// Where trials differ by the same for every kid there is no error to compare with: no number that is none is shown.
func TestPracticeWithoutError(t *testing.T) {
	f := folderOf(4)
	for k, v := range []float64{6, 7, 8, 10} {
		add(f, k+1, "shuttle", v, v-.5)
	}
	p := Assess(f)
	sound(t, f, p)
	for _, w := range p.Warnings {
		assert.NotContains(t, w, "Inf")
	}
	assert.Nil(t, p.Reports[0].ICCs)
}

// One trial's variance is split by the assumed reliability only where no kid has two, and only between kids.
func TestAssumeOnlyWhereNothingElseSays(t *testing.T) {
	two := NewOneWay([][]float64{{1, 3}, {5, 4}})
	assert.Equal(t, two, two.assume(.8))
	one := NewOneWay([][]float64{{3}})
	assert.Equal(t, one, one.assume(.8))
	mixed := NewOneWay([][]float64{{3}, {4, 5}})
	assert.Equal(t, mixed, mixed.assume(.8))
}

// A counted drill's results are shares of attempts as the averaged model has them, and scores are how far they lie from its mean in its SD between kids.
func TestCountedResultsAreShares(t *testing.T) {
	f := folderOf(6)
	counts := []Count{{1, 10}, {4, 10}, {9, 10}, {16, 20}, {5, 10}, {}}
	for k, v := range [][]float64{{1}, {4}, {9}, {8, 8}, {5}} {
		add(f, k+1, "catch", v...)
	}
	p := Assess(f)
	m := newCounted(counts, small().Drills[2].Reliability)
	for k, c := range counts {
		post := m.kid(c)
		assert.Equal(t, Result{post.mean, post.sd, post.low, post.high, int(c.Attempts)}, p.Kids[k].Results[2])
		assert.InDelta(t, 50+10*(post.mean-m.mean)/m.sdKid, p.Kids[k].Drills[2].T, 1e-9)
		assert.InDelta(t, 10*post.sd/m.sdKid, p.Kids[k].Drills[2].SE, 1e-9)
		assert.True(t, 0 < post.low && post.low < post.mean && post.mean < post.high && post.high < 1)
		// Of the mixture 2.5 % lie beyond each limit, and its mean and SD are those of its parts.
		var below, above, mean, square, weights float64
		for _, n := range m.nodes {
			a, b := n.alpha+c.Successes, n.beta+c.Attempts-c.Successes
			weights += n.weight
			below += n.weight * mathext.RegIncBeta(a, b, post.low)
			above += n.weight * mathext.RegIncBeta(b, a, 1-post.high)
			mean += n.weight * a / (a + b)
			square += n.weight * (a / (a + b)) * (a + 1) / (a + b + 1)
		}
		assert.InDelta(t, 1, weights, 1e-9)
		assert.InDelta(t, .025, below, 1e-6)
		assert.InDelta(t, .025, above, 1e-6)
		assert.InDelta(t, mean, post.mean, 1e-9)
		assert.InDelta(t, math.Sqrt(square-mean*mean), post.sd, 1e-9)
	}
}

// The counted model's log density is the likelihood of the counts under Beta(mu c, (1-mu) c) times the priors: flat in mu, and that of the reliability
// 10/(10+c); both are in logits, so that the density of mu carries mu (1-mu). With or without the sums over attempts.
func TestCountedDensity(t *testing.T) {
	for _, counts := range [][]Count{{{1, 10}, {4, 10}, {9, 12}}, {{3, 500}, {77, 500}}} {
		m := newCounted(counts, .6)
		assert.Equal(t, counts[0].Attempts < 400, m.rises != nil)
		for _, x := range [][2]float64{{0, 0}, {-2, 1}, {1.5, -3}} {
			mu, r := 1/(1+math.Exp(-x[0])), 1/(1+math.Exp(-x[1]))
			c := 10 * (1 - r) / r
			want := m.prior.log(x[1]) + math.Log(mu*(1-mu))
			for _, k := range counts {
				want += mathext.Lbeta(mu*c+k.Successes, (1-mu)*c+k.Attempts-k.Successes) - mathext.Lbeta(mu*c, (1-mu)*c)
			}
			n, got := m.logDensity(x[0], x[1])
			assert.InDelta(t, want, got, 1e-7)
			assert.InDeltaSlice(t, []float64{mu * c, (1 - mu) * c}, []float64{n.alpha, n.beta}, 1e-9)
		}
	}
}
