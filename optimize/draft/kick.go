package draft

// mostResplits ends settling, where there are many teams: kicks do the rest as well.
const mostResplits = 250

// settle resplits pairs of the given teams until no pair can be improved any more, or often enough.
func (r *resplitter) settle(teams []int32, stop func() bool) {
	done := 0
	n := len(teams)
	stale := make([]bool, n*n) // pairs that cannot be improved as they are
	for again := true; again; {
		again = false
		for i := range n {
			for j := range i {
				if stale[i*n+j] || done == mostResplits || stop() {
					continue
				}
				done++
				stale[i*n+j] = true
				if !r.resplit(teams[i], teams[j]) {
					continue
				}
				again = true
				for k := range n {
					for _, l := range [2]int{i, j} {
						stale[max(k, l)*n+min(k, l)] = false
					}
				}
				stale[i*n+j] = true
			}
		}
	}
}

// A kick of the search: teams, and exchanges tried at random between them.
const (
	kickTeams = 3
	kickMoves = 4
)

// kick shakes a few teams and settles them again; what is not better is undone.
func (r *resplitter) kick(stop func() bool) {
	teams := r.some(min(r.teams, kickTeams))
	var units, was []int32
	for _, t := range teams {
		for _, u := range r.on[t] {
			units, was = append(units, u), append(was, t)
		}
	}
	before := r.value()
	for range kickMoves {
		a, b := r.below(len(teams)), r.below(len(teams))
		if a == b {
			continue
		}
		x := &r.trial
		*x = exchange{a: teams[a], b: teams[b], nOut: 1, nI: 1}
		x.out[0], x.in[0] = r.any(x.a), r.any(x.b)
		if !r.units[x.out[0]].fixed() && !r.units[x.in[0]].fixed() && r.legal(x) {
			r.apply(x)
		}
	}
	r.settle(teams, stop)
	if before.less(r.value()) {
		r.restore(units, was)
	}
}

// restore puts units back.
func (r *resplitter) restore(units, teams []int32) {
	for i, u := range units {
		if r.team[u] != teams[i] {
			r.leave(u, r.team[u])
			r.enter(u, teams[i])
		}
	}
	r.refresh()
}

func (r *resplitter) any(t int32) int32 { return r.on[t][r.below(len(r.on[t]))] }

// some draws teams.
func (r *resplitter) some(n int) []int32 {
	all := make([]int32, r.teams)
	for t := range all {
		all[t] = int32(t)
	}
	shuffle(&r.dice, all)
	return all[:n]
}
