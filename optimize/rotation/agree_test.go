package rotation

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// valuesOf gives the values of the series of a plan that were still to plan.
func valuesOf(p *Problem, plan Plan) []int64 {
	out := []int64{}
	for s, cells := range plan {
		if isOver(p, s) {
			continue
		}
		v := int64(0)
		for _, c := range cells {
			v += int64(p.Shapes[p.Series[s]].Value[c.Kid][c.Role])
		}
		out = append(out, v)
	}
	return out
}

// lowestSum is the sum of the n weakest series of a plan, of all of them if n is 0.
func lowestSum(p *Problem, plan Plan, n int) int64 {
	v := valuesOf(p, plan)
	slices.Sort(v)
	if n == 0 || n > len(v) {
		n = len(v)
	}
	sum := int64(0)
	for _, x := range v[:n] {
		sum += x
	}
	return sum
}

// favorGoals are the goals of a favor in their order, as Goal.Lowest counts them.
func favorGoals(p *Problem, favor Favor) []int {
	switch favor {
	case Weakest:
		return []int{1, 0}
	case Total:
		return []int{0, 1}
	}
	var out []int
	for n := range p.Series {
		out = append(out, n+1)
	}
	return out
}

// compareLex compares two plans by the goals of a favor: negative if a is worse than b.
func compareLex(p *Problem, favor Favor, a, b Plan) int {
	for _, n := range favorGoals(p, favor) {
		x, y := lowestSum(p, a, n), lowestSum(p, b, n)
		if x != y {
			return map[bool]int{true: -1, false: 1}[x < y]
		}
	}
	return 0
}

// askPeer has a peer maximise one goal. The plan it returns has passed Check and the floors of the goal, and its
// value in whole numbers is the objective that the peer claims; nil when the peer has none.
func askPeer(ctx context.Context, dir string, pr peer, p *Problem, goal Goal, limit time.Duration) (peerStatus, Plan, error) {
	path := filepath.Join(dir, "model.mps")
	f, err := os.Create(path)
	if err != nil {
		return peerLimit, nil, err
	}
	err = errors.Join(WriteMPS(f, p, goal), f.Close())
	if err != nil {
		return peerLimit, nil, err
	}
	ans, err := pr.solve(ctx, path, limit)
	if err != nil || len(ans.columns) == 0 {
		if ans.status == peerOptimal {
			err = errors.Join(err, errors.New("optimal without a solution"))
		}
		return ans.status, nil, err
	}
	plan := planFromColumns(p, ans.columns)
	if broken := Check(p, plan); len(broken) > 0 {
		return ans.status, nil, fmt.Errorf("the plan breaks a rule: %v", broken)
	}
	for _, fl := range goal.Floors {
		if got := lowestSum(p, plan, fl.Lowest); got < fl.AtLeast {
			return ans.status, nil, fmt.Errorf("the plan has %d below the floor %+v", got, fl)
		}
	}
	value := lowestSum(p, plan, goal.Lowest)
	// Solvers take 1 - 1e-6 for 1, which can cost a fraction of a unit but never half of one.
	if ans.status == peerOptimal && math.Abs(ans.objective+float64(value)) > 0.1 {
		return ans.status, nil, fmt.Errorf("claims %v for a plan of value %d", ans.objective, value)
	}
	return ans.status, plan, nil
}

// planFromColumns reads the columns x_K_R_S of a model.
func planFromColumns(p *Problem, columns map[string]float64) Plan {
	plan := make(Plan, len(p.Series))
	for name, v := range columns {
		var k, r, s int
		if n, _ := fmt.Sscanf(name, "x_%d_%d_%d", &k, &r, &s); n == 3 && v > 0.5 {
			plan[s] = append(plan[s], Cell{k, r})
		}
	}
	for _, cells := range plan {
		sort.Slice(cells, func(i, j int) bool {
			a, b := cells[i], cells[j]
			return a.Role < b.Role || a.Role == b.Role && a.Kid < b.Kid
		})
	}
	return plan
}

