package assess

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/stretchr/testify/assert"

	"sevenyard/drills"
)

// small is a catalogue made for tests: one drill of each kind, a shared one, and a trait that no drill measures.
func small() drills.Catalogue {
	all := []drills.Range{{Grades: drills.Grades{Low: 0, High: 12}, Min: 4, Max: 22}}
	return drills.Catalogue{
		Traits: []drills.Trait{{Name: "agility"}, {Name: "speed"}, {Name: "hands"}, {Name: "heart"}},
		Drills: []drills.Drill{
			{Name: "shuttle", Kind: drills.Timed, Unit: "s", Ranges: all, Reliability: .8,
				Loads: []drills.Share{{Name: "agility", Weight: .6}, {Name: "speed", Weight: .4}}},
			{Name: "sprint", Kind: drills.Timed, Unit: "s", Ranges: all, Reliability: .85,
				Loads: []drills.Share{{Name: "speed", Weight: .6}}},
			{Name: "catch", Kind: drills.Counted, Unit: "catches", Reliability: .6,
				Loads: []drills.Share{{Name: "hands", Weight: 1}}},
			{Name: "footwork", Kind: drills.Rated, Unit: "mark", Reliability: .5,
				Ranges: []drills.Range{{Grades: drills.Grades{Low: 0, High: 12}, Min: 1, Max: 5}},
				Loads:  []drills.Share{{Name: "agility", Weight: .4}}},
		},
		Roles: []drills.Role{
			{Name: "front", RunValue: 1, PassValue: .4, Weights: []drills.Share{{Name: "agility", Weight: .5}, {Name: "speed", Weight: .5}}},
			{Name: "deep", RunValue: .2, PassValue: .8, Weights: []drills.Share{{Name: "hands", Weight: .7}, {Name: "heart", Weight: .3}}},
		},
		RunShares: []drills.RunShare{
			{Grades: drills.Grades{Low: 0, High: 1}, Share: .8}, {Grades: drills.Grades{Low: 2, High: 12}, Share: .5},
		},
	}
}

// folderOf kids named k1, k2, ... with no trials.
func folderOf(kids int) *drills.Folder {
	f := &drills.Folder{Team: drills.Team{Division: drills.Grades{Low: 3, High: 4}, Catalogue: small()}}
	for k := range kids {
		f.Roster = append(f.Roster, drills.Kid{ID: fmt.Sprintf("k%d", k+1), Name: fmt.Sprintf("Kid %d", k+1)})
	}
	return f
}

// add trials of kid k (from 1); counted drills: successes out of ten.
func add(f *drills.Folder, k int, drill string, values ...float64) {
	for i, v := range values {
		f.Trials = append(f.Trials, drills.Trial{Kid: fmt.Sprintf("k%d", k), Drill: drill, Number: i + 1, Value: v, Attempts: 10,
			At: drills.Place{File: "results.csv", Line: len(f.Trials) + 2}})
	}
}

// randomFolder has all drills with one to three trials a kid, some missing, rounded as a stopwatch does.
func randomFolder(rng *rand.Rand, kids int) *drills.Folder {
	f := folderOf(kids)
	for k := 1; k <= kids; k++ {
		able := rng.NormFloat64()
		for _, d := range f.Team.Catalogue.Drills {
			for range rng.IntN(4) {
				v := 6.4 - .3*able + .2*rng.NormFloat64()
				switch d.Kind {
				case drills.Counted:
					v = math.Max(0, math.Min(10, math.Round(5+2*able+1.5*rng.NormFloat64())))
				case drills.Rated:
					v = math.Max(1, math.Min(5, math.Round(3+able)))
				}
				add(f, k, d.Name, math.Round(v*100)/100)
			}
		}
	}
	return f
}

// numbers are all numbers of a profile, in order.
func numbers(p *Profile) []float64 {
	var out []float64
	for _, r := range p.Reports {
		out = append(out, r.Mean, r.SDKid, r.SDTrial, r.ICC1, r.ICCMean, r.ICC1Low, r.ICC1High, r.SEM, r.MDC, r.Alpha, r.Beta)
		for _, c := range r.ICCs {
			out = append(out, c.Value, c.Low, c.High)
		}
	}
	for _, k := range p.Kids {
		for _, list := range [][]Score{k.Drills, k.Traits, k.Fits} {
			for _, s := range list {
				out = append(out, s.T, s.SE)
			}
		}
		for _, r := range k.Results {
			out = append(out, r.Estimate, r.SE, r.Low, r.High)
		}
	}
	return out
}

// sound checks what holds for every profile of a folder.
func sound(t interface {
	assert.TestingT
	Helper()
}, f *drills.Folder, p *Profile) {
	t.Helper()
	for _, x := range numbers(p) {
		if !finite(x) {
			assert.Fail(t, "a number is not finite", "%v", p)
			return
		}
	}
	c := f.Team.Catalogue
	assert.Len(t, p.Reports, len(c.Drills))
	assert.Len(t, p.Kids, len(f.Roster))
	for i, k := range p.Kids {
		assert.Equal(t, f.Roster[i].ID, k.ID)
		assert.Len(t, k.Drills, len(c.Drills))
		assert.Len(t, k.Results, len(c.Drills))
		assert.Len(t, k.Traits, len(c.Traits))
		assert.Len(t, k.Fits, len(c.Roles))
		for j, r := range k.Results {
			assert.True(t, r.SE >= 0 && r.Low <= r.High, "%v", r)
			assert.Equal(t, k.Drills[j].Tested, r.Trials > 0)
		}
		for _, list := range [][]Score{k.Drills, k.Traits, k.Fits} {
			for _, s := range list {
				assert.GreaterOrEqual(t, s.SE, 0.0)
				assert.True(t, s.Own || s.SE > 0, "%v has no error", s)
			}
		}
	}
}
