package rotation

import (
	"context"
	"math"
)

// RebuildWithin makes a legal plan with at most so many cells changed from old (see Rebuild): the weakest series as strong as that
// allows, then with as few changes as such a plan needs, then the total. Of the result's changes the bound holds for plans with as strong
// a weakest series. Where every legal plan changes more than most cells, the result is that of Rebuild, with its larger number of changes.
func RebuildWithin(ctx context.Context, p *Problem, old Plan, set Settings, most int64) (*Rebuilt, error) {
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || b.done != nil {
		return b.done, err
	}
	spots := int64(0)
	for _, n := range b.v.p.spots() {
		spots += int64(n)
	}
	most = min(max(most, 0), spots) // more says nothing
	if b.v.m == nil {
		b.v.rank = func(plan Plan, levels []int64) []int64 {
			return append([]int64{min(0, most-b.count(plan))}, b.strongestFirst(plan, levels)...)
		}
		b.large(false)
		return b.result()
	}
	b.fewest()
	if b.done == nil && b.changes.Value < most {
		b.v.rank = b.strongestFirst
		b.strongest(most)
		b.fewestAt()
	} else {
		b.strongest(b.changes.Value)
	}
	b.total(b.changes.Value)
	return b.result()
}

// RearrangeWithin is Rearrange with at most so many cells changed; see RebuildWithin.
func (g *Game) RearrangeWithin(ctx context.Context, old Plan, set Settings, strict bool, most int64) (*Outcome, error) {
	return g.arrange(ctx, strict, func(out *Outcome) error {
		return g.rebuilding(out, old, set, func(p *Problem) (*Rebuilt, error) { return RebuildWithin(ctx, p, old, set, most) })
	})
}

// strongestFirst orders plans whose changes are limited already.
func (b *rebuilder) strongestFirst(plan Plan, levels []int64) []int64 {
	return []int64{levels[0], -b.count(plan), sumOf(levels)}
}

// fewestAt finds the least number of changes of a plan whose weakest series is as strong as the best plan's.
func (b *rebuilder) fewestAt() {
	v := b.v
	low, n := b.changes, b.count(v.best)
	qu := v.askOn(b.objective(minusChanges), v.bestW, -n+1, nil)
	if qu.search != nil {
		qu.search.deep, qu.search.ceiling = true, -low.Bound
	}
	st := v.pursue(qu, math.MaxInt64)
	n = b.count(v.best)
	b.changes = Bounded{Value: n, Bound: low.Bound, Proven: n <= low.Bound}
	if st != searching {
		b.changes = Bounded{n, n, true}
	}
}
