package main

import (
	"encoding/json"
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

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

// poolCopy writes the demo pool into a folder, each file changed by edit.
func poolCopy(t testing.TB, edit func(name, text string) string) string {
	t.Helper()
	return copyPool(t, fixtures.Pool(), edit)
}

func copyPool(t testing.TB, from fs.FS, edit func(name, text string) string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "pool")
	require.NoError(t, os.Mkdir(dir, 0o755))
	for _, name := range []string{"league.toml", "pool.csv", "results.csv"} {
		data, err := fs.ReadFile(from, name)
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
		if f.Name == "league.toml" {
			f.Data = append(f.Data, "\n[[coach]]\nname = \"Aurelia Quince\"\n[[coach]]\nname = \"Tiberius Moss\"\n"...)
		}
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
	if dir == "--demo" && demoTeams != nil {
		require.NoError(t, os.WriteFile(name, demoTeams, 0o644))
		return name
	}
	done(t, "draft", dir, "--no-play", "--effort", "1", "--save", name)
	if dir == "--demo" {
		demoTeams = []byte(readFile(t, name))
	}
	return name
}

// demoTeams are made once, as many tests begin with them.
var demoTeams []byte

// draftCommands are all commands of the draft on a pool, with what they read. late is the pool with kids who came late.
func draftCommands(t testing.TB, dir, late string) [][]string {
	t.Helper()
	teams := teamsOf(t, dir)
	d := report.Draft{}
	require.NoError(t, json.Unmarshal([]byte(readFile(t, teams)), &d))
	draw, board := filepath.Join(t.TempDir(), "draw.json"), filepath.Join(t.TempDir(), "board.csv")
	done(t, "draft", "draw", dir, "--from", teams, "--seed-words", "4 2 6", "--save", draw)
	start := report.Board{}
	require.NoError(t, json.Unmarshal([]byte(done(t, "draft", "pick", dir, "--board", board, "--start", "--format", "json")), &start))
	done(t, "draft", "pick", dir, "--board", board, "--team", start.Turn, freeKids(t, &d)[0])
	one, two := d.Teams[0].Kids, d.Teams[1].Kids
	return [][]string{
		{"draft", dir, "--effort", "1", "--no-play", "--detail", "--from", teams}, {"draft", "post", dir, "--from", teams, "--draw", draw, "--was", teams},
		{"draft", "swap", dir, "--from", teams, one[3] + ":" + two[3], one[4] + "@" + d.Teams[2].Team}, {"draft", "drop", dir, "--from", teams, "--kid", one[3]},
		{"draft", "add", late, "--from", teams}, {"draft", "draw", dir, "--from", teams, "--seed-words", "4 2 6"}, {"draft", "pick", dir, "--board", board},
		{"check", late},
	}
}

func TestDraftIDsOnlyLeavesNoName(t *testing.T) {
	dir := smallPool(t)
	lateDir := copyPool(t, os.DirFS(dir), func(name, text string) string {
		if name == "pool.csv" {
			text += "73,Ottilie Q.,3,,,,,,,,,\n"
		}
		return text
	})
	p, err := drills.ReadPool(os.DirFS(lateDir))
	require.NoError(t, err)
	var names []string
	for _, k := range p.Kids {
		names = append(names, k.Name)
	}
	for _, c := range p.League.Coaches {
		names = append(names, c.Name)
	}
	for _, c := range draftCommands(t, dir, lateDir) {
		with := say(t, c...)
		require.Equal(t, tty.ExitDone, with.status, with.err)
		require.True(t, c[0] == "check" || slices.ContainsFunc(names, func(n string) bool { return strings.Contains(with.out+with.err, n) }), "%v: the test sees no name at all", c)
		for _, more := range [][]string{nil, {"--format", "json"}} {
			without := say(t, append(append(append([]string{}, c...), "--ids-only"), more...)...)
			require.Equal(t, tty.ExitDone, without.status, without.err)
			for _, n := range names {
				first, _, _ := strings.Cut(n, " ")
				require.NotRegexp(t, `(^|[^\pL])`+regexp.QuoteMeta(first)+`($|[^\pL])`, without.out+without.err, "%v", c)
			}
		}
	}
}

// TestDraftScreensFit: the demo has more teams than fit beside each other, and is looked at where it is narrow.
func TestDraftScreensFit(t *testing.T) {
	small := smallPool(t)
	commands := append(draftCommands(t, "--demo", poolCopy(t, late)), []string{"draft", small, "--effort", "1", "--play-seconds", "0.01"})
	for _, width := range []string{"40", "61", "80"} {
		if width != "40" {
			commands = draftCommands(t, small, small)[:4]
		}
		for _, c := range commands {
			got := say(t, append(append([]string{}, c...), "--width", width)...)
			require.Equal(t, tty.ExitDone, got.status, got.err)
			limit := 0
			fmt.Sscan(width, &limit)
			for _, l := range strings.Split(got.out+got.err, "\n") {
				if !strings.HasPrefix(l, "  sevenyard ") && !strings.Contains(l, small) { // a command to copy and a name of a folder are never broken
					require.LessOrEqual(t, texttab.Width(l), limit, "%v: %q", c, l)
				}
			}
		}
	}
}

// TestDraftSameInputSameOutput: the same files give the same screens, and the order of the rows does not matter.
func TestDraftSameInputSameOutput(t *testing.T) {
	dir := smallPool(t)
	args := func(dir string) []string { return []string{"draft", dir, "--effort", "1", "--no-play", "--detail"} }
	want := done(t, args(dir)...)
	for n := range 4 {
		require.Equal(t, want, done(t, args(dir)...))
		rng := rand.New(rand.NewPCG(3, uint64(n)))
		shuffled := copyPool(t, os.DirFS(dir), func(name, text string) string {
			if name == "league.toml" {
				return text
			}
			return shuffleRows(text, rng)
		})
		require.Equal(t, want, done(t, args(shuffled)...))
	}
}
