package rotation

import "math"

// flowNet is a minimum-cost flow network solved by successive shortest paths. Costs and
// capacities are whole numbers.
type flowNet struct {
	head []int32 // first arc of a node
	arcs []flowArc
	dist []int64
	via  []int32
}

type flowArc struct {
	to, next int32
	cap      int32
	cost     int64
}

func newFlowNet(nodes int) *flowNet {
	f := &flowNet{head: make([]int32, nodes), dist: make([]int64, nodes), via: make([]int32, nodes)}
	for i := range f.head {
		f.head[i] = -1
	}
	return f
}

// arc adds an arc and its reverse; it returns the arc's index.
func (f *flowNet) arc(from, to, capacity int, cost int64) int {
	id := len(f.arcs)
	f.arcs = append(f.arcs, flowArc{int32(to), f.head[from], int32(capacity), cost})
	f.head[from] = int32(id)
	f.arcs = append(f.arcs, flowArc{int32(from), f.head[to], 0, -cost})
	f.head[to] = int32(id + 1)
	return id
}

// shortest computes distances from the source in the residual network (queue-based
// Bellman-Ford; there is never a negative cycle).
func (f *flowNet) shortest(source int) {
	for i := range f.dist {
		f.dist[i] = math.MaxInt64
		f.via[i] = -1
	}
	f.dist[source] = 0
	f.relaxAll([]int32{int32(source)}, make([]bool, len(f.dist)))
}

// relaxAll shortens distances until no residual arc can.
func (f *flowNet) relaxAll(queue []int32, in []bool) {
	for len(queue) > 0 {
		u := queue[0]
		queue = queue[1:]
		in[u] = false
		for e := f.head[u]; e >= 0; e = f.arcs[e].next {
			a := &f.arcs[e]
			if a.cap > 0 && f.dist[u]+a.cost < f.dist[a.to] {
				f.dist[a.to] = f.dist[u] + a.cost
				f.via[a.to] = e
				if !in[a.to] {
					in[a.to] = true
					queue = append(queue, a.to)
				}
			}
		}
	}
}

// potentials are distances from an extra node that reaches every node at no cost: every
// residual arc has cost + dist(from) - dist(to) >= 0, which makes them optimal duals of the flow.
func (f *flowNet) potentials() {
	queue, in := make([]int32, len(f.dist)), make([]bool, len(f.dist))
	for i := range f.dist {
		f.dist[i], queue[i], in[i] = 0, int32(i), true
	}
	f.relaxAll(queue, in)
}

// run sends as much as it can from source to sink at least cost; it returns amount and cost, or not ok when stop ended it before.
func (f *flowNet) run(source, sink int, stop func() bool) (amount int, cost int64, ok bool) {
	for {
		if stop() {
			return amount, cost, false
		}
		f.shortest(source)
		if f.via[sink] < 0 {
			return amount, cost, true
		}
		push := int32(math.MaxInt32)
		for v := int32(sink); v != int32(source); v = f.arcs[f.via[v]^1].to {
			push = min(push, f.arcs[f.via[v]].cap)
		}
		for v := int32(sink); v != int32(source); v = f.arcs[f.via[v]^1].to {
			e := f.via[v]
			f.arcs[e].cap -= push
			f.arcs[e^1].cap += push
			cost += int64(push) * f.arcs[e].cost
		}
		amount += int(push)
	}
}

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
	f := newFlowNet(sink + 1)
	demand, reward := 0, 0
	for k, pk := range p.Kids {
		played, _ := p.playedCount(k)
		lo, hi := max(pk.Lo, pk.Least, 0), max(min(pk.Hi, len(p.Series)), played)
		if lo > hi {
			return &relaxation{}
		}
		f.arc(0, kid(k), lo, -lowerReward)
		f.arc(0, kid(k), hi-lo, 0)
		reward += lo
		for i, rep := range reps {
			f.arc(kid(k), kidClass(k, i), size[rep], 0)
			sh, count := &p.Shapes[p.Series[rep]], p.count(rep)
			for x := range p.Roles {
				if count[x] > 0 && p.allowed(k, rep, x) {
					f.arc(kidClass(k, i), role(i, x), size[rep], -int64(sh.Value[k][x]))
				}
			}
		}
	}
	for i, rep := range reps {
		for x, cnt := range p.count(rep) {
			f.arc(role(i, x), sink, cnt*size[rep], 0)
			demand += cnt * size[rep]
		}
	}
	amount, cost, ok := f.run(0, sink, stop)
	if !ok {
		return p.unrelaxed()
	}
	gain := -cost
	got := (gain + lowerReward/2) / lowerReward // the total, which may be negative, is far smaller
	if amount < demand || got < int64(reward) {
		return &relaxation{}
	}
	out := &relaxation{feasible: true, total: gain - got*lowerReward, price: make([][]int64, n)}
	f.potentials()
	for k := range out.price {
		out.price[k] = make([]int64, len(class))
		for i, rep := range reps {
			out.price[k][rep] = f.dist[kidClass(k, i)] - f.dist[0]
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
