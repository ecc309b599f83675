package draft

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// eachSplit gives every way to put kids on teams whose sizes differ by at most 1, by brute force: no rule is looked at.
func eachSplit(p *Pool, give func(s Split)) {
	n, teams := len(p.Kids), len(p.Teams)
	lo, larger := n/teams, n%teams
	s := make(Split, n)
	count := make([]int, teams)
	var put func(k, larger int)
	put = func(k, larger int) {
		if k == n {
			give(s)
			return
		}
		for t := range teams {
			over := 0
			if count[t] >= lo {
				over = 1
			}
			if count[t] > lo || over > larger {
				continue
			}
			s[k] = t
			count[t]++
			put(k+1, larger-over)
			count[t]--
		}
	}
	put(0, larger)
}

// oracle is the least shortage and objective of all splits that keep the rules, worked out from the words of the package comment and not by Measure.
func oracle(p *Pool) (best float64, short int, feasible bool) {
	best, short = math.Inf(1), math.MaxInt
	eachSplit(p, func(s Split) {
		if len(Check(p, s)) > 0 {
			return
		}
		feasible = true
		sh := 0
		for t := range p.Teams {
			sh += bruteShortage(p, s, t)
		}
		if sh > short {
			return
		}
		if j := naive(p, s); sh < short || j < best {
			best, short = j, sh
		}
	})
	return best, short, feasible
}

// naive is the objective in plain floating point.
func naive(p *Pool, s Split) float64 {
	n := float64(len(p.Kids))
	between := func(x []float64) (pool, teams float64) {
		var mean float64
		for _, v := range x {
			mean += v / n
		}
		for _, v := range x {
			pool += (v - mean) * (v - mean) / n
		}
		for t := range p.Teams {
			var sum, size float64
			for k, v := range x {
				if s[k] == t {
					sum += v - mean
					size++
				}
			}
			teams += sum * sum / size
		}
		return pool, teams
	}
	values := func(f func(k Kid) float64) []float64 {
		var x []float64
		for _, k := range p.Kids {
			x = append(x, f(k))
		}
		return x
	}
	var total float64
	add := func(weight int, f func(k Kid) float64) {
		if pool, teams := between(values(f)); pool > 1e-9 {
			total += float64(weight) / 100 * teams / pool
		}
	}
	for j, m := range p.Measures {
		add(m.Weight, func(k Kid) float64 { return k.Scores[j] })
	}
	yes := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	add(p.Weights.Untested, func(k Kid) float64 { return yes(k.Untested) })
	add(p.Weights.Returning, func(k Kid) float64 { return yes(k.Returning != "") })
	add(p.Weights.Uncertainty, func(k Kid) float64 {
		if k.Errors == nil {
			return 0
		}
		return k.Errors[0] * k.Errors[0]
	})
	var pools, teams float64
	for g := range 20 {
		a, b := between(values(func(k Kid) float64 { return yes(k.Grade == g) }))
		pools, teams = pools+a, teams+b
	}
	if pools > 1e-9 {
		total += float64(p.Weights.Grades) / 100 * teams / pools
	}
	for _, w := range p.Carpools {
		on := map[int]bool{}
		for _, k := range w {
			on[s[k]] = true
		}
		total += float64(max(0, len(on)-1)) * float64(p.Weights.Carpool) / 100
	}
	return total
}

// bruteShortage tries all ways to give a team's spots to its kids.
func bruteShortage(p *Pool, s Split, t int) int {
	var spots []int
	for r, role := range p.Roles {
		for range role.Need {
			spots = append(spots, r)
		}
	}
	used := make([]bool, len(p.Kids))
	var try func(i int) int
	try = func(i int) int {
		if i == len(spots) {
			return 0
		}
		least := 1 + try(i+1)
		for k, kid := range p.Kids {
			if s[k] == t && !used[k] && (kid.Plays == nil || kid.Plays[spots[i]]) {
				used[k] = true
				least = min(least, try(i+1))
				used[k] = false
			}
		}
		return least
	}
	return try(0)
}

// anyPool invents a pool with every rule and wish there is, feasible or not. Scores are whole tenths.
func anyPool(rng *rand.Rand, kids, teams int, tight float64) *Pool {
	p := &Pool{Weights: DefaultWeights()}
	for t := range teams {
		p.Teams = append(p.Teams, string(rune('A'+t%26))+fmt.Sprint(t))
	}
	measures := 1 + rng.IntN(3)
	for j := range measures {
		p.Measures = append(p.Measures, Measure{Label: fmt.Sprint("m", j), Weight: []int{100, 100, 50, 0}[rng.IntN(4)]})
	}
	p.Measures[0].Weight = 100
	if rng.IntN(2) == 0 {
		p.Roles = []Role{{"front", 1 + rng.IntN(2)}, {"deep", 1}}
	}
	for k := range kids {
		kid := Kid{Label: fmt.Sprint(k + 1), Grade: 3 + rng.IntN(1+rng.IntN(3)), Untested: rng.IntN(8) == 0}
		for range measures {
			kid.Scores = append(kid.Scores, math.Round(500+100*rng.NormFloat64())/10)
			kid.Errors = append(kid.Errors, float64(3+rng.IntN(3)))
		}
		if rng.IntN(3) == 0 {
			kid.Returning = fmt.Sprint("old", rng.IntN(3))
		}
		if rng.Float64() < 0.3*tight {
			kid.Teams = make([]bool, teams)
			for t := range teams {
				kid.Teams[t] = rng.IntN(2) == 0
			}
			kid.Teams[rng.IntN(teams)] = true
		}
		if p.Roles != nil && rng.IntN(3) == 0 {
			kid.Plays = []bool{rng.IntN(2) == 0, rng.IntN(3) == 0}
		}
		p.Kids = append(p.Kids, kid)
	}
	p.MaxReturning = rng.IntN(4)
	some := func(n int) []int { return rng.Perm(kids)[:n] }
	count := func(n int) int { return rng.IntN(1 + int(float64(n)*tight)) }
	for range count(kids / 4) {
		p.Siblings = append(p.Siblings, some(2+rng.IntN(2)))
	}
	for range count(kids / 3) {
		p.Fixed = append(p.Fixed, Fixed{Kid: rng.IntN(kids), Team: rng.IntN(teams), Coach: rng.IntN(2) == 0})
	}
	for range count(kids / 2) {
		a := some(2)
		p.Apart = append(p.Apart, [2]int{a[0], a[1]})
	}
	for range rng.IntN(3) {
		p.Carpools = append(p.Carpools, some(2+rng.IntN(2)))
	}
	return p
}

// shuffled is the same pool with its kids in another order, and where each kid went.
func shuffled(p *Pool, rng *rand.Rand) (*Pool, []int) {
	to := rng.Perm(len(p.Kids))
	q := *p
	q.Kids = make([]Kid, len(p.Kids))
	for k, kid := range p.Kids {
		q.Kids[to[k]] = kid
	}
	groups := func(gs [][]int) [][]int {
		var list [][]int
		for _, g := range gs {
			var h []int
			for _, k := range g {
				h = append(h, to[k])
			}
			list = append(list, h)
		}
		return list
	}
	q.Siblings, q.Carpools = groups(p.Siblings), groups(p.Carpools)
	q.Fixed, q.Apart = slices.Clone(p.Fixed), slices.Clone(p.Apart)
	for i := range q.Fixed {
		q.Fixed[i].Kid = to[q.Fixed[i].Kid]
	}
	for i, a := range q.Apart {
		q.Apart[i] = [2]int{to[a[0]], to[a[1]]}
	}
	return &q, to
}
