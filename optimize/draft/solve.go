package draft

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
)

// The work of one draft of Effort 1, tuned on random pools of 40 to 240 kids.
const (
	restarts    = 2       // of the search, each for itself
	moves       = 32_000  // of annealing in each restart
	rangesMoves = 600_000 // the same where the goal is Ranges, which cannot be resplit
	kicks       = 80      // after each, fewer with more than 12 teams, where settling takes longer and leaves less to do
	mostEffort  = 1000
	mostPlain   = 4 // processors used unless asked for more
)

// Draft splits the pool. The error is about a pool that makes no sense (Validate), never about rules that conflict. More effort, and another seed, only ever
// add to what is searched: with them the result is as good or better (see best).
func Draft(ctx context.Context, p *Pool, s Settings) (*Result, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	m := p.newModel(s.Goal)
	start, mended := m.snake(ctx, p)
	if start == nil {
		return p.noSplit(ctx, m.layout), nil
	}
	r := &Result{Snake: m.split(start), SnakeMended: mended}
	best, proved := m.best(ctx, start, s)
	r.Proven = proved
	r.finish(ctx, m, best)
	return r, r.verify(p)
}

// noSplit is the result where no split was found.
func (p *Pool) noSplit(ctx context.Context, y *layout) *Result {
	r := &Result{Status: Unsettled}
	if c := Explain(ctx, p); c != nil {
		r.Status, r.Conflict = Infeasible, c
	}
	return r
}

// share does pieces of work 0 to n-1 on several processors and reports progress.
func (s Settings) share(n int, work func(i int)) {
	workers := s.Workers
	if workers <= 0 {
		workers = min(mostPlain, runtime.GOMAXPROCS(0))
	}
	next := make(chan int)
	var group sync.WaitGroup
	var report sync.Mutex
	done := 0
	for range min(workers, n) {
		group.Go(func() {
			for i := range next {
				work(i)
				report.Lock()
				if done++; s.Progress != nil {
					s.Progress(float64(done) / float64(n))
				}
				report.Unlock()
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	group.Wait()
}

// run is one restart: annealing, then resplits and kicks until the effort is spent or the bound is met.
func (m *model) run(ctx context.Context, start []int32, bound int64, seed uint64, number int) outcome {
	stop := func() bool { return ctx.Err() != nil }
	a := m.newAnnealer(start, seed*0x9e3779b97f4a7c15+uint64(number)*0xd1342543de82ef95)
	if len(a.movable) < 2 {
		return m.outcome(a.team, a.value())
	}
	if len(m.ranges) > 0 {
		a.anneal(rangesMoves, hot, cold, stop)
		a.descend(true, stop)
	} else {
		a.anneal(moves, hot, cool, stop)
		a.descend(false, stop)
		r := a.newResplitter(a.next())
		r.settle(r.some(r.teams), stop)
		for i := 0; i < min(kicks, 12*kicks/m.teams) && !stop() && a.value() != (value{0, bound}); i++ {
			r.kick(stop)
		}
		a.descend(a.value().short > 0, stop)
	}
	return m.outcome(slices.Clone(a.team), a.value())
}

// finish fills in the result.
func (r *Result) finish(ctx context.Context, m *model, best outcome) {
	p := m.p
	r.Status = Done
	if ctx.Err() != nil && !r.Proven {
		r.Status = Stopped
	}
	r.Split = m.split(best.team)
	r.Balance, r.SnakeBalance = p.Measure(r.Split), p.Measure(r.Snake)
	parts, sum := m.bounds()
	if best.value == (value{0, sum}) && !m.coarse {
		r.Proven, r.Status = true, Done
	}
	if m.goal == Ranges || m.coarse {
		return
	}
	for i := range r.Balance.Parts {
		part := &r.Balance.Parts[i]
		for j := range m.cols {
			if m.cols[j].kind == part.Kind && (m.cols[j].measure < 0 || p.Measures[m.cols[j].measure].Label == part.Label) {
				part.Bound += m.net(j, parts[j])
			}
		}
		part.Bound = min(part.Bound, part.Cost) // they can differ in the last digit
		r.Bound += part.Bound
	}
	if r.Proven {
		r.Bound = r.Balance.Objective
	}
}

// net turns the cost of a column into the objective's unit, without what the pool's own mean contributes.
func (m *model) net(j int, cost int64) float64 {
	sum := float64(m.cols[j].sum)
	own := float64(m.weight[j]) * float64(m.lcm) * sum * sum / float64(len(m.cols[j].x))
	return max(0, (float64(cost)-own)/m.scale)
}

// errNotWhole is a split that breaks a rule where one that keeps all is asked for.
var errNotWhole = errors.New("draft: the split breaks a rule or leaves out a kid")

// errBroken is a fault of this package.
var errBroken = errors.New("draft: internal error: a split breaks a rule")

// verify checks what is handed out by code that the search does not share.
func (r *Result) verify(p *Pool) error {
	for _, s := range []Split{r.Split, r.Snake} {
		if broken := Check(p, s); len(broken) > 0 {
			return errBroken
		}
	}
	return nil
}
