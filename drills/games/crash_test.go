package games

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The test program records a game instead of running tests where these are set: the folder, and the game's number.
const crashDir, crashGame = "SEVENYARD_TEST_CRASH_DIR", "SEVENYARD_TEST_CRASH_GAME"

func TestMain(m *testing.M) {
	if dir := os.Getenv(crashDir); dir != "" {
		n, _ := strconv.Atoi(os.Getenv(crashGame))
		j := &Journal{Dir: dir, Wait: 10 * time.Second, through: func(w io.Writer) io.Writer { return drip{w} }}
		if _, err := j.Update(context.Background(), func(*Record) (*Change, error) { return crashChange(n), nil }); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// drip writes a few bytes at a time, so that a kill lands in the middle.
type drip struct{ w io.Writer }

func (d drip) Write(p []byte) (int, error) {
	for i := 0; i < len(p); i += 64 {
		if n, err := d.w.Write(p[i:min(i+64, len(p))]); err != nil {
			return i + n, err
		}
		time.Sleep(20 * time.Microsecond)
	}
	return len(p), nil
}

// crashChange is a game that only depends on its number.
func crashChange(n int) *Change {
	c := &Change{Game: fmt.Sprint(n), Date: "2026-09-12", Opponent: "Möwen, Süd"}
	for k := range 9 {
		c.Kids = append(c.Kids, Presence{fmt.Sprint(k + 1), 1, 0})
	}
	for s := range 8 {
		line := Series{Number: s + 1}
		for i := range 5 {
			line.Slots = append(line.Slots, Slot{someRoles[(i+n)%4], fmt.Sprint((s*5+i+n)%9 + 1)})
		}
		c.Series = append(c.Series, line)
	}
	return c
}

func crashRun(dir string, game int) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), crashDir+"="+dir, crashGame+"="+fmt.Sprint(game))
	return cmd
}

// kills is how many processes a test kills: a few, or as many as SEVENYARD_SWEEP asks for.
func kills() int {
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		return 500
	}
	return 30
}

// TestKill kills runs at random moments. After each, every game whose run had ended is whole, byte for byte, the one cut off is whole or not
// there, and the next run works.
func TestKill(t *testing.T) {
	var wg sync.WaitGroup
	var mu sync.Mutex
	torn, early, done := 0, 0, 0
	for worker := range 2 {
		wg.Go(func() {
			dir := t.TempDir()
			rng := rand.New(rand.NewPCG(1, uint64(worker)))
			want := map[string]map[int][]Slot{}
			game := 0
			began := time.Now()
			if !sound(t, crashRun(dir, game).Run(), dir, want, game, true) {
				return
			}
			usual := time.Since(began)
			for range kills() / 2 {
				game++
				before, _ := os.ReadFile(filepath.Join(dir, File))
				cmd := crashRun(dir, game)
				if err := cmd.Start(); err != nil {
					t.Error(err)
					return
				}
				time.Sleep(time.Duration(1.2 * rng.Float64() * float64(usual)))
				_ = cmd.Process.Kill()
				ended := cmd.Wait() == nil
				after, _ := os.ReadFile(filepath.Join(dir, File))
				whole := before
				if rec, err := parse(File, before); err == nil && rec.state.cut >= 0 {
					whole = before[:rec.state.cut]
				}
				if !bytes.HasPrefix(after, whole) {
					t.Errorf("the bytes of whole entries changed")
					return
				}
				rec, err := parse(File, after)
				if err != nil {
					t.Error(err)
					return
				}
				mu.Lock()
				switch _, there := rec.Game(fmt.Sprint(game)); {
				case ended || there:
					done++
				case rec.state.cut >= 0:
					torn++
				default:
					early++
				}
				mu.Unlock()
				if !sound(t, nil, dir, want, game, ended) {
					return
				}
				if rng.IntN(2) == 0 { // the next run works, and records the same game again or another one
					game++
					if !sound(t, crashRun(dir, game).Run(), dir, want, game, true) {
						return
					}
				}
			}
		})
	}
	wg.Wait()
	t.Logf("%d killed before anything was written, %d in the middle, %d after", early, torn, done)
	if !t.Failed() && torn == 0 {
		t.Error("no kill came in the middle of writing: the test shows nothing")
	}
}

// sound checks the record: everything in want is whole; the game is there if it must be, and joins want if it is.
func sound(t *testing.T, err error, dir string, want map[string]map[int][]Slot, game int, must bool) bool {
	data, _ := os.ReadFile(filepath.Join(dir, File))
	rec, readErr := parse(File, data)
	id := fmt.Sprint(game)
	if _, there := rec.Game(id); there || must {
		want[id] = replay([]*Change{crashChange(game)})[id]
	}
	return err == nil && readErr == nil && ok(t, want, playedIn(rec)) || fail(t, "run: %v, read: %v", err, readErr)
}

func ok(t *testing.T, want, got map[string]map[int][]Slot) bool {
	return fmt.Sprint(want) == fmt.Sprint(got) || fail(t, "want %v\ngot  %v", want, got)
}

func fail(t *testing.T, format string, args ...any) bool {
	t.Errorf(format, args...)
	return false
}

// TestEveryCut ends writing after each number of bytes, as a crash of the machine would: what was whole stays, and the next run works.
func TestEveryCut(t *testing.T) {
	whole, _ := blocks(t, fileState{cut: -1}, "", []*Change{crashChange(1)})
	both, _ := blocks(t, fileState{cut: -1}, "", []*Change{crashChange(1), {Game: "2", Opponent: `Ö"`, Kids: []Presence{{"2", 1, 0}}, Series: []Series{{1, []Slot{{"front", "2"}}}}}})
	dir := t.TempDir()
	name := filepath.Join(dir, File)
	one := replay([]*Change{crashChange(1)})
	three := replay([]*Change{crashChange(1), crashChange(3)})
	for n := len(whole); n < len(both)-1; n++ {
		require.Equal(t, one, playedIn(read(t, both[:n])), "%q", both[len(whole):n])
		require.NoError(t, os.WriteFile(name, []byte(both[:n]), 0o644))
		res, err := (&Journal{Dir: dir}).Update(context.Background(), func(*Record) (*Change, error) { return crashChange(3), nil })
		require.NoError(t, err)
		require.Equal(t, three, playedIn(res.Record))
		require.Equal(t, int64(n-len(whole)), res.Cut)
		if res.Kept != "" {
			kept, err := os.ReadFile(filepath.Join(dir, res.Kept))
			require.NoError(t, err)
			require.Equal(t, both[len(whole):n], string(kept))
			require.NoError(t, os.Remove(filepath.Join(dir, res.Kept)))
		}
	}
}

// TestManyAtOnce: eight runs at the same time, and all eight games are there.
func TestManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	var wg sync.WaitGroup
	for n := range 8 {
		wg.Go(func() {
			if out, err := crashRun(dir, n).CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
	wg.Wait()
	var all []*Change
	for n := range 8 {
		all = append(all, crashChange(n))
	}
	require.Equal(t, replay(all), playedIn(read2(t, filepath.Join(dir, File))))
}
