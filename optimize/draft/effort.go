package draft

import (
	"context"
)

// usualSeed is the seed that every search begins with; 0 stands for it too.
const usualSeed = 1

// outcome is the teams of units with their value.
type outcome struct {
	team  []int32
	value value
	// balance is the shortage and objective as they are reported. They order outcomes where the goal is the objective: whole numbers are weighted a
	// trifle differently, and what is reported must never get worse by more work.
	short     int
	objective float64
}

func (m *model) outcome(team []int32, v value) outcome {
	o := outcome{team: team, value: v}
	if m.goal == Squares {
		b := m.p.Measure(m.split(team))
		o.short, o.objective = b.Shortage, b.Objective
	}
	return o
}

// better orders outcomes. Equals are not better than each other: the one found first stays.
func (m *model) better(o, q outcome) bool {
	switch {
	case m.goal != Squares:
		return o.value.less(q.value)
	case o.short != q.short:
		return o.short < q.short
	}
	return o.objective < q.objective
}

// best searches and keeps the best outcome; it tells whether that is proven. What is searched with some effort is searched with any more effort too, piece by
// piece in the same way, and what the usual seed finds counts with every seed. So nobody who asks for more work, or for another seed, is handed less even
// teams, and where nothing better is found they are the same teams.
func (m *model) best(ctx context.Context, start []int32, s Settings) (outcome, bool) {
	seeds := []uint64{usualSeed}
	if s.Seed > usualSeed {
		seeds = append(seeds, s.Seed)
	}
	each := restarts * min(max(1, s.Effort), mostEffort)
	runs := make([]outcome, each*len(seeds))
	_, bound := m.bounds()
	s.share(len(runs), func(i int) { runs[i] = m.run(ctx, start, bound, seeds[i/each], i%each) })
	best, proved := m.prove(ctx, m.first(runs))
	if proved || !s.Grant || m.goal != Squares || len(m.p.Carpools) == 0 {
		return best, proved
	}
	return m.first(append([]outcome{best}, m.granted(ctx, runs, each, seeds, s)...)), false
}

// first is the best of some outcomes, the first of equals.
func (m *model) first(list []outcome) outcome {
	best := list[0]
	for _, o := range list[1:] {
		if m.better(o, best) {
			best = o
		}
	}
	return best
}

// granted goes on wish by wish (Grant) from what each seed had found after so much effort, for every effort up to that asked for: from the last alone, more effort
// could lead to another split to go on from, and from there to a worse one.
func (m *model) granted(ctx context.Context, runs []outcome, each int, seeds []uint64, s Settings) []outcome {
	type start struct {
		from outcome
		seed uint64
	}
	var list []start
	for i, seed := range seeds {
		own := runs[i*each : (i+1)*each]
		for n := restarts; n <= each; n += restarts {
			o := m.first(own[:n])
			if last := len(list) - 1; n == restarts || m.better(o, list[last].from) {
				list = append(list, start{o, seed})
			}
		}
	}
	out := make([]outcome, len(list))
	set := s
	set.Progress = nil
	set.share(len(list), func(i int) {
		now, err := Grant(ctx, m.p, m.split(list[i].from.team), Settings{Seed: list[i].seed})
		if out[i] = list[i].from; err == nil {
			team := m.assign(now)
			out[i] = m.outcome(team, m.newState(team).value())
		}
	})
	return out
}
