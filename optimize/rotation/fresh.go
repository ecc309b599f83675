package rotation

import (
	"context"
	"math"
	"slices"
	"time"
)

// freshNodes bounds the effort, in nodes, of finding the plan with the fewest changes among the best ones.
const freshNodes = 200_000

// Fresh is the best plan regardless of old, as Solve would have it, and of the plans as good as that one with the fewest cells changed from
// old. Its Changes hold for such plans; where they are not proven, some may need fewer. The limit is for both questions together.
func Fresh(ctx context.Context, p *Problem, old Plan, set Settings) (*Rebuilt, error) {
	began := time.Now()
	r, err := Solve(ctx, p, set)
	if err != nil {
		return nil, err
	}
	if r.Plan == nil {
		return &Rebuilt{Result: *r}, nil
	}
	if set.Limit > 0 {
		set.Limit = max(1, set.Limit-time.Since(began))
	}
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || p.ended() {
		return b.done, err
	}
	out := &Rebuilt{Result: *r, Changes: Bounded{Value: b.count(r.Plan), Bound: b.least()}}
	out.Changes.Proven = out.Changes.Value <= out.Changes.Bound
	if r.Status != Proven || out.Changes.Proven || b.done != nil || b.v.m == nil {
		return out, nil
	}
	b.nearest(out)
	if bad := Check(p, out.Plan); len(bad) > 0 {
		return nil, wrong(bad)
	}
	out.Stats.Nodes += b.v.nodes
	out.Stats.Elapsed = time.Since(began)
	return out, nil
}

// nearest puts in place of a proven plan the one that is as good with the fewest changes.
func (b *rebuilder) nearest(out *Rebuilt) {
	v := b.v
	v.nodeLimit = freshNodes
	v.rank = func(plan Plan, levels []int64) []int64 {
		return append(v.objectives(levels), -b.count(plan))
	}
	v.adopt(out.Plan)
	n := out.Changes.Value
	var qu *question
	if v.set.Favor == Even {
		last := len(v.sorted) - 1
		fl := &floors{top: int32(v.sorted[last])}
		for _, x := range v.sorted[:last] {
			fl.rank = append(fl.rank, int32(x))
		}
		qu = v.askOn(b.objective(minusChanges), v.bestW, 1-n, fl)
	} else {
		// No plan with the weakest series has a greater total (or, with the total first, the other way round), so that of the two parts
		// of the objective only the changes are left open.
		spots := int64(1)
		for _, x := range v.p.spots() {
			spots += int64(x)
		}
		d := b.objective(func(level, changes int64) int64 { return level*spots - changes })
		d.evaluate()
		newDescent(d).run(60, (v.bestT*spots-n+1)*priceScale, nil)
		qu = v.askOn(d, v.bestW, v.bestT*spots-n+1, nil)
	}
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, math.MaxInt64
	}
	st := v.pursue(qu, math.MaxInt64)
	out.Plan, out.Strength = v.best, v.p.Strengths(v.best)
	out.WeakestSeries = v.p.weakestSeries(out.Strength, v.bestW)
	out.Changes.Value = b.count(v.best)
	if out.Changes.Proven = st != searching; out.Changes.Proven {
		out.Changes.Bound = out.Changes.Value
	}
}

// objectives are the values of a plan in the order of the favor.
func (v *solver) objectives(levels []int64) []int64 {
	switch v.set.Favor {
	case Total:
		return []int64{sumOf(levels), levels[0]}
	case Even:
		return slices.Clone(levels)
	}
	return []int64{levels[0], sumOf(levels)}
}
