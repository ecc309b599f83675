package assess

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sevenyard/drills"
)

// A value far from all others is named with its place, and counts.
func TestOddValues(t *testing.T) {
	f := folderOf(8)
	for k := 1; k <= 8; k++ {
		add(f, k, "shuttle", 6+.1*float64(k))
	}
	add(f, 3, "shuttle", 9.9)
	p := Assess(f)
	text := strings.Join(p.Warnings, "\n")
	// median 6.5, MAD .2: 0.6745 * 3.4/.2 = 11.47
	assert.Contains(t, text, "results.csv:10: kid k3, shuttle trial 1: 9.9 s looks odd but counts (modified z-score 11.5, beyond 3.5)")
	assert.Equal(t, 1, strings.Count(text, "looks odd"))
	assert.Equal(t, 2, p.Kids[2].Results[0].Trials)
}

// night is one drill of kids by trials; timers alternate by kid (split) or by trial (both).
func night(rng *rand.Rand, kids, trials int, split bool, offset, practice float64) *drills.Folder {
	f := folderOf(kids)
	for k := 1; k <= kids; k++ {
		able := .3 * rng.NormFloat64()
		for i := range trials {
			timer := "A"
			v := 6.4 + able + .15*rng.NormFloat64() - practice*float64(i)
			if (split && k%2 == 0) || (!split && (k+i)%2 == 0) {
				timer = "B"
				v += offset
			}
			f.Trials = append(f.Trials, drills.Trial{Kid: fmt.Sprintf("k%d", k), Drill: "shuttle", Number: i + 1, Value: v, Timer: timer})
		}
	}
	return f
}

// With nothing wrong the timer and practice checks speak up about once in a hundred nights each; with a
// large offset on kids timed by both, nearly always; and kids split between timers need more to show.
func TestTimersAndPractice(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	count := func(text string, kids, trials int, split bool, offset, practice float64) float64 {
		const nights = 400
		n := 0
		for range nights {
			w := strings.Join(Assess(night(rng, kids, trials, split, offset, practice)).Warnings, "\n")
			n += min(1, strings.Count(w, text))
		}
		return float64(n) / nights
	}
	for _, kids := range []int{7, 12, 24} {
		for _, split := range []bool{true, false} {
			assert.Less(t, count("timer A reads", kids, 2, split, 0, 0), .03, "%d kids, split %v", kids, split)
		}
		assert.Less(t, count("practice", kids, 2, true, 0, 0), .03)
	}
	assert.Less(t, count("timer A reads", 12, 1, true, 0, 0), .03)
	assert.Greater(t, count("timer A reads", 12, 2, false, .4, 0), .9)
	both, split := count("timer A reads", 12, 2, false, .25, 0), count("timer A reads", 12, 2, true, .25, 0)
	assert.Greater(t, both, split+.1)
	assert.Greater(t, count("practice", 12, 2, true, 0, .3), .9)
}

// A column with a name of its own in every row is no list of timers: said, and not fitted one by one.
func TestTooManyTimers(t *testing.T) {
	f := night(rand.New(rand.NewPCG(4, 4)), 30, 2, false, 0, 0)
	for i := range f.Trials {
		f.Trials[i].Timer = fmt.Sprint(i)
	}
	text := strings.Join(Assess(f).Warnings, "\n")
	assert.Contains(t, text, "60 different timers are named")
	assert.NotContains(t, text, "reads")
}

// Unknown timers, or only one: nothing is said of them.
func TestUnknownTimers(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	f := night(rng, 12, 2, false, 2, 0)
	assert.Contains(t, strings.Join(Assess(f).Warnings, "\n"), "timer A reads")
	f.Trials[5].Timer = ""
	assert.NotContains(t, strings.Join(Assess(f).Warnings, "\n"), "timer")
	for i := range f.Trials {
		f.Trials[i].Timer = "A"
	}
	assert.NotContains(t, strings.Join(Assess(f).Warnings, "\n"), "timer")
}
