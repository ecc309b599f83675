package draft

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// systemPython is the first Python on the PATH that has SciPy: a version manager may have put one in front of it that has not. Without any it
// is the first of all.
var systemPython = sync.OnceValue(func() string {
	for _, dir := range filepath.SplitList(os.Getenv("PATH")) {
		name, err := exec.LookPath(filepath.Join(dir, "python3"))
		if err == nil && exec.Command(name, "-c", "import scipy.optimize; scipy.optimize.milp").Run() == nil {
			return name
		}
	}
	return "python3"
})

// highsAnswer is what HiGHS says, through Debian's python3-scipy.
type highsAnswer struct {
	Status    string
	Objective float64
	Bound     float64
	Teams     []int
}

// askHighs splits a pool without rules into equal teams with the least sum of ranges.
func askHighs(t testing.TB, p *Pool, seconds float64) (highsAnswer, time.Duration) {
	t.Helper()
	scores := make([][]float64, len(p.Kids))
	for j := range p.Measures {
		var mean, squares float64
		for _, k := range p.Kids {
			mean += k.Scores[j] / float64(len(p.Kids))
		}
		for _, k := range p.Kids {
			squares += (k.Scores[j] - mean) * (k.Scores[j] - mean) / float64(len(p.Kids))
		}
		for k := range p.Kids {
			scores[k] = append(scores[k], (p.Kids[k].Scores[j]-mean)/math.Sqrt(squares))
		}
	}
	job, err := json.Marshal(map[string]any{"scores": scores, "teams": len(p.Teams), "seconds": seconds})
	require.NoError(t, err)
	cmd := exec.Command(systemPython(), "testdata/split.py")
	cmd.Stdin = bytes.NewReader(job)
	began := time.Now()
	out, err := cmd.Output()
	if err != nil {
		if e := exec.Command(systemPython(), "-c", "import scipy.optimize; scipy.optimize.milp").Run(); e != nil {
			if tt, ok := t.(*testing.T); ok {
				missing(tt, "SciPy")
			}
		}
		require.NoError(t, err)
	}
	var a highsAnswer
	require.NoError(t, json.Unmarshal(out, &a))
	return a, time.Since(began)
}

// bare is a pool without rules: scores in steps so fine that standardised scores are the same for both sides.
func bare(seed uint64, kids, teams int) *Pool {
	p := randomPool(seed, kids, teams)
	p.Siblings, p.Fixed, p.Apart = nil, nil, nil
	for k := range p.Kids {
		p.Kids[k].Teams = nil
	}
	for j := range p.Measures {
		p.Measures[j].Step = 0.0001
	}
	return p
}

// TestPeersOptimum compares with the optimum that HiGHS proves on 16 kids and 2 teams.
func TestPeersOptimum(t *testing.T) {
	for seed := range uint64(2) {
		p := bare(seed, 16, 2)
		a, _ := askHighs(t, p, 60)
		require.Equal(t, "optimal", a.Status)
		r := mustDraft(t, p, Settings{Goal: Ranges})
		require.True(t, r.Proven)
		require.InDelta(t, a.Objective, r.Balance.Ranges, 1e-5)
	}
}

// writeLP writes the rules of a pool in the format of LP files: x<kid>t<team> is 1 where the kid is on the team.
func writeLP(w io.Writer, p *Pool) {
	fmt.Fprintln(w, "Minimize\n obj: x0t0\nSubject To")
	row := 0
	add := func(terms []string, rest string) {
		row++
		fmt.Fprintf(w, " r%d: %s %s\n", row, strings.Join(terms, " + "), rest)
	}
	x := func(k, t int) string { return fmt.Sprintf("x%dt%d", k, t) }
	lo := len(p.Kids) / len(p.Teams)
	for k := range p.Kids {
		var terms []string
		for t := range p.Teams {
			terms = append(terms, x(k, t))
		}
		add(terms, "= 1")
	}
	olds := map[string][]int{}
	for k, kid := range p.Kids {
		if kid.Returning != "" {
			olds[kid.Returning] = append(olds[kid.Returning], k)
		}
	}
	for t := range p.Teams {
		var terms []string
		for k := range p.Kids {
			terms = append(terms, x(k, t))
		}
		add(terms, fmt.Sprintf(">= %d", lo))
		add(terms, fmt.Sprintf("<= %d", (len(p.Kids)+len(p.Teams)-1)/len(p.Teams)))
		for _, g := range p.Siblings {
			for _, k := range g[1:] {
				if k != g[0] {
					add([]string{x(g[0], t) + " - " + x(k, t)}, "= 0")
				}
			}
		}
		for _, a := range p.Apart {
			add([]string{x(a[0], t), x(a[1], t)}, "<= 1")
		}
		for k, kid := range p.Kids {
			if kid.Teams != nil && !kid.Teams[t] {
				add([]string{x(k, t)}, "= 0")
			}
		}
		for _, kids := range olds {
			var terms []string
			for _, k := range kids {
				terms = append(terms, x(k, t))
			}
			if p.MaxReturning > 0 {
				add(terms, fmt.Sprintf("<= %d", p.MaxReturning))
			}
		}
	}
	for _, f := range p.Fixed {
		add([]string{x(f.Kid, f.Team)}, "= 1")
	}
	fmt.Fprintln(w, "Binaries")
	for k := range p.Kids {
		for t := range p.Teams {
			fmt.Fprintln(w, " "+x(k, t))
		}
	}
	fmt.Fprintln(w, "End")
}

