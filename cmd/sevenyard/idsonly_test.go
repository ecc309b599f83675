package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

// Names are left out wherever they stand and whatever stands around them. A secret is two words, so that half of it is a leak too; between and
// around them is what readers, quotes and escapes trip over.
const (
	secretOne = "Qwiz"
	secretTwo = "Zelk"
)

var around = []string{"", "", "", " ", `"`, `\`, `\"`, `\\`, `""`, "'", "\u200b", "\u200e", "\u202e", "\ufeff", "\u00ad", "\t", ",", ";", "#", "=", "@", ":", ".", "-", "\u0301", "é", "\x00", "\x1b[1m", "\xff", "%s", "(", "]", "x", "7"}

func anySecret(rng *rand.Rand) string {
	pick := func() string { return around[rng.IntN(len(around))] }
	return pick() + secretOne + pick() + secretTwo + pick()
}

// plainSecret is one that the readers take as a text.
func plainSecret(rng *rand.Rand) string {
	plain := []string{"", " ", `"`, `\`, `\"`, "'", "\u200b", "\u00ad", ".", "-", "é", "("}
	pick := func() string { return plain[rng.IntN(len(plain))] }
	return secretOne + pick() + secretTwo + pick()
}

func csvCell(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// tomlText is a TOML string; now and then it is as broken as it comes.
func tomlText(rng *rand.Rand, s string) string {
	if rng.IntN(4) == 0 {
		return `"` + s + `"`
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\x00", "", "\x1b", "", "\xff", "", "\t", `\t`).Replace(s) + `"`
}

// secretFolder is a small team with a secret in one place of one of its files.
func secretFolder(t testing.TB, rng *rand.Rand, dir string) string {
	secret := anySecret(rng)
	if rng.IntN(2) == 0 {
		secret = plainSecret(rng)
	}
	roster := [][]string{{"kid", "name", "grade", "hold", "never", "notes"}}
	results := [][]string{{"kid", "drill", "trial", "value", "attempts", "timer", "date", "notes"}}
	games := [][]string{{"game", "date", "opponent", "series", "role", "kid", "entry", "notes"}}
	for k := 1; k <= 7; k++ {
		roster = append(roster, []string{fmt.Sprint(k), "", "3", "", "", ""})
		for trial := 1; trial <= 2; trial++ {
			results = append(results, []string{fmt.Sprint(k), "shuttle", fmt.Sprint(trial), fmt.Sprintf("%.2f", 6+0.1*float64(k)+float64(trial)/50), "", "T", "", ""})
		}
	}
	for k := 1; k <= 5; k++ {
		games = append(games, []string{"1", "2026-09-12", "", "1", []string{"front", "front", "corner", "corner", "deep"}[k-1], fmt.Sprint(k), "", ""})
	}
	toml := map[string]string{"": "name = \"Egrets\"\ndivision = \"3\"\nseries = 2\n"}
	where := ""
	cell := func(name string, rows [][]string, columns ...int) {
		r, c := rng.IntN(len(rows)), columns[rng.IntN(len(columns))]
		for row := range rows { // a timer or a game is named in all its rows, so that it counts
			if row == r || r > 0 && row > 0 && (name == "results.csv" && c == 5 && row%2 == 0 || name == "games.csv" && c <= 2) {
				rows[row][c] = secret
			}
		}
		where = fmt.Sprintf("%s row %d column %d", name, r, c)
	}
	extra := ""
	switch rng.IntN(8) {
	case 0:
		cell("roster.csv", roster, 1, 2, 3, 4, 5)
	case 1:
		cell("results.csv", results, 0, 1, 2, 3, 4, 5, 6, 7)
	case 2:
		cell("games.csv", games, 0, 1, 2, 3, 4, 5, 6, 7)
	case 3:
		extra, where = []string{"#" + secret, secret + "\"x,y", secret, "," + secret, secret + ",,,,,,,,,,,,,"}[rng.IntN(5)], "a broken line"
	default:
		toml[""] += secretTOML(rng, secret)
		where = "team.toml"
	}
	write := func(name string, rows [][]string) {
		var b strings.Builder
		for _, r := range rows {
			for i, c := range r {
				if i > 0 {
					b.WriteByte(',')
				}
				if c != "" {
					c = csvCell(c)
				}
				b.WriteString(c)
			}
			b.WriteByte('\n')
		}
		text := b.String()
		if extra != "" && rng.IntN(3) == 0 {
			text += extra + "\n"
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	write("roster.csv", roster)
	write("results.csv", results)
	if rng.IntN(2) == 0 || strings.HasPrefix(where, "games") {
		write("games.csv", games)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "team.toml"), []byte(toml[""]), 0o600))
	return fmt.Sprintf("%q in %s", secret, where)
}

// secretTOML is a piece of team.toml with a secret as a key, a value, a title or a broken line.
func secretTOML(rng *rand.Rand, secret string) string {
	text := tomlText(rng, secret)
	pieces := []string{
		text + " = 1\n", secret + " = 1\n", secret + "\n", "[" + secret + "]\n", "[rules]\n" + text + " = 2\n", "favor = " + text + "\n", "heat = " + text + "\n", "formation = " + text + "\n",
		"together = [[" + text + ", \"2\"]]\n", "[[cover]]\nkids = [" + text + ", \"2\"]\nat_least = 1\n", "[[pin]]\nkid = " + text + "\nrole = \"front\"\nseries = 1\n",
		"[[pin]]\nkid = \"2\"\nrole = " + text + "\nseries = 1\n", "[importance]\n" + text + " = 1.0\n", "[weights.front]\n" + text + " = 0.5\n", "[weights." + text + "]\nspeed = 1.0\n",
		"[[traits]]\nname = \"grit\"\ntitle = " + text + "\n[[drills]]\nname = \"heart\"\nkind = \"rated\"\nloads = { grit = 1.0 }\n", "[[traits]]\nname = " + text + "\n",
		"[[drills]]\nname = " + text + "\nkind = \"timed\"\n", "[[drills]]\nname = \"ladder\"\nkind = " + text + "\nloads = { agility = 1.0 }\n", "[[drills]]\nname = \"shuttle\"\nunit = " + text + "\n",
		"[[roles]]\nname = \"front\"\ntitle = " + text + "\n", "[[roles]]\nname = \"front\"\nletter = " + text + "\n", "[[formations]]\nname = \"2-3\"\nroles = [\"front\", \"deep\", \"front\", \"corner\", \"corner\"]\ntitle = " + text + "\nsource = " + text + "\n",
		"[[formations]]\nname = \"wall\"\nroles = [" + text + "]\n", "# " + secret + "\n", "name = " + text + "x\n", "division = " + text + "\n", "x = \"\"\"" + secret + "\n",
	}
	for _, key := range []string{"title", "setup", "safety", "source", "unit"} {
		pieces = append(pieces, "[[drills]]\nname = \"shuttle\"\n"+key+" = "+text+"\n", "[[drills]]\nname = \"ladder\"\nkind = \"timed\"\nrange = [2, 19]\nloads = { agility = 1.0 }\n"+key+" = "+text+"\n")
	}
	return pieces[rng.IntN(len(pieces))]
}

// leaks tells whether either half of the secret is in a text.
func leaks(text string) bool {
	lower := strings.ToLower(text)
	return strings.Contains(lower, strings.ToLower(secretOne)) || strings.Contains(lower, strings.ToLower(secretTwo))
}

func TestNoSecretInAnyFileComesOut(t *testing.T) {
	n := 120
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		n = 4000
	}
	commands := [][]string{
		{"check"}, {"profile"}, {"profile", "--plot"}, {"season"}, {"season", "--kid", "2"}, {"drills"}, {"lineup"}, {"lineup", "--detail"}, {"why", "--kid", "3"},
		{"sheet", "game", "--out", "-"}, {"sheet", "kid", "--out", "-"}, {"sheet", "team", "--out", "-"}, {"record", "--game", "9", "--line", "1: F 1 2, C 3 4, D 5"}, {"rebuild", "--game", "1"},
	}
	read := 0
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 11))
		dir := t.TempDir()
		what := secretFolder(t, rng, dir)
		c := commands[rng.IntN(len(commands))]
		args := append(append([]string{}, c...), dir, "--ids-only")
		if c[0] != "sheet" && rng.IntN(2) == 0 {
			args = append(args, "--format", "json")
		}
		if got := say(t, args...); leaks(got.out + got.err) {
			t.Errorf("case %d: %s: %v tells it:\n%s%s", i, what, c, got.out, got.err)
		} else if got.status == tty.ExitDone {
			read++
		}
		// A saved plan has no name in it, whatever the screen shows.
		if plan := filepath.Join(dir, "plan.json"); say(t, "lineup", dir, "--save", plan).status == tty.ExitDone {
			data, err := os.ReadFile(plan)
			require.NoError(t, err)
			require.False(t, leaks(string(data)), "case %d: %s is in the saved plan:\n%s", i, what, data)
		}
	}
	require.Greater(t, read, n/10, "most folders cannot be read, so little was seen")
}

// TestNoSecretTypedComesOut: the same of a value on the command line. Names of files and folders are told, for they are what a message is about.
func TestNoSecretTypedComesOut(t *testing.T) {
	n := 120
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		n = 4000
	}
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 12))
		dir := t.TempDir()
		teams := secretTeam(t, dir)
		s := anySecret(rng)
		commands := [][]string{
			{"lineup", dir, "--absent", s}, {"lineup", dir, "--absent", s + "@3"}, {"lineup", dir, "--late", s}, {"lineup", dir, "--late", s + "@2"}, {"lineup", dir, "--leaves", "2@" + s}, {"lineup", dir, "--favor", s},
			{"lineup", dir, "--wbgt", s}, {"lineup", dir, "--series", s}, {"lineup", dir, "--seconds", s}, {"lineup", dir, "--game", s}, {"lineup", dir, "--color", s}, {"lineup", dir, "--mps-goal", s},
			{"lineup", dir, "--format", s}, {"lineup", dir, "--" + s}, {"lineup", dir, "--" + s + "=2"}, {"lineup", dir, "--absent=" + s}, {"lineup", dir, "--absent", "2", s}, {s}, {"lineup", s}, {"help", s}, {"draft", s}, {"draft", dir, s},
			{"why", dir, "--kid", s}, {"why", dir, "--kid", "2", "--role", s}, {"season", dir, "--kid", s}, {"sheet", "kid", dir, "--kid", s, "--out", "-"}, {"sheet", s},
			{"rebuild", dir, "--from", teams, "--hurt", s + "@2"}, {"rebuild", dir, "--from", teams, "--game", s}, {"rebuild", dir, "--game", s}, {"rebuild", dir, "--from", teams, "--changes", s},
			{"record", dir, "--game", s, "--line", "1: F 1 2, C 3 4, D 5"}, {"record", dir, "--game", secretOne + secretTwo, "--line", "1: F 1 2, C 3 4, D 5"}, {"record", dir, "--game", "1", "--date", s, "--line", "1: F 1 2, C 3 4, D 5"},
			{"record", dir, "--game", "1", "--opponent", s, "--line", "1: F 1 2, C 3 4, D 5"}, {"record", dir, "--game", "1", "--line", s}, {"record", dir, "--game", "1", "--line", "1: F " + s + " 2, C 3 4, D 5"},
			{"record", dir, "--game", "1", "--line", "1: " + s + " 1 2"}, {"record", dir, "--game", "1", "--from", teams, "--swap", s}, {"record", dir, "--game", "1", "--from", teams, "--swap", "2:" + s + "@1"},
			{"record", dir, "--game", "1", "--from", teams, "--hurt", s}, {"record", dir, "--game", "1", "--void", s}, {"record", dir, "--game", s, "--void", "all"}, {"record", dir, "--game", "1", "--absent", s},
		}
		args := append(append([]string{}, commands[rng.IntN(len(commands))]...), "--ids-only")
		if rng.IntN(3) == 0 && args[0] != "sheet" {
			args = append(args, "--format", "json")
		}
		for _, again := range []bool{false, true} { // what has been recorded may be told by the next command
			if again {
				args = [][]string{{"check", dir, "--ids-only"}, {"season", dir, "--ids-only"}, {"lineup", dir, "--ids-only"}, {"season", dir, "--ids-only", "--kid", "1", "--format", "json"}, {"rebuild", dir, "--from", teams, "--ids-only"}}[rng.IntN(5)]
			}
			if got := say(t, args...); leaks(got.out + got.err) {
				t.Errorf("case %d: %q tells it:\n%s%s", i, args, got.out, got.err)
			}
		}
	}
}

// secretTeam is a small team without a secret, and a plan of its game.
func secretTeam(t testing.TB, dir string) string {
	var roster strings.Builder
	roster.WriteString("kid\n")
	for k := 1; k <= 7; k++ {
		fmt.Fprintf(&roster, "%d\n", k)
	}
	for name, text := range map[string]string{"roster.csv": roster.String(), "results.csv": "kid,drill,value\n1,shuttle,6.5\n2,shuttle,6.7\n3,shuttle,6.2\n", "team.toml": "division = \"3\"\nseries = 2\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	plan := filepath.Join(dir, "plan.json")
	done(t, "lineup", dir, "--save", plan)
	return plan
}

// TestNoSecretInAPlanComesOut: a saved plan in which something was written by hand.
func TestNoSecretInAPlanComesOut(t *testing.T) {
	n := 40
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		n = 1500
	}
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 13))
		dir := t.TempDir()
		plan := secretTeam(t, dir)
		data, err := os.ReadFile(plan)
		require.NoError(t, err)
		text := string(data)
		s := anySecret(rng)
		quotes := strings.Split(text, `"`) // every second piece is a string
		at := 1 + 2*rng.IntN(len(quotes)/2)
		if rng.IntN(4) > 0 {
			s = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\x00", "", "\x1b", "", "\t", "").Replace(s)
		}
		was := quotes[at]
		quotes[at] = s
		require.NoError(t, os.WriteFile(plan, []byte(strings.Join(quotes, `"`)), 0o600))
		for _, args := range [][]string{{"rebuild", dir, "--from", plan, "--absent", "2"}, {"why", dir, "--from", plan, "--kid", "3"}, {"record", dir, "--game", "1", "--from", plan}, {"sheet", "game", dir, "--from", plan, "--out", "-"}} {
			if got := say(t, append(args, "--ids-only")...); leaks(got.out + got.err) {
				t.Errorf("case %d: %q in place of %q: %v tells it:\n%s%s", i, s, was, args[0], got.out, got.err)
			}
		}
	}
}

// TestNoSecretInAPoolComesOut: the same of a league's folder, a draft, its draw and its list. Siblings, carpools and coaches have names too.
func TestNoSecretInAPoolComesOut(t *testing.T) {
	n := 20
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		n = 600
	}
	small := smallPool(t)
	teams := filepath.Join(t.TempDir(), "teams.json")
	done(t, "draft", small, "--effort", "1", "--no-play", "--save", teams)
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 14))
		s := plainSecret(rng)
		if rng.IntN(2) == 0 {
			s = anySecret(rng)
		}
		file, toml := []string{"pool.csv", "results.csv", "league.toml"}[rng.IntN(3)], secretTOML(rng, s)
		dir := copyPool(t, os.DirFS(small), func(name, text string) string {
			switch lines := strings.Split(strings.TrimRight(text, "\n"), "\n"); {
			case name != file:
				return text
			case name == "league.toml" && rng.IntN(2) == 0:
				return strings.Replace(text, `"Aurelia Quince"`, tomlText(rng, s), 1)
			case name == "league.toml":
				return text + toml
			default:
				row := rng.IntN(len(lines))
				cells := strings.Split(lines[row], ",")
				column := 1 + rng.IntN(len(cells)-1)
				cells[column] = csvCell(s)
				lines[row] = strings.Join(cells, ",")
				return strings.Join(lines, "\n") + "\n"
			}
		})
		saved := filepath.Join(dir, "new.json")
		for _, args := range [][]string{{"check", dir}, {"draft", dir, "--effort", "1", "--no-play", "--save", saved}, {"draft", "draw", dir, "--from", teams, "--seed-words", "2-" + s},
			{"draft", "post", dir, "--from", teams}, {"draft", "swap", dir, "--from", teams, "1:" + s}, {"draft", "pick", dir, "--board", filepath.Join(dir, "board.csv"), s}} {
			if i%3 > 0 && args[1] == dir && len(args) > 2 && !strings.HasPrefix(file, "league") {
				continue // a draft takes its time
			}
			if rng.IntN(3) == 0 {
				args = append(args, "--format", "json")
			}
			if got := say(t, append(args, "--ids-only")...); leaks(got.out + got.err) {
				t.Errorf("case %d: %q in %s: %v tells it:\n%s%s", i, s, file, args, got.out, got.err)
			}
		}
		if data, err := os.ReadFile(saved); err == nil {
			require.False(t, leaks(string(data)), "case %d: %q in %s is in the saved teams", i, s, file)
		}
		require.NoError(t, os.RemoveAll(dir))
	}
}
