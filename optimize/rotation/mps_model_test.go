package rotation

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/optimize/rotation/internal/milp"
)

// columnValues sets the columns of a model as a plan implies them; false if the plan has a cell without a column.
func columnValues(m *mpsModel, plan Plan) ([]int64, bool) {
	x := make([]int64, len(m.Cols))
	byName := map[string]int{}
	for i, c := range m.Cols {
		byName[c.Name] = i
	}
	set := func(name string, v int64) {
		if i, ok := byName[name]; ok {
			x[i] = v
		}
	}
	for s, cells := range plan {
		for _, c := range cells {
			name := fmt.Sprintf("x_%d_%d_%d", c.Kid, c.Role, s)
			if _, ok := byName[name]; !ok {
				return nil, false
			}
			set(name, 1)
			set(fmt.Sprintf("u_%d_%d", c.Kid, c.Role), 1)
			set(fmt.Sprintf("a_%d", c.Kid), 1)
		}
	}
	value, sorted := m.p.Strengths(plan), slices.Sorted(slices.Values(valuesOf(m.p, plan)))
	if len(sorted) > 0 {
		set("w", sorted[0])
	}
	for i, c := range m.Cols {
		var n, id, s int
		if got, _ := fmt.Sscanf(c.Name, "t%d_%d", &n, &id); got == 2 {
			x[i] = sorted[n-1]
		}
		if got, _ := fmt.Sscanf(c.Name, "d%d_%d_%d", &n, &id, &s); got == 3 {
			x[i] = max(0, sorted[n-1]-value[s])
		}
	}
	return x, true
}

func rowHolds(r milp.Row, x []int64) bool {
	sum := int64(0)
	for _, t := range r.Terms {
		sum += t.Coef * x[t.Col]
	}
	switch r.Sense {
	case 'E':
		return sum == r.RHS
	case 'L':
		return sum <= r.RHS
	}
	return sum >= r.RHS
}

// TestModelIsCheck goes through every way to fill the spots of small problems: the model allows it if and only if Check
// does and the floor is kept, and its objective is the sum that the goal names.
func TestModelIsCheck(t *testing.T) {
	allowed, refused := 0, 0
	for seed := range uint64(400) {
		p := randomProblem(newRand(seed), micro())
		if p.ended() {
			continue // no series left for a floor to speak of
		}
		if seed%5 == 0 {
			p.MaxOn, p.Kids[0].MaxOn = 1, 2
		}
		goal := Goal{Lowest: int(seed % 4)}
		if seed%2 == 1 {
			goal.Floors = []Floor{{Lowest: int(seed/4) % 4, AtLeast: 900}}
		}
		m, err := buildMPS(p, goal)
		require.NoError(t, err)
		everyPlan(p, func(plan Plan) {
			legal := len(Check(p, plan)) == 0
			for _, f := range goal.Floors {
				legal = legal && lowestSum(p, plan, f.Lowest) >= f.AtLeast
			}
			x, holds := columnValues(m, plan)
			for _, r := range m.Rows {
				holds = holds && rowHolds(r, x)
			}
			if holds != legal {
				t.Fatalf("seed %d: Check says %v, the model %v: %v", seed, Check(p, plan), holds, plan)
			}
			if !legal {
				refused++
				return
			}
			allowed++
			sum := int64(0)
			for _, term := range m.Max {
				sum += term.Coef * x[term.Col]
			}
			require.Equal(t, lowestSum(p, plan, goal.Lowest), sum, "seed %d", seed)
		})
	}
	require.Greater(t, allowed, 300)
	require.Greater(t, refused, 300)
}
