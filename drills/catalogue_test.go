package drills

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCatalogueHasTheTradesWords(t *testing.T) {
	cat := Default()
	assert.Equal(t, []string{"pulling", "agility", "backpedal", "hands", "speed", "reading"}, cat.traitNames())
	assert.Equal(t, []string{"pull", "pull-time", "shuttle", "backpedal", "catch", "sprint", "break"}, cat.drillNames())
	assert.Equal(t, []string{"front", "corner", "deep", "rusher"}, cat.roleNames())
	kinds := map[string]Kind{"pull": Counted, "pull-time": Timed, "shuttle": Timed, "backpedal": Timed,
		"catch": Counted, "sprint": Timed, "break": Counted}
	for _, d := range cat.Drills {
		assert.Equal(t, kinds[d.Name], d.Kind, d.Name)
	}
}

func TestEveryDrillIsComplete(t *testing.T) {
	cat := Default()
	for _, d := range cat.Drills {
		for what, text := range map[string]string{"title": d.Title, "unit": d.Unit, "setup": d.Setup, "safety": d.Safety, "source": d.Source} {
			assert.NotEmpty(t, text, "%s of %s", what, d.Name)
		}
		assert.Regexp(t, `\d+ yd`, d.Setup, "%s: a set-up names its distances", d.Name)
		assert.Regexp(t, `assumed|19\d\d|20\d\d|common practice, no source`, d.Source, d.Name)
		assert.Greater(t, d.Minutes, 0.0, d.Name)
		assert.Positive(t, d.Trials, d.Name)
		assert.True(t, d.Reliability > 0 && d.Reliability < 1, d.Name)
		assert.Equal(t, d.Kind == Counted, d.Attempts > 0, d.Name)
		for g := range MaxGrade + 1 {
			r := d.RangeFor(Grades{g, g})
			require.True(t, r.Min < r.Max, "%s, grade %d", d.Name, g)
			if d.Kind != Timed {
				continue
			}
			// Of a slip by ten, only times within 30 % of the fastest possible, or of the slowest, get through.
			assert.GreaterOrEqual(t, 13*r.Min, r.Max, "%s, grade %d: a slipped decimal point is caught", d.Name, g)
			assert.Less(t, r.Max, 60.0, "%s: minutes typed as seconds are caught", d.Name)
			if g > 0 {
				below := d.RangeFor(Grades{g - 1, g - 1})
				assert.True(t, r.Min <= below.Min && r.Max <= below.Max, "%s, grade %d: ranges follow age", d.Name, g)
			}
		}
	}
}

// Published times of children lie well inside the ranges, and usual slips outside.
func TestRangesHoldRealChildren(t *testing.T) {
	cat := Default()
	sprint, _ := cat.Drill("sprint")
	shuttle, _ := cat.Drill("shuttle")
	// Jones and Lorenzo 2013, J Sports Med Phys Fitness 53:693-700: 20 yd before puberty, boys
	// 3.70 (SD .35) s, girls 3.96 (SD .33) s: three SDs faster and five slower stay inside.
	for _, x := range []float64{3.70 - 3*.35, 3.70 + 5*.35, 3.96 - 3*.33, 3.96 + 5*.33} {
		r := sprint.RangeFor(Grades{4, 5})
		assert.True(t, r.Min <= x && x <= r.Max, "%v", x)
	}
	// 1985 National School Population Fitness Survey: 4 x 30 ft (40 yd, three turns) medians at age 6,
	// 13.3 and 13.8 s; half that distance with two turns takes a median kindergartner 7 s or so, and
	// one who walks it all at 1 m/s 19 s.
	r := shuttle.RangeFor(Grades{0, 0})
	for _, x := range []float64{13.3 / 2, 13.8 / 2, 13.8, 19, 25} {
		assert.True(t, r.Min <= x && x <= r.Max, "%v", x)
	}
	// Whoever walks straight drills at 0.9 m/s is slow, not a slip: 20 yd in 20.3 s, 10 yd backwards at 0.6 m/s in
	// 15.2 s, the shuttle (18.3 m) with a second for each touch in 22 s.
	for name, slow := range map[string]float64{"sprint": 20.3, "backpedal": 15.2, "shuttle": 22} {
		d, _ := cat.Drill(name)
		for g := range MaxGrade + 1 {
			assert.LessOrEqual(t, slow, d.RangeFor(Grades{g, g}).Max, "%s in grade %d", name, g)
		}
	}
	for _, slip := range []float64{65, 64, 0.64, 425} {
		for g := range MaxGrade + 1 {
			r := shuttle.RangeFor(Grades{g, g})
			assert.False(t, r.Min <= slip && slip <= r.Max, "%v in grade %d", slip, g)
		}
	}
}

func TestWeightsSumToOne(t *testing.T) {
	cat := Default()
	sums := map[string]float64{}
	for _, d := range cat.Drills {
		require.NotEmpty(t, d.Loads, d.Name)
		for _, l := range d.Loads {
			sums[l.Name] += l.Weight
		}
	}
	for _, tr := range cat.Traits {
		assert.InDelta(t, 1, sums[tr.Name], 1e-12, "loads of drills on %s", tr.Name)
		assert.NotEmpty(t, tr.Title)
	}
	letters := map[string]bool{}
	for _, r := range cat.Roles {
		sum := 0.0
		for _, w := range r.Weights {
			sum += w.Weight
			assert.Contains(t, cat.traitNames(), w.Name)
		}
		assert.InDelta(t, 1, sum, 1e-12, r.Name)
		assert.Len(t, r.Letter, 1)
		assert.False(t, letters[r.Letter], "letter %s is used once", r.Letter)
		letters[r.Letter] = true
		assert.True(t, 0 < r.RunValue && r.RunValue <= 1 && 0 < r.PassValue && r.PassValue <= 1, r.Name)
		assert.NotEmpty(t, r.Title)
	}
}

