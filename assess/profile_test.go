package assess

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sevenyard/drills"
)

// No estimator breaks on nothing, one or two of anything.
func TestFewValues(t *testing.T) {
	assert.Zero(t, NewOneWay(nil))
	assert.Zero(t, NewOneWay([][]float64{nil, {}}))
	one := NewOneWay([][]float64{{3}})
	assert.Equal(t, 3.0, one.Mean)
	assert.Zero(t, one.Reliability(1))
	two := NewOneWay([][]float64{{3}, {5}}).assume(.75)
	assert.Equal(t, 1.5, two.Between)
	assert.Equal(t, .5, two.Within)
	assert.InDelta(t, .75, two.Reliability(1), 1e-12)
	assert.Equal(t, 2.0, NewOneWay([][]float64{{3, 5}}).Within)
	for _, table := range [][][]float64{nil, {{}}, {{1}}, {{1, 2}}, {{1}, {2}}, {{1, 2}, {1}}} {
		_, ok := NewTwoWay(table)
		assert.False(t, ok)
	}
	flat, ok := NewTwoWay([][]float64{{1, 1}, {1, 1}})
	assert.True(t, ok)
	assert.Nil(t, flat.ICCs())
	assert.Zero(t, MAD(nil))
	assert.Zero(t, MAD([]float64{4}))
	assert.Equal(t, .5, MAD([]float64{1, 2}))
	assert.Empty(t, ModifiedZ(nil))
	assert.Equal(t, []float64{0}, ModifiedZ([]float64{7}))
	assert.Zero(t, BetaMoments(nil))
	assert.Zero(t, BetaMoments([]float64{.5}))
	assert.Zero(t, BetaMoments([]float64{.5, .5}))
	assert.Zero(t, FitBetaBinomial(nil))
	assert.Zero(t, FitBetaBinomial([]Count{{3, 10}}))
	assert.Zero(t, FitBetaBinomial([]Count{{3, 10}, {3, 10}}))
	assert.Zero(t, FitBetaBinomial([]Count{{0, 10}, {0, 10}}))
	assert.Zero(t, FitBetaBinomial([]Count{{10, 10}, {10, 10}}))
	assert.NotZero(t, FitBetaBinomial([]Count{{1, 10}, {9, 10}, {5, 10}}))
	assert.Zero(t, BetaBinomial{}.Reliability(10))
	assert.Zero(t, BetaBinomial{}.SDKid())
	assert.Zero(t, BetaBinomial{}.SEM(10))
}

// Pools that say nothing leave everybody at 50 with 10, and say so.
func TestPoolsThatSayNothing(t *testing.T) {
	for name, fill := range map[string]func(f *drills.Folder){
		"only one kid": func(f *drills.Folder) { add(f, 1, "shuttle", 6.1, 6.3, 6.2, 6.6); add(f, 1, "catch", 4) },
		"same": func(f *drills.Folder) {
			add(f, 1, "shuttle", 6.1, 6.1)
			add(f, 2, "shuttle", 6.1)
			add(f, 1, "catch", 4)
			add(f, 2, "catch", 4)
		},
		"fewer than four": func(f *drills.Folder) {
			add(f, 1, "shuttle", 6.1)
			add(f, 2, "shuttle", 6.3, 6.4)
			add(f, 1, "catch", 0)
			add(f, 2, "catch", 0)
		},
	} {
		t.Run(name, func(t *testing.T) {
			f := folderOf(4)
			fill(f)
			p := Assess(f)
			sound(t, f, p)
			for _, k := range p.Kids {
				for _, s := range k.Drills {
					assert.Equal(t, Score{s.Name, 50, 10, s.Tested, false}, s)
				}
			}
			text := strings.Join(p.Warnings, "\n")
			assert.Contains(t, text, name)
			assert.Contains(t, text, "everybody is 50")
		})
	}
}

func TestEmptyFolders(t *testing.T) {
	for kids := range 3 {
		f := folderOf(kids)
		p := Assess(f)
		sound(t, f, p)
		assert.Empty(t, p.Warnings)
		for _, k := range p.Kids {
			for _, list := range [][]Score{k.Drills, k.Traits, k.Fits} {
				for _, s := range list {
					assert.Equal(t, 50.0, s.T)
					assert.False(t, s.Tested)
				}
			}
		}
	}
	p := Assess(&drills.Folder{})
	assert.Empty(t, p.Kids)
}

// A fast kid is above 50, a slow one below, and an untested one at 50 with at least the full spread; times fall as
// ability rises. One trial each: the catalogue's reliability is what the report says.
func TestDirections(t *testing.T) {
	f := folderOf(6)
	for k, v := range []float64{5.9, 6.2, 6.4, 6.6, 7.1} {
		add(f, k+1, "shuttle", v)
		add(f, k+1, "catch", 9-float64(k))
	}
	p := Assess(f)
	sound(t, f, p)
	for _, d := range []int{0, 2} {
		assert.Greater(t, p.Kids[0].Drills[d].T, 55.0)
		assert.Less(t, p.Kids[4].Drills[d].T, 45.0)
		un := p.Kids[5].Drills[d]
		assert.False(t, un.Tested)
		assert.InDelta(t, 50, un.T, 1e-9)
		assert.Greater(t, un.SE, 9.0)
		assert.Less(t, un.SE, 16.0)
	}
	r := p.Reports[0]
	assert.True(t, r.Assumed)
	assert.InDelta(t, .8, r.ICC1, 1e-12)
	assert.InDelta(t, .8, r.ICCMean, 1e-12)
	assert.Equal(t, 1, r.TrialsFor80)
	assert.InDelta(t, 6.44, r.Mean, 1e-12)
	assert.Equal(t, []float64{0, 1}, []float64{r.ICC1Low, r.ICC1High})
	text := strings.Join(p.Warnings, "\n")
	assert.Contains(t, text, "shuttle: not tested: kid k6;")
	assert.Contains(t, text, "nobody did sprint, footwork; they count as 50")
	assert.NotContains(t, text, "Kid ")
}

