package rotation

import (
	"cmp"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// inPlanOrder puts cells into the order of a plan: by role, then kid.
func inPlanOrder(cells []Cell) {
	slices.SortFunc(cells, func(a, b Cell) int { return cmp.Or(cmp.Compare(a.Role, b.Role), cmp.Compare(a.Kid, b.Kid)) })
}

func isOver(p *Problem, s int) bool { return p.Played != nil && p.Played[s] != nil }

// bruteLineups lists every way to fill the spots of series s with kids, whatever the rules say; only one if it is over.
func bruteLineups(p *Problem, s int) [][]Cell {
	if isOver(p, s) {
		return [][]Cell{p.Played[s]}
	}
	var out [][]Cell
	count := p.Shapes[p.Series[s]].Count
	used := make([]bool, len(p.Kids))
	var cells []Cell
	var fill func(r, left, from int)
	fill = func(r, left, from int) {
		for left == 0 {
			if r++; r == len(count) {
				out = append(out, slices.Clone(cells))
				return
			}
			left, from = count[r], 0
		}
		for k := from; k < len(used); k++ {
			if !used[k] {
				used[k] = true
				cells = append(cells, Cell{k, r})
				fill(r, left-1, k+1)
				cells = cells[:len(cells)-1]
				used[k] = false
			}
		}
	}
	fill(-1, 0, 0)
	return out
}

// naivePlans writes down every plan and keeps those that Check lets pass.
func naivePlans(p *Problem) []Plan {
	var out []Plan
	everyPlan(p, func(plan Plan) {
		if len(Check(p, plan)) == 0 {
			out = append(out, slices.Clone(plan))
		}
	})
	return out
}

// everyPlan writes down all ways to fill the spots, legal or not.
func everyPlan(p *Problem, visit func(Plan)) {
	plan := make(Plan, len(p.Series))
	var next func(s int)
	next = func(s int) {
		if s == len(plan) {
			visit(plan)
			return
		}
		for _, cells := range bruteLineups(p, s) {
			plan[s] = cells
			next(s + 1)
		}
	}
	next(0)
}

// brutePrefix is a plan of the first series: its values in ascending order, and how it came about.
type brutePrefix struct {
	values []int64
	before *brutePrefix
	cells  []Cell
}

func (f *brutePrefix) total() (sum int64) {
	for _, v := range f.values {
		sum += v
	}
	return sum
}

func (f *brutePrefix) weakest() int64 {
	if len(f.values) == 0 {
		return 1 << 60
	}
	return f.values[0]
}

// covers tells whether f is at least as good as g however the game goes on from the same state.
func (f *brutePrefix) covers(g *brutePrefix, favor Favor) bool {
	switch favor {
	case Weakest:
		return f.weakest() >= g.weakest() && f.total() >= g.total()
	case Total:
		return cmp.Or(cmp.Compare(f.total(), g.total()), cmp.Compare(f.weakest(), g.weakest())) >= 0
	}
	// The same series added to both does not change which ordered list is larger.
	return slices.Compare(f.values, g.values) >= 0
}

// bruteKid is what the rules need to know of a kid's game so far.
type bruteKid struct {
	count, run int8 // run: series in a row on the field, negative on the bench
	roles      [3]int8
}

// bruteState is the state of all kids; kids beyond the game stay zero.
type bruteState [6]bruteKid

// brute solves a problem of at most 6 kids and 3 roles by going through all plans series by series;
// of plans that leave all kids in the same state it keeps the best. Nil: no plan.
func brute(p *Problem, favor Favor) Plan {
	layer := map[bruteState][]*brutePrefix{{}: {{}}}
	for s := range p.Series {
		next := map[bruteState][]*brutePrefix{}
		for _, cells := range bruteChoices(p, s) {
			worth := seriesValue(p, s, cells)
			for state, prefixes := range layer {
				after, ok := bruteAdvance(p, s, state, cells)
				if s == len(p.Series)-1 {
					ok = ok && bruteEnds(p, after)
					after = bruteState{} // at the end all that counts is the value
				}
				if !ok {
					continue
				}
				for _, f := range prefixes {
					values := slices.Clone(f.values)
					if !isOver(p, s) {
						values = append(values, worth)
					}
					slices.Sort(values)
					next[after] = bruteKeep(next[after], &brutePrefix{values, f, cells}, favor)
				}
			}
		}
		layer = next
	}
	var best Plan
	for _, f := range layer[bruteState{}] {
		plan := make(Plan, len(p.Series))
		for s := len(plan) - 1; s >= 0; s-- {
			plan[s], f = f.cells, f.before
		}
		if best == nil || compareLex(p, favor, plan, best) > 0 {
			best = plan
		}
	}
	return best
}

func seriesValue(p *Problem, s int, cells []Cell) int64 {
	return valuesOf(&Problem{Shapes: p.Shapes, Series: p.Series[s : s+1]}, Plan{cells})[0]
}

// rolesMatter tells whether a rule ties a kid's roles together across series.
func rolesMatter(p *Problem) bool {
	return p.MinRoles > 1 || slices.ContainsFunc(p.Kids, func(k Kid) bool { return k.Cap > 0 || k.Different > 0 })
}

// bruteChoices lists the lineups to try in series s. Where roles do not matter for later series, the
// best one of every set of kids is enough.
func bruteChoices(p *Problem, s int) [][]Cell {
	var out [][]Cell
	best := map[[6]bool]int{}
	for _, cells := range bruteLineups(p, s) {
		if !isOver(p, s) && !bruteObeys(p, s, cells) {
			continue
		}
		var set [6]bool
		for _, c := range cells {
			set[c.Kid] = true
		}
		i, seen := best[set]
		switch {
		case !seen || rolesMatter(p):
			best[set] = len(out)
			out = append(out, cells)
		case seriesValue(p, s, cells) > seriesValue(p, s, out[i]):
			out[i] = cells
		}
	}
	return out
}

func bruteKeep(list []*brutePrefix, f *brutePrefix, favor Favor) []*brutePrefix {
	for _, g := range list {
		if g.covers(f, favor) {
			return list
		}
	}
	list = slices.DeleteFunc(list, func(g *brutePrefix) bool { return f.covers(g, favor) })
	return append(list, f)
}

// bruteThere tells who is there, by the definition.
func bruteThere(kid Kid, s int) bool {
	away := slices.ContainsFunc(kid.Away, func(w Window) bool { return w.First <= s && s <= w.Last })
	return kid.First <= s && s <= kid.Last && !away
}

// bruteObeys checks the rules that speak of one series.
func bruteObeys(p *Problem, s int, cells []Cell) bool {
	var role [6]int // 1 + role, 0: not on the field
	for _, c := range cells {
		role[c.Kid] = c.Role + 1
		if !bruteThere(p.Kids[c.Kid], s) || p.never(c.Kid, c.Role) {
			return false
		}
	}
	for _, pair := range p.Together {
		if (role[pair[0]] > 0) != (role[pair[1]] > 0) {
			return false
		}
	}
	for _, pair := range p.Apart {
		if role[pair[0]] > 0 && role[pair[1]] > 0 {
			return false
		}
	}
	for _, cover := range p.Covers {
		n := 0
		for _, k := range cover.Kids {
			n += min(1, role[k])
		}
		if n < cover.AtLeast {
			return false
		}
	}
	for _, pin := range p.Pins {
		hit := role[pin.Kid] > 0 && (pin.Role < 0 || role[pin.Kid] == pin.Role+1)
		if pin.Series == s && hit != pin.Must {
			return false
		}
	}
	return true
}

// bruteAdvance moves every kid on by one series, unless a rule about rest, shares or roles forbids it. Nothing forbids what is over.
func bruteAdvance(p *Problem, s int, state bruteState, cells []Cell) (bruteState, bool) {
	var on [6]bool
	over := isOver(p, s)
	for _, c := range cells {
		on[c.Kid] = true
		kid := &state[c.Kid]
		kid.count++
		switch limit := p.Kids[c.Kid].Cap; {
		case limit > 0:
			kid.roles[c.Role]++
		case p.MinRoles > 1 || p.Kids[c.Kid].Different > 0:
			kid.roles[c.Role] = 1
		}
		if limit := p.Kids[c.Kid].Cap; !over && (limit > 0 && int(kid.roles[c.Role]) > limit || int(kid.count) > p.Kids[c.Kid].Hi) {
			return state, false
		}
	}
	for k, kid := range p.Kids {
		st := &state[k]
		switch {
		case on[k]:
			st.run = max(st.run, 0) + 1
		case bruteThere(kid, s):
			st.run = min(st.run, 0) - 1
		case s >= kid.First && s <= kid.Last: // back later
			st.run = 0
			continue
		default:
			continue
		}
		if p.MaxOn == 0 {
			st.run = min(st.run, 1) // how long a run is matters only to its limit
		}
		if p.MaxOff == 0 {
			st.run = max(st.run, -1)
		}
		left := 0
		for later := s + 1; later < len(p.Series); later++ {
			if bruteThere(kid, later) {
				left++
			}
		}
		if !over && int(st.count)+left < max(kid.Lo, kid.Least) {
			return state, false
		}
		if !over && (p.MaxOn > 0 && int(st.run) > max(p.MaxOn, kid.MaxOn) || p.MaxOff > 0 && -int(st.run) > max(p.MaxOff, kid.MaxOff)) {
			return state, false
		}
	}
	return state, true
}

// bruteEnds checks what can only be told at the end of the game.
func bruteEnds(p *Problem, state bruteState) bool {
	for k, kid := range p.Kids {
		roles, season := 0, 0
		for r, n := range state[k].roles {
			if n > 0 {
				roles++
			}
			if n > 0 || r < len(kid.Before) && kid.Before[r] {
				season++
			}
		}
		n := int(state[k].count)
		if n < kid.Lo || n < kid.Least || n > 0 && roles < p.MinRoles && p.MinRoles > 1 {
			return false
		}
		if n > 0 && season < kid.Different {
			return false
		}
		past := 0
		for s := range p.Series {
			if isOver(p, s) && slices.ContainsFunc(p.Played[s], func(c Cell) bool { return c.Kid == k }) {
				past++
			}
		}
		if n > max(kid.Hi, past) {
			return false
		}
	}
	return true
}

var favors = []Favor{Weakest, Total, Even}

// TestBruteIsRight compares brute with the list of all plans of problems small enough to have one.
func TestBruteIsRight(t *testing.T) {
	feasible := 0
	for seed := range uint64(300) {
		p := randomProblem(newRand(seed), micro())
		plans := naivePlans(p)
		for _, favor := range favors {
			got := brute(p, favor)
			if len(plans) == 0 {
				require.Nil(t, got, seed)
				continue
			}
			feasible++
			require.Empty(t, Check(p, got), seed)
			best := slices.MaxFunc(plans, func(a, b Plan) int { return compareLex(p, favor, a, b) })
			require.Zero(t, compareLex(p, favor, got, best), "seed %d, favor %d: %v, not %v", seed, favor, valuesOf(p, got), valuesOf(p, best))
		}
	}
	require.Greater(t, feasible, 300)
}

// TestBruteAgreesWithPeers has every peer, and our solver, solve tiny problems with every rule.
func TestBruteAgreesWithPeers(t *testing.T) {
	peers := presentPeers(t)
	cases := uint64(18)
	if sweepOn() {
		cases = 400
	}
	var ta tally
	var feasible atomic.Uint64
	eachCase(t, cases, func(t *testing.T, seed uint64) {
		p := randomProblem(newRand(1000+seed), tiny(seed))
		favor := favors[seed%3]
		want := brute(p, favor)
		r := mustSolve(t, p, Settings{Favor: favor, Limit: time.Minute})
		if want == nil {
			require.Equal(t, Infeasible, r.Status)
		} else {
			feasible.Add(1)
			require.Equal(t, Proven, r.Status)
			require.Zero(t, compareLex(p, favor, r.Plan, want))
		}
		if !p.ended() { // models without a column are too little for some peers
			agreeWithPeers(t, p, favor, want, inTurn(peers, seed), 20*time.Second, &ta)
		}
	})
	require.Greater(t, feasible.Load(), cases/4)
	t.Logf("%d of %d have a plan%s", feasible.Load(), cases, ta.String())
}
