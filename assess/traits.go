package assess

import (
	"math"

	"sevenyard/drills"
)

// mixer holds traits and role fits as weighted means of drill T-scores. A trait is the mean of its
// drills by their loadings, a fit the mean of its traits by the role's weights, so both are linear in
// the drills. Errors of different drills are independent, but traits share drills: a fit's error is
// therefore added up over drills, not over traits.
//
// A drill the kid did not do counts as 50 with its standard error of 10: given that drills are taken
// one by one, that is what is known about it. A trait that no drill measures is 50 with 10 in the
// same way.
type mixer struct {
	catalogue    *drills.Catalogue
	traitWeights [][]float64 // trait by drill, then one extra column a trait for what no drill measures
	roleWeights  [][]float64 // role by the same columns
}

func newMixer(c *drills.Catalogue) *mixer {
	m := &mixer{catalogue: c}
	columns := len(c.Drills) + len(c.Traits)
	index := make(map[string]int, len(c.Traits))
	for t, trait := range c.Traits {
		index[trait.Name] = t
		row := make([]float64, columns)
		for d, drill := range c.Drills {
			for _, load := range drill.Loads {
				if load.Name == trait.Name && load.Weight > 0 {
					row[d] += load.Weight
				}
			}
		}
		if !toOne(row) {
			row[len(c.Drills)+t] = 1
		}
		m.traitWeights = append(m.traitWeights, row)
	}
	for _, role := range c.Roles {
		row := make([]float64, columns)
		for _, w := range role.Weights {
			t, ok := index[w.Name]
			if !ok || !(w.Weight > 0) {
				continue
			}
			for i, x := range m.traitWeights[t] {
				row[i] += w.Weight * x
			}
		}
		toOne(row)
		m.roleWeights = append(m.roleWeights, row)
	}
	return m
}

// toOne scales weights to sum 1; it reports false if all are 0.
func toOne(w []float64) bool {
	s := sumOf(w)
	if !(s > 0) || math.IsInf(s, 1) {
		return false
	}
	for i := range w {
		w[i] /= s
	}
	return true
}

// mix is the weighted mean of a kid's drills; columns past them are 50 with 10.
func mix(name string, weights []float64, scores []Score) Score {
	out := Score{Name: name, T: mid}
	square := 0.0
	for i, w := range weights {
		if w == 0 {
			continue
		}
		if i >= len(scores) {
			square += w * w * spread * spread
			continue
		}
		s := scores[i]
		out.T += w * (s.T - mid)
		square += w * w * s.SE * s.SE
		out.Tested = out.Tested || s.Tested
	}
	out.SE = math.Sqrt(square)
	if square == 0 { // a role that asks for nothing
		out.SE = spread
	}
	return out
}

func (m *mixer) traits(scores []Score) []Score {
	out := make([]Score, len(m.traitWeights))
	for t, w := range m.traitWeights {
		out[t] = mix(m.catalogue.Traits[t].Name, w, scores)
	}
	return out
}

// fits of one kid; the coach's own replace the computed ones role by role.
func (m *mixer) fits(scores []Score, own []drills.OwnFit) []Score {
	out := make([]Score, len(m.roleWeights))
	for r, w := range m.roleWeights {
		name := m.catalogue.Roles[r].Name
		out[r] = mix(name, w, scores)
		for _, o := range own {
			if o.Role == name && finite(o.Fit) && finite(o.SE) {
				out[r] = Score{Name: name, T: o.Fit, SE: math.Abs(o.SE), Tested: true, Own: true}
			}
		}
	}
	return out
}

// ownFits groups the coach's fits by kid.
func ownFits(fits []drills.OwnFit) map[string][]drills.OwnFit {
	own := map[string][]drills.OwnFit{}
	for _, f := range fits {
		own[f.Kid] = append(own[f.Kid], f)
	}
	return own
}

// TooClose tells whether two fits in one role differ by less than the standard error of their
// difference, sqrt(a.SE² + b.SE²), in T points. Equal fits always are too close.
func TooClose(a, b Score) bool {
	d := math.Abs(a.T - b.T)
	return d == 0 || d < math.Hypot(a.SE, b.SE)
}

// Importance is the value of one spot of a role in a division: run*RunValue + (1-run)*PassValue,
// or the team's override. 0 for an unknown role.
func Importance(t *drills.Team, role string) float64 {
	if v, ok := t.Importance[role]; ok {
		return v
	}
	run := t.Catalogue.RunShare(t.Division)
	for _, r := range t.Catalogue.Roles {
		if r.Name == role {
			return run*r.RunValue + (1-run)*r.PassValue
		}
	}
	return 0
}
