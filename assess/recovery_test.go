package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// cell is one kind of pool with known truth.
type cell struct {
	kids, trials int     // trials 0: one to four, differing from kid to kid
	truth        float64 // reliability of one trial (counted: of ten attempts)
	assumed      float64 // what the model is told
	missing      float64 // chance that a trial was not done
}

// tally of a cell's intervals and errors.
type tally struct {
	inside, kids  float64
	pools         int
	model, raw    float64 // squared errors over tested kids
	oracle, noise float64 // expected squared errors: knowing the variances but not the mean; raw
}

func (a tally) coverage() float64 { return a.inside / a.kids }
func (a tally) error() float64    { return a.model / a.raw }

// bound on the mean squared error over the raw mean's. Up to reliability 0.8 it is 0.95, or what
// the variances' true values would give plus 0.05 where that is more: four trials of reliability 0.8 leave
// even somebody who knew the variances 0.95 of the raw error.
func (a tally) bound(truth float64) float64 {
	if truth > .8 {
		return 1.03
	}
	return math.Min(1.03, math.Max(.95, a.oracle/a.noise+.05))
}

// cells: pools of 5 to 40 kids with 1 to 4 trials, all there or with missing ones. A one-trial night
// cannot tell reliability, so there the catalogue is right; elsewhere it says usual, whatever the truth.
func cells(usual float64) []cell {
	var out []cell
	for _, kids := range []int{5, 7, 12, 20, 40} {
		for _, trials := range []int{1, 2, 3, 4, 0} {
			for _, truth := range []float64{.4, .6, .8, .92} {
				for _, missing := range []float64{0, .15} {
					c := cell{kids, trials, truth, usual, missing}
					if trials == 1 {
						c.assumed = truth
					}
					out = append(out, c)
				}
			}
		}
	}
	return out
}

// trialsOf gives how many trials a kid did.
func (c cell) trialsOf(rng *rand.Rand) int {
	n := c.trials
	if n == 0 {
		n = 1 + rng.IntN(4)
	}
	done := 0
	for range n {
		if rng.Float64() >= c.missing {
			done++
		}
	}
	return done
}

func (c cell) timed(rng *rand.Rand, a *tally) {
	const between = .33 // seconds
	within := between * math.Sqrt((1-c.truth)/c.truth)
	truth, values := make([]float64, c.kids), make([][]float64, c.kids)
	tested := 0
	for k := range truth {
		truth[k] = -6.4 + between*rng.NormFloat64()
		for range c.trialsOf(rng) {
			values[k] = append(values[k], truth[k]+within*rng.NormFloat64())
		}
		slices.Sort(values[k])
		tested += min(len(values[k]), 1)
	}
	if tested < 2 {
		return
	}
	a.pools++
	model := newTimed(values, c.assumed, 0)
	for k, v := range values {
		y := math.NaN()
		if len(v) > 0 {
			y = (meanOf(v) - model.origin) / model.scale
		}
		inner := y
		if len(v) == 0 {
			inner = 0
		}
		p := model.kid(len(v), inner)
		at := (truth[k] - model.origin) / model.scale
		a.add(p, at, y, model.scale)
		a.expect(float64(len(v)), within*within, between*between, tested)
	}
}

func (c cell) counted(rng *rand.Rand, a *tally) {
	size := tenAttempts * (1 - c.truth) / c.truth
	mean := .35 + .4*rng.Float64()
	truth, counts := make([]float64, c.kids), make([]Count, c.kids)
	tested := 0
	for k := range truth {
		truth[k] = betaVariate(rng, mean*size, (1-mean)*size)
		for range c.trialsOf(rng) {
			counts[k].Attempts += 10
			for range 10 {
				if rng.Float64() < truth[k] {
					counts[k].Successes++
				}
			}
		}
		tested += min(int(counts[k].Attempts), 1)
	}
	if tested < 2 {
		return
	}
	a.pools++
	model := newCounted(counts, c.assumed)
	for k, x := range counts {
		raw := x.Successes / x.Attempts // not a number if untested
		a.add(model.kid(x), truth[k], raw, 1)
		between := mean * (1 - mean) / (size + 1)
		a.expect(x.Attempts, between*size, between, tested)
	}
}

