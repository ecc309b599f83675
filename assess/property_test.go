package assess

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"sevenyard/drills"
)

func anyFolder(t *rapid.T) (*drills.Folder, *rand.Rand) {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	return randomFolder(rng, rapid.IntRange(0, 14).Draw(t, "kids")), rng
}

// Shuffling trials changes nothing, to the last bit.
func TestOrderOfTrialsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rng := anyFolder(t)
		want := Assess(f)
		sound(t, f, want)
		rng.Shuffle(len(f.Trials), func(i, j int) { f.Trials[i], f.Trials[j] = f.Trials[j], f.Trials[i] })
		assert.Equal(t, want, Assess(f))
	})
}

// Shuffling the roster changes the order of kids and nothing else; names change nothing but names.
func TestOrderOfRosterAndNamesDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rng := anyFolder(t)
		want := Assess(f)
		rng.Shuffle(len(f.Roster), func(i, j int) { f.Roster[i], f.Roster[j] = f.Roster[j], f.Roster[i] })
		names := map[string]string{}
		for i := range f.Roster {
			names[f.Roster[i].ID], f.Roster[i].Name = f.Roster[i].Name, "somebody else"
		}
		got := Assess(f)
		assert.Equal(t, want.Reports, got.Reports)
		assert.Equal(t, want.Warnings, got.Warnings)
		for _, k := range want.Kids {
			i := slices.IndexFunc(got.Kids, func(o Kid) bool { return o.ID == k.ID })
			got.Kids[i].Name = names[k.ID]
			assert.Equal(t, k, got.Kids[i])
		}
	})
}

// A constant added to all times of a drill, or another unit, leaves T-scores as they are.
func TestUnitDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, _ := anyFolder(t)
		want := Assess(f)
		shift := rapid.Float64Range(-50, 50).Draw(t, "shift")
		scale := rapid.Float64Range(.01, 1000).Draw(t, "scale")
		for i := range f.Trials {
			if d := f.Trials[i].Drill; d == "shuttle" || d == "sprint" {
				f.Trials[i].Value = shift + scale*f.Trials[i].Value
			}
		}
		got := Assess(f)
		for i, k := range want.Kids {
			for d, s := range k.Drills {
				assert.InDelta(t, s.T, got.Kids[i].Drills[d].T, 1e-9*(1+math.Abs(shift)))
				assert.InDelta(t, s.SE, got.Kids[i].Drills[d].SE, 1e-9*(1+math.Abs(shift)))
			}
		}
	})
}

// Improving all of one kid's trials by the same amount never lowers that kid's estimate.
func TestImprovingNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, _ := anyFolder(t)
		if len(f.Roster) == 0 {
			return
		}
		k := rapid.IntRange(0, len(f.Roster)-1).Draw(t, "kid")
		by := rapid.Float64Range(0.001, 3).Draw(t, "by")
		before := Assess(f).Kids[k].Results
		for i := range f.Trials {
			tr := &f.Trials[i]
			if tr.Kid != f.Roster[k].ID {
				continue
			}
			switch tr.Drill {
			case "catch":
				tr.Value = math.Min(10, tr.Value+1)
			case "footwork":
				tr.Value += by
			default:
				tr.Value -= by
			}
		}
		after := Assess(f).Kids[k].Results
		for d, drill := range f.Team.Catalogue.Drills {
			if drill.Kind == drills.Timed {
				assert.LessOrEqual(t, after[d].Estimate, before[d].Estimate+1e-9, drill.Name)
			} else {
				assert.GreaterOrEqual(t, after[d].Estimate, before[d].Estimate-1e-9, drill.Name)
			}
		}
	})
}

// The averaged model against the plug-in one where they must meet: many kids, many trials.
func TestAveragedMeetsPlugIn(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	values := make([][]float64, 400)
	for k := range values {
		a := rng.NormFloat64()
		for range 2 + k%3 {
			values[k] = append(values[k], 5+a+.7*rng.NormFloat64())
		}
		slices.Sort(values[k])
	}
	model, plug := newTimed(values, .8, 0), NewOneWay(values)
	assert.InEpsilon(t, math.Sqrt(plug.Between), model.sdKid*model.scale, .02)
	for k, v := range values {
		lambda := plug.Reliability(float64(len(v)))
		p := model.kid(len(v), (meanOf(v)-model.origin)/model.scale)
		assert.InDelta(t, kelley(plug.Mean, lambda, meanOf(v)), model.origin+model.scale*p.mean, .02, "kid %d", k)
		assert.InEpsilon(t, math.Sqrt(kelleyVariance(plug.Between, lambda)), model.scale*p.sd, .03)
	}
}

// All values equal, whatever they are: nothing is reported of kids who differ, nor of trials that do, and every kid is in the middle.
func TestEqualValuesTellNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kids := rapid.IntRange(2, 14).Draw(t, "kids")
		f := folderOf(kids)
		value := float64(rapid.IntRange(300, 1900).Draw(t, "hundredths")) / 100
		uneven := rapid.Bool().Draw(t, "uneven")
		most := rapid.IntRange(1, 5).Draw(t, "trials")
		for _, k := range f.Roster {
			trials := most
			if uneven {
				trials = rapid.IntRange(1, most).Draw(t, "own")
			}
			for n := range trials {
				f.Trials = append(f.Trials, drills.Trial{Kid: k.ID, Drill: "shuttle", Number: n + 1, Value: value})
			}
		}
		p := Assess(f)
		i := slices.IndexFunc(p.Reports, func(r Report) bool { return r.Drill == "shuttle" })
		r := p.Reports[i]
		assert.Equal(t, []float64{value, 0, 0, 0, 0, 0, 0}, []float64{r.Mean, r.SDKid, r.SDTrial, r.ICC1, r.ICCMean, r.SEM, r.MDC}, "%v", value)
		assert.Zero(t, r.TrialsFor80)
		assert.Empty(t, r.ICCs)
		assert.True(t, slices.ContainsFunc(p.Warnings, func(w string) bool { return strings.Contains(w, "all trials gave the same value") }))
		assert.False(t, slices.ContainsFunc(p.Warnings, func(w string) bool { return strings.Contains(w, "trials differ as a group") }))
	})
}
