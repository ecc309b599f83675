package rotation

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// sweepForms are the spots of front, corner, deep and rusher in the usual formations of 5, 6 and 7 players.
var sweepForms = [][][]int{
	{{4, 0, 1, 0}, {3, 2, 0, 0}, {2, 2, 1, 0}, {1, 3, 1, 0}, {1, 2, 2, 0}, {2, 0, 2, 1}, {1, 2, 1, 1}},
	{{4, 0, 2, 0}, {3, 2, 1, 0}, {2, 3, 1, 0}, {2, 2, 1, 1}},
	{{4, 2, 1, 0}, {3, 2, 2, 0}, {2, 3, 2, 0}, {3, 2, 1, 1}},
}

// sweepGame is a game by chance: 7 to 15 kids, 6 to 14 series, 5 players or more on the field, at most 2 to 4 series in a row
// on it and 1 or 2 off it (more where the head count forces it), late and early kids, never-roles, and teams of six
// kinds. A point is one T point of one kid at one spot, 10 units.
func sweepGame(seed uint64) *Problem {
	rng := newRand(0x5eed0000 + seed)
	n, series := 7+rng.IntN(9), 6+rng.IntN(9)
	p := &Problem{Roles: []string{"front", "corner", "deep", "rusher"}, Scale: 10}
	fits := make([][]int32, n)
	kind := rng.IntN(6)
	for k := range fits {
		base := 500 + 70*rng.NormFloat64()
		switch {
		case kind == 1:
			base = 500 + 10*rng.NormFloat64() // a flat team
		case kind == 2 && k == 0: // one star
			base = 800
		case kind == 3 && k < 2: // two stars
			base = 720
		}
		fits[k] = make([]int32, len(p.Roles))
		for r := range fits[k] {
			x := base + 60*rng.NormFloat64()
			if kind == 4 && k%3 == r {
				x += 150 // specialists
			}
			fits[k][r] = int32(x)
			if kind == 5 {
				fits[k][r] -= fits[k][r] % 50 // few different fits: ties
			}
		}
	}
	size := 0
	if n > 8 && chance(rng, 25) {
		size = 1 + rng.IntN(2)
	}
	forms := 1
	if chance(rng, 25) {
		forms = 2
	}
	for range forms {
		p.Shapes = append(p.Shapes, Shape{Count: sweepForms[size][rng.IntN(len(sweepForms[size]))], Value: fits})
	}
	for s := range series {
		p.Series = append(p.Series, s%forms)
	}
	for k := range n {
		kid := Kid{Label: fmt.Sprintf("kid%d", k), Last: series - 1}
		if chance(rng, 8) {
			kid.First = 1 + rng.IntN(3)
		}
		if chance(rng, 7) {
			kid.Last -= 1 + rng.IntN(2)
		}
		if chance(rng, 12) {
			kid.Never = make([]bool, len(p.Roles))
			kid.Never[rng.IntN(len(p.Roles))] = true
		}
		p.Kids = append(p.Kids, kid)
	}
	shareOut(p, 2+rng.IntN(3), 1+rng.IntN(2))
	return p
}

// shareOut gives every kid the fair share, and the limits on rest that are asked for or, where they are less, those that the head
// count forces.
func shareOut(p *Problem, on, off int) {
	avail := p.presences()
	spots := spotsOf(p)
	for k, share := range FairShares(avail, spots) {
		p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
	}
	_, leastOff := DefaultRest(avail, spots)
	p.MaxOff = max(off, leastOff)
	// Somebody is on in all of m series where the places on the bench are fewer than the kids.
	for n := len(p.Kids); on < len(p.Series) && (on+1)*(n-slices.Max(spots)) < n; {
		on++
	}
	p.MaxOn = on
}

// sweepRow is one game of the sweep: what a short and a long solve made of it.
type sweepRow struct {
	p           *Problem
	short, long *Result
}

// settled tells whether nothing is open.
func settled(r *Result) bool { return r.Status == Proven || r.Status == Infeasible }

// gap is how far the weakest series may be from the best one, in points; a lot without a plan.
func gap(r *Result) float64 {
	switch r.Status {
	case Infeasible:
		return 0
	case Unknown:
		return 1e9
	}
	return float64(r.Weakest.Bound-r.Weakest.Value) / 10
}

// TestSweep plans random games within two limits, which has to give legal plans, bounds that hold, and no contradiction between
// the two. With SEVENYARD_RACE=1 it takes 240 games within 100 ms and 2 s, and prints how much was proved:
//
//	SEVENYARD_RACE=1 go test ./optimize/rotation -run '^TestSweep$' -v
func TestSweep(t *testing.T) {
	games, short, long := uint64(30), 10*time.Millisecond, 60*time.Millisecond
	if raceOn() {
		games, short, long = 240, 100*time.Millisecond, 2*time.Second
	}
	var rows []sweepRow
	for seed := range games {
		p := sweepGame(seed)
		require.NoError(t, p.Validate(), seed)
		row := sweepRow{p, mustSolve(t, p, Settings{Limit: short}), mustSolve(t, p, Settings{Limit: long})}
		consistent(t, seed, row)
		rows = append(rows, row)
	}
	if raceOn() {
		printSweep(os.Stdout, rows, short, long)
	}
}

