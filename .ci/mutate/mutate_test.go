package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const sample = `package p

const two = 2

type t struct{}

func (t *t) f(a, b int) (int, bool) {
	if a < b && ok(a) {
		a = a + 1
	}
	if ok(b) {
		return 0, true
	}
	return -a, false
}
`

func TestMutants(t *testing.T) {
	ms, err := mutantsOf("p.go", []byte(sample))
	require.NoError(t, err)
	var got []string
	for _, m := range ms {
		before, after := m.lines([]byte(sample))
		require.NotEqual(t, before, after)
		require.Equal(t, strings.Count(sample[:m.start], "\n")+1, m.line)
		require.Equal(t, m.line > 3, m.function == "t.f")
		got = append(got, m.kind+": "+after)
	}
	require.ElementsMatch(t, []string{
		"constant: const two = 3", "constant: const two = 1",
		"comparison: if a <= b && ok(a) {", "comparison: if a >= b && ok(a) {", "logic: if a < b || ok(a) {", "condition: if !(a < b && ok(a)) {",
		"statement: ", "arithmetic: a = a - 1", "constant: a = a + 2", "constant: a = a + 0",
		"condition: if !(ok(b)) {", "statement: ", "constant: return 1, true", "constant: return (-1), true", "constant: return 0, false",
		"statement: ", "sign: return a, false", "constant: return -a, true",
	}, got)
	require.Equal(t, "-if a < b && ok(a) {\n+if a <= b && ok(a) {\n", func() string {
		for _, m := range ms {
			if m.text == "<=" {
				return m.diff([]byte(sample))
			}
		}
		return ""
	}())
}

func TestReadEquivalents(t *testing.T) {
	known, err := readEquivalents("# a note\n\np.go t.f\n-a\n+b\nit is\nthe same\n\np.go -\n-c\n+d\nso is this\n")
	require.NoError(t, err)
	require.Equal(t, map[key]string{{"p.go", "t.f", "-a\n+b\n"}: "it is the same", {"p.go", "", "-c\n+d\n"}: "so is this"}, known)
	for _, bad := range []string{"p.go t.f\n-a\n+b\n", "p.go t.f\na reason\n", "p.go\n-a\n+b\na reason\n"} {
		_, err := readEquivalents(bad)
		require.Error(t, err, bad)
	}
}

// TestEquivalentsAreThere: a block that fits no mutant of today's source is out of date.
func TestEquivalentsAreThere(t *testing.T) {
	known, err := readEquivalents(equivalentText)
	require.NoError(t, err)
	for k := range known {
		source, err := os.ReadFile(filepath.Join("..", "..", k.file))
		require.NoError(t, err)
		ms, err := mutantsOf(k.file, source)
		require.NoError(t, err)
		found := false
		for _, m := range ms {
			found = found || key{m.file, m.function, m.diff(source)} == k
		}
		require.True(t, found, "%s %s\n%s", k.file, k.function, k.diff)
	}
}

// TestMutate tries a whole module, whose test holds a comparison loosely.
func TestMutate(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":    "module m\n\ngo 1.26\n",
		"m.go":      "package m\n\nfunc Small(a int) bool { return a < 5 }\n\nfunc Least[T int | float64](_ string, all ...T) T {\n\treturn min(all[0], all[1]) + 1\n}\n\nfunc Other() bool { return true }\n",
		"m_test.go": "package m\n\nimport \"testing\"\n\nfunc Test(t *testing.T) {\n\tif !Small(3) || Small(5) || Least(\"\", 2, 1) != 2 {\n\t\tt.Fatal()\n\t}\n}\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	t.Chdir(dir)
	var out bytes.Buffer
	o := options{number: 99, minutes: 5, seed: 1, jobs: 2, least: 90, at: "m.go:3", packages: []string{"."}}
	ok, err := mutate(context.Background(), &o, &out)
	require.NoError(t, err)
	require.False(t, ok)
	require.Contains(t, out.String(), "m.go:3 Small (constant)\n-func Small(a int) bool { return a < 5 }\n+func Small(a int) bool { return a < 4 }\n")
	require.Contains(t, out.String(), "3 of 4 killed, 75 %")
	names, err := filepath.Glob("*")
	require.NoError(t, err)
	require.Equal(t, []string{"go.mod", "m.go", "m_test.go"}, names)
}

// TestRunStops: what runs longer than its limit is killed, and with it what it started, which would hold the output open.
func TestRunStops(t *testing.T) {
	_, err := run(context.Background(), t.TempDir(), nil, 200*time.Millisecond, "sh", "-c", "sleep 60 & sleep 60")
	require.ErrorIs(t, err, context.DeadlineExceeded)
}
