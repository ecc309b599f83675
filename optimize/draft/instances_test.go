package draft

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// raceSizes are kids and teams of the pools that evenness is measured on.
var raceSizes = [][2]int{{40, 4}, {80, 8}, {120, 12}, {240, 24}}

// randomPool invents a pool: six correlated traits and their mean as the overall score, sibling pairs and a triple, coaches' kids, practice
// nights, kids to be kept apart. A hidden split keeps all rules, so that there is one.
func randomPool(seed uint64, kids, teams int) *Pool {
	rng := rand.New(rand.NewPCG(seed, uint64(kids*1000+teams)))
	p := &Pool{}
	hidden := make(Split, kids)
	for i, k := range rng.Perm(kids) {
		hidden[k] = i % teams
	}
	for t := range teams {
		p.Teams = append(p.Teams, fmt.Sprintf("team %d", t+1))
	}
	p.Measures = []Measure{{Label: "overall", Weight: 100}}
	for j := range 6 {
		p.Measures = append(p.Measures, Measure{Label: fmt.Sprintf("trait %d", j+1), Weight: 100})
	}
	for k := range kids {
		kid := Kid{Label: fmt.Sprint(k + 1), Scores: make([]float64, 7), Errors: make([]float64, 7), Grade: 3 + rng.IntN(2)}
		common := rng.NormFloat64()
		for j := range 6 {
			kid.Scores[j+1] = 50 + 10*(math.Sqrt(0.4)*common+math.Sqrt(0.6)*rng.NormFloat64())
			kid.Scores[0] += kid.Scores[j+1] / 6
			kid.Errors[j+1] = 3
		}
		kid.Errors[0] = 2
		p.Kids = append(p.Kids, kid)
	}
	addRules(p, hidden, rng)
	return p
}

// addRules adds rules that the hidden split keeps.
func addRules(p *Pool, hidden Split, rng *rand.Rand) {
	byTeam := make([][]int, len(p.Teams))
	for k, t := range hidden {
		byTeam[t] = append(byTeam[t], k)
	}
	for t, kids := range byTeam {
		p.Fixed = append(p.Fixed, Fixed{Kid: kids[0], Team: t, Coach: true})
		if len(kids) > 3 && rng.IntN(2) == 0 {
			p.Siblings = append(p.Siblings, []int{kids[1], kids[2]})
		}
	}
	for k, t := range hidden {
		if rng.IntN(8) == 0 {
			p.Kids[k].Teams = make([]bool, len(p.Teams))
			for u := range p.Teams {
				p.Kids[k].Teams[u] = u == t || rng.IntN(2) == 0
			}
		}
	}
	for range len(p.Teams) {
		a, b := rng.IntN(len(p.Kids)), rng.IntN(len(p.Kids))
		if hidden[a] != hidden[b] {
			p.Apart = append(p.Apart, [2]int{a, b})
		}
	}
}

// fullPool is a pool like randomPool with everything there is to be even in: grades, untested and returning kids, roles and carpools.
func fullPool(seed uint64, kids, teams int) *Pool {
	p := randomPool(seed, kids, teams)
	rng := rand.New(rand.NewPCG(seed, 99))
	p.Weights = DefaultWeights()
	p.Roles = []Role{{"front", 2}, {"corner", 2}, {"deep", 1}}
	for k := range p.Kids {
		kid := &p.Kids[k]
		if rng.IntN(10) == 0 {
			kid.Untested = true
			for j := range kid.Scores {
				kid.Scores[j], kid.Errors[j] = 50, 10
			}
		}
		if rng.IntN(2) == 0 {
			kid.Returning = fmt.Sprint("old ", rng.IntN(teams))
		}
		kid.Plays = []bool{kid.Scores[1] > 45, kid.Scores[2] > 48, kid.Scores[3] > 55}
	}
	p.MaxReturning = 4
	for range kids / 8 {
		w := rng.Perm(kids)[:2+rng.IntN(2)]
		p.Carpools = append(p.Carpools, w)
	}
	return p
}
