package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sevenyard/drills"
)

// Small parts, each by its definition and on both sides of its borders.
func TestSmallParts(t *testing.T) {
	for _, c := range []struct {
		of   []int
		want int
	}{{nil, 0}, {[]int{3}, 3}, {[]int{1, 2, 1, 2}, 2}, {[]int{2, 1, 2}, 2}, {[]int{3, 1, 1}, 1}, {[]int{3, 2, 1}, 3}} {
		assert.Equal(t, c.want, mostFrequent(slices.Clone(c.of)), "%v", c.of)
	}
	assert.Equal(t, 2, usual([][]float64{{1, 2}, nil, nil, {}, {1}, {3, 4}}), "kids without a trial do not count")
	for _, c := range []struct {
		value       []float64
		first, last int
	}{{[]float64{0, 0, 1}, 2, 2}, {[]float64{1, 0, 0}, 0, 0}, {[]float64{0, 1, 0, 2, 0}, 1, 3}, {[]float64{math.NaN(), 0, math.NaN()}, 0, 2}} {
		first, last := edges(c.value, 1)
		assert.Equal(t, []int{c.first, c.last}, []int{first, last}, "%v", c.value)
	}
	assert.Equal(t, []float64{0, 0, 0}, []float64{ratio(0, 0), ratio(0, 2), 0})
	assert.Equal(t, 1.5, ratio(3, 2))
	assert.True(t, math.IsInf(ratio(1, 0), 1))
	assert.Equal(t, []float64{0, 2, 2.5, 3}, []float64{median(nil), median([]float64{3, 1, 2}), median([]float64{4, 1, 2, 3}), median([]float64{3})})
	assert.Equal(t, []string{"more", "more", "less"}, []string{moreOrLess(1), moreOrLess(0), moreOrLess(-1)})
	for _, c := range []struct {
		counts []Count
		want   bool
	}{
		{nil, true}, {[]Count{{}, {3, 10}, {}, {6, 20}}, true}, {[]Count{{3, 10}, {4, 10}}, false}, {[]Count{{3, 10}, {3, 20}}, false}, {[]Count{{}, {0, 10}, {0, 20}}, true}, {[]Count{{0, 10}, {1, 10}}, false},
	} {
		assert.Equal(t, c.want, allSame(c.counts), "%v", c.counts)
	}
	assert.Equal(t, "f.csv:3", place(drills.Place{File: "f.csv", Line: 3}))
	assert.Equal(t, "f.csv:1", place(drills.Place{File: "f.csv", Line: 1}))
	assert.Equal(t, "f.csv", place(drills.Place{File: "f.csv"}))
	// 99 trials at .8 of reliability r: r = .8 / (.8 + 99 * .2).
	least := .8 / (.8 + 99*.2)
	assert.Equal(t, []int{99, 0, 1, 1, 0, 0}, []int{TrialsFor(.8, least+1e-6), TrialsFor(.8, least-1e-6), TrialsFor(.8, .9), TrialsFor(.8, 1.1), TrialsFor(1, .5), TrialsFor(.8, -1)})
	assert.InDelta(t, .5, OneWay{Between: 2, Within: 2}.Reliability(1), 1e-12)
	assert.Zero(t, OneWay{Between: 2, Within: 2}.Reliability(0))
	assert.Zero(t, OneWay{Between: 2, Within: 2}.Reliability(-1))
	assert.InDelta(t, .75, BetaBinomial{1, 2}.Reliability(9), 1e-12)
	assert.Zero(t, BetaBinomial{1, 2}.Reliability(0))
	// Beta(1, 1) is even from 0 to 1: SD 1/sqrt(12); the mean of p(1-p) is 1/6.
	assert.InDelta(t, 1/math.Sqrt(12), BetaBinomial{1, 1}.SDKid(), 1e-12)
	assert.InDelta(t, math.Sqrt(1./6/10), BetaBinomial{1, 1}.SEM(10), 1e-12)
	assert.Zero(t, BetaBinomial{1, 1}.SEM(0))
	for _, c := range []struct {
		f, d1, d2, k float64
		low, high    float64
	}{{2, 0, 3, 2, 0, 1}, {2, 3, 0, 2, 0, 1}, {2, 3, 3, 1, 0, 1}, {math.Inf(1), 3, 3, 2, 1, 1}} {
		low, high := iccInterval(c.f, c.d1, c.d2, c.k)
		assert.Equal(t, []float64{c.low, c.high}, []float64{low, high}, "%v", c)
	}
	// On 1 and 1 degrees of freedom the quantile is 647.789 (any table of F).
	low, high := iccInterval(647.789, 1, 1, 2)
	assert.InDeltaSlice(t, []float64{0, (647.789*647.789 - 1) / (647.789*647.789 + 1)}, []float64{low, high}, 1e-6)
}

