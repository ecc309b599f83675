package main

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/games"
)

// demoFolder writes the invented team out, and gives the folder and a saved plan.
func demoFolder(t testing.TB) (dir, plan string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "team")
	plan = filepath.Join(filepath.Dir(dir), "plan.json")
	done(t, "start", "--demo", dir)
	done(t, "lineup", dir, "--save", plan)
	return dir, plan
}

func TestRecordJSON(t *testing.T) {
	dir, plan := demoFolder(t)
	r := decode[report.Record](t, done(t, "record", dir, "--game", "3", "--date", "2026-09-12", "--opponent", "Egrets", "--from", plan, "--played", "6", "--format", "json"))
	require.Equal(t, "sevenyard.record/1", r.Schema)
	require.Equal(t, []any{"3", "2026-09-12", "Egrets", 1}, []any{r.Game, r.Date, r.Opponent, r.Entry})
	require.Len(t, r.Series, 6)
	require.Nil(t, r.Repaired)
	first := r.Series[0].Slots[0].Kid
	in := r.Series[0].Bench[0]
	r = decode[report.Record](t, done(t, "record", dir, "--game", "3", "--swap", first+":"+in+"@1", "--left", "17@6", "--format", "json"))
	require.Equal(t, []report.RecordSwap{{Series: 1, Role: r.Series[0].Slots[0].Role, In: in, Out: first}}, r.Swaps)
	require.Equal(t, "corrected", r.Series[0].State)
	for _, s := range r.Series[1:] {
		require.Equal(t, "kept", s.State)
	}
	addsUp(t, r)
	r = decode[report.Record](t, done(t, "record", dir, "--game", "3", "--void", "2", "--format", "json"))
	require.Equal(t, []int{2}, r.Void)
	addsUp(t, r)

	rec, err := games.ReadFolder(os.DirFS(dir)) // the file says what the object says
	require.NoError(t, err)
	require.Len(t, rec.Games, 1)
	require.Len(t, rec.Games[0].Series, len(r.Series))
	for i, s := range rec.Games[0].Series {
		require.Equal(t, r.Series[i].Number, s.Number)
		for j, x := range s.Slots {
			require.Equal(t, r.Series[i].Slots[j], x)
		}
	}
	for i, p := range rec.Games[0].Kids {
		require.Equal(t, report.RecordKid{Kid: p.Kid, Present: [2]int{p.First, p.Last}, Series: r.Kids[i].Series}, r.Kids[i])
	}
}

// addsUp: whoever was there in a series is on the field or on the bench, and nobody else is; the kids' series are those of the series.
func addsUp(t *testing.T, r report.Record) {
	t.Helper()
	for _, k := range r.Kids {
		n := 0
		for _, s := range r.Series {
			on := slices.ContainsFunc(s.Slots, func(x games.Slot) bool { return x.Kid == k.Kid })
			require.Equal(t, k.Present[0] <= s.Number && s.Number <= k.Present[1], on || slices.Contains(s.Bench, k.Kid), "kid %s in series %d", k.Kid, s.Number)
			if on {
				n++
			}
		}
		require.Equal(t, k.Series, n)
	}
}

