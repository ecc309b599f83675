package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/played"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
)

// sweeping tells whether the long run is asked for.
func sweeping() bool { return os.Getenv("SEVENYARD_SWEEP") != "" }

// hostile draws a text that means no good.
func hostile(rng *rand.Rand) string {
	pieces := []string{
		"\x1b[31m", "\x1b]0;title\x07", "\x1b[2J", "\x1b[0m", "\a", "\b\b\b", "\r", "\n", "\t", "\x00", "\x7f", "\u0085", "\u009b31m", "\u202e", "\u202d", "\u2066", "\u2069", "\u200b",
		"\u200c", "\u200d", "\u200e", "\u200f", "\u2028", "\u2029", "\u2060", "\ufeff", "\u00ad", "\U000e0041", "\ufe0f", "\u3164", "\u115f", "\ufffd", "\xff", "\xc3", "\xed\xa0\x80", "\xf4\x90\x80\x80",
		"=cmd|' /C calc'!A0", "+1", "-1", "@SUM(A1)", "=", "'", `"`, `""`, "`", "$(x)", ";", "|", "&", "<b>", "{{.}}", "{{", "%s%n", "%", "\\", "\\x1b", "../", "./", "-", "--", "--format=json", "#", ",", ":", "@",
		"7", "007", "7@3", "9999999999999999999999", "-0", "NaN", "Inf", "0x10", "1e9", "front", "all", "Ann", "Zoë", "李", "می\u200cخواهم", "👩\u200d⚕️", "é", " ", "\u00a0", "\u3000",
	}
	var b strings.Builder
	for range 1 + rng.IntN(5) {
		b.WriteString(pieces[rng.IntN(len(pieces))])
	}
	if rng.IntN(20) == 0 {
		return strings.Repeat(b.String()+"x", 3000/(b.Len()+1)+1)
	}
	return b.String()
}

// harmless asks of a run that nothing invisible reached the streams, and that status and words go together.
func harmless(t *testing.T, got said, what string) {
	t.Helper()
	require.Contains(t, []int{tty.ExitDone, tty.ExitInput, tty.ExitUsage}, got.status, what)
	for name, text := range map[string]string{"standard output": got.out, "standard error": got.err} {
		for _, line := range strings.Split(text, "\n") {
			drills.MapHidden(line, func(r rune, bytes string) string {
				require.Failf(t, "raw", "%s: %q (%U) on %s in %q", what, bytes, r, name, line)
				return ""
			})
		}
	}
	switch got.status {
	case tty.ExitUsage:
		require.Empty(t, got.out, what)
		require.NotEmpty(t, got.err, what)
	case tty.ExitInput:
		require.NotEmpty(t, got.out+got.err, what)
	}
}

// Texts that mean no good, as paths, as values of every flag, as topics of help and as typed lines.
func TestHostileCommandLines(t *testing.T) {
	n := 60
	if sweeping() {
		n = 1000
	}
	at := filepath.Join(t.TempDir(), "a", "b", "c", "d", "e", "f", "g") // so that no ../ of theirs leads out of it
	require.NoError(t, os.MkdirAll(at, 0o755))
	t.Chdir(at)
	done(t, "start", "--demo", "team")
	done(t, "start", "--demo", "--pool", "pool")
	done(t, "lineup", "team", "--save", "plan.json")
	rng := rand.New(rand.NewPCG(7, 7))
	ways := hostileWays()
	for i := range n {
		text := hostile(rng)
		for _, way := range []func(string) []string{ways[i%len(ways)], ways[rng.IntN(len(ways))], ways[rng.IntN(len(ways))]} {
			args := way(text)
			harmless(t, say(t, args...), fmt.Sprintf("%q", args))
			more := append([]string{args[0], "--ids-only"}, args[1:]...)
			if args[0] != "help" && args[0] != "start" && rng.IntN(4) == 0 {
				harmless(t, say(t, more...), fmt.Sprintf("%q", more))
			}
		}
	}
}