// Kids who hit all or nothing differ as much as kids can: the moments allow no fit, and the likelihood says so all the same.
func TestAllOrNothingIsReliable(t *testing.T) {
	counts := []Count{{0, 10}, {10, 10}, {0, 10}, {10, 10}}
	assert.Zero(t, BetaMoments([]float64{0, 1, 0, 1}))
	assert.Greater(t, FitBetaBinomial(counts).Reliability(10), .99)
	assert.Zero(t, FitBetaBinomial([]Count{{5, 10}, {5, 10}, {6, 10}, {4, 10}}), "less apart than chance")
	assert.Equal(t, FitBetaBinomial(counts), FitBetaBinomial(append([]Count{{0, 0}, {0, 0}}, counts...)), "kids without an attempt say nothing")
	groups := groupCounts([]Count{{30, 30}, {0, 0}, {0, 30}, {4, 10}, {30, 30}})
	assert.Equal(t, []countGroup{{4, 10, 1}, {0, 30, 1}, {30, 30, 2}}, groups)
	for _, g := range [][]countGroup{groups, {{30, 30, 1}, {0, 30, 1}}, {{400, 400, 1}, {7, 9, 1}}} {
		require.NotNil(t, newRises(g))
		for _, b := range []BetaBinomial{{.1, .3}, {2, 5}} {
			assert.InDelta(t, b.logLikelihood(g), newRises(g).logLikelihood(b.Alpha, b.Beta), 1e-8)
		}
	}
	assert.Nil(t, newRises([]countGroup{{7, 401, 1}}))
	assert.Nil(t, newRises([]countGroup{{1, 10.5, 1}}))
}

// A drill that nobody did, or that tells nothing, goes by its plausible range, three SDs each way: 4 to 22 s is 13 with 3, and 95 % lie
// within 1.96 of them. Where all did the same, that is the estimate, and the range still bounds the interval.
func TestGuessesByHand(t *testing.T) {
	f := folderOf(3)
	p := Assess(f)
	require.Equal(t, Result{13, 3, 13 - 1.96*3, 13 + 1.96*3, 0}, p.Kids[1].Results[0])
	share := p.Kids[1].Results[2]
	assert.InDeltaSlice(t, []float64{.5, 1. / 6, .5 - 1.96/6, .5 + 1.96/6}, []float64{share.Estimate, share.SE, share.Low, share.High}, 1e-12)
	add(f, 1, "shuttle", 5, 5)
	add(f, 2, "shuttle", 5)
	add(f, 1, "sprint", 24)
	add(f, 2, "sprint", 24)
	p = Assess(f)
	for k, trials := range []int{2, 1, 0} {
		r := p.Kids[k].Results[0]
		assert.InDeltaSlice(t, []float64{5, 3, 4, 5 + 1.96*3}, []float64{r.Estimate, r.SE, r.Low, r.High}, 1e-12)
		assert.Equal(t, trials, r.Trials)
	}
	assert.Equal(t, Result{24, 3, 24 - 1.96*3, 24, 1}, p.Kids[0].Results[1], "beyond the range as it is, but no further")
	low, high := plausible(&drills.Drill{Kind: drills.Timed}, drills.Grades{})
	assert.Equal(t, []float64{0, 0}, []float64{low, high})
}

