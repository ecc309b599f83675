package rotation

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// peerStatus is what an independent solver says of a model.
type peerStatus int

const (
	peerLimit peerStatus = iota // no proof within the time
	peerOptimal
	peerInfeasible
)

func (s peerStatus) String() string { return [...]string{"limit", "optimal", "infeasible"}[s] }

// peerAnswer is an independent solver's answer: the objective as the model has it (negated, to be
// minimised) and the columns that are not 0; nil when it has no solution.
type peerAnswer struct {
	status    peerStatus
	objective float64
	columns   map[string]float64
}

// peer is an independent solver of mixed-integer programs.
type peer interface {
	name() string
	// absent tells why the peer cannot be asked here; "": it can.
	absent() string
	solve(ctx context.Context, path string, limit time.Duration) (peerAnswer, error)
}

// allPeers are the solvers that plans are compared with, the quickest first: Debian's nodejs with "npm ci" in
// testdata/highs, and Debian's python3-scipy, coinor-cbc and glpk-utils.
var allPeers = []peer{
	&linePeer{label: "highs-wasm", program: func() string { return "node" }, args: []string{"run.js"}, dir: "testdata/highs",
		probe: []string{"-e", `require("highs")`}},
	&linePeer{label: "highs-scipy", program: systemPython, args: []string{"milp.py"}, dir: "testdata",
		probe: []string{"-c", "import scipy.optimize; scipy.optimize.milp"}},
	cbcPeer{},
	glpkPeer{},
}

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

// sweepOn tells whether the long comparisons are asked for.
func sweepOn() bool { return os.Getenv("SEVENYARD_SWEEP") == "1" }

// forEachPeer runs f as a subtest for every peer. A missing one is skipped by name, or fails
// where SEVENYARD_PEERS=require says that all have to be there.
func forEachPeer(t *testing.T, f func(t *testing.T, pr peer)) {
	t.Helper()
	for _, pr := range allPeers {
		t.Run(pr.name(), func(t *testing.T) {
			if why := pr.absent(); why != "" {
				missing(t, pr, why)
			}
			t.Parallel()
			f(t, pr)
		})
	}
}

// eachCase runs f as a subtest for every number below n, as many at once as there are processors, and waits for all of them.
func eachCase(t *testing.T, n uint64, f func(t *testing.T, i uint64)) {
	t.Helper()
	t.Run("cases", func(t *testing.T) {
		for i := range n {
			t.Run(strconv.FormatUint(i, 10), func(t *testing.T) {
				t.Parallel()
				f(t, i)
			})
		}
	})
}

// inTurn starts the list of peers at another one for every case, so that cases that run at once seldom wait for the same.
func inTurn(peers []peer, i uint64) []peer {
	at := int(i % uint64(len(peers)))
	return append(slices.Clone(peers[at:]), peers[:at]...)
}

func missing(t testing.TB, pr peer, why string) {
	t.Helper()
	if os.Getenv("SEVENYARD_PEERS") == "require" {
		t.Fatalf("peer %s is missing: %s", pr.name(), why)
	}
	t.Skipf("peer %s is missing: %s", pr.name(), why)
}

// presentPeers are the peers that can be asked; with SEVENYARD_PEERS=require a missing one fails the test, and without any it is skipped.
func presentPeers(t testing.TB) []peer {
	t.Helper()
	var out []peer
	for _, pr := range allPeers {
		why := pr.absent()
		switch {
		case why == "":
			out = append(out, pr)
		case os.Getenv("SEVENYARD_PEERS") == "require":
			missing(t, pr, why)
		default:
			t.Logf("peer %s is missing: %s", pr.name(), why)
		}
	}
	if len(out) == 0 {
		t.Skip("no peer is there to compare with")
	}
	return out
}

// grace is how much longer than its limit a peer may take to read, stop and write.
const grace = 20 * time.Second

