// Package flow solves minimum-cost flows in whole numbers.
package flow

import "math"

// Net is a minimum-cost flow network solved by successive shortest paths. Costs and
// capacities are whole numbers.
type Net struct {
	head []int32 // first arc of a node
	arcs []arc
	dist []int64
	via  []int32
}

type arc struct {
	to, next int32
	cap      int32
	cost     int64
}

// New is a network of so many nodes, without arcs.
func New(nodes int) *Net {
	f := &Net{head: make([]int32, nodes), dist: make([]int64, nodes), via: make([]int32, nodes)}
	for i := range f.head {
		f.head[i] = -1
	}
	return f
}

// Arc adds an arc and its reverse; it returns the arc's index.
func (f *Net) Arc(from, to, capacity int, cost int64) int {
	id := len(f.arcs)
	f.arcs = append(f.arcs, arc{int32(to), f.head[from], int32(capacity), cost})
	f.head[from] = int32(id)
	f.arcs = append(f.arcs, arc{int32(from), f.head[to], 0, -cost})
	f.head[to] = int32(id + 1)
	return id
}

// shortest computes distances from the source in the residual network (queue-based
// Bellman-Ford; there is never a negative cycle).
func (f *Net) shortest(source int) {
	for i := range f.dist {
		f.dist[i] = math.MaxInt64
		f.via[i] = -1
	}
	f.dist[source] = 0
	f.relaxAll([]int32{int32(source)}, make([]bool, len(f.dist)))
}

// relaxAll shortens distances until no residual arc can.
func (f *Net) relaxAll(queue []int32, in []bool) {
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

// Potentials are distances from an extra node that reaches every node at no cost: every
// residual arc has cost + dist(from) - dist(to) >= 0, which makes them optimal duals of the flow.
func (f *Net) Potentials() {
	queue, in := make([]int32, len(f.dist)), make([]bool, len(f.dist))
	for i := range f.dist {
		f.dist[i], queue[i], in[i] = 0, int32(i), true
	}
	f.relaxAll(queue, in)
}

// At is the potential of a node, once Potentials has been asked.
func (f *Net) At(node int) int64 { return f.dist[node] }

// Run sends as much as it can from source to sink at least cost; it returns amount and cost, or not ok when stop ended it before.
func (f *Net) Run(source, sink int, stop func() bool) (amount int, cost int64, ok bool) {
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
