package rotation

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// digestMark starts the lines that another build of these tests prints for TestWasmSamePlans.
const digestMark = "digest: "

// planDigests solves the instances that take no more than a moment and gives a line for each: its name, the objective, how it ended,
// and a hash of the plan's bytes.
func planDigests(t testing.TB) (lines []string, spent time.Duration) {
	for _, in := range loadInstances(t) {
		if slowInstances[in.Name] || in.Name == "s066" || in.Name[0] == 'i' && !briefInstances[in.Name[:3]] {
			continue
		}
		for _, favor := range favors {
			// Rules that tie a kid's roles together can take minutes with the other objectives.
			if favor == Even && in.Name[0] == 'i' || favor != Weakest && in.Problem.linksRoles() {
				continue
			}
			r := mustSolve(t, in.Problem, Settings{Favor: favor, Workers: 1, Limit: time.Minute})
			spent += r.Stats.Elapsed
			plan, err := json.Marshal(r.Plan)
			require.NoError(t, err)
			sum := fnv.New64a()
			sum.Write(plan)
			lines = append(lines, fmt.Sprintf("%s %d %s %d %d %x", in.Name, favor, r.Status, r.Weakest.Value, r.Total.Value, sum.Sum64()))
		}
	}
	for seed := range uint64(60) { // kids who leave and come back
		r := mustSolve(t, gappy(seed), Settings{Favor: favors[seed%3], Workers: 1, Limit: time.Minute})
		plan, err := json.Marshal(r.Plan)
		require.NoError(t, err)
		lines = append(lines, fmt.Sprintf("gap %d %s %d %d %s", seed, r.Status, r.Weakest.Value, r.Total.Value, plan))
	}
	return lines, spent
}

// briefInstances are benchmark games that are proved in some milliseconds.
var briefInstances = map[string]bool{
	"i01": true, "i02": true, "i03": true, "i04": true, "i05": true, "i06": true, "i07": true, "i08": true, "i09": true, "i10": true,
	"i21": true, "i22": true,
}

// TestPlanDigests prints the lines where TestWasmSamePlans asks for them.
func TestPlanDigests(t *testing.T) {
	if os.Getenv("SEVENYARD_DIGESTS") != "1" {
		t.Skip("only for TestWasmSamePlans")
	}
	lines, spent := planDigests(t)
	for _, l := range lines {
		fmt.Println(digestMark + l)
	}
	fmt.Println(digestMark + spent.String())
}

// TestWasmSamePlans builds these tests for WebAssembly, runs them under Node, and compares plans byte for byte. It logs
// how much longer WebAssembly takes.
func TestWasmSamePlans(t *testing.T) {
	t.Parallel()
	if runtime.GOOS == "js" {
		t.Skip("compares this build with the native one")
	}
	for _, program := range []string{"node", "go"} {
		if why := lookPath(program); why != "" {
			missingProgram(t, program, why)
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	dir := t.TempDir()
	binary := filepath.Join(dir, "rotation.wasm")
	build := exec.Command("go", "test", "-c", "-o", binary, ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	// A short environment: what the runtime passes on has a limit.
	run := exec.Command("node", "--stack-size=8192", filepath.Join(strings.TrimSpace(string(root)), "lib/wasm/wasm_exec_node.js"), binary, "-test.run=^TestPlanDigests$", "-test.v")
	run.Env = []string{"SEVENYARD_DIGESTS=1", "PATH=" + os.Getenv("PATH"), "TMPDIR=" + dir}
	var text bytes.Buffer
	run.Stdout, run.Stderr = &text, &text
	require.NoError(t, run.Run(), "%s", text.String())

	want, native := planDigests(t)
	var got []string
	for scan := bufio.NewScanner(&text); scan.Scan(); {
		if l, ok := strings.CutPrefix(scan.Text(), digestMark); ok {
			got = append(got, l)
		}
	}
	require.Len(t, got, len(want)+1)
	require.Equal(t, want, got[:len(want)])
	wasm, err := time.ParseDuration(got[len(want)])
	require.NoError(t, err)
	t.Logf("%d plans are the same; WebAssembly %v, native %v: %.1f times as long", len(want), wasm.Round(time.Millisecond), native.Round(time.Millisecond), wasm.Seconds()/native.Seconds())
}

// missingProgram skips by name, or fails where everything has to be there.
func missingProgram(t *testing.T, program, why string) {
	t.Helper()
	if os.Getenv("SEVENYARD_PEERS") == "require" {
		t.Fatalf("%s is missing: %s", program, why)
	}
	t.Skipf("%s is missing: %s", program, why)
}
