package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// TestPickToTheEnd plays a whole board, each team calling the best kid it may, with some picks taken back and a crash now and then; a
// board without engine and file must come to the same.
func TestPickToTheEnd(t *testing.T) {
	pool, board := smallPool(t), filepath.Join(t.TempDir(), "board.csv")
	rng := rand.New(rand.NewPCG(1, 2))
	b := decode[report.Board](t, done(t, "draft", "pick", pool, "--board", board, "--start", "--order", "Stints,Knots,Ruffs", "--format", "json"))
	require.Equal(t, "sevenyard.draft.board/1", b.Schema)
	require.Equal(t, []string{"Stints", "Knots", "Ruffs"}, b.Order)
	for n := 0; !b.Over; n++ {
		require.Less(t, n, 200)
		before := readFile(t, board)
		args := []string{"draft", "pick", pool, "--board", board, "--format", "json"}
		call := append(args, "--team", b.Turn, "--round", fmt.Sprint(b.Round), b.Legal[0])
		b = decode[report.Board](t, done(t, call...))
		after := readFile(t, board)
		require.Equal(t, tty.ExitInput, say(t, call...).status, "the same line again")
		if !b.Over { // another kid called for the same turn, as by somebody else at another keyboard
			require.Equal(t, tty.ExitInput, say(t, append(call[:len(call)-1:len(call)-1], b.Legal[0])...).status)
		}
		require.Equal(t, after, readFile(t, board))
		switch rng.IntN(12) {
		case 0:
			require.Equal(t, tty.ExitInput, say(t, append(args, "--undo")...).status, "an undo that does not say of what")
			undo := append(args, "--undo", call[len(call)-1])
			undone := decode[report.Board](t, done(t, undo...))
			require.Equal(t, tty.ExitInput, say(t, undo...).status, "the same undo again")
			require.Less(t, len(undone.Entries), len(b.Entries))
			b = undone
		case 1: // a crash in the middle of the row
			after := readFile(t, board)
			cut := len(before) + rng.IntN(len(after)-len(before))
			require.NoError(t, os.WriteFile(board, []byte(after[:cut]), 0o644))
			b = decode[report.Board](t, done(t, args...))
			require.Equal(t, cut > len(before), strings.Contains(strings.Join(b.Warnings, "\n"), "was cut off"))
		}
	}
	seen := 0
	for _, x := range b.Teams {
		require.Len(t, x.Kids, 8)
		seen += len(x.Kids)
	}
	require.Equal(t, 24, seen)
	require.Nil(t, b.Rest)
	require.Less(t, b.Even.Spread["overall"], b.Spread["overall"])
	file := filepath.Join(t.TempDir(), "picked.json")
	done(t, "draft", "pick", pool, "--board", board, "--save", file)
	d := decode[report.Draft](t, readFile(t, file))
	require.Equal(t, b.Spread, d.Spread)
	require.Contains(t, done(t, "draft", "post", pool, "--from", file), "Rules, all kept")
	posted := decode[report.Draft](t, done(t, "draft", "post", pool, "--from", file, "--format", "json"))
	require.NotNil(t, posted.Better, "the board itself has shown a more even split")
	require.LessOrEqual(t, posted.Better.Objective, b.Even.Objective)
	require.Equal(t, posted.Better, d.Better)
	require.Contains(t, done(t, "draft", "post", pool, "--from", file), "A more even split is known")
	got := say(t, "draft", "pick", pool, "--board", board, "1")
	require.Equal(t, tty.ExitInput, got.status)
	require.Contains(t, got.err, "the board is full")
}

// TestPicksThatCannotBe: a refused pick says why and leaves the file as it is.
func TestPicksThatCannotBe(t *testing.T) {
	board := filepath.Join(t.TempDir(), "board.csv")
	done(t, "draft", "pick", "--demo", "--board", board, "--start")
	before := readFile(t, board)
	for _, c := range []struct {
		args   []string
		status int
		words  string
	}{
		{[]string{"2"}, tty.ExitInput, "2 Pia W. is on Sandpipers already"},
		{[]string{"72", "--team", "Terns"}, tty.ExitInput, "it is the turn of Sandpipers"},
		{[]string{"11"}, tty.ExitInput, "11 Arlo P. can practise on Monday and Thursday only: Plovers or Dunlins"},
		{[]string{"999"}, tty.ExitUsage, `no kid "999" in pool.csv`},
		{[]string{"72", "--team", "Tern"}, tty.ExitUsage, "did you mean Terns?"},
		{[]string{"--undo"}, tty.ExitInput, "there is no pick to take back"},
		{[]string{"72", "--undo"}, tty.ExitInput, "there is no pick to take back"},
		{[]string{"--undo", "--start"}, tty.ExitUsage, "either --start, or a kid, or --undo"},
		{[]string{"72"}, tty.ExitInput, "which turn is the call for? The board is as it was. For that of Sandpipers in round 1: sevenyard draft pick --demo --board " + board + " --team Sandpipers --round 1 72"},
		{[]string{"72", "--team", "Sandpipers", "--round", "2"}, tty.ExitInput, "the turn of Sandpipers in round 2 has not come"},
		{[]string{"72", "--round", "1"}, tty.ExitUsage, "--round: the round"},
		{[]string{"--round", "1"}, tty.ExitUsage, "--team and --round go with a kid"},
		{[]string{"72", "14"}, tty.ExitUsage, "one pick at a time"},
		{[]string{"72", "--save", filepath.Join(t.TempDir(), "x.json")}, tty.ExitUsage, "--save and --csv go without a pick"},
		{[]string{"--csv", board, "--replace"}, tty.ExitUsage, "is the board, which nothing is written over"},
		{[]string{"--start"}, tty.ExitInput, "is there already"},
		{[]string{"--save", filepath.Join(t.TempDir(), "x.json")}, tty.ExitInput, "59 kids are still to be picked"},
	} {
		got := say(t, append([]string{"draft", "pick", "--demo", "--board", board}, c.args...)...)
		require.Equal(t, c.status, got.status, "%v: %s", c.args, got.err)
		require.Contains(t, strings.Join(strings.Fields(got.err), " "), c.words)
		require.Empty(t, got.out)
		require.Equal(t, before, readFile(t, board))
	}
}