// Each drill says what it has to say, and nothing else.
func TestWarningsOfEachDrill(t *testing.T) {
	says := func(f *drills.Folder, drill string) string {
		for _, w := range Assess(f).Warnings {
			if rest, ok := strings.CutPrefix(w, drill+": "); ok && !strings.HasPrefix(rest, "not tested") {
				return rest
			}
		}
		return ""
	}
	for _, drill := range []string{"shuttle", "catch", "footwork"} {
		apart, alike, noise := folderOf(6), folderOf(6), folderOf(6)
		one := folderOf(6)
		for k := 1; k <= 6; k++ {
			v := float64(3 + k%5)
			add(apart, k, drill, v, v, v)
			add(alike, k, drill, 5, 5)
			add(noise, k, drill, 4, 6)
		}
		add(one, 2, drill, 4, 5)
		assert.Empty(t, says(apart, drill), drill)
		assert.Contains(t, says(one, drill), "only one kid was tested", drill)
		assert.Contains(t, says(alike, drill), "tells no kid from another", drill)
		if drill == "catch" {
			add(noise, 1, drill, 0) // not all the same
		}
		assert.Contains(t, says(noise, drill), "differ no more than", drill)
	}
	f := folderOf(3)
	add(f, 1, "shuttle", 6, 7)
	add(f, 2, "shuttle", 6.5)
	assert.Contains(t, says(f, "shuttle"), "fewer than four trials in all")
	add(f, 2, "shuttle", 6.8)
	assert.NotContains(t, says(f, "shuttle"), "fewer than four")
}

// Untested kids are named in the order of their numbers.
func TestUntestedAreNamedInOrder(t *testing.T) {
	f := folderOf(12)
	add(f, 3, "shuttle", 6, 7)
	add(f, 5, "shuttle", 6.5, 7)
	text := strings.Join(Assess(f).Warnings, "\n")
	assert.Contains(t, text, "shuttle: not tested: kids k1, k2, k4, k6, k7, k8, k9, k10, k11, k12; scored 50")
	assert.Contains(t, text, "nobody did sprint, catch, footwork; they count as 50")
	for k := 1; k <= 12; k++ {
		add(f, k, "sprint", 5+float64(k))
		add(f, k, "catch", float64(k%10))
	}
	text = strings.Join(Assess(f).Warnings, "\n")
	assert.Contains(t, text, "nobody did footwork; it counts as 50")
	assert.NotContains(t, text, "sprint: not tested")
}

// Counts are compared as shares: 1 of 10 is odd beside 16 of 20, and 16 beside 8 is not.
func TestOddCounts(t *testing.T) {
	f := folderOf(8)
	for k, v := range []float64{7, 8, 9, 8, 7, 9, 16, 1} {
		add(f, k+1, "catch", v)
	}
	f.Trials[6].Attempts = 20
	text := strings.Join(Assess(f).Warnings, "\n")
	// median .8, MAD .1: 0.6745 * -.7/.1 = -4.7
	assert.Contains(t, text, "kid k8, catch trial 1: 1 of 10 looks odd but counts (modified z-score -4.7, beyond 3.5)")
	assert.Equal(t, 1, strings.Count(text, "looks odd"))
}

// What cannot be scored is said with its reason, and its neighbours that can are not touched.
func TestBordersOfUnusableTrials(t *testing.T) {
	c := small()
	shuttle, catch := &c.Drills[0], &c.Drills[2]
	for _, x := range []struct {
		d        *drills.Drill
		value    float64
		attempts int
		says     string
	}{
		{shuttle, 1e9, 0, ""}, {shuttle, -1e9, 0, ""}, {shuttle, 1.1e9, 0, "no number"}, {shuttle, -1.1e9, 0, "no number"}, {shuttle, math.NaN(), 0, "no number"}, {shuttle, -1, 0, ""},
		{catch, 0, 1, ""}, {catch, 1, 1, ""}, {catch, 0, 0, "no attempts"}, {catch, 0, -1, "no attempts"}, {catch, 2, 1, "2 of 1 attempts cannot be"}, {catch, -1, 1, "-1 of 1"},
	} {
		got := unusable(x.d, &drills.Trial{Value: x.value, Attempts: x.attempts})
		assert.Equal(t, x.says == "", got == "", "%+v", x)
		assert.Contains(t, got, x.says)
	}
}

