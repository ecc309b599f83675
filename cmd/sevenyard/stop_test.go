package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// stopAfter runs the program and stops it after a while; it tells how long it then took to end.
func stopAfter(wait time.Duration, in io.Reader, args ...string) (said, time.Duration) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var out, errs bytes.Buffer
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, args, tty.IO{In: in, Out: &out, Err: &errs, Getenv: func(string) string { return "" }})
	}()
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case status := <-ended:
		return said{out.String(), errs.String(), status}, 0
	case <-timer.C:
	}
	cancel()
	began := time.Now()
	status := <-ended
	return said{out.String(), errs.String(), status}, time.Since(began)
}

// hard is a team whose game no search settles in the time of a test.
func hard(t *testing.T, name string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), name)
	done(t, "start", "--demo", dir)
	roster, err := os.ReadFile(filepath.Join(dir, "roster.csv"))
	require.NoError(t, err)
	more := ""
	for _, id := range []string{"21", "22", "23", "24", "25", "26"} {
		more += id + ",,3,,,\n"
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "roster.csv"), append(roster, more...), 0o600))
	return dir
}

// A search that is stopped by hand shows the best plan found so far with its gap, saves it where asked, says so once, and ends with 1.
func TestStoppedSearchKeepsThePlan(t *testing.T) {
	dir := hard(t, "team")
	plan := filepath.Join(t.TempDir(), "plan.json")
	got, _ := stopAfter(1500*time.Millisecond, nil, "lineup", dir, "--series", "30", "--seconds", "0", "--save", plan)
	require.Equal(t, tty.ExitInput, got.status, got.err)
	require.Equal(t, 1, strings.Count(got.err, "stopped"), got.err)
	require.Contains(t, got.err, "sevenyard: "+tty.ErrBestSoFar.Error())
	require.Contains(t, got.out, "not proven")
	require.Contains(t, got.out, "You stopped the search")
	require.Contains(t, got.out, "Saved as "+plan)
	var saved struct {
		Limited bool
		Total   struct {
			Value, Bound float64
			Proven       bool
		}
		Warnings []string
	}
	data, err := os.ReadFile(plan)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &saved))
	require.True(t, saved.Limited)
	require.False(t, saved.Total.Proven)
	require.Less(t, saved.Total.Value, saved.Total.Bound)
	require.Contains(t, saved.Warnings, planning.StoppedWarning)
}

// However soon a run is stopped, there is a plan or the word that there is none yet, never both and never neither.
func TestStoppedAtAnyMoment(t *testing.T) {
	dir, other := hard(t, "one"), hard(t, "two")
	pool := filepath.Join(t.TempDir(), "pool")
	done(t, "start", "--pool", "--demo", pool)
	plan := filepath.Join(t.TempDir(), "plan.json")
	done(t, "lineup", dir, "--seconds", "1", "--save", plan)
	var slow time.Duration
	for _, args := range [][]string{
		{"lineup", dir, "--series", "20", "--seconds", "0"},
		{"lineup", dir, other, "--series", "20", "--seconds", "0"},
		{"rebuild", dir, "--from", plan, "--absent", "4", "--seconds", "0", "--tradeoffs"},
		{"why", dir, "--kid", "7", "--seconds", "0"},
		{"draft", pool, "--effort", "100"},
		{"sheet", "draft", pool, "--out", "-"},
	} {
		waits := []time.Duration{0, 20, 200}
		if sweeping() {
			waits = []time.Duration{0, 5, 20, 60, 200, 700}
		}
		for _, wait := range waits {
			got, took := stopAfter(wait*time.Millisecond, nil, args...)
			if took > slow {
				slow = took
				t.Logf("%v after %d ms: %v", args, wait, took)
			}
			if got.status == tty.ExitDone { // it was quicker than the stop
				require.NotContains(t, got.err, "stopped")
				continue
			}
			require.Equal(t, tty.ExitInput, got.status)
			require.Equal(t, 1, strings.Count(got.err, "stopped"), "%v after %d ms\n%s", args, wait, got.err)
			none := strings.Contains(got.err, "yet")
			require.Equal(t, none, got.out == "", "%v after %d ms\n%s\n%s", args, wait, got.out, got.err)
		}
	}
}

// Lines that are being typed can be stopped, and then nothing is on record.
func TestStoppedWhileTyping(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "team")
	done(t, "start", "--demo", dir)
	for _, typed := range []string{"", "1: F 2 3, C 4 11, D 14\n"} {
		in, keyboard := io.Pipe()
		go func() { _, _ = io.WriteString(keyboard, typed) }() // and no end
		got, _ := stopAfter(100*time.Millisecond, in, "record", dir, "--game", "1", "--lines", "-")
		require.Equal(t, tty.ExitInput, got.status)
		require.Empty(t, got.out)
		require.Equal(t, "sevenyard: stopped: nothing was recorded\n", got.err)
		require.NoFileExists(t, filepath.Join(dir, "games.csv"))
		require.NoError(t, keyboard.Close())
	}
}
