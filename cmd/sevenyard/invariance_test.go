package main

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/fixtures"
)

// demoCopy writes the demo team into a folder, each file changed by edit.
func demoCopy(t testing.TB, edit func(name, text string) string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "team")
	require.NoError(t, os.Mkdir(dir, 0o755))
	for _, name := range []string{"team.toml", "roster.csv", "results.csv"} {
		data, err := fs.ReadFile(fixtures.Demo(), name)
		require.NoError(t, err)
		text := string(data)
		if edit != nil {
			text = edit(name, text)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	return dir
}

// shuffleRows shuffles the rows of a CSV file below its header.
func shuffleRows(text string, rng *rand.Rand) string {
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	head := 0
	for strings.HasPrefix(lines[head], "#") {
		head++
	}
	rows := lines[head+1:]
	rng.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	return strings.Join(lines, "\n") + "\n"
}

// TestSameInputSameOutput runs every command 12 times on the same files, and some times on files whose
// rows are shuffled. Warnings name their lines, so of those the shuffled runs keep only the text.
func TestSameInputSameOutput(t *testing.T) {
	t.Parallel()
	dir := demoCopy(t, nil)
	saved := savedPlan(t, dir)
	commands := [][]string{
		{"rebuild", "--from", saved, "--hurt", "2@5", "--tradeoffs"}, {"rebuild", "--from", saved, "--absent", "4", "--format", "json"}, {"why", "--kid", "7", "--seconds", "0"},
		{"rebuild", "--from", saved, "--absent", "3,14", "--hurt", "11@5", "--changes", "11"},
		{"lineup", "--late", "9@3"}, {"lineup", "--late", "9@3", "--format", "json", "--seed", "7"},
		{"profile"}, {"profile", "--format", "json"}, {"check"},
	}
	line := regexp.MustCompile(`results\.csv:\d+`)
	want := make([]string, len(commands))
	for i, c := range commands {
		want[i] = done(t, append(c, dir)...)
	}
	runs, shuffles := 5, 4
	if sweeping() {
		runs, shuffles = 12, 8
	}
	for n := range runs {
		rng := rand.New(rand.NewPCG(1, uint64(n)))
		shuffled := demoCopy(t, func(name, text string) string {
			if name == "team.toml" {
				return text
			}
			return shuffleRows(text, rng)
		})
		for i, c := range commands {
			if c[0] == "why" && n%5 > 0 { // some fifty solves each
				continue
			}
			require.Equal(t, want[i], done(t, append(c, dir)...), "run %d of %v", n, c)
			if n >= shuffles {
				continue
			}
			got := strings.ReplaceAll(done(t, append(c, shuffled)...), shuffled, dir)
			require.Equal(t, line.ReplaceAllString(want[i], ""), line.ReplaceAllString(got, ""), "shuffle %d of %v", n, c)
		}
	}
}

// savedPlan saves the plan of a team in another folder.
func savedPlan(t testing.TB, dir string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "plan.json")
	done(t, "lineup", dir, "--late", "9@3", "--save", name)
	return name
}

// TestNamesChangeNothingElse gives every kid another name of the same length.
func TestNamesChangeNothingElse(t *testing.T) {
	name := func(i int) string { return fmt.Sprintf("Kid%03d", i) }
	renamed := func(from int) string {
		return demoCopy(t, func(file, text string) string {
			if file != "roster.csv" {
				return text
			}
			lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
			for i, l := range lines {
				cells := strings.SplitN(l, ",", 3)
				if strings.HasPrefix(l, "#") || cells[0] == "kid" {
					continue
				}
				lines[i] = cells[0] + "," + name(from+i) + "," + cells[2]
			}
			return strings.Join(lines, "\n") + "\n"
		})
	}
	a, b := renamed(100), renamed(200)
	any := regexp.MustCompile(`Kid\d\d\d`)
	saved := savedPlan(t, a)
	for _, c := range [][]string{{"lineup"}, {"lineup", "--detail"}, {"lineup", "--format", "json"}, {"rebuild", "--from", saved, "--hurt", "2@5"}, {"why", "--kid", "7"}, {"profile"}, {"profile", "--format", "json"}, {"check"}} {
		x, y := done(t, append(c, a)...), strings.ReplaceAll(done(t, append(c, b)...), b, a)
		require.Equal(t, any.ReplaceAllString(x, "N"), any.ReplaceAllString(y, "N"), "%v", c)
	}
}

