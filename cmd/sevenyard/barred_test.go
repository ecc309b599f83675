package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/games"
)

// walk is a random sequence of commands on one team, and what a person would know of who may not play: the model is kept by what was said, not
// by what the program reads.
type walk struct {
	t     *testing.T
	r     *rand.Rand
	dir   string
	today time.Time
	log   []string
	hold  map[string]bool
	hurt  map[string]map[string]int             // by game and kid: the series in which it was hurt, until somebody clears it
	date  map[string]string                     // of the games on record
	plans map[string]map[string]map[string]bool // by plan file, "hurt": the kids it has as hurt
	files []string
}

const walkKids = 8

// TestNobodyBarredIsOnTheField: in random sequences of commands nothing that comes out - no plan, page, record, answer - has a kid on the field in
// a series still to come who is on hold, or was hurt on that day, and whom nobody has cleared.
func TestNobodyBarredIsOnTheField(t *testing.T) {
	sequences := 20
	if os.Getenv("SEVENYARD_SWEEP") != "" {
		sequences = 2000
	}
	if n, err := strconv.Atoi(os.Getenv("SEVENYARD_WALKS")); err == nil {
		sequences = n
	}
	for part := range 4 {
		t.Run(strconv.Itoa(part), func(t *testing.T) {
			t.Parallel()
			ran, refused := 0, 0
			for i := part; i < sequences; i += 4 {
				w := newWalk(t, uint64(i))
				for range 12 {
					if w.step() {
						ran++
					} else {
						refused++
					}
				}
			}
			require.Greater(t, ran, refused/2, "%d commands ran, %d were refused: too few say something", ran, refused)
		})
	}
}

func newWalk(t *testing.T, seed uint64) *walk {
	w := &walk{t: t, r: rand.New(rand.NewPCG(seed, 7)), dir: t.TempDir(), today: time.Date(2026, 9, 12, 10, 0, 0, 0, time.UTC),
		hold: map[string]bool{}, hurt: map[string]map[string]int{}, date: map[string]string{}, plans: map[string]map[string]map[string]bool{}}
	var fits strings.Builder
	fits.WriteString("kid,role,fit,se\n")
	for k := 1; k <= walkKids; k++ {
		for _, role := range []string{"front", "corner", "deep", "rusher"} {
			fmt.Fprintf(&fits, "%d,%s,%d,3\n", k, role, 40+w.r.IntN(20))
		}
	}
	w.write("fits.csv", fits.String())
	w.write("team.toml", "division = \"3-4\"\nseries = 5\nformation = \"2-3\"\n")
	w.roster()
	return w
}

func (w *walk) write(name, text string) {
	require.NoError(w.t, os.WriteFile(filepath.Join(w.dir, name), []byte(text), 0o600))
}

func (w *walk) roster() {
	text := "kid,name,grade,hold\n"
	for k := 1; k <= walkKids; k++ {
		hold := ""
		if w.hold[strconv.Itoa(k)] {
			hold = "knee"
		}
		text += fmt.Sprintf("%d,,3,%s\n", k, hold)
	}
	w.write("roster.csv", text)
}

// run runs a command, and gives its standard output and whether it was done.
func (w *walk) run(args ...string) (string, bool) {
	var out, errs bytes.Buffer
	w.log = append(w.log, strings.Join(args, " "))
	code := run(context.Background(), args, tty.IO{Out: &out, Err: &errs, Getenv: func(string) string { return "" }, Now: func() time.Time { return w.today }})
	if code != tty.ExitDone {
		w.log[len(w.log)-1] += fmt.Sprintf("   -> %d %.150s", code, strings.ReplaceAll(errs.String(), "\n", " "))
	}
	require.NotContains(w.t, errs.String(), "panic")
	return out.String(), code == tty.ExitDone
}

func (w *walk) kid() string          { return strconv.Itoa(1 + w.r.IntN(walkKids)) }
func (w *walk) at() string           { return fmt.Sprintf("%s@%d", w.kid(), 1+w.r.IntN(5)) }
func (w *walk) chance(n int) bool    { return w.r.IntN(n) == 0 }
func (w *walk) game() string         { return strconv.Itoa(1 + w.r.IntN(3)) }
func (w *walk) path(f string) string { return filepath.Join(w.dir, f) }