// consistent compares two solves of one problem, however they ended.
func consistent(t *testing.T, seed uint64, row sweepRow) {
	t.Helper()
	for _, pair := range [][2]*Result{{row.short, row.long}, {row.long, row.short}} {
		a, b := pair[0], pair[1]
		switch {
		case a.Status == Infeasible:
			require.Nil(t, b.Plan, "seed %d: a plan where none exists", seed)
			continue
		case a.Plan == nil || b.Plan == nil:
			continue
		}
		require.LessOrEqual(t, b.Weakest.Value, a.Weakest.Bound, "seed %d: a plan beats a bound", seed)
		if b.Weakest.Value == a.Weakest.Bound {
			require.LessOrEqual(t, b.Total.Value, a.Total.Bound, "seed %d: a plan beats a bound on the total", seed)
		}
		if a.Status == Proven {
			require.LessOrEqual(t, compareLex(row.p, Weakest, b.Plan, a.Plan), 0, "seed %d: a plan beats the proven one", seed)
		}
	}
	if row.short.Plan != nil && row.long.Plan != nil {
		require.GreaterOrEqual(t, row.short.Weakest.Bound, row.long.Weakest.Value, "seed %d", seed)
	}
}

// printSweep writes the shares that were proved, and every game with something open.
func printSweep(w io.Writer, rows []sweepRow, short, long time.Duration) {
	share := func(ok func(sweepRow) bool) float64 {
		n := 0
		for _, r := range rows {
			if ok(r) {
				n++
			}
		}
		return 100 * float64(n) / float64(len(rows))
	}
	var took []time.Duration
	infeasible := 0
	for i, r := range rows {
		took = append(took, r.long.Stats.Elapsed)
		if r.long.Status == Infeasible {
			infeasible++
		}
		if settled(r.long) && r.long.Stats.Elapsed <= short && gap(r.short) <= 0.5 {
			continue
		}
		fmt.Fprintf(w, "game %3d: %2d kids, %2d series of %d, on %d, off %d: gap %4.1f at %v; %v, weakest %d to %d, total %d to %d, %.0f ms, %d nodes\n",
			i, len(r.p.Kids), len(r.p.Series), slices.Max(spotsOf(r.p)), r.p.MaxOn, r.p.MaxOff, min(gap(r.short), 99), short,
			r.long.Status, r.long.Weakest.Value, r.long.Weakest.Bound, r.long.Total.Value, r.long.Total.Bound, milliseconds(r.long.Stats.Elapsed), r.long.Stats.Nodes)
	}
	slices.Sort(took)
	fmt.Fprintf(w, "\n%d games, %d without a plan. A point is one T point at one spot.\n", len(rows), infeasible)
	for _, d := range []time.Duration{short / 2, short, 3 * short, 10 * short, long} {
		fmt.Fprintf(w, "weakest and total proved within %6v: %5.1f %%\n", d, share(func(r sweepRow) bool { return settled(r.long) && r.long.Stats.Elapsed <= d }))
	}
	for _, g := range []float64{0, 0.5, 1, 2} {
		fmt.Fprintf(w, "weakest within %3.1f points of its bound: %5.1f %% after %v, %5.1f %% after %v\n", g,
			share(func(r sweepRow) bool { return gap(r.short) <= g }), short, share(func(r sweepRow) bool { return gap(r.long) <= g }), long)
	}
	fmt.Fprintf(w, "time of a game: median %.1f ms, 75 %% within %.1f, 90 %% within %.1f, longest %.0f\n",
		milliseconds(took[len(took)/2]), milliseconds(took[len(took)*3/4]), milliseconds(took[len(took)*9/10]), milliseconds(took[len(took)-1]))
}

// TestStoppedByContext: a solve that nobody waits for ends, with bounds that hold.
func TestStoppedByContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for seed := range uint64(20) {
		p := sweepGame(seed)
		r, err := Solve(ctx, p, Settings{})
		require.NoError(t, err)
		if r.Plan == nil {
			continue
		}
		require.Empty(t, Check(p, r.Plan))
		full := mustSolve(t, p, Settings{Limit: 20 * time.Millisecond})
		require.GreaterOrEqual(t, r.Weakest.Bound, full.Weakest.Value)
		require.LessOrEqual(t, r.Weakest.Value, full.Weakest.Bound)
	}
}