// runPeer runs a program to its end and returns what it printed.
func runPeer(ctx context.Context, limit time.Duration, program string, args ...string) (string, error) {
	ctx, stop := context.WithTimeout(ctx, limit+grace)
	defer stop()
	out, err := exec.CommandContext(ctx, program, args...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%s: %w: %s", program, err, bytes.TrimSpace(out))
	}
	return string(out), nil
}

func lookPath(program string) string {
	if _, err := exec.LookPath(program); err != nil {
		return err.Error()
	}
	return ""
}

func wholeSeconds(d time.Duration) string { return strconv.Itoa(max(1, int(d.Seconds()))) }

// glpkPeer is glpsol of GLPK.
type glpkPeer struct{}

func (glpkPeer) name() string   { return "glpk" }
func (glpkPeer) absent() string { return lookPath("glpsol") }

func (glpkPeer) solve(ctx context.Context, path string, limit time.Duration) (peerAnswer, error) {
	file := path + ".glpk"
	// The file of --write has all digits; the readable report of --output has only six.
	out, err := runPeer(ctx, limit, "glpsol", "--freemps", path, "--cuts", "--tmlim", wholeSeconds(limit), "--write", file)
	if err != nil {
		return peerAnswer{}, err
	}
	if strings.Contains(out, "NO PRIMAL FEASIBLE SOLUTION") || strings.Contains(out, "NO INTEGER FEASIBLE SOLUTION") {
		return peerAnswer{status: peerInfeasible}, nil
	}
	names, err := columnNames(path)
	if err != nil {
		return peerAnswer{}, err
	}
	return readGLPK(file, names)
}

// readGLPK reads glpsol's own solution format: "s mip ROWS COLUMNS STATUS OBJECTIVE" and a line "j NUMBER VALUE" a column.
func readGLPK(file string, names []string) (ans peerAnswer, err error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return ans, err
	}
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		switch {
		case len(f) == 6 && f[0] == "s" && f[1] == "mip":
			switch f[4] {
			case "o":
				ans.status = peerOptimal
			case "n":
				ans.status = peerInfeasible
			case "u":
				return ans, nil
			}
			ans.columns = map[string]float64{}
			ans.objective, err = strconv.ParseFloat(f[5], 64)
		case len(f) == 3 && f[0] == "j":
			var j int
			var v float64
			j, err = strconv.Atoi(f[1])
			if err == nil {
				v, err = strconv.ParseFloat(f[2], 64)
			}
			if err == nil && v != 0 {
				ans.columns[names[j-1]] = v
			}
		}
		if err != nil {
			return ans, fmt.Errorf("glpsol wrote %q: %w", line, err)
		}
	}
	if ans.status == peerInfeasible {
		ans.columns = nil
	}
	return ans, nil
}

// columnNames lists the columns of a written model in their order.
func columnNames(path string) ([]string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	_, rest, _ := strings.Cut(string(text), "\nCOLUMNS\n")
	body, _, _ := strings.Cut(rest, "\nRHS\n")
	var names []string
	for line := range strings.Lines(body) {
		if name := strings.Fields(line)[0]; len(names) == 0 || names[len(names)-1] != name {
			names = append(names, name)
		}
	}
	return names, nil
}

// cbcPeer is cbc of COIN-OR.
type cbcPeer struct{}

func (cbcPeer) name() string   { return "cbc" }
func (cbcPeer) absent() string { return lookPath("cbc") }