// add one kid; raw is not a number for an untested one.
func (a *tally) add(p posterior, truth, raw, unit float64) {
	a.kids++
	if p.low <= truth && truth <= p.high {
		a.inside++
	}
	if !math.IsNaN(raw) {
		a.model += math.Pow((p.mean-truth)*unit, 2)
		a.raw += math.Pow((raw-truth)*unit, 2)
	}
}

// expect adds what a kid with n trials is to be expected to add, given the variances of one trial and
// between kids.
func (a *tally) expect(n, within, between float64, tested int) {
	if n > 0 {
		lambda := between / (between + within/n)
		a.noise += within / n
		a.oracle += within / n * (1 - (1-lambda)*(1-1/float64(tested)))
	}
}

// betaVariate by two gammas (Marsaglia and Tsang 2000).
func betaVariate(rng *rand.Rand, a, b float64) float64 {
	x, y := logGamma(rng, a), logGamma(rng, b)
	return 1 / (1 + math.Exp(y-x))
}

// logGamma is the log of a gamma variate of shape a.
func logGamma(rng *rand.Rand, a float64) float64 {
	boost := 0.0
	if a < 1 {
		boost = math.Log(rng.Float64()) / a
		a++
	}
	d := a - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := rng.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(rng.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return math.Log(d*v) + boost
		}
	}
}

// sweep picks the cells of the long version: every seventh with SEVENYARD_SWEEP=1, all of them with
// SEVENYARD_SWEEP=full; none without.
func sweep(list []cell) []cell {
	switch os.Getenv("SEVENYARD_SWEEP") {
	case "":
		return nil
	case "full":
		return list
	}
	return some(list, 7)
}

// recovery runs cells with about so many kids each, so that coverage is known to within about 0.005 (at
// 6,000), and returns the number of pools.
func recovery(t *testing.T, list []cell, kids int, run func(cell, *rand.Rand, *tally)) int {
	pools := 0
	for i, c := range list {
		rng := rand.New(rand.NewPCG(7, uint64(i)))
		var a tally
		for a.kids < float64(kids) {
			run(c, rng, &a)
		}
		pools += a.pools
		name := fmt.Sprintf("%2d kids, %d trials (0: 1-4), truth %.2f, assumed %.2f, missing %.2f", c.kids, c.trials, c.truth, c.assumed, c.missing)
		t.Logf("%s: coverage %.4f, error %.3f of the raw one (variances known: %.3f)", name, a.coverage(), a.error(), a.oracle/a.noise)
		assert.GreaterOrEqual(t, a.coverage(), .92, name)
		assert.LessOrEqual(t, a.coverage(), .97, name)
		assert.LessOrEqual(t, a.error(), a.bound(c.truth), name)
	}
	t.Logf("%d pools in %d cells", pools, len(list))
	return pools
}

// some takes every nth cell.
func some(list []cell, n int) []cell {
	var out []cell
	for i := n / 2; i < len(list); i += n {
		out = append(out, list[i])
	}
	return out
}

// Recovery of a known truth: 95 % intervals must hold it in 92 to 97 % of the cases in every cell, and
// the mean squared error must beat that of the raw mean. The long version covers every cell.
func TestRecoveryOfTimes(t *testing.T) {
	t.Parallel()
	list, kids := some(cells(.8), 9), 6000
	if long := sweep(cells(.8)); long != nil {
		list, kids = long, 16000
	}
	assert.Greater(t, recovery(t, list, kids, cell.timed), 2000)
}

func TestRecoveryOfCounts(t *testing.T) {
	t.Parallel()
	list, kids := some(cells(.6), 17), 3000
	if long := sweep(cells(.6)); long != nil {
		list, kids = long, 12000
	}
	assert.Greater(t, recovery(t, list, kids, cell.counted), 2000)
}