// rosterNames are the demo kids' names.
func rosterNames(t testing.TB) []string {
	data, err := fs.ReadFile(fixtures.Demo(), "roster.csv")
	require.NoError(t, err)
	var names []string
	for _, l := range strings.Split(string(data), "\n") {
		cells := strings.Split(l, ",")
		if len(cells) > 1 && cells[0] != "kid" && !strings.HasPrefix(l, "#") && cells[1] != "" {
			names = append(names, cells[1])
		}
	}
	require.NotEmpty(t, names)
	return names
}

func TestIDsOnlyLeavesNoName(t *testing.T) {
	saved := savedPlan(t, "--demo")
	for _, c := range [][]string{
		{"lineup", "--demo", "--absent", "5", "--late", "9@3", "--leaves", "2@6"}, {"lineup", "--demo", "--detail"}, {"lineup", "--demo", "--format", "json"},
		{"rebuild", "--demo", "--from", saved, "--hurt", "2@5"}, {"rebuild", "--demo", "--from", saved, "--hurt", "2@5", "--format", "json"},
		{"why", "--demo", "--kid", "4"}, {"why", "--demo", "--kid", "4", "--format", "json"}, {"why", "--demo", "--kid", "4", "--from", saved},
		{"profile", "--demo"}, {"profile", "--demo", "--format", "json"}, {"check", "--demo"}, {"check", "--demo", "--format", "json"},
	} {
		with, without := say(t, c...), say(t, append(c, "--ids-only")...)
		require.Equal(t, tty.ExitDone, without.status, without.err)
		for _, n := range rosterNames(t) {
			first, _, _ := strings.Cut(n, " ")
			require.NotContains(t, without.out+without.err, first, "%v", c)
		}
		if c[len(c)-1] != "json" {
			require.True(t, slices.ContainsFunc(rosterNames(t), func(n string) bool { return strings.Contains(with.out, n) }),
				"%v: the test sees no name at all", c)
		}
	}
}

// TestScreensFit asks that no line is wider than the screen.
func TestScreensFit(t *testing.T) {
	t.Parallel()
	saved := savedPlan(t, "--demo")
	widths := []string{"40", "47", "80"}
	if sweeping() {
		widths = append(widths, "60", "120")
	}
	for _, width := range widths {
		for _, c := range [][]string{
			{"lineup", "--demo", "--late", "9@3"}, {"lineup", "--demo", "--detail"}, {"lineup", "--demo", "--series", "20", "--favor", "even", "--seconds", "0.05"},
			{"rebuild", "--demo", "--from", saved, "--hurt", "2@5", "--tradeoffs"}, {"rebuild", "--demo", "--from", saved, "--absent", "3,14", "--hurt", "11@5", "--changes", "11"},
			{"why", "--demo", "--kid", "7", "--from", saved}, {"profile", "--demo", "--all-roles"}, {"why", "--demo", "--kid", "7"}, {"profile", "--demo"}, {"check", "--demo"},
		} {
			for _, more := range [][]string{nil, {"--ids-only"}, {"--color", "always"}} {
				if more != nil && width == "80" && !sweeping() {
					continue // nothing is as wide as that which does not fit into less
				}
				args := append(append(append([]string{}, c...), "--width", width), more...)
				got := say(t, args...)
				require.Equal(t, tty.ExitDone, got.status, got.err)
				limit := 0
				fmt.Sscan(width, &limit)
				for _, l := range strings.Split(got.out+got.err, "\n") {
					if strings.HasPrefix(l, "  sevenyard ") { // a command to copy is never broken
						continue
					}
					require.LessOrEqual(t, texttab.Width(l), limit, "%v: %q", args, l)
				}
			}
		}
	}
}
