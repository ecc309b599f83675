package assess

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/drills"
	"sevenyard/fixtures"
)

// The overall score is the mean of the traits; its error takes heed of drills that traits share, so it is the
// root of the summed squares over drills and not over traits.
func TestOverall(t *testing.T) {
	f, err := drills.ReadFolder(fixtures.Demo())
	require.NoError(t, err)
	p := Assess(f)
	c := &f.Team.Catalogue
	for i, o := range Overall(c, p) {
		mean, byDrill := 0.0, map[string]float64{}
		for _, x := range p.Kids[i].Traits {
			mean += x.T / float64(len(c.Traits))
			sum := 0.0
			for _, d := range c.Drills {
				for _, l := range d.Loads {
					if l.Name == x.Name {
						sum += l.Weight
					}
				}
			}
			for _, d := range c.Drills {
				for _, l := range d.Loads {
					if l.Name == x.Name {
						byDrill[d.Name] += l.Weight / sum / float64(len(c.Traits))
					}
				}
			}
		}
		square := 0.0
		for j, d := range c.Drills {
			square += math.Pow(byDrill[d.Name]*p.Kids[i].Drills[j].SE, 2)
		}
		require.InDelta(t, mean, o.T, 1e-9)
		require.InDelta(t, math.Sqrt(square), o.SE, 1e-9)
		require.True(t, o.Tested)
	}
	nobody := Overall(c, Assess(&drills.Folder{Team: f.Team, Roster: f.Roster}))
	require.Equal(t, 50.0, nobody[0].T)
	require.Less(t, nobody[0].SE, 10.0, "the mean of several unknown drills is known better than one of them")
	require.False(t, nobody[0].Tested)
}