// Weights on what there is not, and weights that are none, are left out.
func TestWeightsOnNothing(t *testing.T) {
	c := small()
	want := newMixer(&c)
	c.Roles[1].Weights = append(c.Roles[1].Weights, drills.Share{Name: "no such trait", Weight: 5}, drills.Share{Name: "speed", Weight: -1}, drills.Share{Name: "speed"})
	c.Drills[2].Loads = append(c.Drills[2].Loads, drills.Share{Name: "no such trait", Weight: 5}, drills.Share{Name: "speed", Weight: -1})
	got := newMixer(&c)
	assert.Equal(t, want.roleWeights, got.roleWeights)
	assert.Equal(t, want.traitWeights, got.traitWeights)
	c.Roles[0].Weights = nil
	s := newMixer(&c).fits([]Score{{"shuttle", 60, 3, true, false}, {}, {}, {}}, nil)[0]
	assert.Equal(t, Score{Name: "front", T: 50, SE: 10}, s, "a role that asks for nothing")
	assert.False(t, toOne([]float64{0, 0}))
	assert.False(t, toOne([]float64{math.Inf(1), 0}))
	own := []drills.OwnFit{{Role: "front", Fit: math.NaN(), SE: 1}, {Role: "deep", Fit: 40, SE: math.Inf(1)}}
	for i, s := range want.fits([]Score{{}, {}, {}, {}}, own) {
		assert.False(t, s.Own, i)
	}
	assert.Equal(t, 2.0, want.fits([]Score{{}, {}, {}, {}}, []drills.OwnFit{{Role: "deep", Fit: 40, SE: -2}})[1].SE)
}

// The node's mean is the generalised least-squares one, and its Q the sum of squares around it: the likelihood of the trials, each kid's with
// covariance I + r 11', integrated over mean and variance (Box and Tiao 1973), here by Gaussian elimination over all trials.
func TestNodeIsTheLikelihood(t *testing.T) {
	values := [][]float64{{1, 2.5}, {4}, {3, 3.5, 5}, {2}, {0, 1, 1.5, 2}}
	m := newTimed(values, .8, 0)
	y := []float64{}
	kid := []int{}
	for k, v := range values {
		for _, x := range v {
			y, kid = append(y, (x-m.origin)/m.scale), append(kid, k)
		}
	}
	n := len(y)
	direct := func(r float64) (mu, q, log float64) {
		a := make([][]float64, n) // V, and beside it 1 and y
		for i := range a {
			a[i] = make([]float64, n+2)
			for j := range n {
				if kid[i] == kid[j] {
					a[i][j] = r
				}
			}
			a[i][i]++
			a[i][n], a[i][n+1] = 1, y[i]
		}
		for c := range n {
			log -= math.Log(a[c][c]) / 2
			for i := range n {
				if i == c {
					continue
				}
				by := a[i][c] / a[c][c]
				for j := range n + 2 {
					a[i][j] -= by * a[c][j]
				}
			}
		}
		var ones, sum, square float64
		for i := range n {
			ones += a[i][n] / a[i][i]
			sum += a[i][n+1] / a[i][i]
			square += y[i] * a[i][n+1] / a[i][i]
		}
		mu = sum / ones
		q = square - sum*mu
		return mu, q, log - math.Log(ones)/2 - float64(n-1)/2*math.Log(q)
	}
	_, _, log0 := direct(.5)
	_, l0 := m.node(math.Log(.5))
	for _, r := range []float64{.01, .3, 1, 4, 50} {
		node, l := m.node(math.Log(r))
		mu, q, log := direct(r)
		assert.InDelta(t, mu, node.mu, 1e-9, r)
		assert.InDelta(t, q/float64(n-1), node.s2, 1e-9, r)
		assert.InDelta(t, log-log0, l-l0, 1e-9, r)
	}
}

// Of two timers one is named, as the other is the same fact with the sign turned; of three, who reads more than both others.
func TestOneOfTwoTimersIsNamed(t *testing.T) {
	timed := func(timers ...string) string {
		f := folderOf(12)
		for k := range 12 {
			for i := range 3 {
				timer := timers[(k+i)%len(timers)]
				v := 6 + .2*float64(k) + .01*float64((7*k+3*i)%5)
				if timer == "B" {
					v += .5
				}
				f.Trials = append(f.Trials, drills.Trial{Kid: fmt.Sprintf("k%d", k+1), Drill: "shuttle", Number: i + 1, Value: v, Timer: timer})
			}
		}
		return strings.Join(Assess(f).Warnings, "\n")
	}
	two := timed("A", "B")
	assert.Equal(t, 1, strings.Count(two, " reads "), two)
	assert.Contains(t, two, "timer A reads 0.50 s less than the others")
	three := timed("A", "B", "C")
	assert.Contains(t, three, "timer B reads 0.50 s more than the others")
	assert.NotContains(t, timed("A", "C"), "reads")
	assert.NotContains(t, timed("B"), "reads")
}
