package season

import (
	"context"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/optimize/rotation"
)

// plannedGame is a team of so many kids, three spots of two roles, and fits by chance.
func plannedGame(rng *rand.Rand, kids, series int) *rotation.Game {
	g := &rotation.Game{Roles: []string{"front", "deep"}, Importance: []float64{1, 1}, Forms: []rotation.Form{{Label: "2-1", Spots: []int{0, 0, 1}}}, Series: make([]int, series)}
	for range kids {
		g.Kids = append(g.Kids, rotation.Player{Label: "kid", Last: series - 1, Fit: []float64{40 + 20*rng.Float64(), 40 + 20*rng.Float64()}})
	}
	return g
}

// played is the game as a record has it, planned by the solver itself; who of the season's kids is there stands in crowd.
func played(t *testing.T, g *rotation.Game, crowd []int, ignore bool, table *Table) Game {
	for k, kid := range crowd {
		if table != nil && !ignore {
			g.Kids[k].Owed = table.Lines[kid].Balance
		}
	}
	out, err := g.Arrange(context.Background(), rotation.Settings{}, false)
	require.NoError(t, err)
	require.NotNil(t, out.Result)
	require.Empty(t, out.Loosened)
	if out.Owed != nil {
		require.Empty(t, out.Owed.Passed, "with rest by head count every choice of larger shares can be planned here")
	}
	var rec Game
	for _, kid := range crowd {
		rec.There = append(rec.There, there(kid, 0, len(g.Series)-1))
	}
	for _, cells := range out.Result.Plan {
		var line []Spot
		for _, c := range cells {
			line = append(line, Spot{crowd[c.Kid], c.Role})
		}
		rec.Series = append(rec.Series, line)
	}
	return rec
}

// TestPlannedSeasonsWithHurts has the planner plan seasons in which a kid is hurt in every other game and the rest is planned anew, and pays
// back. Whoever is hurt is owed nothing for it; what the others are owed stays small, however many games there are.
func TestPlannedSeasonsWithHurts(t *testing.T) {
	seasons, games := uint64(4), 10
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		seasons, games = 60, 30
	}
	worst, back := 0.0, 0
	for seed := range seasons {
		rng := rand.New(rand.NewPCG(seed, 9))
		var record []Game
		table := mustTable(t, 6)
		for i := range games {
			g := plannedGame(rng, 6, 6)
			g.PayBack = 1
			for k := range g.Kids {
				g.Kids[k].Owed = table.Lines[k].Balance
			}
			out, err := g.Arrange(context.Background(), rotation.Settings{}, false)
			require.NoError(t, err)
			if i%2 == 0 {
				at, k := 1+rng.IntN(4), rng.IntN(6)
				old := out.Result.Plan
				g.Kids[k].Last, g.Kids[k].Hurt, g.Kept = at-1, true, old
				g.Played = make([][]rotation.Cell, 6)
				copy(g.Played, old[:at])
				out, err = g.Rearrange(context.Background(), old, rotation.Settings{}, false, func(*rotation.Problem) int64 { return 0 })
				require.NoError(t, err)
			}
			require.NotNil(t, out.Result.Plan)
			if out.Owed != nil {
				back += len(out.Owed.Back)
			}
			var rec Game
			for k, kid := range g.Kids {
				rec.There = append(rec.There, Attendance{Kid: k, First: kid.First, Last: kid.Last, Hurt: kid.Hurt})
			}
			for _, cells := range out.Result.Plan {
				var line []Spot
				for _, c := range cells {
					line = append(line, Spot(c))
				}
				rec.Series = append(rec.Series, line)
			}
			was := table
			record = append(record, rec)
			table = mustTable(t, 6, record...)
			for k, l := range table.Lines {
				worst = max(worst, l.Balance, -l.Balance)
				if g.Kids[k].Hurt {
					require.InDelta(t, was.Lines[k].Balance, l.Balance, 1e-9)
				}
			}
		}
	}
	require.Less(t, worst, 3.0)
	t.Logf("farthest from even %.2f, %d series paid back", worst, back)
}

// TestPlannedSeasons has the planner itself plan whole seasons, with everyone there in every other one. The bounds hold, and a season in which
// the planner knows the record is at least as even as one in which it does not.
func TestPlannedSeasons(t *testing.T) {
	seasons := uint64(12)
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		seasons = 200
	}
	with, without := 0.0, 0.0
	for seed := range seasons {
		for _, ignore := range []bool{false, true} {
			rng := rand.New(rand.NewPCG(seed, 7))
			kids := 4 + rng.IntN(4)
			var games []Game
			var table *Table
			var err error
			for range 6 {
				crowd := rng.Perm(kids)
				if seed%2 == 1 {
					crowd = crowd[:3+rng.IntN(kids-2)]
				}
				slices.Sort(crowd)
				games = append(games, played(t, plannedGame(rng, len(crowd), 4+rng.IntN(3)), crowd, ignore, table))
				table, err = Summarize(kids, 2, games)
				require.NoError(t, err)
				if ignore {
					continue
				}
				for _, l := range table.Lines {
					if seed%2 == 0 {
						require.Less(t, l.Balance, 1.0, seed)
						require.Greater(t, l.Balance, -1.0, seed)
					}
					require.LessOrEqual(t, max(l.Balance, -l.Balance), farthest(wholeGames, kids)+1e-9, seed)
				}
			}
			if ignore {
				without += table.Jain
			} else {
				with += table.Jain
			}
		}
	}
	require.GreaterOrEqual(t, with, without)
	t.Logf("mean of Jain's index with the record %.5f, without %.5f", with/float64(seasons), without/float64(seasons))
}
