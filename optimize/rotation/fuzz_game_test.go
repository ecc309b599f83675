package rotation

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fuzzGame makes any game at all.
func fuzzGame(d *bytesDice) *Game {
	real := func() float64 {
		if d.one(40) {
			return []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e-300, 1e4, 10_001}[d.next(7)]
		}
		return float64(d.next(1000))/10 - 10
	}
	size := fuzzSizes[d.next(len(fuzzSizes))]
	n, series, roles := d.next(size[0]+1), d.next(size[1]+1), d.next(size[2]+1)
	g := &Game{MaxOn: d.in(5), MaxOff: d.in(4), MinRoles: max(0, d.in(5)-2), MaxSameRole: max(0, d.in(6)-2), MinShare: []float64{0, 0.3, 0.5, 1, math.NaN()}[d.next(5)]}
	for r := range roles {
		g.Roles = append(g.Roles, fmt.Sprintf("role%d", r))
		g.Importance = append(g.Importance, math.Abs(real())/50)
	}
	for range d.next(4) {
		var form Form
		for range d.next(size[3] + 3) {
			form.Spots = append(form.Spots, d.in(roles))
		}
		g.Forms = append(g.Forms, form)
	}
	for range series {
		g.Series = append(g.Series, d.in(len(g.Forms)))
	}
	for range n {
		kid := Player{Label: "kid", Last: series - 1}
		if d.one(4) {
			kid.First, kid.Last = d.in(series), d.in(series)
		}
		for range roles {
			kid.Fit = append(kid.Fit, real())
		}
		if d.one(6) {
			for range roles {
				kid.Never = append(kid.Never, d.one(3))
			}
		}
		g.Kids = append(g.Kids, kid)
	}
	wishes := &Problem{Kids: make([]Kid, n), Series: g.Series, Roles: g.Roles}
	fuzzWishes(d, wishes)
	fuzzSeason(d, g, real)
	for k := range g.Kids {
		if kid := &g.Kids[k]; d.one(5) {
			kid.Away = fuzzAway(d, kid.Presence(), series)
		}
	}
	g.Together, g.Apart, g.Covers, g.Pins, g.Played = wishes.Together, wishes.Apart, wishes.Covers, wishes.Pins, wishes.Played
	return g
}

// fuzzSeason adds what earlier games have left behind.
func fuzzSeason(d *bytesDice, g *Game, real func() float64) {
	if !d.one(2) {
		return
	}
	g.SeasonRoles = max(0, d.in(5)-1)
	for k := range g.Kids {
		if d.one(2) {
			g.Kids[k].Owed = real() / 40
		}
		if d.one(2) {
			for range len(g.Roles) - d.next(30)/29 {
				g.Kids[k].Played = append(g.Kids[k].Played, d.one(2))
			}
		}
		g.Kids[k].Hurt = d.one(9)
	}
	g.PayBack = d.in(4)
}

// paidBack tells whether the game pays a series back to kid k, or takes it from it.
func (out *Outcome) paidBack(k int) bool {
	return out.Owed != nil && slices.ContainsFunc(out.Owed.Back, func(b Back) bool { return b.To == k || b.From == k })
}

// FuzzGame takes any game through Problem and Arrange: a clear error, or a problem that is well formed and a plan that
// obeys the rules left in force.
func FuzzGame(f *testing.F) {
	rng := newRand(8)
	for size := range fuzzSizes {
		for range 2 {
			seed := []byte{byte(size)}
			for range 60 + 20*size {
				seed = append(seed, byte(rng.IntN(256)))
			}
			f.Add(seed)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		watch(func() { tryGame(t, &bytesDice{data}) })
	})
}

func tryGame(t *testing.T, d *bytesDice) {
	g := fuzzGame(d)
	strict := d.one(2)
	ctx, stop := context.WithTimeout(context.Background(), 300*time.Millisecond)
	defer stop()
	p, _, err := g.Problem()
	out, arranged := g.Arrange(ctx, Settings{Limit: 40 * time.Millisecond, Workers: 1 + d.next(2)}, strict)
	if err != nil {
		require.Error(t, arranged)
		require.Equal(t, err.Error(), arranged.Error())
		return
	}
	require.NoError(t, arranged)
	require.NoError(t, p.Validate())
	require.NoError(t, out.Problem.Validate())
	if strict {
		require.Empty(t, out.Loosened)
	}
	if out.Result == nil {
		require.NotNil(t, out.Conflict)
		return
	}
	honest(t, out.Problem, out.Result)
	for _, l := range out.Loosened {
		require.LessOrEqual(t, l.Rule.Kind, RuleShare)
	}
	if out.Result.Plan != nil && len(out.Loosened) == 0 { // only defaults of ours may have changed
		for _, v := range Check(p, out.Result.Plan) {
			require.True(t, v.Rule == RuleMaxOn && g.MaxOn == 0 || v.Rule == RuleMaxOff && g.MaxOff == 0 || v.Rule == RuleShare && out.paidBack(v.Kid), "%v", v)
		}
	}
}