func TestFormationsAreCountedFromTheLineBack(t *testing.T) {
	cat := Default()
	width, _ := cat.Rule("field-width")
	rush, _ := cat.Rule("rusher-distance")
	sides := map[int]int{}
	for _, f := range cat.Formations {
		sides[len(f.Spots)]++
		assert.NotEmpty(t, f.Source, f.Name)
		assert.NotEmpty(t, f.Title, f.Name)
		n, ok := countedPlayers(f.Name)
		assert.True(t, ok && n == len(f.Spots), f.Name)
		assert.Equal(t, "front", f.Spots[0].Role, "%s: a front player stays longest", f.Name)
		seen := map[[2]float64]bool{}
		for _, s := range f.Spots {
			assert.LessOrEqual(t, math.Abs(s.Across), width.Value/2, f.Name)
			assert.False(t, seen[[2]float64{s.Deep, s.Across}], "%s: two kids on one spot", f.Name)
			seen[[2]float64{s.Deep, s.Across}] = true
			switch s.Role {
			case "front":
				assert.Equal(t, 1.0, s.Deep, f.Name)
			case "rusher":
				assert.GreaterOrEqual(t, s.Deep, rush.Value, f.Name)
			}
		}
		// The counts of the name are those of the lines: each line wholly before the next.
		var deep []float64
		for _, s := range f.Spots {
			deep = append(deep, s.Deep)
		}
		slices.Sort(deep)
		at := 0
		for _, part := range strings.Split(f.Name, "-") {
			n, err := strconv.Atoi(part)
			require.NoError(t, err, f.Name)
			at += n
			assert.True(t, at == len(deep) || deep[at-1] < deep[at], "%s: line of %d", f.Name, n)
		}
	}
	for _, side := range []int{5, 6, 7, 8} {
		assert.GreaterOrEqual(t, sides[side], 3, "%d a side", side)
	}
	roles := func(name string) map[string]int {
		f, ok := cat.Formation(name)
		require.True(t, ok, name)
		n := map[string]int{}
		for _, s := range f.Spots {
			n[s.Role]++
		}
		return n
	}
	assert.Equal(t, map[string]int{"front": 4, "deep": 1}, roles("4-1"))
	assert.Equal(t, map[string]int{"front": 2, "corner": 2, "deep": 1}, roles("2-3"))
	assert.Equal(t, map[string]int{"front": 3, "corner": 2}, roles("3-2"))
}

// IFAF guide to 5 v 5 flag football (undated) and Flag Football Rules 2023: 25 x 70 yd of which
// 50 between the goal lines, 5 yd no-running zone, rusher at least 7 yd from the line.
func TestFieldFacts(t *testing.T) {
	cat := Default()
	for name, want := range map[string]float64{"rusher-distance": 7, "field-width": 25, "field-length": 70,
		"field-between-goals": 50, "end-zone": 10, "no-run-zone": 5, "start": 5} {
		r, ok := cat.Rule(name)
		require.True(t, ok, name)
		assert.Equal(t, want, r.Value, name)
		assert.Equal(t, "yd", r.Unit, name)
	}
	for _, r := range cat.Field {
		assert.NotEmpty(t, r.Title, r.Name)
		assert.NotEmpty(t, r.Unit, r.Name)
		assert.Regexp(t, `read|second-hand`, r.Source, "%s says how its source is known", r.Name)
	}
	length, _ := cat.Rule("field-length")
	between, _ := cat.Rule("field-between-goals")
	zone, _ := cat.Rule("end-zone")
	assert.Equal(t, length.Value, between.Value+2*zone.Value)
}

func TestRunShares(t *testing.T) {
	cat := Default()
	for division, want := range map[string]float64{"k": .8, "1": .8, "k-1": .8, "2": .5, "3-4": .5, "7-8": .5, "1-2": .65, "k-2": .7} {
		g, err := ParseGrades(division)
		require.NoError(t, err)
		assert.InDelta(t, want, cat.RunShare(g), 1e-12, division)
	}
}

func TestCautions(t *testing.T) {
	cat := Default()
	for _, topic := range []string{"heat", "concussion", "hold", "setup", "advice"} {
		assert.NotEmpty(t, cat.CautionsOn(topic), topic)
	}
	for _, c := range cat.Cautions {
		assert.NotEmpty(t, c.Source, c.Topic)
	}
}

func TestDefaultIsACopy(t *testing.T) {
	a := Default()
	a.Drills[0].Loads[0].Weight, a.Roles[0].Weights[0].Weight, a.Formations[0].Spots[0].Role = 9, 9, "x"
	a.Drills[0].Ranges[0].Min, a.Traits[0].Name = 9, "x"
	b := Default()
	assert.NotEqual(t, a, b)
	assert.Equal(t, Default(), b)
}