// out tells whether a kid may not be on the field in a game of a day.
func (w *walk) out(kid, day, plan string) bool {
	if w.hold[kid] {
		return true
	}
	for game, kids := range w.hurt {
		if _, is := kids[kid]; is && w.date[game] == day {
			return true
		}
	}
	return w.plans[plan]["hurt"][kid]
}

// allowed asserts of a plan that nobody is on the field who is out.
func (w *walk) allowed(l *report.Lineup, day, plan string) {
	for _, s := range l.Series {
		for _, x := range s.Slots {
			if s.Number > l.Played && w.out(x.Kid, day, plan) {
				w.t.Fatalf("kid %s is on the field in series %d, and is out\n%s", x.Kid, s.Number, strings.Join(w.log, "\n"))
			}
		}
	}
}

// saved notes a new plan file, and whom it has as hurt: those of the plan it was made from, and those said.
func (w *walk) saved(file, from string, hurt []string) {
	w.plans[file] = map[string]map[string]bool{"hurt": {}}
	for kid := range w.plans[from]["hurt"] {
		w.plans[file]["hurt"][kid] = true
	}
	for _, at := range hurt {
		kid, _, _ := strings.Cut(at, "@")
		w.plans[file]["hurt"][kid] = true
	}
	w.files = append(w.files, file)
}

func (w *walk) step() bool {
	steps := []func() bool{w.lineup, w.lineup, w.record, w.record, w.record, w.rebuild, w.rebuild, w.rebuild, w.why, w.sheet, w.correct, w.clear, w.holds, w.nextDay}
	return steps[w.r.IntN(len(steps))]()
}

// presence are flags about who is there.
func (w *walk) presence(left string) []string {
	var args []string
	for _, flag := range []string{"--absent", "--late", left} {
		for w.chance(4) {
			value := w.at()
			if flag == "--absent" {
				value = w.kid()
			}
			args = append(args, flag, value)
		}
	}
	return args
}

func (w *walk) day(game string) string {
	if d := w.date[game]; game != "" && d != "" {
		return d
	}
	return w.today.Format(time.DateOnly)
}

func (w *walk) lineup() bool {
	file := fmt.Sprintf("p%d.json", len(w.files))
	args := append([]string{"lineup", w.dir, "--format", "json", "--save", w.path(file)}, w.presence("--leaves")...)
	game := ""
	if w.chance(3) {
		game = w.game()
		args = append(args, "--game", game)
	}
	if w.chance(4) {
		args = append(args, "--ignore-season")
	}
	text, ok := w.run(args...)
	if ok {
		w.allowed(parse[report.Lineup](w, text), w.day(game), "")
		w.saved(file, "", nil)
	}
	return ok
}

func parse[T any](w *walk, text string) *T {
	v := new(T)
	require.NoError(w.t, json.Unmarshal([]byte(text), v), text)
	return v
}

func (w *walk) rebuild() bool {
	file, from, game := fmt.Sprintf("p%d.json", len(w.files)), "", ""
	args := append([]string{"rebuild", w.dir, "--format", "json", "--save", w.path(file)}, w.presence("--leaves")...)
	if len(w.files) > 0 && !w.chance(5) {
		from = w.files[w.r.IntN(len(w.files))]
		args = append(args, "--from", w.path(from))
	}
	if w.chance(3) || from == "" {
		game = w.game()
		args = append(args, "--game", game)
	}
	if w.chance(2) {
		args = append(args, "--played", strconv.Itoa(w.r.IntN(5)))
	}
	var hurt []string
	if w.chance(3) {
		hurt = append(hurt, w.at())
		args = append(args, "--hurt", hurt[0])
	}
	in, swapped := "", 0
	if w.chance(4) {
		in, swapped = w.kid(), 1+w.r.IntN(4)
		args = append(args, "--swap", fmt.Sprintf("%s:%s@%d", w.kid(), in, swapped))
	}
	text, ok := w.run(args...)
	if ok && in != "" {
		w.maySwapIn(in, swapped, w.day(game), from)
	}
	if ok {
		re := parse[report.Rebuild](w, text)
		w.saved(file, from, hurt)
		w.allowed(&re.Lineup, w.day(game), file)
		for kid := range w.plans[file]["hurt"] {
			if !slices.Contains(re.Hurt, kid) {
				w.t.Fatalf("kid %s was hurt in the plan or now, and the new plan has lost it\n%s", kid, strings.Join(w.log, "\n"))
			}
		}
		for game, kids := range w.hurt { // what the record knew is in the new plan
			for kid := range kids {
				if w.date[game] == w.day("") && slices.Contains(re.Hurt, kid) {
					w.plans[file]["hurt"][kid] = true
				}
			}
		}
	}
	return ok
}

