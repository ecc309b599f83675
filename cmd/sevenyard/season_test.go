package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// TestSeasonJSONAddsUp works the sums of the object out again, from its games.
func TestSeasonJSONAddsUp(t *testing.T) {
	s := decode[report.Season](t, done(t, "season", "--demo", "--format", "json"))
	require.Equal(t, "sevenyard.season/1", s.Schema)
	require.Len(t, s.Games, 3)
	balance, sum, squares, n := 0.0, 0.0, 0.0, 0.0
	for _, k := range s.Kids {
		require.Len(t, k.Games, len(s.Games))
		attended, there, series, off, share := 0, 0, 0, 0, 0.0
		roles := map[string]int{}
		for i, p := range k.Games {
			require.Equal(t, s.Games[i].Game, p.Game)
			in := 0
			for role, x := range p.Roles {
				roles[role] += x
				in += x
			}
			require.Equal(t, p.Series, in)
			series, share, off = series+p.Series, share+p.Share, max(off, p.LongestOff)
			require.InDelta(t, share-float64(series), p.Owed, 1e-9)
			if p.There == nil {
				require.Zero(t, float64(p.Series)+p.Share)
				continue
			}
			attended++
			there += p.There[1] - p.There[0] + 1 // the demo has every series on record
		}
		require.Equal(t, [4]int{k.Attended, k.There, k.Series, k.LongestOff}, [4]int{attended, there, series, off})
		require.Equal(t, k.Roles, roles)
		require.InDelta(t, k.Share, share, 1e-9)
		require.InDelta(t, k.Share-float64(k.Series), k.Owed, 1e-9)
		balance += k.Owed
		if k.Share > 0 {
			x := float64(k.Series) / k.Share
			sum, squares, n = sum+x, squares+x*x, n+1
		}
	}
	require.InDelta(t, 0, balance, 1e-9)
	require.InDelta(t, sum*sum/(n*squares), *s.Jain, 1e-9)
	require.True(t, *s.Gini > 0 && *s.Gini < 1 && !math.IsNaN(*s.Gini))

	one := decode[report.Season](t, done(t, "season", "--demo", "--format", "json", "--kid", "9"))
	require.Len(t, one.Kids, 1)
	require.Equal(t, one.Jain, s.Jain, "of all kids")
	for _, k := range s.Kids {
		if k.Kid == "9" {
			require.Equal(t, k, one.Kids[0])
		}
	}
	bare := decode[report.Season](t, done(t, "season", "--demo", "--format", "json", "--ids-only"))
	for _, g := range bare.Games {
		require.Empty(t, g.Opponent)
	}
}

// TestGameOfToday: a game of today that is not all on record is the one being planned, and no earlier one; on the day after it counts.
func TestGameOfToday(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "team")
	done(t, "start", "--demo", dir)
	rows := "game,date,opponent,series,role,kid\n1,2026-09-12,,1,present,2\n1,2026-09-12,,1,present,3\n1,2026-09-12,,1,front,2\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "games.csv"), []byte(rows), 0o600))
	for day, counts := range map[int]bool{12: false, 13: true} {
		var out, errs bytes.Buffer
		status := run(context.Background(), []string{"lineup", dir, "--format", "json"}, tty.IO{Out: &out, Err: &errs, Getenv: func(string) string { return "" },
			Now: func() time.Time { return time.Date(2026, 9, day, 10, 0, 0, 0, time.UTC) }})
		require.Equal(t, tty.ExitDone, status, errs.String())
		l := decode[report.Lineup](t, out.String())
		require.Equal(t, counts, l.Season != nil)
		require.Equal(t, !counts, strings.Contains(strings.Join(l.Warnings, "\n"), "game 1 of today is still on"))
	}
}