// lexPeer has a peer solve the goals of a favor one after the other. The plan is the last one
// found; the status that of the first goal that was not proved.
func lexPeer(t testing.TB, pr peer, p *Problem, favor Favor, limit time.Duration) (peerStatus, Plan, error) {
	t.Helper()
	var goal Goal
	var best Plan
	dir := t.TempDir()
	for i, n := range favorGoals(p, favor) {
		goal.Lowest = n
		status, plan, err := askPeer(context.Background(), dir, pr, p, goal, limit)
		if err != nil {
			return status, best, fmt.Errorf("goal %d: %w", i, err)
		}
		if plan != nil && (best == nil || compareLex(p, favor, plan, best) > 0) {
			best = plan
		}
		if status == peerInfeasible && i > 0 {
			return status, best, fmt.Errorf("goal %d: infeasible though a plan is known", i)
		}
		if status != peerOptimal {
			return status, best, nil
		}
		goal.Floors = append(goal.Floors, Floor{n, lowestSum(p, plan, n)})
	}
	return peerOptimal, best, nil
}

// tally counts how often each peer agreed. Cases may add to it at the same time.
type tally struct {
	mu     sync.Mutex
	names  []string
	counts map[string]map[string]int
	spent  map[string]time.Duration
}

func (ta *tally) add(name, what string, d time.Duration) {
	if ta == nil {
		return
	}
	ta.mu.Lock()
	defer ta.mu.Unlock()
	if ta.counts == nil {
		ta.counts, ta.spent = map[string]map[string]int{}, map[string]time.Duration{}
	}
	if ta.counts[name] == nil {
		ta.names = append(ta.names, name)
		ta.counts[name] = map[string]int{}
	}
	ta.counts[name][what]++
	ta.spent[name] += d
}

func (ta *tally) String() string {
	var b strings.Builder
	for _, n := range slices.Sorted(slices.Values(ta.names)) {
		fmt.Fprintf(&b, "\n%-12s %v in %v", n, ta.counts[n], ta.spent[n].Round(10*time.Millisecond))
	}
	return b.String()
}

// agreeWithPeers compares a plan that is claimed to be optimal by favor, or nil for "no plan exists", with every peer. It fails when
// a peer has a better plan, or when peers prove the claim wrong and no other peer confirms it. Since a plan is checked rule by
// rule, a peer that claims a worse optimum is itself wrong; solvers are, rarely, which is why the others are asked.
func agreeWithPeers(t testing.TB, p *Problem, favor Favor, got Plan, peers []peer, limit time.Duration, ta *tally) {
	t.Helper()
	if got != nil {
		require.Empty(t, Check(p, got))
	}
	var wrong []string
	confirmed := 0
	for _, pr := range peers {
		start := time.Now()
		status, plan, err := lexPeer(t, pr, p, favor, limit)
		spent := time.Since(start)
		verdict := "agrees"
		switch {
		case plan != nil && got == nil:
			t.Errorf("%s has a plan where none is said to exist: %v", pr.name(), plan)
			verdict = "BETTER"
		case plan != nil && compareLex(p, favor, plan, got) > 0:
			t.Errorf("%s has a better plan: %v against %v, %v", pr.name(), valuesOf(p, plan), valuesOf(p, got), plan)
			verdict = "BETTER"
		case err != nil:
			wrong = append(wrong, fmt.Sprintf("%s: %v", pr.name(), err))
			verdict = "error"
		case status == peerLimit:
			verdict = "limit"
		case status == peerInfeasible && got != nil:
			wrong = append(wrong, pr.name()+" says infeasible")
			verdict = "wrong"
		case status == peerOptimal && compareLex(p, favor, plan, got) < 0:
			wrong = append(wrong, fmt.Sprintf("%s claims %v as optimal", pr.name(), valuesOf(p, plan)))
			verdict = "wrong"
		default:
			confirmed++
		}
		ta.add(pr.name(), verdict, spent)
	}
	if len(wrong) > 0 {
		t.Logf("peers against %v: %v; %d confirm", valuesOf(p, got), wrong, confirmed)
		if confirmed == 0 {
			t.Errorf("no peer confirms %v and some contradict: %v", valuesOf(p, got), wrong)
		}
	}
}
