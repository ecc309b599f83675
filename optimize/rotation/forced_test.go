package rotation

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestForcedIsTheCheapestLineup compares what lineups with certain kids give away with a look at each lineup.
func TestForcedIsTheCheapestLineup(t *testing.T) {
	some, none := 0, 0
	for seed := range uint64(100) {
		rng := newRand(seed)
		m, r := modelOf(randomProblem(rng, randomOptions{Kids: [2]int{5, 9}, Series: [2]int{3, 8}, Spots: [2]int{2, 5}, Roles: 3, Free: true}))
		if r == nil {
			continue
		}
		d := newDual(m)
		for i := range d.pi {
			d.pi[i] = int64(rng.IntN(2_000) - 1_000)
		}
		w := int64(m.tables[0].level[m.tables[0].len()/2])
		if d.level(w); !d.evaluate() {
			continue
		}
		q := newSearch(d, newHeadroom(m), w, noGoal, nil)
		q.foresee(nil)
		for range 200 {
			s := 1 + rng.IntN(m.series-1)
			set, n := uint32(0), rng.IntN(d.active[s].width+1)
			for range n {
				set |= 1 << rng.IntN(m.kids)
			}
			want := int64(math.MaxInt32)
			for c, mask := range d.active[s].mask[:d.size[s]] {
				if mask&set == set {
					// The excess of the level over w, and what the lineup lacks of the top, kid by kid.
					x := (int64(d.active[s].level[c])-w)*priceScale + d.top[s] - d.active[s].obj[c]*priceScale
					for k := range m.kids {
						if mask>>k&1 == 1 {
							x += d.pi[s*m.items()+k]
						}
					}
					want = min(want, (x-d.lag(s, w))/priceScale)
				}
			}
			require.EqualValues(t, want, q.forced.least[s][set], "seed %d, series %d, kids %b", seed, s, set)
			if want == math.MaxInt32 {
				none++
			} else {
				some++
			}
		}
	}
	require.Greater(t, some, 1_000)
	require.Greater(t, none, 1_000)
}

// TestForcedAndRestartsChangeNoAnswer asks for levels, and for the best total at them or at none, with and without a look ahead and fresh
// starts. The search without them is held to brute force elsewhere.
func TestForcedAndRestartsChangeNoAnswer(t *testing.T) {
	games := uint64(400)
	if sweepOn() {
		games = 4_000
	}
	answers, saved, fewer := map[searchState]int{}, int64(0), 0
	for seed := range games {
		rng := newRand(seed)
		m, r := modelOf(randomProblem(rng, randomOptions{Kids: [2]int{5, 10}, Series: [2]int{4, 9}, Spots: [2]int{2, 5}, Roles: 3, Free: true, Base: seed%3 == 0}))
		if r == nil {
			continue
		}
		room := newHeadroom(m)
		levels := slices.Compact(slices.Clone(m.tables[0].level))
		for range 6 {
			w, goal := int64(levels[rng.IntN(len(levels))]), int64(noGoal)
			if rng.IntN(4) == 0 {
				w = noLevel
			}
			d := newDual(m)
			d.level(w)
			if !newDescent(d).run(10+rng.IntN(30), max(w, 0)*m.open[0]*priceScale, nil) {
				continue
			}
			if rng.IntN(2) == 0 { // whole units, so that what is given away can just equal what is left
				for i := range d.pi {
					d.pi[i] -= d.pi[i] % priceScale
				}
				d.evaluate()
			}
			deep := w == noLevel || rng.IntN(2) == 0
			if deep {
				goal = d.z/priceScale - int64(rng.IntN(300))
			}
			plain, q := newSearch(d, room, w, goal, nil), newSearch(d, room, w, goal, nil)
			plain.deep, plain.ceiling, q.deep, q.ceiling = deep, d.z/priceScale, deep, d.z/priceScale
			if plain.run(100_000) == searching {
				continue
			}
			if q.foresee(nil); rng.IntN(2) == 0 {
				q.run(math.MaxInt32)
				require.LessOrEqual(t, q.nodes, plain.nodes)
				saved += plain.nodes - q.nodes
				if q.nodes < plain.nodes {
					fewer++
				}
			}
			for step := int64(1); q.run(step) == searching; step += 1 + step/4 {
				q.restart()
			}
			require.Equal(t, plain.state, q.state, "seed %d, level %d, goal %d", seed, w, goal)
			if answers[q.state]++; q.state == found && deep {
				require.Equal(t, plain.value, q.value, "seed %d, level %d, goal %d", seed, w, goal)
			}
			if q.state == found {
				cells := m.cells(q.plan)
				require.Empty(t, Check(m.p, cells), "seed %d", seed)
				require.GreaterOrEqual(t, slices.Min(m.p.Strengths(cells)), w, "seed %d", seed)
			}
		}
	}
	t.Logf("%d found, %d refuted; %d searches with %d nodes less", answers[found], answers[exhausted], fewer, saved)
	require.Greater(t, answers[found], 200)
	require.Greater(t, answers[exhausted], 100)
	require.Greater(t, fewer, 100)
}