// TestPeersFeasible asks CBC whether pools too large for brute force can be split, and whether the conflicts named are ones.
func TestPeersFeasible(t *testing.T) {
	if _, err := exec.LookPath("cbc"); err != nil {
		missing(t, "cbc")
	}
	ask := func(p *Pool) bool {
		var text bytes.Buffer
		writeLP(&text, p)
		path := filepath.Join(t.TempDir(), "pool.lp")
		require.NoError(t, os.WriteFile(path, text.Bytes(), 0o600))
		out, err := exec.Command("cbc", path, "seconds", "60", "solve").CombinedOutput()
		require.NoError(t, err, "%s", out)
		switch {
		case bytes.Contains(out, []byte("Optimal solution found")):
			return true
		case bytes.Contains(out, []byte("infeasible")):
			return false
		}
		t.Fatalf("CBC: %s", out)
		return false
	}
	rng := rand.New(rand.NewPCG(10, 10))
	count := [2]int{}
	for i := range repeats(20, 120) {
		teams := 3 + rng.IntN(6)
		p := anyPool(rng, teams*(4+rng.IntN(5))+rng.IntN(teams), teams, 0.5*rng.Float64())
		r := mustDraft(t, p, Settings{})
		require.NotEqual(t, Unsettled, r.Status, "pool %d", i)
		possible := ask(p)
		require.Equal(t, possible, r.Split != nil, "pool %d", i)
		count[int(truth(possible))]++
		if possible || r.Conflict == nil {
			continue
		}
		require.False(t, ask(only(p, r.Conflict.Rules)), "pool %d: %v", i, r.Conflict.Rules)
		for j := range r.Conflict.Rules {
			if r.Conflict.Smallest {
				rest := append(append([]Rule{}, r.Conflict.Rules[:j]...), r.Conflict.Rules[j+1:]...)
				require.True(t, ask(only(p, rest)), "pool %d without %v", i, r.Conflict.Rules[j])
			}
		}
	}
	require.Positive(t, count[0])
	require.Positive(t, count[1])
}

// only is the pool with no rules but those given.
func only(p *Pool, rules []Rule) *Pool {
	q := *p
	q.Siblings, q.Fixed, q.Apart, q.MaxReturning = nil, nil, nil, 0
	q.Kids = append([]Kid(nil), p.Kids...)
	for k := range q.Kids {
		q.Kids[k].Teams, q.Kids[k].Returning = nil, ""
	}
	for _, r := range rules {
		switch r.Kind {
		case Siblings:
			q.Siblings = append(q.Siblings, r.Kids)
		case Settled:
			q.Fixed = append(q.Fixed, Fixed{Kid: r.Kids[0], Team: r.Teams[0]})
		case Apart:
			q.Apart = append(q.Apart, [2]int{r.Kids[0], r.Kids[1]})
		case Returning:
			q.MaxReturning = r.Most
			for _, k := range r.Kids {
				q.Kids[k].Returning = r.Old
			}
		case Nights:
			q.Kids[r.Kids[0]].Teams = make([]bool, len(p.Teams))
			for _, t := range r.Teams {
				q.Kids[r.Kids[0]].Teams[t] = true
			}
		}
	}
	return &q
}