// hostileWays are the ways for a text onto a command line.
func hostileWays() []func(string) []string {
	ways := []func(string) []string{
		func(s string) []string { return []string{s} },
		func(s string) []string { return []string{"help", s} },
		func(s string) []string { return []string{"draft", "help", s} },
		func(s string) []string { return []string{"check", s} },
		func(s string) []string { return []string{"season", s, "--format", "json"} },
		func(s string) []string { return []string{"lineup", "team", s} },
		func(s string) []string { return []string{"draft", s} },
		func(s string) []string { return []string{"draft", "pool", s} },
		func(s string) []string { return []string{"sheet", s} },
		func(s string) []string { return []string{"start", "x" + strings.ReplaceAll(s, "/", "_"), "--demo"} },
		func(s string) []string { return []string{"check", "team", "--" + s} },
		func(s string) []string { return []string{"check", "team", "--format=" + s} },
		func(s string) []string { return []string{"rebuild", "team", "--from", s} },
		func(s string) []string { return []string{"draft", "post", "pool", "--from", s} },
		func(s string) []string { return []string{"draft", "pick", "pool", "--board", s} },
		func(s string) []string { return []string{"record", "team", "--game", "1", "--lines", s} },
		func(s string) []string { return []string{"sheet", "kid", "team", "--kid", "7", "--out", "x" + s} },
		func(s string) []string {
			return []string{"record", "team", "--game", "9", "--opponent", s, "--absent", "4"}
		},
		func(s string) []string {
			return []string{"draft", "draw", "pool", "--from", "plan.json", "--seed-words", s}
		},
	}
	for _, flag := range []string{"absent", "late", "leaves", "favor", "seconds", "seed", "series", "wbgt", "width", "color", "game", "save", "write-mps", "mps-goal"} {
		ways = append(ways, func(s string) []string { return []string{"lineup", "team", "--series", "x", "--" + flag, s} })
	}
	for _, flag := range []string{"game", "date", "opponent", "from", "played", "swap", "line", "absent", "late", "left", "hurt", "void"} {
		ways = append(ways, func(s string) []string { return []string{"record", "team", "--game", "1", "--" + flag, s} })
	}
	for _, flag := range []string{"kid", "role", "series", "from"} {
		ways = append(ways, func(s string) []string { return []string{"why", "team", "--seconds", "0.05", "--" + flag, s} })
	}
	return ways
}

// Texts that mean no good in the cells of every file. What is taken over goes to screens, objects and pages.
func TestHostileCells(t *testing.T) {
	n := 30
	if sweeping() {
		n = 1000
	}
	rng := rand.New(rand.NewPCG(8, 8))
	root := t.TempDir()
	for i := range n {
		dir := filepath.Join(root, fmt.Sprint(i))
		done(t, "start", "--demo", dir)
		text := hostile(rng)
		spoil(t, dir, rng, text)
		for _, args := range [][]string{{"check", dir}, {"check", dir, "--format", "json"}, {"profile", dir, "--ids-only"}, {"season", dir}, {"sheet", "kid", dir, "--out", "-"}} {
			got := say(t, args...)
			if args[0] == "sheet" && got.status == tty.ExitDone {
				require.NotContains(t, got.out, "\x1b")
				continue
			}
			harmless(t, got, fmt.Sprintf("%v with %q", args, text))
		}
		require.NoError(t, os.RemoveAll(dir))
	}
}

// spoil puts the text into a cell of one of the files.
func spoil(t *testing.T, dir string, rng *rand.Rand, text string) {
	cells := func(rows ...[]string) []byte {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		require.NoError(t, w.WriteAll(rows))
		return b.Bytes()
	}
	var name string
	var data []byte
	switch rng.IntN(5) {
	case 0:
		row := []string{"7", "Ann", "3", "", "", ""}
		row[rng.IntN(len(row))] = text
		name, data = "roster.csv", cells([]string{"kid", "name", "grade", "hold", "never", "notes"}, row, []string{"9", "Bo", "3", "", "", ""})
	case 1:
		row := []string{"7", "shuttle", "1", "6.5", "", "Kim", "2026-09-01"}
		row[rng.IntN(len(row))] = text
		name, data = "results.csv", cells([]string{"kid", "drill", "trial", "value", "attempts", "timer", "date"}, row)
	case 2:
		row := []string{"1", "2026-09-12", "Egrets", "4", "front", "7", "", ""}
		row[rng.IntN(len(row))] = text
		name, data = "games.csv", cells([]string{"game", "date", "opponent", "series", "role", "kid", "entry", "notes"}, row)
	case 3:
		name, data = "team.toml", []byte("name = \""+text+"\"\n")
	default:
		name, data = "team.toml", []byte("name = "+fmt.Sprintf("%q", text)+"\n[[drills]]\nname = \"x\"\ntitle = '"+text+"'\n")
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
}

// Typed lines too: none panics, and none gets a raw character through.
func TestHostileLines(t *testing.T) {
	f, err := drills.ReadFolder(os.DirFS(filepath.Join("..", "..", "fixtures", "demo")))
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(9, 9))
	for range 2000 {
		text := "1: F 2 3 " + hostile(rng) + "\n" + hostile(rng)
		if _, err := played.ReadLines("x", strings.NewReader(text), f); err != nil {
			require.NotContains(t, err.Error(), "\x1b", "%q", text)
		}
	}
}

