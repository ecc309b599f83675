package rotation

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestWishesAgainstAllPlans: the cost of a wish is the difference between the best plans with and without it.
func TestWishesAgainstAllPlans(t *testing.T) {
	granted := 0
	for seed := range uint64(400) {
		rng := newRand(seed)
		p := randomProblem(rng, micro())
		plans := naivePlans(p)
		if len(plans) == 0 || p.ended() {
			continue
		}
		w := Wish{Kid: rng.IntN(len(p.Kids)), Role: rng.IntN(len(p.Roles)+1) - 1, Series: rng.IntN(len(p.Series)+1) - 1, Not: chance(rng, 40)}
		if w.Series >= 0 && isOver(p, w.Series) {
			continue
		}
		r := mustSolve(t, p, Settings{})
		got, err := Grant(context.Background(), p, r, w, Settings{})
		require.NoError(t, err)
		with := slices.DeleteFunc(slices.Clone(plans), func(plan Plan) bool { return !holds(p, plan, w) })
		require.Equal(t, len(with) > 0, got.Possible, "seed %d: %+v", seed, w)
		require.True(t, got.Proven)
		if len(with) == 0 {
			continue
		}
		granted++
		best := slices.MaxFunc(with, func(a, b Plan) int { return compareLex(p, Weakest, a, b) })
		require.Equal(t, slices.Min(valuesOf(p, best))-r.Weakest.Value, got.Weakest, "seed %d: %+v", seed, w)
		require.Equal(t, sumOf(valuesOf(p, best))-r.Total.Value, got.Total, "seed %d: %+v", seed, w)
	}
	require.Greater(t, granted, 80)
}

// holds tells whether a plan grants a wish.
func holds(p *Problem, plan Plan, w Wish) bool {
	some := false
	for s, cells := range plan {
		if isOver(p, s) || w.Series >= 0 && s != w.Series {
			continue
		}
		some = some || slices.ContainsFunc(cells, func(c Cell) bool { return c.Kid == w.Kid && (w.Role < 0 || c.Role == w.Role) })
	}
	return some != w.Not
}

// TestPricesNeverNegative: leaving out a rule never makes the best plan worse.
func TestPricesNeverNegative(t *testing.T) {
	n := 0
	for seed := range uint64(60) {
		p := randomProblem(newRand(seed), tiny(seed))
		r := mustSolve(t, p, Settings{})
		if r.Plan == nil || p.ended() {
			continue
		}
		prices, err := Prices(context.Background(), p, r, Settings{})
		require.NoError(t, err)
		for _, price := range prices {
			n++
			require.True(t, price.Possible && price.Proven)
			require.False(t, price.Weakest < 0 || price.Weakest == 0 && price.Total < 0, "seed %d: %+v", seed, price.Rules)
		}
	}
	require.Greater(t, n, 120)
}

// TestStartIsKept: however short the time, a solve is not worse than the plan it starts from.
func TestStartIsKept(t *testing.T) {
	for _, in := range loadInstances(t) {
		if in.Name[0] != 'i' || slowInstances[in.Name] {
			continue
		}
		best := mustSolve(t, in.Problem, Settings{})
		r := mustSolve(t, in.Problem, Settings{Start: best.Plan, Limit: 1})
		require.Equal(t, best.Weakest.Value, r.Weakest.Value, in.Name)
		require.Equal(t, best.Total.Value, r.Total.Value, in.Name)
	}
}

// TestBudget: many quick solves take nothing from a hard one at the end; no solve takes all that is left to others, nor less than a millisecond.
func TestBudget(t *testing.T) {
	b := NewBudget(time.Hour, 20)
	for i := range 25 {
		got, n := b.next(), min(max(20-i, 1), budgetPart)
		require.InDelta(t, float64(time.Hour)/float64(n), float64(got), float64(time.Minute), i)
	}
	require.Equal(t, time.Millisecond, NewBudget(0, 3).next())
}

// TestBudgetIsShared: every solve of an answer takes its part of the budget.
func TestBudgetIsShared(t *testing.T) {
	p := sweepGame(1)
	r := mustSolve(t, p, Settings{})
	b := NewBudget(time.Hour, 50)
	prices, err := Prices(context.Background(), p, r, Settings{Budget: b})
	require.NoError(t, err)
	require.NotEmpty(t, prices)
	require.Equal(t, 50-len(prices), b.solves)
	_, err = Grant(context.Background(), p, r, Wish{Kid: 0, Role: 0, Series: -1, Not: true}, Settings{Budget: b})
	require.NoError(t, err)
	require.Equal(t, 50-len(prices)-1, b.solves)
}
