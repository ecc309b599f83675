package rotation

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fuzzOld is any plan to keep: of the right length but for now and then, its cells mostly kids and roles that there are.
func fuzzOld(d *bytesDice, p *Problem) Plan {
	old := make(Plan, len(p.Series)+d.next(20)/19)
	for s := range old {
		for range d.next(8) {
			old[s] = append(old[s], Cell{d.in(len(p.Kids)), d.in(len(p.Roles))})
		}
	}
	return old
}

// FuzzRebuild takes any problem and any plan to keep through everything that starts from a plan. Nothing may panic or hang; plans
// obey the rules, changes are counted right and never below their bound, and where all plans can be written down none is better than
// one that is called proven.
func FuzzRebuild(f *testing.F) {
	rng := newRand(9)
	for size := range fuzzSizes {
		for range 3 {
			seed := []byte{byte(size)}
			for range 60 + 30*size {
				seed = append(seed, byte(rng.IntN(256)))
			}
			f.Add(seed)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		watch(func() { tryRebuild(t, &bytesDice{data}) })
	})
}

func tryRebuild(t *testing.T, d *bytesDice) {
	set := Settings{Favor: favors[d.next(3)], Workers: 1 + d.next(2), Limit: 30 * time.Millisecond}
	price := []int64{0, 0, 1, 300, MaxPrice, -1, math.MaxInt64}[d.next(7)]
	p := fuzzProblem(d)
	old := fuzzOld(d, p)
	most := int64(d.in(10))
	ctx, stop := context.WithTimeout(context.Background(), 400*time.Millisecond)
	defer stop()

	priced, err := Rebuild(ctx, p, old, set, price)
	switch valid := p.Validate(); {
	case valid != nil || price < 0 || price > MaxPrice:
		require.ErrorIs(t, err, ErrBadProblem)
		return
	case len(old) != len(p.Series):
		require.ErrorIs(t, err, ErrNoOldPlan)
		return
	}
	require.NoError(t, err)
	within, err := RebuildWithin(ctx, p, old, set, most)
	require.NoError(t, err)
	fresh, err := Fresh(ctx, p, old, set)
	require.NoError(t, err)
	var plans []Plan
	if bruteReaches(p) && len(p.Series) <= 2 && len(p.Kids) <= 4 {
		plans = naivePlans(p)
	}
	for i, r := range []*Rebuilt{priced, within, fresh} {
		honest(t, p, &r.Result)
		if r.Plan == nil {
			require.True(t, len(plans) == 0 || r.Status != Infeasible)
			continue
		}
		n := changedCells(p, r.Plan, lastRoles(p, old))
		require.Equal(t, n, r.Changes.Value)
		require.LessOrEqual(t, r.Changes.Bound, n)
		for _, plan := range plans {
			better := false
			switch i {
			case 0:
				better = slices.Compare(rebuildRank(p, plan, lastRoles(p, old), price), rebuildRank(p, r.Plan, lastRoles(p, old), price)) > 0
			case 2:
				better = compareLex(p, set.Favor, plan, r.Plan) > 0
			}
			require.False(t, better && r.Status == Proven, "%v is better than %v", plan, r.Plan)
		}
	}
	trade, err := Tradeoffs(ctx, p, old, set)
	require.NoError(t, err)
	for _, x := range trade {
		require.Empty(t, Check(p, x.Plan))
		require.Equal(t, changedCells(p, x.Plan, lastRoles(p, old)), x.Changes)
	}
	if fresh.Plan != nil {
		w := Wish{d.in(len(p.Kids)), d.in(len(p.Roles)+1) - 1, d.in(len(p.Series)+1) - 1, d.one(2)}
		if change, err := Grant(ctx, p, &fresh.Result, w, set); err != nil {
			require.ErrorIs(t, err, ErrBadWish)
		} else if change.Result != nil {
			require.Empty(t, Check(p, change.Result.Plan))
		}
		prices, err := Prices(ctx, p, &fresh.Result, set)
		require.NoError(t, err)
		for _, x := range prices {
			require.True(t, x.Possible, "%v", x.Rules)
		}
	}
}

// lastRoles is old with one cell a kid in a series: the last one that names a kid and a role there are.
func lastRoles(p *Problem, old Plan) Plan {
	out := make(Plan, len(old))
	for s, cells := range old {
		for k := range p.Kids {
			for i := len(cells) - 1; i >= 0; i-- {
				if c := cells[i]; c.Kid == k && c.Role >= 0 && c.Role < len(p.Roles) {
					out[s] = append(out[s], c)
					break
				}
			}
		}
	}
	return out
}
