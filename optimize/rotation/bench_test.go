package rotation

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// defaultGame is a game of kids who are all there under the rules that hold when a coach asks for nothing: equal
// series, the default rest, one formation of five. The fits are invented.
func defaultGame(t testing.TB, seed uint64, kids, series int) *Problem {
	t.Helper()
	rng := newRand(0xdefa0000 + seed)
	g := &Game{
		Roles:      []string{"front", "corner", "deep"},
		Importance: []float64{0.75, 0.7, 0.9},
		Forms:      []Form{{Label: "2-2-1", Spots: []int{0, 2, 0, 1, 1}}},
		Series:     make([]int, series),
	}
	for k := range kids {
		base := 50 + 7*rng.NormFloat64()
		kid := Player{Label: fmt.Sprintf("kid%d", k), Last: series - 1}
		for range g.Roles {
			kid.Fit = append(kid.Fit, base+5*rng.NormFloat64())
		}
		g.Kids = append(g.Kids, kid)
	}
	p, short, err := g.Problem()
	require.NoError(t, err)
	require.Empty(t, short)
	return p
}

// peerTime is how long a peer takes for a game; it is asked once a run, since benchmarks are called again and again.
type peerTime struct {
	once  sync.Once
	spent time.Duration
	note  string
}

// ratio reports how many times longer a peer takes for the same question, if it is there and proves the answer in time.
func (pt *peerTime) ratio(b *testing.B, name string, p *Problem, goals int, got *Result) {
	b.Helper()
	pt.once.Do(func() {
		i := slices.IndexFunc(allPeers, func(pr peer) bool { return pr.name() == name })
		pr := allPeers[i]
		if why := pr.absent(); why != "" {
			pt.note = why
			return
		}
		ask := func() (status peerStatus, plan Plan, err error) {
			if goals == 1 {
				return askPeer(context.Background(), b.TempDir(), pr, p, Goal{}, peerBenchLimit)
			}
			return lexPeer(b, pr, p, Weakest, peerBenchLimit)
		}
		if goals == 1 {
			_, _, _ = ask() // the first question also starts the peer
		}
		began := time.Now()
		status, plan, err := ask()
		pt.spent = time.Since(began)
		require.NoError(b, err)
		if status != peerOptimal {
			pt.note = fmt.Sprintf("no proof within %v for each objective", peerBenchLimit)
			return
		}
		require.Equal(b, lowestSum(p, plan, 0), got.Total.Value, name)
		if goals == 2 {
			require.Equal(b, lowestSum(p, plan, 1), got.Weakest.Value, name)
		}
	})
	if pt.note != "" {
		b.Logf("%s: %s", name, pt.note)
		return
	}
	b.ReportMetric(pt.spent.Seconds()/(b.Elapsed().Seconds()/float64(b.N)), name+"-ratio")
}

// peerBenchLimit is how long a benchmark waits for a peer.
const peerBenchLimit = 20 * time.Second

var peerTimes [4]peerTime

// BenchmarkPlan12x10 plans one game of 12 kids and 10 series under the default rules. The ratios are how many times longer a peer
// takes for the same numbers in the same run, reading its model file included.
func BenchmarkPlan12x10(b *testing.B) {
	p := defaultGame(b, 0, 12, 10)
	b.Run("total", func(b *testing.B) {
		var r *Result
		for b.Loop() {
			r = mustSolve(b, p, Settings{Favor: Total})
		}
		b.StopTimer()
		// The peers are asked for the total only; we prove the weakest series under it as well.
		for i, name := range []string{"cbc", "highs-wasm", "highs-scipy"} {
			peerTimes[i].ratio(b, name, p, 1, r)
		}
	})
	b.Run("weakest", func(b *testing.B) {
		var r *Result
		for b.Loop() {
			r = mustSolve(b, p, Settings{})
		}
		b.StopTimer()
		b.ReportMetric(milliseconds(r.Stats.First), "first-ms")
		peerTimes[3].ratio(b, "highs-wasm", p, 2, r)
	})
}

// BenchmarkInstances proves the benchmark games; first-ms is the time to the first legal plan.
func BenchmarkInstances(b *testing.B) {
	for _, in := range loadInstances(b) {
		if in.Name[0] != 'i' {
			continue
		}
		b.Run(in.Name, func(b *testing.B) {
			first, nodes := time.Duration(0), int64(0)
			for b.Loop() {
				r := mustSolve(b, in.Problem, Settings{Limit: time.Minute})
				require.Equal(b, Proven, r.Status)
				require.Equal(b, in.Expected.Weakest, r.Weakest.Value)
				require.Equal(b, in.Expected.Total, r.Total.Value)
				first, nodes = first+r.Stats.First, r.Stats.Nodes
			}
			b.ReportMetric(milliseconds(first)/float64(b.N), "first-ms")
			b.ReportMetric(float64(nodes), "nodes")
		})
	}
}

// quantile is the time that a share of the list does not exceed.
func quantile(list []time.Duration, share float64) time.Duration {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))]
}

// BenchmarkExplain tells for every instance without a plan that there is none, and names the rules in conflict.
func BenchmarkExplain(b *testing.B) {
	var problems []*Problem
	for _, in := range loadInstances(b) {
		if !in.Expected.Feasible {
			problems = append(problems, in.Problem)
		}
	}
	var took []time.Duration
	for b.Loop() {
		took = took[:0]
		for _, p := range problems {
			began := time.Now()
			r, err := Solve(context.Background(), p, Settings{})
			require.NoError(b, err)
			require.Equal(b, Infeasible, r.Status)
			require.NotNil(b, Explain(context.Background(), p))
			took = append(took, time.Since(began))
		}
	}
	b.ReportMetric(float64(len(problems)), "problems")
	b.ReportMetric(milliseconds(quantile(took, 0.5)), "median-ms")
	b.ReportMetric(milliseconds(quantile(took, 0.9)), "p90-ms")
	b.ReportMetric(milliseconds(slices.Max(took)), "longest-ms")
}

// leagueTeams is how many teams the league has.
const leagueTeams = 200

// BenchmarkLeague plans one game of every team of a league, on two cores: 8 to 13 kids, 8 to 10 series, the default rules. A game
// not proved after two seconds keeps its best plan.
func BenchmarkLeague(b *testing.B) {
	var games []*Problem
	for seed := range uint64(leagueTeams) {
		rng := newRand(0x1ea6 + seed)
		games = append(games, defaultGame(b, 1+seed, 8+rng.IntN(6), 8+rng.IntN(3)))
	}
	took := make([]time.Duration, leagueTeams)
	proved := 0
	for b.Loop() {
		var next, done, sure atomic.Int64
		var wg sync.WaitGroup
		for range 2 {
			wg.Go(func() {
				for i := next.Add(1) - 1; i < leagueTeams; i = next.Add(1) - 1 {
					r, err := Solve(context.Background(), games[i], Settings{Workers: 1, Limit: 2 * time.Second})
					if err != nil || r.Plan == nil {
						b.Errorf("team %d: %v, %v", i, r, err)
						return
					}
					took[i] = r.Stats.Elapsed
					if r.Status == Proven {
						sure.Add(1)
					}
					if n := done.Add(1); n%50 == 0 {
						b.Logf("%d of %d teams", n, leagueTeams)
					}
				}
			})
		}
		wg.Wait()
		proved = int(sure.Load())
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/league")
	b.ReportMetric(float64(proved), "proved")
	b.ReportMetric(milliseconds(quantile(took, 0.5)), "median-ms")
	b.ReportMetric(milliseconds(quantile(took, 0.9)), "p90-ms")
}
