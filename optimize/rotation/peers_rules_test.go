package rotation

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPeersOnEveryRule gives games of usual size with every rule to the solver and to all peers, in all three objectives.
func TestPeersOnEveryRule(t *testing.T) {
	peers := presentPeers(t)
	cases := uint64(8)
	if sweepOn() {
		cases = 140
	}
	var ta tally
	var proved, feasible atomic.Uint64
	eachCase(t, cases, func(t *testing.T, seed uint64) {
		p := randomProblem(newRand(20_000+seed), randomOptions{Kids: [2]int{5, 9}, Series: [2]int{3, 6}, Spots: [2]int{2, 5}, Roles: 3})
		favor := favors[seed%3]
		r := mustSolve(t, p, Settings{Favor: favor, Limit: 20 * time.Second})
		switch {
		case p.ended():
			proved.Add(1)
		case r.Status == Proven:
			proved.Add(1)
			feasible.Add(1)
			agreeWithPeers(t, p, favor, r.Plan, inTurn(peers, seed), 2*time.Second, &ta)
		case r.Status == Infeasible:
			proved.Add(1)
			agreeWithPeers(t, p, favor, nil, inTurn(peers, seed), 2*time.Second, &ta)
		}
	})
	require.Greater(t, proved.Load(), cases*9/10)
	require.Greater(t, feasible.Load(), cases/3)
	t.Logf("%d of %d have a plan, %d proved%s", feasible.Load(), cases, proved.Load(), ta.String())
}

// TestPeersOnConflicts asks a peer about every conflict of the instances without a plan, and of random problems: no plan as it stands, a
// plan without any one of its rules.
func TestPeersOnConflicts(t *testing.T) {
	peers := presentPeers(t)
	var problems []*Problem
	for _, in := range loadInstances(t) {
		if !in.Expected.Feasible {
			problems = append(problems, in.Problem)
		}
	}
	random := uint64(60)
	if !sweepOn() {
		problems, random = problems[:8], 4
	}
	for seed := range random {
		problems = append(problems, randomProblem(newRand(30_000+seed), randomOptions{}))
	}
	var ta tally
	var conflicts atomic.Int64
	eachCase(t, uint64(len(problems)), func(t *testing.T, i uint64) {
		p := problems[i]
		c := Explain(context.Background(), p)
		if c == nil {
			return
		}
		conflicts.Add(1)
		pr := peers[int(i)%min(2, len(peers))]
		keep := make([]bool, len(c.Rules))
		for j := range keep {
			keep[j] = true
		}
		ask := func(want Answer) {
			began := time.Now()
			// The total is the quickest question; any plan answers it.
			status, plan, err := askPeer(context.Background(), t.TempDir(), pr, p.without(c.Rules, keep), Goal{}, 10*time.Second)
			require.NoError(t, err)
			switch {
			case plan != nil:
				assert.Equal(t, Yes, want, "%s has a plan: %v", pr.name(), c.Rules)
			case status == peerInfeasible:
				assert.Equal(t, No, want, "%s has no plan: %v", pr.name(), c.Rules)
			}
			ta.add(pr.name(), status.String(), time.Since(began))
		}
		ask(No)
		for j := range c.Rules {
			if c.Smallest {
				keep[j] = false
				ask(Yes)
				keep[j] = true
			}
		}
	})
	require.Greater(t, int(conflicts.Load()), len(problems)/3)
	t.Logf("%d conflicts%s", conflicts.Load(), ta.String())
}