// Files of which bytes were turned, cut out or doubled are read by every command without a panic.
func TestMutatedFiles(t *testing.T) {
	n := 30
	if sweeping() {
		n = 3000
	}
	rng := rand.New(rand.NewPCG(10, 10))
	root := t.TempDir()
	team, pool := filepath.Join(root, "team"), filepath.Join(root, "pool")
	done(t, "start", "--demo", team)
	done(t, "start", "--demo", "--pool", pool)
	plan, teams, board := filepath.Join(root, "plan.json"), filepath.Join(root, "teams.json"), filepath.Join(root, "board.csv")
	done(t, "lineup", team, "--save", plan)
	done(t, "record", team, "--game", "1", "--from", plan)
	done(t, "draft", pool, "--no-play", "--effort", "1", "--save", teams)
	done(t, "draft", "pick", pool, "--board", board, "--start")
	reads := map[string][][]string{
		plan:  {{"rebuild", team, "--from", plan, "--absent", "4", "--seconds", "0.1"}, {"why", team, "--from", plan, "--kid", "7", "--seconds", "0.1"}, {"sheet", "game", team, "--from", plan, "--out", "-"}, {"record", team, "--game", "2", "--from", plan}},
		teams: {{"draft", "post", pool, "--from", teams}, {"draft", "swap", pool, "--from", teams, "12:31"}},
		board: {{"draft", "pick", pool, "--board", board}},
	}
	ofTeam := [][]string{{"check", team}, {"season", team}, {"profile", team, "--ids-only"}, {"lineup", team, "--seconds", "0.1"}, {"rebuild", team, "--game", "1", "--played", "3", "--seconds", "0.1"}, {"sheet", "kid", team, "--out", "-"}, {"record", team, "--game", "3", "--absent", "4"}}
	ofPool := [][]string{{"check", pool}, {"draft", "post", pool, "--from", teams}, {"draft", pool, "--no-play", "--effort", "1"}}
	files := []string{plan, teams, board}
	for _, name := range []string{"team.toml", "roster.csv", "results.csv", "games.csv"} {
		files = append(files, filepath.Join(team, name))
		reads[filepath.Join(team, name)] = ofTeam
	}
	for _, name := range []string{"league.toml", "pool.csv", "results.csv"} {
		files = append(files, filepath.Join(pool, name))
		reads[filepath.Join(pool, name)] = ofPool
	}
	games, err := os.ReadFile(filepath.Join(team, "games.csv"))
	require.NoError(t, err)
	for i := range n {
		file := files[i%len(files)]
		was, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, mutated(rng, was), 0o600))
		args := reads[file][rng.IntN(len(reads[file]))]
		got := say(t, args...)
		if args[0] != "sheet" || got.status != tty.ExitDone {
			harmless(t, got, fmt.Sprintf("%v after a change of %s", args, filepath.Base(file)))
		}
		require.NoError(t, os.WriteFile(file, was, 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(team, "games.csv"), games, 0o600)) // what record wrote goes again
	}
}

// mutated turns, cuts out or doubles some bytes.
func mutated(rng *rand.Rand, data []byte) []byte {
	out := bytes.Clone(data)
	for range 1 + rng.IntN(4) {
		if len(out) == 0 {
			return out
		}
		at := rng.IntN(len(out))
		end := min(len(out), at+1+rng.IntN(30))
		switch rng.IntN(5) {
		case 0:
			out[at] ^= 1 << rng.IntN(8)
		case 1:
			out[at] = byte(rng.IntN(256))
		case 2:
			out = append(out[:at:at], out[end:]...)
		case 3:
			out = append(out[:end:end], out[at:]...)
		default:
			out = out[:at]
		}
	}
	return out
}
