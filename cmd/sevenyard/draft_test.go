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

	"sevenyard/cmd/sevenyard/internal/texttab"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

// poolCopy writes the demo pool into a folder, each file changed by edit.
func poolCopy(t testing.TB, edit func(name, text string) string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "pool")
	require.NoError(t, os.Mkdir(dir, 0o755))
	for _, name := range []string{"league.toml", "pool.csv", "results.csv"} {
		data, err := fs.ReadFile(fixtures.Pool(), name)
		require.NoError(t, err)
		text := string(data)
		if edit != nil {
			text = edit(name, text)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	return dir
}

// smallPool is another invented league, of 24 kids and 3 teams.
func smallPool(t testing.TB) string {
	t.Helper()
	c := fixtures.Standard(7, 24)
	c.Draft = &fixtures.Draft{League: "Tide Pool", Teams: []string{"Knots", "Ruffs", "Stints"}, MaxReturning: 3, Coaches: 3, Siblings: 3, Apart: 2,
		Carpools: 2, Fixed: 1, Untested: 1, Nights: 0.2, Returning: 0.5}
	dir := filepath.Join(t.TempDir(), "small")
	require.NoError(t, os.Mkdir(dir, 0o755))
	for _, f := range fixtures.Generate(c).Files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o644))
	}
	return dir
}

// late adds three kids to a pool, two of them siblings.
func late(name, text string) string {
	if name != "pool.csv" {
		return text
	}
	return text + "73,Ottilie Q.,3,,,,,,,,,\n74,Casimir Q.,4,late,,,,,,,,\n75,Philippa Q.,4,late,,,,,,,,\n"
}

// teamsOf drafts a pool and gives the file of its teams.
func teamsOf(t testing.TB, dir string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "teams.json")
	done(t, "draft", dir, "--no-play", "--effort", "1", "--save", name)
	return name
}

// draftCommands are all commands of the draft on the demo, with what they read.
func draftCommands(t testing.TB, dir string) [][]string {
	teams := teamsOf(t, dir)
	draw, board := filepath.Join(t.TempDir(), "draw.json"), filepath.Join(t.TempDir(), "board.csv")
	done(t, "draft", "draw", dir, "--from", teams, "--seed-words", "4 2 6", "--save", draw)
	done(t, "draft", "pick", dir, "--board", board, "--start")
	done(t, "draft", "pick", dir, "--board", board, "72")
	lateDir := poolCopy(t, late)
	return [][]string{
		{"draft", dir, "--effort", "1", "--no-play", "--detail", "--from", teams}, {"draft", "post", dir, "--from", teams, "--draw", draw, "--was", teams},
		{"draft", "swap", dir, "--from", teams, "12:31", "14@Terns"}, {"draft", "drop", dir, "--from", teams, "--kid", "9"},
		{"draft", "add", lateDir, "--from", teams}, {"draft", "draw", dir, "--from", teams, "--seed-words", "4 2 6"}, {"draft", "pick", dir, "--board", board},
		{"check", lateDir},
	}
}

func TestDraftIDsOnlyLeavesNoName(t *testing.T) {
	var names []string
	p, err := drills.ReadPool(fixtures.Pool())
	require.NoError(t, err)
	for _, k := range p.Kids {
		names = append(names, k.Name)
	}
	for _, c := range p.League.Coaches {
		names = append(names, c.Name)
	}
	names = append(names, "Ottilie", "Casimir", "Philippa")
	for _, c := range draftCommands(t, "--demo") {
		with := say(t, c...)
		require.Equal(t, exitDone, with.status, with.err)
		require.True(t, slices.ContainsFunc(names, func(n string) bool { return strings.Contains(with.out+with.err, n) }), "%v: the test sees no name at all", c)
		for _, more := range [][]string{nil, {"--format", "json"}} {
			without := say(t, append(append(append([]string{}, c...), "--ids-only"), more...)...)
			require.Equal(t, exitDone, without.status, without.err)
			for _, n := range names {
				first, _, _ := strings.Cut(n, " ")
				require.NotRegexp(t, `(^|[^\pL])`+regexp.QuoteMeta(first)+`($|[^\pL])`, without.out+without.err, "%v", c)
			}
		}
	}
}

func TestDraftScreensFit(t *testing.T) {
	commands := draftCommands(t, "--demo")
	for _, width := range []string{"40", "61", "80"} {
		list := commands
		if width == "40" {
			list = append(slices.Clone(commands), []string{"draft", "--demo", "--effort", "1", "--play-seconds", "0.01"})
		}
		for _, c := range list {
			got := say(t, append(append([]string{}, c...), "--width", width)...)
			require.Equal(t, exitDone, got.status, got.err)
			limit := 0
			fmt.Sscan(width, &limit)
			for _, l := range strings.Split(got.out+got.err, "\n") {
				if !strings.HasPrefix(l, "  sevenyard ") { // a command to copy is never broken
					require.LessOrEqual(t, texttab.Width(l), limit, "%v: %q", c, l)
				}
			}
		}
	}
}

// TestDraftSameInputSameOutput: the same files give the same screens, and the order of the rows does not matter.
func TestDraftSameInputSameOutput(t *testing.T) {
	dir := poolCopy(t, nil)
	args := []string{"draft", dir, "--effort", "1", "--no-play", "--detail"}
	want := done(t, args...)
	for n := range 4 {
		require.Equal(t, want, done(t, args...))
		rng := rand.New(rand.NewPCG(3, uint64(n)))
		shuffled := poolCopy(t, func(name, text string) string {
			if name == "league.toml" {
				return text
			}
			return shuffleRows(text, rng)
		})
		require.Equal(t, want, done(t, "draft", shuffled, "--effort", "1", "--no-play", "--detail"))
	}
}
