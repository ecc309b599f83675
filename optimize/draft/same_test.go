package draft

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestWorkersAndOrder: the number of processors, and the order of kids, change nothing.
func TestWorkersAndOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for i := range repeats(6, 100) {
		teams := 2 + rng.IntN(5)
		p := anyPool(rng, teams*(3+rng.IntN(6))+rng.IntN(teams), teams, 0.3)
		a := mustDraft(t, p, Settings{Seed: 3, Workers: 1})
		b := mustDraft(t, p, Settings{Seed: 3, Workers: 4})
		require.Equal(t, a, b, "pool %d", i)
		q, to := shuffled(p, rng)
		c := mustDraft(t, q, Settings{Seed: 3})
		require.Equal(t, a.Status, c.Status)
		if a.Split == nil {
			if a.Conflict != nil {
				require.Equal(t, len(a.Conflict.Rules), len(c.Conflict.Rules), "pool %d", i)
			}
			continue
		}
		for k := range p.Kids {
			require.Equal(t, a.Split[k], c.Split[to[k]], "pool %d", i)
			require.Equal(t, a.Snake[k], c.Snake[to[k]], "pool %d", i)
		}
		require.Equal(t, a.Balance.Objective, c.Balance.Objective)
		require.Equal(t, a.Balance.Spread, c.Balance.Spread)
		s1, err := Random(background, p, 5)
		require.NoError(t, err)
		s2, err := Random(background, q, 5)
		require.NoError(t, err)
		require.Empty(t, Check(p, s1))
		for k := range p.Kids {
			require.Equal(t, s1[k], s2[to[k]])
		}
	}
}

// TestStopped: a context that has ended gives a split that keeps the rules, and says so.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(background)
	cancel()
	p := randomPool(1, 120, 12)
	r, err := Draft(ctx, p, Settings{})
	require.NoError(t, err)
	require.Equal(t, Stopped, r.Status)
	require.Empty(t, Check(p, r.Split))
}

// TestUnits: scores in other units, and moved by a constant, give the same teams; so does leaving out what cannot differ.
func TestUnits(t *testing.T) {
	p := randomPool(2, 40, 4)
	want := mustDraft(t, p, Settings{}).Split
	q := *p
	q.Kids = append([]Kid(nil), p.Kids...)
	q.Measures = append([]Measure(nil), p.Measures...)
	for j := range q.Measures {
		q.Measures[j].Step = defaultStep / 8
	}
	for k := range q.Kids {
		q.Kids[k].Scores = append([]float64(nil), p.Kids[k].Scores...)
		for j := range q.Kids[k].Scores {
			q.Kids[k].Scores[j] = q.Kids[k].Scores[j]/8 - 4
		}
	}
	require.Equal(t, want, mustDraft(t, &q, Settings{}).Split)
}

const digestMark = "digest: "

// digests drafts some pools and gives a line for each.
func digests(t testing.TB) []string {
	rng := rand.New(rand.NewPCG(8, 8))
	var lines []string
	add := func(p *Pool) {
		r := mustDraft(t, p, Settings{Seed: 9})
		h := fnv.New64a()
		fmt.Fprint(h, r.Split, r.Snake, r.Proven)
		lines = append(lines, fmt.Sprintf("%d kids, %d teams: %d %x", len(p.Kids), len(p.Teams), r.Status, h.Sum64()))
	}
	for range 6 {
		teams := 2 + rng.IntN(6)
		add(anyPool(rng, teams*(3+rng.IntN(6))+rng.IntN(teams), teams, 0.3))
	}
	add(randomPool(1, 80, 8))
	return lines
}

// TestDigests prints the lines where TestWasmSameTeams asks for them.
func TestDigests(t *testing.T) {
	if os.Getenv("SEVENYARD_DIGESTS") != "1" {
		t.Skip("only for TestWasmSameTeams")
	}
	for _, l := range digests(t) {
		fmt.Println(digestMark + l)
	}
}

// TestWasmSameTeams builds these tests for WebAssembly, runs them under Node, and compares teams.
func TestWasmSameTeams(t *testing.T) {
	if runtime.GOOS == "js" {
		t.Skip("compares this build with the native one")
	}
	for _, program := range []string{"node", "go"} {
		if _, err := exec.LookPath(program); err != nil {
			missing(t, program)
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	dir := t.TempDir()
	binary := filepath.Join(dir, "draft.wasm")
	build := exec.Command("go", "test", "-c", "-o", binary, ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	run := exec.Command("node", "--stack-size=8192", filepath.Join(strings.TrimSpace(string(root)), "lib/wasm/wasm_exec_node.js"), binary, "-test.run=^TestDigests$", "-test.v")
	run.Env = []string{"SEVENYARD_DIGESTS=1", "PATH=" + os.Getenv("PATH"), "TMPDIR=" + dir} // what the runtime passes on has a limit
	var text bytes.Buffer
	run.Stdout, run.Stderr = &text, &text
	require.NoError(t, run.Run(), "%s", text.String())
	var got []string
	for scan := bufio.NewScanner(&text); scan.Scan(); {
		if l, ok := strings.CutPrefix(scan.Text(), digestMark); ok {
			got = append(got, l)
		}
	}
	require.Equal(t, digests(t), got)
}