// The report of a counted drill: n/(n + alpha + beta), and errors as shares.
func TestCountedReport(t *testing.T) {
	f := folderOf(8)
	for k, v := range []float64{1, 3, 4, 5, 6, 7, 8, 10} {
		add(f, k+1, "catch", v, math.Min(10, v+1))
	}
	r := Assess(f).Reports[2]
	s := r.Alpha + r.Beta
	assert.Greater(t, r.Alpha, 0.0)
	assert.InDelta(t, 10/(10+s), r.ICC1, 1e-12)
	assert.InDelta(t, 20/(20+s), r.ICCMean, 1e-12)
	assert.InDelta(t, r.ICC1, r.SDKid*r.SDKid/(r.SDKid*r.SDKid+r.SEM*r.SEM), 1e-12)
	assert.InDelta(t, 1.96*math.Sqrt2*r.SEM, r.MDC, 1e-12)
	assert.InDelta(t, r.Alpha/s, r.Mean, 1e-12)
}

// Traits and fits by hand: agility is shuttle .6 and footwork .4, speed shuttle .4 and sprint .6; front is half of each, so
// shuttle .5, sprint .3, footwork .2, and its error adds up over drills.
func TestTraitsAndFitsByHand(t *testing.T) {
	c := small()
	m := newMixer(&c)
	scores := []Score{{"shuttle", 60, 3, true, false}, {"sprint", 40, 4, true, false}, {"catch", 55, 5, true, false}, {"footwork", 50, 10, false, false}}
	traits := m.traits(scores)
	assert.InDelta(t, 56, traits[0].T, 1e-9)
	assert.InDelta(t, math.Hypot(.6*3, .4*10), traits[0].SE, 1e-9)
	assert.True(t, traits[0].Tested)
	assert.Equal(t, Score{"heart", 50, 10, false, false}, traits[3])
	fits := m.fits(scores, []drills.OwnFit{{Kid: "k1", Role: "deep", Fit: 71, SE: 2}})
	assert.InDelta(t, 52, fits[0].T, 1e-9)
	assert.InDelta(t, math.Sqrt(1.5*1.5+1.2*1.2+2*2), fits[0].SE, 1e-9)
	assert.Equal(t, Score{"deep", 71, 2, true, true}, fits[1])
	deep := m.fits(scores, nil)[1]
	assert.InDelta(t, 53.5, deep.T, 1e-9)
	assert.InDelta(t, math.Hypot(.7*5, .3*10), deep.SE, 1e-9)
}

func TestHoldsAreProfiled(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	f := randomFolder(rng, 8)
	want := Assess(f)
	f.Roster[2].Hold = "ankle"
	got := Assess(f)
	assert.True(t, got.Kids[2].Hold)
	got.Kids[2].Hold = false
	assert.Equal(t, want, got)
}

func TestTooClose(t *testing.T) {
	assert.True(t, TooClose(Score{T: 50, SE: 3}, Score{T: 54.9, SE: 4}))
	assert.False(t, TooClose(Score{T: 50, SE: 3}, Score{T: 55, SE: 4}))
	assert.True(t, TooClose(Score{T: 50}, Score{T: 50}))
	assert.False(t, TooClose(Score{T: 50}, Score{T: 50.1}))
}

func TestImportance(t *testing.T) {
	team := &drills.Team{Division: drills.Grades{Low: 3, High: 4}, Catalogue: small(), Importance: map[string]float64{"deep": .9}}
	assert.InDelta(t, .7, Importance(team, "front"), 1e-12)
	assert.Equal(t, .9, Importance(team, "deep"))
	assert.Zero(t, Importance(team, "nobody"))
	team.Division = drills.Grades{Low: 0, High: 1}
	assert.InDelta(t, .88, Importance(team, "front"), 1e-12)
	team.Division = drills.Grades{Low: 1, High: 2}
	assert.InDelta(t, .65+.35*.4, Importance(team, "front"), 1e-12)
	team.Catalogue.RunShares = nil
	assert.InDelta(t, .7, Importance(team, "front"), 1e-12)
}

// Trials that cannot be used are named, not lost.
func TestUnusableTrials(t *testing.T) {
	f := folderOf(2)
	f.Trials = []drills.Trial{
		{Kid: "nobody", Drill: "shuttle", Value: 6}, {Kid: "k1", Drill: "juggling", Value: 6}, {Kid: "k1", Drill: "shuttle", Value: math.NaN()},
		{Kid: "k1", Drill: "catch", Value: 6}, {Kid: "k1", Drill: "catch", Value: 11, Attempts: 10}, {Kid: "k1", Drill: "catch", Value: -1, Attempts: 10},
		{Kid: "k1", Drill: "sprint", Value: math.Inf(1)},
	}
	p := Assess(f)
	sound(t, f, p)
	require.Len(t, p.Warnings, len(f.Trials))
	for _, w := range p.Warnings {
		assert.Contains(t, w, "left out")
	}
}
