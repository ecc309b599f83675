package assess

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Tarone 1982, Biometrics 38:215-220; Gelman et al., Bayesian Data Analysis, table 5.1: tumours in 71 groups of rats.
func ratTumours() []Count {
	run := func(v float64, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = v
		}
		return out
	}
	join := func(parts ...[]float64) (all []float64) {
		for _, p := range parts {
			all = append(all, p...)
		}
		return all
	}
	y := join(run(0, 14), run(1, 8), run(2, 9), []float64{1, 5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10}, run(4, 7),
		[]float64{10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4})
	n := join(run(20, 7), run(19, 4), run(18, 2), []float64{17}, run(20, 4), run(19, 2), run(18, 2), []float64{25, 24, 23},
		run(20, 6), []float64{10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50}, run(20, 7),
		[]float64{48, 19, 19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 46, 47, 24, 14})
	counts := make([]Count, len(y))
	for i := range y {
		counts[i] = Count{y[i], n[i]}
	}
	return counts
}

// Moments: Bayesian Data Analysis, section 5.1, rounds to (1.4, 8.6) (from memory); the exact values
// from the 70 historical groups are recomputed, and the maximum likelihood ones with an independent
// optimiser (SciPy).
func TestRatTumours(t *testing.T) {
	counts := ratTumours()
	assert.Len(t, counts, 71)
	var y, n float64
	shares := make([]float64, len(counts))
	for i, c := range counts {
		y, n, shares[i] = y+c.Successes, n+c.Attempts, c.Successes/c.Attempts
	}
	assert.Equal(t, 267.0, y)
	assert.Equal(t, 1739.0, n)
	m := BetaMoments(shares[:70])
	assert.InDelta(t, 1.3561494, m.Alpha, close6)
	assert.InDelta(t, 8.6150579, m.Beta, close6)
	fit := FitBetaBinomial(counts[:70])
	assert.InDelta(t, 2.304783, fit.Alpha, 2e-6)
	assert.InDelta(t, 14.079810, fit.Beta, 5e-6)
	// The likelihood is flat there, so two optimisers agree to 7 digits at most: ask for the zero gradient too.
	da, db := fit.gradient(groupCounts(counts[:70]))
	assert.InDelta(t, 0, da, 5e-6)
	assert.InDelta(t, 0, db, 5e-6)
	fit = FitBetaBinomial(counts)
	assert.InDelta(t, 2.341614, fit.Alpha, 2e-6)
	assert.InDelta(t, 14.114801, fit.Beta, 5e-6)
	// The 71st group, 4 of 14, under Beta(1.4, 8.6): mean .225 and SD .0835165.
	a, b := 1.4+4.0, 8.6+10.0
	assert.InDelta(t, .225, a/(a+b), 1e-9)
	assert.InDelta(t, .0835165, BetaBinomial{a, b}.SDKid(), close6)
}

// baseball is Efron and Morris 1975, JASA 70:311-319, table 1: hits in the first 45 at-bats of 18 players, and
// their average over the rest of the season.
var baseball = []struct{ hits, rest float64 }{
	{18, .346}, {17, .298}, {16, .276}, {15, .222}, {14, .273}, {14, .270}, {13, .263}, {12, .210}, {11, .269},
	{11, .230}, {10, .264}, {10, .256}, {10, .303}, {10, .264}, {10, .226}, {9, .285}, {8, .316}, {7, .200},
}

// Shrinkage by Stein's rule is Kelley's estimate with reliability 1 - (k-3) s²/S: .212 in Efron and Morris
// 1977, Scientific American 236(5):119-127, and total squared error falls 3.5-fold.
func TestEfronMorris(t *testing.T) {
	var y []float64
	for _, b := range baseball {
		y = append(y, b.hits/45)
	}
	mean := meanOf(y)
	s := squaresAround(y, mean)
	reliability := 1 - 15*mean*(1-mean)/45/s
	assert.InDelta(t, .2116534, reliability, close6)
	assert.InDelta(t, .2939, kelley(mean, reliability, y[0]), 5e-5)
	assert.InDelta(t, .2422, kelley(mean, reliability, y[17]), 5e-5)
	var raw, shrunk float64
	for i, b := range baseball {
		raw += math.Pow(y[i]-b.rest, 2)
		shrunk += math.Pow(kelley(mean, reliability, y[i])-b.rest, 2)
	}
	assert.InDelta(t, 3.534860, raw/shrunk, 5e-3) // the rest of the season is given with three digits

	// The averaged model on the same hits, with nothing said about these players' reliability: it must
	// shrink towards the same mean, and come closer to the rest of the season than the raw averages.
	var counts []Count
	for _, b := range baseball {
		counts = append(counts, Count{b.hits, 45})
	}
	model := newCounted(counts, .3)
	averaged := 0.0
	for i, b := range baseball {
		p := model.kid(counts[i])
		averaged += math.Pow(p.mean-b.rest, 2)
		assert.Less(t, math.Abs(p.mean-mean), math.Abs(y[i]-mean)+2e-3) // the model's own mean is no more than that away
	}
	assert.Greater(t, raw/averaged, 3.0)
}

// Maximum likelihood on the same hits, recomputed with SciPy: a very large size, so a flat ridge.
func TestBaseballLikelihood(t *testing.T) {
	var counts []Count
	for _, b := range baseball {
		counts = append(counts, Count{b.hits, 45})
	}
	fit := FitBetaBinomial(counts)
	assert.InEpsilon(t, 210.5518, fit.Alpha, 1e-4)
	assert.InEpsilon(t, 582.6886, fit.Beta, 1e-4)
	assert.InDelta(t, .272657, kelley(fit.Alpha/(fit.Alpha+fit.Beta), fit.Reliability(45), 18.0/45), 2e-6)
	assert.InDelta(t, .259534, kelley(fit.Alpha/(fit.Alpha+fit.Beta), fit.Reliability(45), 7.0/45), 2e-6)
}
