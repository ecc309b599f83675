package draft

import "math"

// Measure tells how even a split is. Kids without a team are left out; the objective then has no meaning.
func (p *Pool) Measure(s Split) *Balance {
	b := &Balance{Teams: make([]TeamBalance, len(p.Teams))}
	grades := p.grades()
	for t := range b.Teams {
		team := &b.Teams[t]
		team.Means, team.MeanErrors = make([]float64, len(p.Measures)), make([]float64, len(p.Measures))
		for _, g := range grades {
			team.Grades = append(team.Grades, GradeCount{Grade: g})
		}
	}
	for k, t := range s {
		if t >= 0 {
			b.Teams[t].Kids = append(b.Teams[t].Kids, k)
		}
	}
	for t := range b.Teams {
		p.measureTeam(&b.Teams[t])
		b.Shortage += b.Teams[t].Shortage
	}
	p.measureSpread(b)
	p.measureParts(b, s)
	return b
}

// measureTeam fills in one team from its kids.
func (p *Pool) measureTeam(t *TeamBalance) {
	n := float64(len(t.Kids))
	kids := make([]int, 0, len(t.Kids))
	in := make([]bool, len(p.Kids))
	for _, k := range t.Kids {
		in[k] = true
	}
	for _, k := range p.byLabel() {
		if in[k] {
			kids = append(kids, k)
		}
	}
	for j := range p.Measures {
		var sum, squares float64
		for _, k := range kids {
			sum += p.Kids[k].Scores[j]
			if e := p.Kids[k].Errors; e != nil {
				squares += float64(e[j] * e[j])
			}
		}
		if n > 0 {
			t.Means[j], t.MeanErrors[j] = sum/n, math.Sqrt(squares)/n
		}
	}
	for _, k := range kids {
		kid := &p.Kids[k]
		for i := range t.Grades {
			if t.Grades[i].Grade == kid.Grade {
				t.Grades[i].Kids++
			}
		}
		t.Untested += int(truth(kid.Untested))
		t.Returning += int(truth(kid.Returning != ""))
	}
	t.Shortage = p.unfilled(kids)
}

// unfilled is how many role spots the kids cannot fill at the same time: spots less the largest matching.
func (p *Pool) unfilled(kids []int) int {
	holders := make([][]int, len(p.Roles))
	var seen []bool
	var place func(k int) bool
	place = func(k int) bool {
		for r := range p.Roles {
			if seen[r] || p.Roles[r].Need == 0 || p.Kids[k].Plays != nil && !p.Kids[k].Plays[r] {
				continue
			}
			seen[r] = true
			if len(holders[r]) < p.Roles[r].Need {
				holders[r] = append(holders[r], k)
				return true
			}
			for i, h := range holders[r] {
				if place(h) {
					holders[r][i] = k
					return true
				}
			}
		}
		return false
	}
	missing := 0
	for _, r := range p.Roles {
		missing += r.Need
	}
	for _, k := range kids {
		seen = make([]bool, len(p.Roles))
		if missing > 0 && place(k) {
			missing--
		}
	}
	return missing
}

// measureSpread fills in the ranges of the team means.
func (p *Pool) measureSpread(b *Balance) {
	b.Spread, b.SpreadSD = make([]float64, len(p.Measures)), make([]float64, len(p.Measures))
	order := p.byLabel()
	for j, m := range p.Measures {
		low, high := math.Inf(1), math.Inf(-1)
		for _, t := range b.Teams {
			if len(t.Kids) > 0 {
				low, high = min(low, t.Means[j]), max(high, t.Means[j])
			}
		}
		b.Spread[j] = max(0, high-low)
		var sum, squares float64
		for _, k := range order {
			sum += p.Kids[k].Scores[j]
		}
		mean := sum / float64(len(order))
		for _, k := range order {
			d := p.Kids[k].Scores[j] - mean
			squares += float64(d * d)
		}
		if sd := math.Sqrt(squares / float64(len(order))); sd > 0 {
			b.SpreadSD[j] = b.Spread[j] / sd
		}
		if m.Weight > 0 {
			b.Ranges += float64(b.SpreadSD[j] * float64(m.Weight) / 100)
		}
	}
}

// measureParts fills in the objective.
func (p *Pool) measureParts(b *Balance, s Split) {
	for _, c := range p.columns() {
		part := Part{Kind: c.kind, Cost: c.cost(b.Teams)}
		if c.measure >= 0 {
			part.Label = p.Measures[c.measure].Label
		}
		if n := len(b.Parts); c.kind == PartGrades && n > 0 && b.Parts[n-1].Kind == PartGrades {
			b.Parts[n-1].Cost += part.Cost
		} else {
			b.Parts = append(b.Parts, part)
		}
	}
	cars := 0
	for i, w := range p.Carpools {
		here := make([]bool, len(p.Teams))
		count := 0
		for _, k := range w {
			if s[k] >= 0 && !here[s[k]] {
				here[s[k]] = true
				count++
			}
		}
		if count > 1 {
			b.BrokenWishes = append(b.BrokenWishes, i)
			cars += count - 1
		}
	}
	if len(p.Carpools) > 0 && p.Weights.Carpool > 0 {
		b.Parts = append(b.Parts, Part{Kind: PartCarpool, Cost: float64(cars*p.Weights.Carpool) / 100})
	}
	for _, part := range b.Parts {
		b.Objective += part.Cost
	}
}

// cost is the weighted sum of squared team sums over team sizes, in variances of the pool. What the pool's own mean
// contributes is taken off.
func (c *column) cost(teams []TeamBalance) float64 {
	var sum float64
	for _, t := range teams {
		var s int64
		for _, k := range t.Kids {
			s += c.x[k]
		}
		if len(t.Kids) > 0 {
			d := float64(s) - float64(float64(len(t.Kids))*float64(c.sum)/float64(len(c.x)))
			sum += float64(d * d / float64(len(t.Kids)))
		}
	}
	return sum / c.variance * float64(c.weight) / 100
}
