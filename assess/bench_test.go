package assess

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"sevenyard/drills"
)

// league is kids with trials of every drill of the embedded catalogue.
func league(kids, trials int) *drills.Folder {
	rng := rand.New(rand.NewPCG(11, 11))
	f := &drills.Folder{Team: drills.Team{Division: drills.Grades{Low: 3, High: 4}, Catalogue: drills.Default()}}
	for k := range kids {
		id, able := strconv.Itoa(k), rng.NormFloat64()
		f.Roster = append(f.Roster, drills.Kid{ID: id})
		for _, d := range f.Team.Catalogue.Drills {
			for i := range trials {
				v := 6.4 + .3*able + .15*rng.NormFloat64()
				if d.Kind == drills.Counted {
					v = math.Max(0, math.Min(10, math.Round(6+1.5*able+1.5*rng.NormFloat64())))
				}
				f.Trials = append(f.Trials, drills.Trial{Kid: id, Drill: d.Name, Number: i + 1, Value: math.Round(v*100) / 100, Attempts: 10})
			}
		}
	}
	return f
}

func BenchmarkLeague(b *testing.B) {
	f := league(2000, 3)
	for b.Loop() {
		Assess(f)
	}
}

func BenchmarkTeam(b *testing.B) {
	f := league(11, 2)
	for b.Loop() {
		Assess(f)
	}
}
