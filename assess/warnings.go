package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sevenyard/drills"
)

// odd names the trials that lie far from the others of the drill. They still count.
func odd(d *drills.Drill, ts []trial) []string {
	v := make([]float64, len(ts))
	for i, t := range ts {
		v[i] = t.Value
		if d.Kind == drills.Counted {
			v[i] /= float64(t.Attempts)
		}
	}
	z := ModifiedZ(v)
	type found struct {
		trial
		z float64
	}
	var list []found
	for i, t := range ts {
		if math.Abs(z[i]) > oddZ {
			list = append(list, found{t, z[i]})
		}
	}
	slices.SortStableFunc(list, func(a, b found) int {
		return cmp.Or(strings.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Line, b.At.Line))
	})
	var out []string
	for _, f := range list {
		value := fmt.Sprintf("%g %s", f.Value, d.Unit)
		if d.Kind == drills.Counted {
			value = fmt.Sprintf("%g of %d", f.Value, f.Attempts)
		}
		out = append(out, fmt.Sprintf("%s: kid %s, %s trial %d: %s looks odd but counts (modified z-score %.1f, beyond %.1f); check what was written down",
			place(f.At), f.Kid, d.Name, f.Number, value, f.z, oddZ))
	}
	return out
}

// notHeld names the drills nobody did, unless nobody did any.
func notHeld(reports []Report) []string {
	var names []string
	for _, r := range reports {
		if r.Kids == 0 {
			names = append(names, r.Drill)
		}
	}
	if len(names) == 0 || len(names) == len(reports) {
		return nil
	}
	return []string{fmt.Sprintf("nobody did %s; %s as 50 with a standard error of 10 for every kid",
		strings.Join(names, ", "), plural(len(names), "it counts", "they count"))}
}
