package rotation

import "context"

// Tradeoff is one point between few changes and a strong plan.
type Tradeoff struct {
	Changes int64 // at most so many cells changed
	Weakest Bounded
	Total   int64
	Plan    Plan
}

// maxTradeoffs bounds the points of a list.
const maxTradeoffs = 12

// Tradeoffs lists, from the fewest changes on, the plans whose weakest series only more changes make
// possible; the last one has the weakest series of a fresh plan, unless the list is cut by the limit or its length.
func Tradeoffs(ctx context.Context, p *Problem, old Plan, set Settings) ([]Tradeoff, error) {
	fresh, err := Solve(ctx, p, set)
	if err != nil || fresh.Plan == nil {
		return nil, err
	}
	b, err := newRebuilder(ctx, p, old, set)
	if err != nil || b.done != nil || b.v.m == nil {
		return nil, err
	}
	b.fewest()
	if b.done != nil {
		return nil, nil
	}
	v := b.v
	// From here on the changes are a limit, and the weakest series is what counts.
	v.rank = func(plan Plan, levels []int64) []int64 { return []int64{levels[0], -b.count(plan), sumOf(levels)} }
	var out []Tradeoff
	for n := b.changes.Value; len(out) < maxTradeoffs && !v.over(); n++ {
		b.strongest(n)
		if len(out) == 0 || v.bestW > out[len(out)-1].Weakest.Value {
			b.total(b.count(v.best))
			out = append(out, Tradeoff{Changes: b.count(v.best), Weakest: b.weakest, Total: v.bestT, Plan: v.best})
		}
		if v.bestW >= fresh.Weakest.Value {
			break
		}
	}
	for i := range out {
		if bad := Check(p, out[i].Plan); len(bad) > 0 {
			return nil, wrong(bad)
		}
	}
	return out, nil
}