func (cbcPeer) solve(ctx context.Context, path string, limit time.Duration) (ans peerAnswer, err error) {
	file := path + ".cbc"
	// Values are whole, so an absolute gap below 1 is a proof.
	_, err = runPeer(ctx, limit, "cbc", path, "-sec", wholeSeconds(limit), "-timeMode", "elapsed", "-ratio", "0", "-allow", "0.5", "-solve", "-solu", file)
	if err != nil {
		return ans, err
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return ans, err
	}
	head, body, _ := strings.Cut(string(text), "\n")
	state, objective, _ := strings.Cut(head, " - objective value ")
	switch {
	case state == "Optimal" || state == "Optimal (within gap tolerance)":
		ans.status = peerOptimal
	case state == "Infeasible" || state == "Integer infeasible":
		return peerAnswer{status: peerInfeasible}, nil
	case !strings.HasPrefix(state, "Stopped on"):
		return ans, fmt.Errorf("cbc says %q", head)
	case strings.Contains(state, "no integer solution"):
		return ans, nil
	}
	if ans.objective, err = strconv.ParseFloat(strings.TrimSpace(objective), 64); err != nil {
		return ans, fmt.Errorf("cbc says %q: %w", head, err)
	}
	ans.columns = map[string]float64{}
	for line := range strings.Lines(body) {
		f := strings.Fields(strings.TrimPrefix(line, "**"))
		if len(f) < 3 {
			continue
		}
		if ans.columns[f[1]], err = strconv.ParseFloat(f[2], 64); err != nil {
			return ans, fmt.Errorf("cbc wrote %q: %w", line, err)
		}
	}
	return ans, nil
}

// linePeer is a solver kept running behind a script of ours that takes one job a line and answers with one line.
type linePeer struct {
	label, dir  string
	program     func() string // asked when it is needed, since finding it takes time
	args, probe []string

	once   sync.Once
	why    string
	mu     sync.Mutex
	cmd    *exec.Cmd
	to     io.WriteCloser
	answer *bufio.Reader
}

func (l *linePeer) name() string { return l.label }

func (l *linePeer) absent() string {
	l.once.Do(func() {
		cmd := exec.Command(l.program(), l.probe...)
		cmd.Dir = l.dir
		if out, err := cmd.CombinedOutput(); err != nil {
			last := strings.TrimSpace(string(out))
			l.why = fmt.Sprintf("%s: %v: %s", l.program(), err, last[strings.LastIndex(last, "\n")+1:])
		}
	})
	return l.why
}

// start runs the script; it ends by itself when the tests do and its standard input closes.
func (l *linePeer) start() (err error) {
	if l.cmd != nil {
		return nil
	}
	cmd := exec.Command(l.program(), l.args...)
	cmd.Dir, cmd.Stderr = l.dir, os.Stderr
	if l.to, err = cmd.StdinPipe(); err != nil {
		return err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	l.answer = bufio.NewReader(out)
	if err := cmd.Start(); err != nil {
		return err
	}
	l.cmd = cmd
	return nil
}

func (l *linePeer) stop() {
	l.cmd.Process.Kill()
	l.cmd.Wait()
	l.cmd = nil
}

func (l *linePeer) solve(ctx context.Context, path string, limit time.Duration) (peerAnswer, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if err := l.start(); err != nil {
		return peerAnswer{}, err
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return peerAnswer{}, err
	}
	if err := json.NewEncoder(l.to).Encode(map[string]any{"model": abs, "seconds": limit.Seconds()}); err != nil {
		l.stop()
		return peerAnswer{}, err
	}
	type read struct {
		line []byte
		err  error
	}
	got := make(chan read, 1)
	go func(from *bufio.Reader) {
		line, err := from.ReadBytes('\n')
		got <- read{line, err}
	}(l.answer)
	select {
	case r := <-got:
		if r.err != nil {
			l.stop()
			return peerAnswer{}, r.err
		}
		return parseLine(r.line)
	case <-ctx.Done():
		l.stop()
		return peerAnswer{}, ctx.Err()
	case <-time.After(limit + grace):
		l.stop()
		return peerAnswer{}, errors.New("no answer within the limit")
	}
}

func parseLine(line []byte) (peerAnswer, error) {
	var raw struct {
		Status    string
		Objective float64
		Columns   map[string]float64
	}
	if err := json.Unmarshal(line, &raw); err != nil {
		return peerAnswer{}, fmt.Errorf("%w: %q", err, line)
	}
	ans := peerAnswer{objective: raw.Objective, columns: raw.Columns}
	switch raw.Status {
	case "optimal":
		ans.status = peerOptimal
	case "infeasible":
		return peerAnswer{status: peerInfeasible}, nil
	case "timeLimit":
	default:
		return ans, errors.New(raw.Status)
	}
	return ans, nil
}
