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

// peerTime is how long a peer takes for the objectives of a game; it is asked once a run, since benchmarks are called again
// and again.
type peerTime struct {
	once  sync.Once
	first time.Duration // for the first objective alone
	both  time.Duration
	// proved tells whether the first objective was proved in time.
	proved bool
	note   string
}

// peerBenchLimit is how long a benchmark waits for a peer, for each objective.
const peerBenchLimit = 10 * time.Second

// ask has a peer answer the same question as r does; the plans have to be worth the same.
func (pt *peerTime) ask(b *testing.B, name string, p *Problem, favor Favor, r *Result) {
	b.Helper()
	pr := allPeers[slices.IndexFunc(allPeers, func(pr peer) bool { return pr.name() == name })]
	if pt.note = pr.absent(); pt.note != "" {
		return
	}
	goal := Goal{Lowest: favorGoals(p, favor)[0]}
	began := time.Now()
	status, plan, err := askPeer(context.Background(), b.TempDir(), pr, p, goal, peerBenchLimit)
	require.NoError(b, err)
	pt.first, pt.proved = time.Since(began), status == peerOptimal
	if !pt.proved {
		pt.note = fmt.Sprintf("no proof of the first objective within %v", peerBenchLimit)
		return
	}
	require.Equal(b, lowestSum(p, plan, goal.Lowest), lowestSum(p, r.Plan, goal.Lowest), name)
	began = time.Now()
	status, plan, err = lexPeer(b, pr, p, favor, peerBenchLimit)
	require.NoError(b, err)
	pt.both = time.Since(began)
	if status != peerOptimal {
		pt.note = fmt.Sprintf("the first objective in %v, no proof of the second within %v", pt.first.Round(time.Millisecond), peerBenchLimit)
		return
	}
	require.Zero(b, compareLex(p, favor, plan, r.Plan), name)
}

// peerTimes keeps the answers by peer and objective.
var peerTimes sync.Map

// ratio reports how many times longer a peer takes for the same game in the same run, if it is there and proves what we do.
func ratio(b *testing.B, name string, p *Problem, favor Favor, r *Result, first time.Duration) {
	b.Helper()
	x, _ := peerTimes.LoadOrStore(fmt.Sprint(name, favor), &peerTime{})
	pt := x.(*peerTime)
	pt.once.Do(func() { pt.ask(b, name, p, favor, r) })
	if pt.note != "" {
		b.Logf("%s: %s", name, pt.note)
	}
	if pt.first > 0 && first > 0 {
		unit := name + "-first-ratio"
		if !pt.proved {
			unit += "-at-least"
		}
		b.ReportMetric(pt.first.Seconds()/first.Seconds(), unit)
	}
	if pt.both > 0 && pt.note == "" {
		b.ReportMetric(pt.both.Seconds()/(b.Elapsed().Seconds()/float64(b.N)), name+"-ratio")
	}
}

// BenchmarkPlan12x10 plans one game of 12 kids and 10 series under the default rules, weakest series or total first. The ratios are how many
// times longer a peer takes for the same numbers in the same run, reading its model file included: for both objectives,
// and for the first alone (against our time until that was proved, as far as progress tells).
func BenchmarkPlan12x10(b *testing.B) {
	p := defaultGame(b, 0, 12, 10)
	for _, c := range []struct {
		name  string
		favor Favor
	}{{"weakest", Weakest}, {"total", Total}} {
		b.Run(c.name, func(b *testing.B) {
			var r *Result
			var plan, first time.Duration
			for b.Loop() {
				began, proved := time.Now(), time.Duration(0)
				r = mustSolve(b, p, Settings{Favor: c.favor, Progress: func(now Progress) {
					if proved == 0 && [...]Bounded{now.Weakest, now.Total}[c.favor].Proven {
						proved = time.Since(began)
					}
				}})
				if proved == 0 {
					proved = r.Stats.Elapsed
				}
				plan, first = plan+r.Stats.First, first+proved
			}
			b.StopTimer()
			first /= time.Duration(b.N)
			b.ReportMetric(milliseconds(plan)/float64(b.N), "plan-ms")
			b.ReportMetric(milliseconds(first), "first-ms")
			for _, name := range []string{"cbc", "highs-wasm", "highs-scipy"} {
				ratio(b, name, p, c.favor, r, first)
			}
		})
	}
}

// BenchmarkInstances proves the benchmark games; plan-ms is the time to the first legal plan.
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
			b.ReportMetric(milliseconds(first)/float64(b.N), "plan-ms")
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
