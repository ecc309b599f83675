package assess

import "sevenyard/drills"

// Overall is one number for every kid, in the profile's order: the mean of the traits, all of the same weight, with its
// standard error added up over drills (traits share them). T points; a house choice, no source.
func Overall(c *drills.Catalogue, p *Profile) []Score {
	m := newMixer(c)
	var row []float64
	for _, w := range m.traitWeights {
		if row == nil {
			row = make([]float64, len(w))
		}
		for i, x := range w {
			row[i] += x
		}
	}
	toOne(row)
	out := make([]Score, len(p.Kids))
	for k := range p.Kids {
		out[k] = mix("overall", row, p.Kids[k].Drills)
	}
	return out
}
