package draft

import (
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestRace prints how even drafts are beside the snake's, how long they take, and what HiGHS makes of pools without rules:
//
//	SEVENYARD_RACE=1 go test ./optimize/draft -run '^TestRace$' -v -timeout 30m
//
// It asserts evenness, and never a time.
func TestRace(t *testing.T) {
	if os.Getenv("SEVENYARD_RACE") != "1" {
		t.Skip("only with SEVENYARD_RACE=1")
	}
	fmt.Println("kids/teams seed   snake    ours    ratio  ranges  overall  mended     ms")
	for _, size := range raceSizes {
		for seed := range uint64(10) {
			raceSnake(t, seed, size[0], size[1])
		}
	}
	fmt.Println("\nkids/teams seed     HiGHS    bound       s   status     ours  proven     s")
	for _, c := range []struct {
		kids, teams int
		seeds       uint64
	}{{16, 2, 3}, {24, 3, 2}, {40, 4, 2}} {
		for seed := range c.seeds {
			raceHighs(t, seed, c.kids, c.teams)
		}
	}
}

// even asserts what is promised: at most 0.03 of the snake's sum of squares, and 0.18 of its sum of ranges.
func even(t *testing.T, r *Result) (squares, ranges float64) {
	t.Helper()
	squares = r.Balance.Objective / r.SnakeBalance.Objective
	ranges = r.Balance.Ranges / r.SnakeBalance.Ranges
	require.LessOrEqual(t, squares, 0.03)
	require.LessOrEqual(t, ranges, 0.18)
	return squares, ranges
}

func raceSnake(t *testing.T, seed uint64, kids, teams int) {
	t.Helper()
	p := randomPool(seed, kids, teams)
	began := time.Now()
	r := mustDraft(t, p, Settings{Seed: 1})
	spent := time.Since(began)
	squares, ranges := even(t, r)
	fmt.Printf("%7d/%-3d %3d %7.3f %7.4f %8.4f %7.4f %8.4f %7d %6.1f\n", kids, teams, seed, r.SnakeBalance.Objective, r.Balance.Objective, squares, ranges,
		r.Balance.SpreadSD[0]/r.SnakeBalance.SpreadSD[0], r.SnakeMended, float64(spent.Microseconds())/1000)
}

func raceHighs(t *testing.T, seed uint64, kids, teams int) {
	t.Helper()
	p := bare(seed, kids, teams)
	a, took := askHighs(t, p, 60)
	began := time.Now()
	r := mustDraft(t, p, Settings{Goal: Ranges, Effort: 4})
	spent := time.Since(began)
	fmt.Printf("%7d/%-3d %3d %9.5f %8.4f %7.2f %8s %8.5f %7v %5.2f\n", kids, teams, seed, a.Objective, a.Bound, took.Seconds(), a.Status, r.Balance.Ranges, r.Proven, spent.Seconds())
	if a.Status == "optimal" {
		require.InDelta(t, a.Objective, r.Balance.Ranges, 1e-5)
	} else {
		require.Less(t, r.Balance.Ranges, a.Objective)
	}
}

// TestEvenness holds some pools to what is promised: the race takes all.
func TestEvenness(t *testing.T) {
	for _, size := range raceSizes[:3] {
		for seed := range uint64(repeats(2, 10)) {
			even(t, mustDraft(t, randomPool(seed, size[0], size[1]), Settings{Seed: 1}))
		}
	}
}