// maySwapIn asserts of a kid who went on in a series, by what was said, that it might.
func (w *walk) maySwapIn(kid string, series int, day, plan string) {
	out := w.hold[kid] || w.plans[plan]["hurt"][kid]
	for game, kids := range w.hurt {
		hurt, is := kids[kid]
		out = out || is && w.date[game] == day && series > hurt
	}
	if out {
		w.t.Fatalf("kid %s is taken for on the field in series %d, and is out\n%s", kid, series, strings.Join(w.log, "\n"))
	}
}

func (w *walk) record() bool {
	game := w.game()
	args := append([]string{"record", w.dir, "--format", "json", "--game", game}, w.presence("--left")...)
	from := ""
	switch {
	case len(w.files) > 0 && !w.chance(4):
		from = w.files[w.r.IntN(len(w.files))]
		args = append(args, "--from", w.path(from), "--played", strconv.Itoa(w.r.IntN(6)))
	default:
		kids := w.r.Perm(walkKids)
		args = append(args, "--line", fmt.Sprintf("%d: F %d %d, C %d %d, D %d", 1+w.r.IntN(5), kids[0]+1, kids[1]+1, kids[2]+1, kids[3]+1, kids[4]+1))
	}
	var hurt []string
	if w.chance(2) {
		hurt = append(hurt, w.at())
		args = append(args, "--hurt", hurt[0])
	}
	if w.chance(4) {
		args = append(args, "--swap", fmt.Sprintf("%s:%s@%d", w.kid(), w.kid(), 1+w.r.IntN(5)))
	}
	return w.recorded(game, from, hurt, args)
}

// correct takes things back.
func (w *walk) correct() bool {
	game := w.game()
	args := []string{"record", w.dir, "--format", "json", "--game", game}
	switch w.r.IntN(3) {
	case 0:
		args = append(args, "--void", "all")
	case 1:
		args = append(args, "--void", strconv.Itoa(1+w.r.IntN(5)))
	default:
		args = append(args, w.presence("--left")...)
	}
	return w.recorded(game, "", nil, args)
}

func (w *walk) recorded(game, from string, hurt, args []string) bool {
	before := w.marks(game)
	text, ok := w.run(args...)
	if !ok {
		return false
	}
	o := parse[report.Record](w, text)
	if w.date[game] == "" {
		w.date[game] = w.today.Format(time.DateOnly)
	}
	for _, s := range o.Series {
		for _, x := range s.Slots {
			series, marked := before[x.Kid]
			other := false
			for g, kids := range w.hurt {
				_, is := kids[x.Kid]
				other = other || is && g != game && w.date[g] == w.date[game]
			}
			if s.State != "kept" && (w.hold[x.Kid] || marked && s.Number > series || other) {
				w.t.Fatalf("kid %s is recorded in series %d, and is out\n%s", x.Kid, s.Number, strings.Join(w.log, "\n"))
			}
		}
	}
	if w.hurt[game] == nil {
		w.hurt[game] = map[string]int{}
	}
	for _, at := range hurt {
		kid, series, _ := strings.Cut(at, "@")
		if _, already := w.hurt[game][kid]; !already {
			w.hurt[game][kid], _ = strconv.Atoi(series)
		}
	}
	for _, kid := range o.Hurt { // a plan's hurt kids go on record with it
		if _, already := w.hurt[game][kid]; !already && w.plans[from]["hurt"][kid] {
			w.hurt[game][kid] = 99
		}
	}
	for kid := range w.hurt[game] {
		if !slices.Contains(o.Hurt, kid) {
			w.t.Fatalf("kid %s was hurt in game %s, and the record has lost it\n%s", kid, game, strings.Join(w.log, "\n"))
		}
	}
	return true
}

