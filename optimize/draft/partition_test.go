package draft

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// partition is numbers to be split into equal sums by equally many each (multiway number partitioning, balanced).
func partition(numbers []int, teams int) *Pool {
	p := &Pool{Measures: []Measure{{Label: "sum", Weight: 100, Step: 1}}}
	for t := range teams {
		p.Teams = append(p.Teams, fmt.Sprint("team ", t))
	}
	for i, x := range numbers {
		p.Kids = append(p.Kids, Kid{Label: fmt.Sprint(i), Scores: []float64{float64(x)}})
	}
	return p
}

// planted gives numbers with a perfect split: in every team the last number makes up for the others.
func planted(rng *rand.Rand, each, teams, top int) []int {
	var numbers []int
	for range teams {
		left := each * top / 2
		team := make([]int, each)
		for i := range each - 1 {
			// What is left has to fit into the numbers still to come.
			low, high := max(0, left-(each-1-i)*top), min(top, left)
			team[i] = low + rng.IntN(high-low+1)
			left -= team[i]
		}
		team[each-1] = left
		numbers = append(numbers, team...)
	}
	rng.Shuffle(len(numbers), func(i, j int) { numbers[i], numbers[j] = numbers[j], numbers[i] })
	return numbers
}

// TestPlantedPartitions: a perfect split is planted; found, it is proved by its bound of 0. Where it is not found, the gap is stated: it is the spread.
func TestPlantedPartitions(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for _, c := range []struct {
		each, teams, top int
		always           bool
	}{{5, 2, 100, true}, {6, 3, 100, true}, {10, 4, 1000, true}, {10, 8, 1000, true}, {10, 12, 100, true}, {10, 24, 100, true}, {8, 5, 10_000, true}, {10, 4, 100_000, false}, {10, 4, 10_000_000, false}} {
		found, gap := 0, 0.0
		tries := repeats(4, 4)
		for seed := range tries {
			r := mustDraft(t, partition(planted(rng, c.each, c.teams, c.top), c.teams), Settings{Seed: uint64(seed)})
			if r.Proven && r.Balance.Spread[0] == 0 {
				found++
			} else {
				require.False(t, r.Proven)
				gap = max(gap, r.Balance.Spread[0]*float64(c.each))
			}
		}
		t.Logf("%d teams of %d, numbers to %d: %d of %d perfect; largest difference of sums %.0f", c.teams, c.each, c.top, found, tries, gap)
		if c.always {
			require.Equal(t, tries, found)
		}
	}
}

// TestPartitionBound: where the sum cannot be divided, the bound says what must be left.
func TestPartitionBound(t *testing.T) {
	// Sum 22 over 4 teams of 2: sums 5, 5, 6, 6 at best.
	r := mustDraft(t, partition([]int{1, 2, 3, 4, 4, 3, 2, 3}, 4), Settings{})
	require.True(t, r.Proven)
	require.InDelta(t, 0.5, r.Balance.Spread[0], 1e-12)
	require.InDelta(t, r.Balance.Objective, r.Balance.Parts[0].Bound, 1e-12)
}
