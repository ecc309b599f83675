package rotation

import "sevenyard/optimize/rotation/internal/flow"

// relaxation is the series plan without rest and without rules on sets: how often each kid
// plays each role in each class of like series. Its matrix is totally unimodular, so the flow
// is exact, and its count matrix splits into single series (Koenig's edge colouring): without a
// rest rule the bound is attained.
type relaxation struct {
	feasible bool      // false: there is no plan
	total    int64     // upper bound on the total, with what was played
	price    [][]int64 // by kid and class representative: the marginal value of the kid's presence
}

// lowerReward makes the flow fill every kid's least share first.
const lowerReward = int64(1) << 40

// relax solves the relaxation. classes maps each series to the first like it. When stop ends it before, nothing is
// refuted, the bound is the one that every spot taken by itself gives, and the prices are 0.
func (p *Problem) relax(class []int, stop func() bool) *relaxation {
	var reps []int
	size := map[int]int{}
	for _, c := range class {
		if size[c] == 0 {
			reps = append(reps, c)
		}
		size[c]++
	}
	n, c, r := len(p.Kids), len(reps), len(p.Roles)
	kid := func(k int) int { return 1 + k }
	kidClass := func(k, i int) int { return 1 + n + k*c + i }
	role := func(i, x int) int { return 1 + n + n*c + i*r + x }
	sink := 1 + n + n*c + c*r
	f := flow.New(sink + 1)
	demand, reward := 0, 0
	for k, pk := range p.Kids {
		played, _ := p.playedCount(k)
		lo, hi := max(pk.Lo, pk.Least, 0), max(min(pk.Hi, len(p.Series)), played)
		if lo > hi {
			return &relaxation{}
		}
		f.Arc(0, kid(k), lo, -lowerReward)
		f.Arc(0, kid(k), hi-lo, 0)
		reward += lo
		for i, rep := range reps {
			f.Arc(kid(k), kidClass(k, i), size[rep], 0)
			sh, count := &p.Shapes[p.Series[rep]], p.count(rep)
			for x := range p.Roles {
				if count[x] > 0 && p.allowed(k, rep, x) {
					f.Arc(kidClass(k, i), role(i, x), size[rep], -int64(sh.Value[k][x]))
				}
			}
		}
	}
	for i, rep := range reps {
		for x, cnt := range p.count(rep) {
			f.Arc(role(i, x), sink, cnt*size[rep], 0)
			demand += cnt * size[rep]
		}
	}
	amount, cost, ok := f.Run(0, sink, stop)
	if !ok {
		return p.unrelaxed()
	}
	gain := -cost
	got := (gain + lowerReward/2) / lowerReward // the total, which may be negative, is far smaller
	if amount < demand || got < int64(reward) {
		return &relaxation{}
	}
	out := &relaxation{feasible: true, total: gain - got*lowerReward, price: make([][]int64, n)}
	f.Potentials()
	for k := range out.price {
		out.price[k] = make([]int64, len(class))
		for i, rep := range reps {
			out.price[k][rep] = f.At(kidClass(k, i)) - f.At(0)
		}
		for s, rep := range class {
			out.price[k][s] = out.price[k][rep]
		}
	}
	return out
}

// unrelaxed is the bound that needs no flow: every spot has the kid who is worth most there.
func (p *Problem) unrelaxed() *relaxation {
	out := &relaxation{feasible: true, total: p.behind(), price: make([][]int64, len(p.Kids))}
	for k := range out.price {
		out.price[k] = make([]int64, len(p.Series))
	}
	for s, x := range p.Series {
		if p.over(s) {
			continue
		}
		for r, n := range p.Shapes[x].Count {
			best := int64(-maxValue)
			for k := range p.Kids {
				if p.allowed(k, s, r) {
					best = max(best, int64(p.Shapes[x].Value[k][r]))
				}
			}
			out.total += int64(n) * best
		}
	}
	return out
}