func (w *walk) marks(game string) map[string]int {
	out := map[string]int{}
	for kid, series := range w.hurt[game] {
		out[kid] = series
	}
	return out
}

func (w *walk) why() bool {
	args := append([]string{"why", w.dir, "--format", "json", "--kid", w.kid(), "--seconds", "0.05"}, w.presence("--leaves")...)
	from := ""
	if len(w.files) > 0 && w.chance(2) {
		from = w.files[w.r.IntN(len(w.files))]
		args = append(args, "--from", w.path(from))
	}
	text, ok := w.run(args...)
	if !ok {
		return false
	}
	y := parse[report.Why](w, text)
	for _, stint := range y.Plays {
		for _, s := range stint.Series {
			if (y.From == nil || s > y.From.Played) && w.out(y.Kid, w.day(""), from) {
				w.t.Fatalf("why has kid %s on the field, who is out\n%s", y.Kid, strings.Join(w.log, "\n"))
			}
		}
	}
	return true
}

func (w *walk) sheet() bool {
	if len(w.files) == 0 {
		return false
	}
	from := w.files[w.r.IntN(len(w.files))]
	_, ok := w.run("sheet", []string{"game", "team"}[w.r.IntN(2)], w.dir, "--from", w.path(from), "--out", w.path("page.html"), "--replace")
	if ok {
		data, err := os.ReadFile(w.path(from))
		require.NoError(w.t, err)
		w.allowed(parse[report.Lineup](w, string(data)), w.day(""), from)
	}
	return ok
}

// clear is a person who clears a kid.
func (w *walk) clear() bool {
	kid, game := w.kid(), w.game()
	file, from := fmt.Sprintf("p%d.json", len(w.files)), ""
	if len(w.files) > 0 && w.chance(2) {
		from = w.files[w.r.IntN(len(w.files))]
		for _, hurt := range slices.Sorted(maps.Keys(w.plans[from]["hurt"])) { // most others are refused
			kid = hurt
		}
	}
	args := []string{"clear", w.dir, "--kid", kid, "--by", "Ana", "--game", game, "--format", "json"}
	if from != "" {
		args = append(args, "--from", w.path(from), "--save", w.path(file))
	}
	_, ok := w.run(args...)
	if !ok {
		return false
	}
	delete(w.hurt[game], kid)
	if w.date[game] == "" {
		w.date[game] = w.today.Format(time.DateOnly)
	}
	if from != "" {
		w.saved(file, from, nil)
		delete(w.plans[file]["hurt"], kid)
		data, err := os.ReadFile(w.path(file))
		require.NoError(w.t, err)
		w.allowed(parse[report.Lineup](w, string(data)), w.day(""), file)
	}
	return true
}

// holds is a person who writes a hold, or empties the cell.
func (w *walk) holds() bool {
	kid := w.kid()
	w.hold[kid] = !w.hold[kid] && w.chance(2)
	w.log = append(w.log, fmt.Sprint("hold of ", kid, ": ", w.hold[kid]))
	w.roster()
	return true
}

func (w *walk) nextDay() bool {
	if w.chance(3) {
		w.today = w.today.AddDate(0, 0, 1)
		w.log = append(w.log, "the next day")
	}
	return true
}

// TestGamesOfTheWalk: the sequences reach what they are about.
func TestGamesOfTheWalk(t *testing.T) {
	marks := 0
	for i := range 20 {
		w := newWalk(t, uint64(1000+i))
		for range 12 {
			w.step()
		}
		rec, err := games.ReadFolder(os.DirFS(w.dir))
		require.NoError(t, err)
		for _, g := range rec.Games {
			marks += len(g.Marks)
		}
	}
	require.Greater(t, marks, 5)
}
