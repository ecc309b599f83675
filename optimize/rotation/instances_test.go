package rotation

import (
	"bufio"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// instance is a problem whose optimum is known: weakest series first, then the total, both as
// plain sums of values, agreed by at least two independent solvers.
type instance struct {
	Name     string
	Problem  *Problem
	Expected expected
}

type expected struct {
	Feasible       bool
	Weakest, Total int64
}

// rawInstance is a line of testdata/plans.jsonl: N kids, S series, R roles; fit[kid][role] in
// tenths of a T point, the same in every form; form[series][role] spots; K and B the most series in a row
// on the field and on the bench; cap and minroles are absent or 0 where there is no such rule.
type rawInstance struct {
	Name            string
	N, S, R         int
	Roles           []string
	Fit             [][]int32
	Form            [][]int
	K, B            int
	Avail           [][2]int
	Lo, Hi          []int
	Forbid          [][2]int
	Cap             *int
	MinRoles        int
	Pins            [][4]int // kid, role or -1, series, 1 must or 0 must not
	Together, Apart [][2]int
	Cover           [][]int
	Expected        struct {
		Feasible       bool
		Weakest, Total *int64
	}
}

func (r *rawInstance) problem() *Problem {
	p := &Problem{Roles: r.Roles, MaxOn: r.K, MaxOff: r.B, MinRoles: r.MinRoles, Together: r.Together, Apart: r.Apart, Scale: 10}
	for k := range r.N {
		kid := Kid{Label: string(rune('A' + k)), First: r.Avail[k][0], Last: r.Avail[k][1], Lo: r.Lo[k], Hi: r.Hi[k]}
		if r.Cap != nil {
			kid.Cap = *r.Cap
		}
		p.Kids = append(p.Kids, kid)
	}
	for _, f := range r.Forbid {
		if p.Kids[f[0]].Never == nil {
			p.Kids[f[0]].Never = make([]bool, r.R)
		}
		p.Kids[f[0]].Never[f[1]] = true
	}
	for _, count := range r.Form {
		p.Series = append(p.Series, shapeFor(p, count, r.Fit))
	}
	for _, pin := range r.Pins {
		p.Pins = append(p.Pins, Pin{Kid: pin[0], Role: pin[1], Series: pin[2], Must: pin[3] == 1})
	}
	for _, kids := range r.Cover {
		p.Covers = append(p.Covers, Cover{Kids: kids, AtLeast: 1})
	}
	return p
}

// shapeFor finds the shape with the counts, or adds it.
func shapeFor(p *Problem, count []int, value [][]int32) int {
	for i, sh := range p.Shapes {
		same := true
		for r := range count {
			same = same && sh.Count[r] == count[r]
		}
		if same {
			return i
		}
	}
	p.Shapes = append(p.Shapes, Shape{Label: "form", Count: count, Value: value})
	return len(p.Shapes) - 1
}

// loadInstances reads all instances of testdata/plans.jsonl, in the order of the file.
func loadInstances(t testing.TB) []instance {
	t.Helper()
	f, err := os.Open("testdata/plans.jsonl")
	require.NoError(t, err)
	defer f.Close()
	var out []instance
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var raw rawInstance
		require.NoError(t, json.Unmarshal(lines.Bytes(), &raw))
		in := instance{Name: raw.Name, Problem: raw.problem(), Expected: expected{Feasible: raw.Expected.Feasible}}
		require.NoError(t, in.Problem.Validate(), raw.Name)
		if raw.Expected.Feasible {
			in.Expected.Weakest, in.Expected.Total = *raw.Expected.Weakest, *raw.Expected.Total
		}
		out = append(out, in)
	}
	require.NoError(t, lines.Err())
	return out
}

func TestInstancesLoad(t *testing.T) {
	all := loadInstances(t)
	require.Len(t, all, 110)
	for _, in := range all {
		// No plan has a total below the weakest series times their number.
		require.LessOrEqual(t, in.Expected.Weakest*int64(len(in.Problem.Series)), in.Expected.Total, in.Name)
	}
}
