package rotation

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// levelWalk goes through all situations of a game that lineups of at least a level lead to.
type levelWalk struct {
	t     *testing.T
	q     *search
	whole map[string]bool // situations: whether the game can go on to its end
	used  []map[chosen]bool
	tight int // situations with a rest whose bound is not above the floor with lags
	cut   int // situations without a rest that only the lags tell
}

// rest tells whether the game can go on to its end from the states before series s, and holds the floor of the bound to that.
func (x *levelWalk) rest(s int, state []int16) bool {
	q, m := x.q, x.q.m
	if s == m.series {
		return true
	}
	key := fmt.Sprint(s, state)
	if ok, seen := x.whole[key]; seen {
		return ok
	}
	ok, t := false, m.tables[s]
	for c := range t.prefix(q.w) {
		if next := make([]int16, m.kids); after(m, s, c, state, next) && x.rest(s+1, next) {
			x.used[s][columnOf(t, c)], ok = true, true
		}
	}
	x.whole[key] = ok
	if s == 0 {
		return ok
	}
	bound, floor := q.later[s-1], m.open[s]*q.w*priceScale
	for k, st := range state {
		bound += q.d.tail[k*(m.series+1)+s][st]
	}
	switch {
	case ok:
		require.GreaterOrEqual(x.t, bound, floor+q.lag[s-1], "series %d", s)
		if bound == floor+q.lag[s-1] && q.lag[s-1] > 0 {
			x.tight++
		}
	case bound >= floor && bound < floor+q.lag[s-1]:
		x.cut++
	}
	return ok
}

func columnOf(t *table, c int) chosen {
	out := chosen{mask: t.mask[c]}
	if len(t.code) > 0 {
		out.code = t.code[c]
	}
	return out
}

// after writes the states after series s with column c to next; false: a kid may not.
func after(m *model, s, c int, state, next []int16) bool {
	t, width := m.tables[s], m.actions+1
	var action [MaxKids]int
	for _, it := range t.item[c*t.width : (c+1)*t.width] {
		action[int(it)/m.actions] = int(it)%m.actions + 1
	}
	for k, a := range m.auto {
		if next[k] = a.next[s][int(state[k])*width+action[k]]; next[k] < 0 {
			return false
		}
	}
	return true
}

// lagTally counts what the questions of TestLagsLeaveEveryPlan were like.
type lagTally struct {
	asked               map[bool]int // by whether there is a plan
	tight, cut, dropped int
	saved               int64 // nodes
}

// TestLagsLeaveEveryPlan goes through all plans of small games with every series at a level, at prices of any kind: what later series give
// away at the least cuts off none of them, neither in the search nor where lineups are dropped, and the search finds one if and only if there is one.
func TestLagsLeaveEveryPlan(t *testing.T) {
	games := uint64(400)
	if sweepOn() {
		games = 6_000
	}
	n := &lagTally{asked: map[bool]int{}}
	for seed := range games {
		rng := newRand(seed)
		p := randomProblem(rng, tiny(seed)).normal()
		if p.Validate() != nil || p.ended() {
			continue
		}
		m, ok := newModel(p, p.linksRoles(), nil, never0)
		if !ok || m.infeasible() {
			continue
		}
		room, open := newHeadroom(m), 0
		for p.over(open) {
			open++
		}
		for range 4 {
			w := int64(m.tables[open].level[rng.IntN(m.tables[open].len())])
			d := newDual(m)
			for i := range d.pi {
				d.pi[i] = rng.Int64N(40*priceScale) - 20*priceScale
			}
			if d.level(w); d.evaluate() {
				reached := newDescent(d).run(rng.IntN(30), m.open[0]*w*priceScale, nil)
				n.ask(t, d, room, w, reached, fmt.Sprintf("seed %d, level %d", seed, w))
			}
		}
	}
	t.Logf("plans in %d questions, none in %d; %d tight, %d cut by lags alone, %d lineups dropped, %d nodes saved", n.asked[true], n.asked[false], n.tight, n.cut, n.dropped, n.saved)
	require.Greater(t, n.asked[true], 100)
	require.Greater(t, n.asked[false], 100)
	require.Greater(t, n.tight, 20)
	require.Greater(t, n.cut, 20)
	require.Greater(t, n.dropped, 20)
	require.Positive(t, n.saved)
}

// ask asks for a level at the prices of a dual; reached tells whether these leave the level open.
func (n *lagTally) ask(t *testing.T, d *dual, room *headroom, w int64, reached bool, name string) {
	q := newSearch(d, room, w, noGoal, nil)
	x := &levelWalk{t: t, q: q, whole: map[string]bool{}, used: make([]map[chosen]bool, d.m.series)}
	for s := range x.used {
		x.used[s] = map[chosen]bool{}
	}
	want := x.rest(0, make([]int16, d.m.kids))
	require.False(t, want && !reached, "%s: a plan above the bound", name)
	n.asked[want]++
	n.tight, n.cut = n.tight+x.tight, n.cut+x.cut

	plain := newSearch(d, room, w, noGoal, nil)
	clear(plain.lag)
	plain.open(0)
	require.Equal(t, want, plain.run(math.MaxInt32) == found, "%s, without lags", name)
	require.Equal(t, want, q.run(math.MaxInt32) == found, name)
	n.saved += plain.nodes - 1 - q.nodes // it was opened twice

	slow := newSearch(d, room, w, noGoal, nil) // without glances
	slow.view = nil
	slow.open(0)
	require.Equal(t, q.state, slow.run(math.MaxInt32), "%s, without glances", name)
	require.Equal(t, q.nodes, slow.nodes-1, "%s, without glances", name)

	before := sizes(d)
	left := d.reduce(w, noGoal)
	require.False(t, want && !left, "%s: no lineup is left", name)
	if !left {
		return
	}
	n.dropped += before - sizes(d)
	for s, used := range x.used {
		for c := range d.size[s] {
			delete(used, columnOf(d.active[s], c))
		}
		require.Empty(t, used, "%s, series %d: dropped", name, s)
	}
}

// sizes is how many lineups are still in play, over all series.
func sizes(d *dual) int {
	n := 0
	for _, x := range d.size {
		n += x
	}
	return n
}
