package main

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// The game of today that is on is taken without asking, and said to be; that of another day is not.
func TestRebuildTakesTheGameOfToday(t *testing.T) {
	dir := demoCopy(t, nil)
	plan := filepath.Join(t.TempDir(), "plan.json")
	done(t, "lineup", dir, "--save", plan)
	done(t, "record", dir, "--from", plan, "--game", "1", "--date", "2026-09-12", "--played", "3")
	on := func(date string, args ...string) said {
		day, err := time.Parse(time.DateOnly, date)
		require.NoError(t, err)
		var out, errs bytes.Buffer
		status := run(context.Background(), append([]string{"rebuild", dir}, args...), tty.IO{Out: &out, Err: &errs,
			Getenv: func(string) string { return "" }, Now: func() time.Time { return day.Add(15 * time.Hour) }})
		return said{out.String(), errs.String(), status}
	}
	for _, args := range [][]string{{"--from", plan}, {}} {
		got := on("2026-09-12", append(args, "--absent", "4", "--format", "json")...)
		require.Equal(t, tty.ExitDone, got.status, got.err)
		re := decode[report.Rebuild](t, got.out)
		require.Equal(t, 3, re.Played)
		require.Contains(t, re.Warnings, "note: game 1 is of today, with 3 series on record: taken as the game that is on")
		if len(args) == 0 {
			require.Empty(t, re.Changes.List, "there is no plan to change")
			require.Nil(t, re.Fresh)
		} else {
			require.NotEmpty(t, re.Changes.List)
		}
	}
	got := on("2026-09-13", "--from", plan, "--format", "json")
	require.Equal(t, 0, decode[report.Rebuild](t, got.out).Played)
	require.Equal(t, tty.ExitUsage, on("2026-09-13").status)
}