// TestRecordKilled kills the program itself at random moments. After each, every game whose run had ended is there to the byte, the file reads without a
// problem, and the next run works.
func TestRecordKilled(t *testing.T) {
	dir, plan := demoFolder(t)
	self := program(t)
	record := func(game int) *exec.Cmd {
		return exec.Command(self, "record", dir, "--game", fmt.Sprint(game), "--from", plan, "--opponent", "Egrets")
	}
	began := time.Now()
	require.NoError(t, record(0).Run())
	usual := time.Since(began)
	n := 20
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		n = 500
	}
	rng := rand.New(rand.NewPCG(1, 2))
	name := filepath.Join(dir, games.File)
	there := 1
	for game := 1; game <= n; game++ {
		before, err := os.ReadFile(name)
		require.NoError(t, err)
		cmd := record(game)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(1.2 * rng.Float64() * float64(usual)))
		_ = cmd.Process.Kill()
		ended := cmd.Wait() == nil
		after, err := os.ReadFile(name)
		require.NoError(t, err)
		whole := before[:bytes.LastIndex(before, []byte(",closed,"))] // what follows the last whole entry may be mended
		require.True(t, bytes.HasPrefix(after, whole), "nothing that was there has changed")
		rec, err := games.Read(games.File, bytes.NewReader(after))
		require.NoError(t, err)
		g, on := rec.Game(fmt.Sprint(game))
		require.True(t, on || !ended)
		if on {
			require.Len(t, g.Series, 8)
			there++
		}
		require.Len(t, rec.Games, there)
	}
	if out, err := record(n + 1).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("%d of %d killed runs had recorded their game", there-1, n)
}

// TestRecordAtOnce: two and more runs at the same time; each game is there in the end.
func TestRecordAtOnce(t *testing.T) {
	dir, plan := demoFolder(t)
	var wg sync.WaitGroup
	for n := range 8 {
		wg.Go(func() {
			if got := say(t, "record", dir, "--game", fmt.Sprint(n), "--from", plan); got.status != tty.ExitDone {
				t.Errorf("%d: %s", got.status, got.err)
			}
		})
	}
	wg.Wait()
	rec, err := games.ReadFolder(os.DirFS(dir))
	require.NoError(t, err)
	require.Len(t, rec.Games, 8)
	for _, g := range rec.Games {
		require.Len(t, g.Series, 8)
	}
}

// TestRecordBusy: while somebody else has the record, a run waits a while and then says so.
func TestRecordBusy(t *testing.T) {
	dir, plan := demoFolder(t)
	_, err := (&games.Journal{Dir: dir}).Update(context.Background(), func(*games.Record) (*games.Change, error) {
		ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
		defer cancel()
		var out, errs bytes.Buffer
		status := run(ctx, []string{"record", dir, "--game", "1", "--from", plan}, tty.IO{Out: &out, Err: &errs, Getenv: func(string) string { return "" }})
		require.Equal(t, tty.ExitInput, status)
		require.Contains(t, errs.String(), "stopped")
		return nil, nil
	})
	require.NoError(t, err)
}

// TestRecordTyped reads lines from standard input, and nothing of what is typed makes it panic or write.
func TestRecordTyped(t *testing.T) {
	dir, _ := demoFolder(t)
	typed := func(text string, args ...string) said {
		var out, errs bytes.Buffer
		status := run(context.Background(), append([]string{"record", dir, "--lines", "-"}, args...),
			tty.IO{In: strings.NewReader(text), Out: &out, Err: &errs, Getenv: func(string) string { return "" }})
		return said{out.String(), errs.String(), status}
	}
	got := typed("1: f 2 3 c 4 8 d 14\r\n2 Front 2,3 Corner #4 #8 Deep 14\n", "--game", "1")
	require.Equal(t, tty.ExitDone, got.status, got.err)
	r := decode[report.Record](t, typed("", "--game", "1", "--date", "2026-09-19", "--format", "json").out)
	require.Equal(t, r.Series[0].Slots, r.Series[1].Slots)
	require.Equal(t, "2026-09-19", r.Date)
	for _, text := range []string{"1", "1: F", "\x00", "1: F 2 F", "series", "late", "late 9@", "hurt @", "void x", ": , ;", "1: #", "999: F 2", "\xff\xfe"} {
		before, _ := os.ReadFile(filepath.Join(dir, games.File))
		got := typed(text, "--game", "2")
		require.NotEqual(t, tty.ExitDone, got.status, "%q", text)
		require.Empty(t, got.out)
		after, _ := os.ReadFile(filepath.Join(dir, games.File))
		require.Equal(t, before, after)
	}
}
