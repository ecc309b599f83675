package gameplan

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// seal is what the sum of a saved plan tells of its file.
type seal int

const (
	noSum     seal = iota // saved before there were sums: the file can only be held against itself
	unchanged             // as this program wrote it
	changed
)

func sealOf(data []byte, sum string) seal {
	if sum == "" {
		return noSum
	}
	if now, err := report.SumOf(bytes.TrimPrefix(data, []byte("\ufeff"))); err != nil || now != sum {
		return changed
	}
	return unchanged
}

// near tells whether two numbers of a file are the same; what is added up may differ in the last digits.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// has tells whether a file says something at all: a plan that somebody wrote by hand may have kids and roles alone.
func (sv *Saved) has(format string, args ...any) bool {
	_, said := sv.lines["."+fmt.Sprintf(format, args...)]
	return said
}

// counts finds where the counts and benches of a file do not fit its own series: whoever was put into a spot by hand.
func (f *finder) counts(roles []string) {
	const anew = "make the change with ⟦save-rebuild⟧, or save a new plan"
	l := f.sv.said
	for i, k := range l.Kids {
		if !f.sv.has("kids.%d.roles", i) {
			continue
		}
		played := map[string]int{}
		for _, s := range l.Series {
			for _, x := range s.Slots {
				if x.Kid == k.Kid {
					played[x.Role]++
				}
			}
		}
		for _, r := range roles {
			if n := k.Roles[r]; n != played[r] {
				f.add(fmt.Sprintf("kids.%d.roles", i), anew, "kid %s stands in the series %s as %s, and %d are counted: the plan was changed by hand", k.Kid, times(played[r]), r, n)
			}
		}
	}
	for i, s := range l.Series {
		for j, id := range s.Bench {
			path := fmt.Sprintf("series.%d.bench.%d", i, j)
			switch {
			case !slices.ContainsFunc(l.Kids, func(k report.LineupKid) bool { return k.Kid == id }):
				f.add(path, anew, "the bench of series %d has a kid who is not in the plan", i+1) // whatever stands there may be a name
			case slices.ContainsFunc(s.Slots, func(x report.Placed) bool { return x.Kid == id }):
				f.add(path, anew, "kid %s is on the bench of series %d, and on the field", id, i+1)
			}
		}
	}
}

// contradictions are the places where a file does not follow from itself, whatever the team's numbers are by now.
func (sv *Saved) contradictions(c *drills.Catalogue) drills.Problems {
	f := &finder{sv: sv}
	f.counts(c.RoleNames())
	const what = "" // said in one sentence for all
	type spot struct{ kid, role string }
	fits := map[spot]float64{}
	l := sv.said
	weakest, total := math.Inf(1), 0.0
	for i, s := range l.Series {
		sum := 0
		for j, x := range s.Slots {
			path := fmt.Sprintf("series.%d.slots.%d.", i, j)
			if was, known := fits[spot{x.Kid, x.Role}]; known && !near(was, x.Fit) && sv.has("%sfit", path) {
				f.add(path+"fit", what, "kid %s has two fits as %s, %s and %s", x.Kid, x.Role, pts(was, x.Fit), pts(x.Fit, was))
			}
			if sv.has("%sfit", path) {
				fits[spot{x.Kid, x.Role}] = x.Fit
			}
			if v := rotation.SlotValue(x.Importance, x.Fit); int(v) != x.Value && sv.has("%svalue", path) {
				f.add(path+"value", what, "the value of kid %s in series %d is %d, and its fit makes %d", x.Kid, i+1, x.Value, v)
			}
			sum += x.Value
		}
		if n := len(s.Slots); n > 0 && !near(float64(sum)/float64(10*n), s.Strength) && sv.has("series.%d.strength", i) {
			f.add(fmt.Sprintf("series.%d.strength", i), what, "the strength of series %d is %s, and its spots make %s", i+1, pts(s.Strength, float64(sum)/float64(10*n)), pts(float64(sum)/float64(10*n), s.Strength))
		}
		if i >= sv.Played {
			weakest, total = min(weakest, s.Strength), total+s.Strength
		}
	}
	if w := l.Weakest; !near(w.Value, weakest) && sv.has("weakest.value") {
		f.add("weakest.value", what, "the weakest series is said to have %s, and has %s", pts(w.Value, weakest), pts(weakest, w.Value))
	}
	if !near(l.Total.Value, total) && sv.has("total.value") {
		f.add("total.value", what, "the total is said to be %s, and the series make %s", pts(l.Total.Value, total), pts(total, l.Total.Value))
	}
	for _, x := range []struct {
		name string
		report.Bounded
	}{{"weakest", l.Weakest.Bounded}, {"total", l.Total}} {
		if !sv.has("%s.bound", x.name) {
			continue
		}
		if x.Bound < x.Value && !near(x.Bound, x.Value) || x.Proven && !near(x.Bound, x.Value) {
			f.add(x.name+".bound", what, "the bound of %s, the %s, does not go with its value, %s", pts(x.Bound, x.Value), x.name, pts(x.Value, x.Bound))
		}
	}
	return f.ps
}

// pts writes points with a tenth, or with as many digits as tell them from the other number.
func pts(x, other float64) string {
	if x == other {
		return fmt.Sprintf("%.1f", x)
	}
	for digits := 1; digits < 9; digits++ {
		if a, b := fmt.Sprintf("%.*f", digits, x), fmt.Sprintf("%.*f", digits, other); a != b || digits == 8 {
			return a
		}
	}
	return fmt.Sprint(x)
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
