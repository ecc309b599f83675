package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
)

// gameDay is a game lived through with the program: planned, changed in the middle again and again, and recorded.
type gameDay struct {
	t    *testing.T
	rng  *rand.Rand
	dir  string
	plan string // the file of the plan at hand
	now  report.Rebuild
	over int
	out  []string // hurt, or left for good
}

// step makes the next plan with what is said, and keeps it.
func (d *gameDay) step(args ...string) {
	d.t.Helper()
	next := filepath.Join(d.t.TempDir(), "plan.json")
	if d.plan != "" {
		args = append(args, "--from", d.plan)
	}
	text := done(d.t, append(args, "--format", "json", "--save", next, "--seconds", "20")...)
	if d.plan == "" {
		d.now = report.Rebuild{Lineup: decode[report.Lineup](d.t, text)}
	} else {
		d.now = decode[report.Rebuild](d.t, text)
	}
	d.plan = next
}

// kid is one who is there now and may still be told of; "": none.
func (d *gameDay) kid() string {
	var there []string
	for _, k := range d.now.Kids {
		if k.Available[0] <= d.over+1 && k.Available[1] > d.over && !slices.Contains(d.out, k.Kid) {
			there = append(there, k.Kid)
		}
	}
	if len(there) < 7 {
		return ""
	}
	id := there[d.rng.IntN(len(there))]
	d.out = append(d.out, id)
	return id
}

// happens is what goes on at the field after some more series: somebody is hurt, leaves, or comes late.
func (d *gameDay) happens() {
	d.over += 1 + d.rng.IntN(2)
	if d.over >= len(d.now.Series) {
		return
	}
	args := []string{"rebuild", d.dir, "--played", fmt.Sprint(d.over)}
	for range 1 + d.rng.IntN(2) {
		id := d.kid()
		if id == "" {
			break
		}
		switch d.rng.IntN(4) {
		case 0:
			args = append(args, "--leaves", fmt.Sprintf("%s@%d", id, d.over+1+d.rng.IntN(len(d.now.Series)-d.over)))
		case 1:
			args = append(args, "--absent", id)
		default:
			args = append(args, "--hurt", fmt.Sprintf("%s@%d", id, d.over+1))
		}
	}
	d.step(args...)
}

// TestOneShare: what a plan says of a game's fair shares when all that was to happen has happened is what the season says of it after it is
// recorded, kid by kid: whoever was late, left early or was hurt.
func TestOneShare(t *testing.T) {
	seeds := uint64(10)
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		seeds = 200
	}
	hurt, whole := 0, 0
	for seed := range seeds {
		d := &gameDay{t: t, rng: rand.New(rand.NewPCG(seed, 8)), dir: demoCopy(t, nil)}
		args := []string{"lineup", d.dir, "--series", fmt.Sprint(5 + d.rng.IntN(4))}
		if d.rng.IntN(2) == 0 {
			args = append(args, "--late", fmt.Sprintf("9@%d", 2+d.rng.IntN(3)), "--absent", []string{"2", "4", "11"}[d.rng.IntN(3)])
		}
		d.step(args...)
		for range 1 + d.rng.IntN(3) {
			d.happens()
		}
		done(t, "record", d.dir, "--from", d.plan, "--game", "1", "--date", "2026-09-12")
		s := decode[report.Season](t, done(t, "season", d.dir, "--format", "json"))
		share := map[string]float64{}
		sum := 0.0
		for _, k := range d.now.Kids {
			share[k.Kid] = k.Share
			sum += k.Share
			if slices.Contains(d.now.Hurt, k.Kid) {
				hurt++
				require.Equal(t, float64(k.Series), k.Share, "seed %d: kid %s was hurt and is measured by what it played", seed, k.Kid)
			}
			if k.Available == [2]int{1, len(d.now.Series)} {
				whole++
			}
		}
		turns := 0
		for _, line := range d.now.Series {
			turns += len(line.Slots)
		}
		require.InDelta(t, float64(turns), sum, 1e-9, "seed %d: shares are of all turns", seed)
		for _, k := range s.Kids {
			require.InDelta(t, share[k.Kid], k.Share, 1e-9, "seed %d, kid %s", seed, k.Kid)
			require.InDelta(t, k.Share-float64(k.Series), k.Owed, 1e-9)
			if slices.Contains(d.now.Hurt, k.Kid) {
				require.Zero(t, k.Owed, "seed %d, kid %s", seed, k.Kid)
			}
		}
	}
	require.Positive(t, hurt)
	require.Positive(t, whole)
}
