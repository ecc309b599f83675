package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/fixtures"
)

// league writes n invented teams of 7 to 12 kids and 6 to 10 series into a folder each.
func inventLeague(t testing.TB, n int) []string {
	root := t.TempDir()
	var dirs []string
	for i := range n {
		c := fixtures.Standard(uint64(1000+i), 7+i%6)
		c.Team.Name, c.Team.Series = fmt.Sprintf("Team %d", i+1), 6+i%5
		dir := filepath.Join(root, fmt.Sprintf("team%03d", i+1))
		require.NoError(t, os.Mkdir(dir, 0o755))
		files := fixtures.Generate(c).FS()
		entries, err := fs.ReadDir(files, ".")
		require.NoError(t, err)
		for _, e := range entries {
			data, err := fs.ReadFile(files, e.Name())
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(dir, e.Name()), data, 0o644))
		}
		dirs = append(dirs, dir)
	}
	return dirs
}

// Each of many teams gets the very plan that it gets alone, in the order asked for.
func TestManyLineupsAreThoseOfEachAlone(t *testing.T) {
	dirs := inventLeague(t, 5)
	slices.Reverse(dirs)
	save := filepath.Join(t.TempDir(), "plans")
	l := decode[report.Lineups](t, done(t, append([]string{"lineup", "--format", "json", "--save-dir", save}, dirs...)...))
	require.Equal(t, report.LineupsSchema, l.Schema)
	require.Len(t, l.Teams, len(dirs))
	for i, dir := range dirs {
		require.Equal(t, dir, l.Teams[i].Folder)
		require.Positive(t, l.Teams[i].Seconds)
		require.Nil(t, l.Teams[i].Refusal)
		alone := done(t, "lineup", dir, "--format", "json")
		var b bytes.Buffer
		require.NoError(t, report.Write(&b, l.Teams[i].Lineup))
		require.Equal(t, alone, b.String())
		saved, err := os.ReadFile(filepath.Join(save, filepath.Base(dir)+".json"))
		require.NoError(t, err)
		require.Equal(t, alone, string(saved))
	}
	// The screen is the same every time, the seconds apart, and as narrow as asked.
	seconds := regexp.MustCompile(` +[0-9]+\.[0-9]+( s,|\n)`)
	first := ""
	for range 3 {
		got := seconds.ReplaceAllString(done(t, append([]string{"lineup", "--width", "60"}, dirs...)...), "")
		if first == "" {
			first = got
		}
		require.Equal(t, first, got)
	}
}

// A team without a plan keeps no other from one, and the status says that there is such a team.
func TestManyLineupsWithABadTeam(t *testing.T) {
	dirs := inventLeague(t, 2)
	require.NoError(t, os.WriteFile(filepath.Join(dirs[0], "team.toml"), []byte("series = 0\n"), 0o644))
	got := say(t, append([]string{"lineup", "--format", "json"}, dirs...)...)
	require.Equal(t, tty.ExitInput, got.status)
	l := decode[report.Lineups](t, got.out)
	require.Nil(t, l.Teams[0].Lineup)
	require.Equal(t, "team.toml", l.Teams[0].Refusal.Problems[0].File)
	require.NotNil(t, l.Teams[1].Lineup)
}

func TestManyLineupsStopCleanly(t *testing.T) {
	dirs := inventLeague(t, 3)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	status := run(ctx, append([]string{"lineup"}, dirs...), tty.IO{Out: &out, Err: &errs, Getenv: os.Getenv})
	require.Equal(t, tty.ExitInput, status)
	require.Empty(t, out.String())
	require.Equal(t, "sevenyard: stopped: no plan was found yet\n", errs.String())
}

// BenchmarkLeague plans a league of 200 teams.
func BenchmarkLeague(b *testing.B) {
	dirs := inventLeague(b, 200)
	for b.Loop() {
		done(b, append([]string{"lineup"}, dirs...)...)
	}
}
