package rotation

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// modelOf is the model of a random game that the search from both ends applies to; nil otherwise.
func modelOf(p *Problem) (*model, *mirror) {
	p = p.normal()
	if p.linksRoles() || p.Played != nil {
		return nil, nil
	}
	m, ok := newModel(p, false, nil, never0)
	if !ok || m.infeasible() {
		return nil, nil
	}
	return m, newMirror(m)
}

func never0() bool { return false }

// TestMirrorReadsBackward: the mirror's automata accept the games of the automata, read backward, and no others.
func TestMirrorReadsBackward(t *testing.T) {
	accepts := func(a *automaton, game uint, backward bool) bool {
		st := 0
		for s := range a.next {
			at := s
			if backward {
				at = len(a.next) - 1 - s
			}
			if st = int(a.next[s][st*2+int(game>>at&1)]); st < 0 {
				return false
			}
		}
		return true
	}
	kids := 0
	for seed := range uint64(100) {
		m, r := modelOf(randomProblem(newRand(seed), randomOptions{Free: true}))
		if r == nil {
			continue
		}
		for k, a := range m.auto {
			kids++
			for game := range uint(1) << m.series {
				require.Equal(t, accepts(a, game, false), accepts(r.m.auto[k], game, true), "seed %d, kid %d, game %b", seed, k, game)
			}
		}
	}
	require.Greater(t, kids, 200)
}

// TestEndsChangeNoAnswer asks for every level of random games with and without ends, which are listed a few at a time, up
// to any border. The search without them is held to brute force elsewhere.
func TestEndsChangeNoAnswer(t *testing.T) {
	t.Parallel()
	games := uint64(1_100)
	if sweepOn() {
		games = 6_000
	}
	asked, met := map[searchState]int{}, 0
	for seed := range games {
		rng := newRand(seed)
		o := randomOptions{Kids: [2]int{5, 11}, Series: [2]int{4, 10}, Spots: [2]int{2, 5}, Roles: 3, Free: true, Base: seed%3 == 0}
		m, r := modelOf(randomProblem(rng, o))
		if r == nil {
			continue
		}
		v := &solver{p: m.p, m: m, room: newHeadroom(m), topT: 1, topW: m.p.Scale}
		v.base = newDual(m)
		open, space := 0, newSpace()
		for _, w := range slices.Compact(slices.Clone(m.tables[0].level)) { // the greatest first
			d := v.base.clone()
			d.level(int64(w))
			steps := 15 // at prices that leave a good deal to the search, or at good ones
			if seed%2 == 0 {
				steps = 60
			}
			if target := m.open[0] * int64(w) * priceScale; !newDescent(d).run(steps, target, nil) {
				continue
			}
			if open++; open > 12 {
				break
			}
			want := newSearch(d, v.room, int64(w), noGoal, nil).run(200_000)
			if want == searching {
				continue
			}
			q := newSearch(d, v.room, int64(w), noGoal, nil)
			q.ends = newEnds(r, d, int64(w), noGoal, &space)
			for q.state == searching && q.ends.whole < 0 {
				q.ends.run(int64(rng.IntN(30)))
				q.ends.front[rng.IntN(len(q.ends.front))].asked = len(q.ends.seen) * endPiece // enough to be due
				q.ends.made = q.ends.makeTries(q.ends.due, never0)
				q.ends.handOver()
				if q.run(int64(rng.IntN(30))); q.met == 0 && rng.IntN(4) == 0 {
					q.restart()
				}
				q.finish()
			}
			asked[want]++
			plan := q.plan
			if q.state == searching {
				plan = q.ends.way(q.ends.whole)
				q.state = found
			}
			require.Equal(t, want, q.state, "seed %d, level %d", seed, w)
			if want == found && q.ends.helps() {
				met++
			}
			q.ends.release()
			if want != found {
				continue
			}
			cells := m.cells(plan)
			require.Empty(t, Check(m.p, cells), "seed %d, level %d", seed, w)
			require.GreaterOrEqual(t, slices.Min(m.p.Strengths(cells)), int64(w), "seed %d", seed)
		}
	}
	t.Logf("%d found (%d with ends), %d refuted", asked[found], met, asked[exhausted])
	require.Greater(t, asked[exhausted], 100)
	require.Greater(t, met, 100)
}

// TestEndsChangeNoTotal asks for the best total at a level, and for totals around it, with and without ends.
func TestEndsChangeNoTotal(t *testing.T) {
	t.Parallel()
	games := uint64(150)
	if sweepOn() {
		games = 3_000
	}
	asked, met := map[searchState]int{}, 0
	for seed := range games {
		rng := newRand(seed)
		o := randomOptions{Kids: [2]int{5, 11}, Series: [2]int{4, 9}, Spots: [2]int{2, 5}, Roles: 3, Free: true, Base: seed%3 == 0}
		m, r := modelOf(randomProblem(rng, o))
		if r == nil {
			continue
		}
		v := &solver{ctx: context.Background(), p: m.p, m: m, room: newHeadroom(m)}
		space := newSpace()
		v.base = newDual(m)
		levels := m.tables[0].level
		for _, w := range []int64{noLevel, int64(levels[len(levels)-1-rng.IntN(len(levels)/2+1)])} {
			const low, ceiling = 0, 1 << 40
			qu := v.ask(w, low, ceiling, true)
			if qu.answer != searching {
				continue
			}
			plain := newSearch(qu.search.d, v.room, w, low, nil)
			plain.deep, plain.ceiling = true, ceiling
			if plain.run(200_000) != found {
				continue
			}
			for _, goal := range []int64{low, plain.value - 3, plain.value, plain.value + 1} {
				qu := v.ask(w, goal, ceiling, goal == low)
				if qu.answer != searching {
					require.Greater(t, goal, plain.value)
					continue
				}
				q := qu.search
				q.ends = newEnds(r, q.d, w, goal, &space)
				for q.state == searching {
					v.meet(qu, 1+int64(rng.IntN(40)))
					if q.ends.helps() {
						met++
					}
				}
				asked[q.state]++
				v.release(qu)
				require.Equal(t, goal <= plain.value, q.state == found, "seed %d, level %d, goal %d of %d", seed, w, goal, plain.value)
				if q.state != found {
					continue
				}
				cells := m.cells(q.plan)
				require.Empty(t, Check(m.p, cells), "seed %d, level %d", seed, w)
				total := sumOf(m.p.Strengths(cells))
				require.GreaterOrEqual(t, total, goal)
				if goal == low {
					require.Equal(t, plain.value, total, "seed %d, level %d", seed, w)
				}
			}
		}
	}
	t.Logf("%d found, %d refuted, %d rounds with ends", asked[found], asked[exhausted], met)
	require.Greater(t, asked[exhausted], 20)
	require.Greater(t, met, 200)
}

// helps tells whether the search knows of any ends.
func (e *ends) helps() bool {
	return slices.ContainsFunc(e.front, func(f ahead) bool { return f.border > 0 })
}
