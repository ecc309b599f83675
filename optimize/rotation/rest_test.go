package rotation

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDefaultRestByHeadCount compares with counting. With n kids all there and c spots, the kids who have to play at least once in
// b+1 series need (b+1) c >= n; those who have to rest at least once in a+1 series need (a+1)(n-c) >= n.
func TestDefaultRestByHeadCount(t *testing.T) {
	for n := 5; n <= 20; n++ {
		for c := 1; c <= min(n, 8); c++ {
			const series = 24 // long enough for every window
			avail, spots := slices.Repeat([]Window{{0, series - 1}}, n), slices.Repeat([]int{c}, series)
			on, off := DefaultRest(avail, spots)
			wantOff := max(1, (n+c-1)/c-1)
			wantOn := series
			if c < n {
				wantOn = max(3, (n+n-c-1)/(n-c)-1)
			}
			assert.Equal(t, [2]int{wantOn, wantOff}, [2]int{on, off}, "%d kids, %d spots", n, c)
		}
	}
}

// TestDefaultRestIsLeast: whatever the windows, a limit below the default (that is not at its own floor) leaves no plan,
// whoever plays how often; for kids who are all there the defaults leave one, with equal series.
func TestDefaultRestIsLeast(t *testing.T) {
	below := 0
	for seed := range uint64(200) {
		rng := newRand(seed)
		n, series := 5+rng.IntN(6), 3+rng.IntN(6)
		avail, spots := make([]Window, n), make([]int, series)
		c := 1 + rng.IntN(5)
		for s := range spots {
			spots[s] = c
		}
		for k := range avail {
			avail[k] = Window{0, series - 1}
			if k >= c && chance(rng, 40) {
				avail[k].First = rng.IntN(series)
			}
		}
		on, off := DefaultRest(avail, spots)
		p := plainGame(avail, spots)
		if off > 1 {
			below++
			p.MaxOff = off - 1
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: off %d", seed, off)
		}
		if on > 3 {
			below++
			p.MaxOn, p.MaxOff = on-1, 0
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: on %d", seed, on)
		}
		full := slices.Repeat([]Window{{0, series - 1}}, n)
		p = plainGame(full, spots)
		p.MaxOn, p.MaxOff = DefaultRest(full, spots)
		for k, share := range FairShares(full, spots) {
			p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
		}
		require.Equal(t, Yes, Feasible(context.Background(), p), "seed %d: %d kids, %d spots, %d series", seed, n, c, series)
	}
	require.Greater(t, below, 50)
}

// TestRestForSharesIsLeast: below a limit that equal series raise no plan has them, and what counting finds is what the search finds.
func TestRestForSharesIsLeast(t *testing.T) {
	raisedOn, raisedOff := 0, 0
	for seed := range uint64(600) {
		rng := newRand(seed)
		n, series := 5+rng.IntN(6), 4+rng.IntN(9)
		avail, spots := slices.Repeat([]Window{{0, series - 1}}, n), slices.Repeat([]int{1 + rng.IntN(5)}, series)
		for range 1 + rng.IntN(2) {
			k := rng.IntN(n)
			avail[k].First = rng.IntN(1 + series/3)
			avail[k].Last = avail[k].First + rng.IntN(series-avail[k].First)
		}
		p := plainGame(avail, spots)
		for k, share := range FairShares(avail, spots) {
			p.Kids[k].Lo, p.Kids[k].Hi = share.Floor(), share.Ceil()
		}
		on, off := DefaultRest(avail, spots)
		moreOn, moreOff := restForShares(p.Kids, spots, on, off)
		require.GreaterOrEqual(t, moreOn, on)
		require.GreaterOrEqual(t, moreOff, off)
		if moreOn > on {
			raisedOn++
			p.MaxOn, p.MaxOff = moreOn-1, 0
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: on %d", seed, moreOn)
		}
		if moreOff > off {
			raisedOff++
			p.MaxOn, p.MaxOff = 0, moreOff-1
			require.Equal(t, No, Feasible(context.Background(), p), "seed %d: off %d", seed, moreOff)
		}
	}
	require.Greater(t, raisedOn, 30)
	require.Greater(t, raisedOff, 30)
}

// TestStretchedByAShortStay: ten kids for five spots, and one who leaves after series 6 with six turns due: the others rest as
// usual, and the game is planned at any length, within the reach of the exact method and past it.
func TestStretchedByAShortStay(t *testing.T) {
	for _, series := range []int{14, exactSeries, exactSeries + 1, 40} {
		g := smallGame(10, 5, series)
		g.Kids[4].Last = 5
		out, err := g.Arrange(context.Background(), Settings{Limit: 500 * time.Millisecond}, true)
		require.NoError(t, err)
		require.NotNil(t, out.Result, series)
		require.NotNil(t, out.Result.Plan, series)
		require.Empty(t, Check(out.Problem, out.Result.Plan))
		require.Equal(t, 6, out.Problem.MaxOn)
		require.Equal(t, []int{4}, out.Stretched)

		g.MaxOn = 6 // asked for
		out, err = g.Arrange(context.Background(), Settings{Limit: 100 * time.Millisecond}, true)
		require.NoError(t, err)
		require.Empty(t, out.Stretched)
	}
	out, err := smallGame(10, 5, 8).Arrange(context.Background(), Settings{}, true)
	require.NoError(t, err)
	require.Empty(t, out.Stretched)
}
