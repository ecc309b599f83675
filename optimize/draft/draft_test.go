package draft

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

var background = context.Background()

// sweepOn tells whether the long comparisons are asked for.
func sweepOn() bool { return os.Getenv("SEVENYARD_SWEEP") == "1" }

// repeats is how many random cases a test takes, and how many where long comparisons are asked for. WebAssembly takes fewer: what differs there differs soon.
func repeats(plain, sweep int) int {
	switch {
	case sweepOn():
		return sweep
	case runtime.GOOS == "js":
		return (plain + 5) / 6
	}
	return plain
}

func mustDraft(t testing.TB, p *Pool, s Settings) *Result {
	t.Helper()
	r, err := Draft(background, p, s)
	require.NoError(t, err)
	if r.Split != nil {
		require.Empty(t, Check(p, r.Split))
		require.Empty(t, Check(p, r.Snake))
		require.LessOrEqual(t, r.Bound, r.Balance.Objective*(1+1e-9)+1e-12)
	}
	return r
}

// TestBruteSplits compares small pools with all splits there are: the same feasibility, the least shortage and objective, said to be proved.
func TestBruteSplits(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	counts := [2]int{}
	for i := range repeats(35, 500) {
		teams := 2 + rng.IntN(2)
		kids := teams + 3 + rng.IntN(12-teams-3+1)
		p := anyPool(rng, kids, teams, rng.Float64())
		best, short, feasible := oracle(p)
		r := mustDraft(t, p, Settings{Seed: uint64(i)})
		if !feasible {
			counts[0]++
			require.Equal(t, Infeasible, r.Status, "pool %d", i)
			continue
		}
		counts[1]++
		require.Equal(t, Done, r.Status, "pool %d", i)
		require.True(t, r.Proven, "pool %d", i)
		require.Equal(t, short, r.Balance.Shortage, "pool %d", i)
		require.InDelta(t, best, r.Balance.Objective, 1e-6, "pool %d", i)
		require.InDelta(t, naive(p, r.Snake), r.SnakeBalance.Objective, 1e-6)
	}
	require.Positive(t, counts[0])
	require.Positive(t, counts[1])
}

// TestFullPools drafts pools of real size with everything there is to be even in. Kids that nobody has seen are spread as well as whole kids can be, and roles lack no
// more than after the snake.
func TestFullPools(t *testing.T) {
	for _, size := range raceSizes[:3] {
		r := mustDraft(t, fullPool(1, size[0], size[1]), Settings{})
		require.LessOrEqual(t, r.Balance.Shortage, r.SnakeBalance.Shortage)
		require.Less(t, r.Balance.Objective, r.SnakeBalance.Objective)
		for _, part := range r.Balance.Parts {
			if part.Kind == PartUntested {
				require.InDelta(t, part.Bound, part.Cost, 1e-9)
			}
		}
	}
}

// TestStatusWords: a status prints as its word, and a number that is none as that number.
func TestStatusWords(t *testing.T) {
	require.Equal(t, "[done stopped infeasible unsettled Status(4) Status(-1)]", fmt.Sprint([]Status{Done, Stopped, Infeasible, Unsettled, Unsettled + 1, -1}))
}
