package rotation

import (
	"context"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// midGame is a game of 12 kids by 10 series that is on: the plan that was made for it, and the game as it is once two kids are missing
// and one is hurt. Up to series over everything went as planned.
func midGame(seed uint64) (g *Game, plan Plan, over int) {
	rng := newRand(40_000 + seed)
	g = gameOf(rng, 12, 10)
	g.Forms = append(g.Forms, Form{"3-2", []int{2, 0, 0, 0, 1}}, Form{"4-1", []int{2, 0, 0, 0, 0}})
	for s := range g.Series {
		g.Series[s] = rng.IntN(3) * rng.IntN(2)
	}
	if rng.IntN(3) == 0 {
		g.Together = [][2]int{{10, 11}}
	}
	if rng.IntN(3) == 0 {
		g.Apart = [][2]int{{8, 9}}
	}
	out, err := g.Arrange(context.Background(), Settings{}, false)
	if err != nil || out.Result == nil {
		panic("rotation: no plan for a plain game")
	}
	plan = out.Result.Plan
	over = rng.IntN(6)
	missing := rng.Perm(10)[:3]
	for i, k := range missing {
		g.Kids[k].Last = over - 1 // 0 series are over: not there at all
		if i == 2 {               // hurt in a series yet to come or in this one
			g.Kids[k].Last = over - 1 + rng.IntN(3)
		}
	}
	g.Played = make([][]Cell, len(g.Series))
	copy(g.Played, plan[:over])
	return g, plan, over
}

// keeping is the problem of keeping as many cells of a plan as can be: a cell is worth 1 where the plan has it.
func keeping(p *Problem, plan Plan) *Problem {
	q := *p
	q.Scale, q.Shapes, q.Series = 10, nil, make([]int, len(p.Series))
	for s := range p.Series {
		shape := Shape{Count: p.Shapes[p.Series[s]].Count}
		for k := range p.Kids {
			row := make([]int32, len(p.Roles))
			for r := range row {
				if slices.Contains(plan[s], Cell{k, r}) {
					row[r] = 1
				}
			}
			shape.Value = append(shape.Value, row)
		}
		q.Series[s] = s
		q.Shapes = append(q.Shapes, shape)
	}
	return &q
}

// TestPeersOnRebuilds has CBC look for a plan with fewer changes.
func TestPeersOnRebuilds(t *testing.T) {
	cbc := cbcPeer{}
	if why := cbc.absent(); why != "" {
		missing(t, cbc, why)
	}
	cases := uint64(12)
	if sweepOn() {
		cases = 200
	}
	var planned, changed atomic.Uint64
	eachCase(t, cases, func(t *testing.T, seed uint64) {
		g, plan, _ := midGame(seed)
		out, err := g.Rearrange(context.Background(), plan, Settings{Limit: 20 * time.Second}, false, func(*Problem) int64 { return 0 })
		require.NoError(t, err)
		if out.Result == nil {
			return // rules that are never loosened
		}
		require.Equal(t, Proven, out.Result.Status)
		require.True(t, out.Rebuilt.Changes.Proven)
		q := keeping(out.Problem, plan)
		st, best, err := askPeer(context.Background(), t.TempDir(), cbc, q, Goal{}, 30*time.Second)
		require.NoError(t, err)
		require.Equal(t, peerOptimal, st)
		spots := int64(0)
		for s, cells := range best {
			if !isOver(out.Problem, s) {
				spots += int64(len(cells))
			}
		}
		require.Equal(t, spots-lowestSum(q, best, 0), out.Rebuilt.Changes.Value, "seed %d", seed)
		planned.Add(1)
		if out.Rebuilt.Changes.Value > 0 {
			changed.Add(1)
		}
	})
	require.Greater(t, planned.Load(), cases*9/10)
	require.Greater(t, changed.Load(), cases*8/10)
	t.Logf("%d cases, %d with changes, and CBC finds none with fewer", planned.Load(), changed.Load())
}

// BenchmarkRebuildMidGame gives the median and the worst time of the same games.
func BenchmarkRebuildMidGame(b *testing.B) {
	const n = 200
	var games [n]*Game
	var plans [n]Plan
	for i := range games {
		games[i], plans[i], _ = midGame(uint64(i))
	}
	for b.Loop() {
		took := make([]time.Duration, n)
		for i, g := range games {
			began := time.Now()
			if _, err := g.Rearrange(context.Background(), plans[i], Settings{}, false, func(*Problem) int64 { return 0 }); err != nil {
				b.Fatal(err)
			}
			took[i] = time.Since(began)
		}
		slices.Sort(took)
		b.ReportMetric(took[n/2].Seconds()*1e3, "median-ms")
		b.ReportMetric(took[n*9/10].Seconds()*1e3, "p90-ms")
		b.ReportMetric(took[n-1].Seconds()*1e3, "worst-ms")
	}
}
