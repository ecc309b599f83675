// Mutate changes the program in small ways, one at a time, and asks whether the tests notice.
//
//	go run ./.ci/mutate [flags] PACKAGE...
//
// Mutants are drawn at random by a seed from everything that can be changed in the packages: comparisons, logic, conditions, arithmetic,
// whole-number constants, true and false, and statements that are left out. Each is tried by the tests of its package, and then by
// those of -also, in a copy of the module. A mutant that does not compile is none, and one of equivalent.txt does not count. Exit
// status 1 if too few are killed.
package main

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"go/build"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// options are the command line.
type options struct {
	number   int
	minutes  float64
	seed     uint64
	jobs     int
	least    float64
	also, at string
	only     string
	quick    bool
	packages []string
}

func main() {
	var o options
	flag.IntVar(&o.number, "n", 100, "mutants to try")
	flag.Float64Var(&o.minutes, "minutes", 60, "start no other mutant after so many minutes")
	flag.Uint64Var(&o.seed, "seed", 1, "seed of the draw")
	flag.IntVar(&o.jobs, "jobs", 2, "mutants tried side by side")
	flag.Float64Var(&o.least, "least", 0, "exit status 1 if fewer per cent are killed")
	flag.StringVar(&o.also, "also", "", "packages whose tests are asked too, with commas between")
	flag.StringVar(&o.only, "run", "", "of the packages of -also only the tests that this pattern names")
	flag.StringVar(&o.at, "at", "", "only mutants of these, FILE or FILE:LINE with commas between")
	flag.BoolVar(&o.quick, "quick", false, "without tests that take a second and more")
	flag.Parse()
	o.packages = flag.Args()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	ok, err := mutate(ctx, &o, os.Stdout)
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
	}
	if err != nil || !ok {
		stop()
		os.Exit(1)
	}
}

// mutate reports whether enough mutants were killed.
func mutate(ctx context.Context, o *options, out io.Writer) (bool, error) {
	equivalents, err := readEquivalents(equivalentText)
	if err != nil {
		return false, fmt.Errorf("equivalent.txt: %w", err)
	}
	work, err := os.MkdirTemp("", "mutate-")
	if err != nil {
		return false, err
	}
	defer os.RemoveAll(work)
	b := &bench{root: filepath.Join(work, "module"), work: work}
	if err := copyModule(".", b.root); err != nil {
		return false, err
	}
	r := &round{bench: b, equivalents: equivalents, sources: map[string][]byte{}, suites: map[string][]*suite{}, on: map[*mutant]string{}, out: out,
		until: time.Now().Add(time.Duration(o.minutes * float64(time.Minute)))}
	if err := r.prepare(ctx, o); err != nil {
		return false, err
	}
	r.tryAll(ctx, o.jobs, true)
	if !o.quick {
		r.tryAll(ctx, o.jobs, false)
	}
	return r.report() >= o.least, errors.Join(append(r.errors, ctx.Err())...)
}

// round is one draw of mutants.
type round struct {
	*bench
	equivalents map[key]string
	sources     map[string][]byte
	suites      map[string][]*suite // by the folder of the mutant
	mutants     []*mutant           // all there are
	on          map[*mutant]string  // of those that are built into the suites' programs
	out         io.Writer
	until       time.Time

	sync.Mutex
	equivalent, left int // known as equivalent; not tried for want of time
	counts           [survived + 1]int
	alive            []*mutant // drawn, in that order, and not killed
	errors           []error
}

// prepare draws the mutants and builds the test programs.
func (r *round) prepare(ctx context.Context, o *options) error {
	dirs, err := r.folders(ctx, o.packages)
	if err != nil {
		return err
	}
	var also []string
	if o.also != "" {
		if also, err = r.folders(ctx, strings.Split(o.also, ",")); err != nil {
			return err
		}
	}
	checkers := map[string]*checker{}
	for _, d := range dirs {
		if err := r.find(d); err != nil {
			return err
		}
		if checkers[d], err = newChecker(ctx, r.root, d, r.sources); err != nil {
			return err
		}
	}
	r.draw(o, checkers)
	for _, d := range dirs {
		files, in, err := batch(d, r.alive, r.sources)
		if err != nil {
			return err
		}
		maps.Copy(r.on, in)
		for _, name := range append([]string{d}, also...) {
			only := ""
			if name != d {
				only = o.only
			}
			s, err := r.measure(ctx, name, only, files)
			if err != nil {
				return err
			}
			r.suites[d] = append(r.suites[d], s)
		}
	}
	return nil
}

// folders gives the folders of packages, in the module.
func (r *round) folders(ctx context.Context, names []string) ([]string, error) {
	out, err := run(ctx, r.root, nil, time.Minute, "go", append([]string{"list", "-f", "{{.Dir}}"}, names...)...)
	if err != nil {
		return nil, err
	}
	dirs := strings.Fields(string(out))
	for i := range dirs {
		if dirs[i], err = filepath.Rel(r.root, dirs[i]); err != nil {
			return nil, err
		}
	}
	return dirs, nil
}

// find collects the mutants of a folder.
func (r *round) find(dir string) error {
	files, err := filepath.Glob(filepath.Join(r.root, dir, "*.go"))
	if err != nil {
		return err
	}
	for _, f := range files {
		name, err := filepath.Rel(r.root, f)
		if err != nil || strings.HasSuffix(f, "_test.go") {
			continue
		}
		if here, err := build.Default.MatchFile(filepath.Dir(f), filepath.Base(f)); err != nil || !here {
			continue // of another system
		}
		source, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		ms, err := mutantsOf(name, source)
		if err != nil {
			return err
		}
		r.sources[name] = source
		for i := range ms {
			r.mutants = append(r.mutants, &ms[i])
		}
	}
	return nil
}

// draw keeps so many mutants, at random, that compile, are wanted and are not known as equivalent.
func (r *round) draw(o *options, checkers map[string]*checker) {
	possible := len(r.mutants)
	rng := rand.New(rand.NewPCG(o.seed, 0))
	rng.Shuffle(possible, func(i, j int) { r.mutants[i], r.mutants[j] = r.mutants[j], r.mutants[i] })
	places := strings.Split(o.at, ",")
	var drawn []*mutant
	for _, m := range r.mutants {
		if len(drawn) == o.number {
			break
		}
		if o.at != "" && !slices.Contains(places, m.file) && !slices.Contains(places, fmt.Sprintf("%s:%d", m.file, m.line)) {
			continue
		}
		source := r.sources[m.file]
		if _, known := r.equivalents[key{m.file, m.function, m.diff(source)}]; known {
			r.equivalent++
		} else if checkers[filepath.Dir(m.file)].compiles(m, source) {
			drawn = append(drawn, m)
		} else {
			r.counts[noMutant]++
		}
	}
	r.alive = drawn
	fmt.Fprintf(r.out, "%d of %d possible mutants of %s, seed %d\n", len(drawn), possible, strings.Join(o.packages, " "), o.seed)
}

// tryAll tries those that are alive by the quick tests or by the slow ones.
func (r *round) tryAll(ctx context.Context, jobs int, quick bool) {
	todo := r.alive
	r.alive = nil
	var wait sync.WaitGroup
	for range max(1, jobs) {
		wait.Go(func() {
			for {
				r.Lock()
				if len(todo) == 0 || len(r.errors) > 0 || ctx.Err() != nil {
					r.Unlock()
					return
				}
				m := todo[0]
				todo = todo[1:]
				late := time.Now().After(r.until)
				if late && quick {
					r.left++
				} else if late {
					r.alive = append(r.alive, m)
				}
				r.Unlock()
				if late {
					continue
				}
				v, err := r.try(ctx, m, r.on[m], r.sources[m.file], r.suites[filepath.Dir(m.file)], quick)
				r.note(m, v, err, quick)
			}
		})
	}
	wait.Wait()
	r.counts[survived] = len(r.alive)
}

func (r *round) note(m *mutant, v verdict, err error, quick bool) {
	r.Lock()
	defer r.Unlock()
	if err != nil {
		r.errors = append(r.errors, err)
		return
	}
	if v == survived {
		r.alive = append(r.alive, m)
	} else {
		r.counts[v]++
	}
	words := map[verdict]string{noMutant: "no mutant", killed: "killed", killedByTime: "killed by time", survived: "alive"}
	by := "slow"
	if quick {
		by = "quick"
	}
	fmt.Fprintf(r.out, "%-14s by %s tests: %s:%d %s\n", words[v], by, m.file, m.line, m.kind)
}

// report prints the survivors and gives the killed in per cent, 100 if there was none to kill.
func (r *round) report() float64 {
	slices.SortFunc(r.alive, func(a, b *mutant) int { return cmp.Or(cmp.Compare(a.file, b.file), cmp.Compare(a.start, b.start)) })
	for _, m := range r.alive {
		fmt.Fprintf(r.out, "\nsurvived: %s:%d %s (%s)\n%s", m.file, m.line, cmp.Or(m.function, "-"), m.kind, m.diff(r.sources[m.file]))
	}
	dead, all := r.counts[killed]+r.counts[killedByTime], 0
	for _, v := range []verdict{killed, killedByTime, survived} {
		all += r.counts[v]
	}
	rate := 100.0
	if all > 0 {
		rate = 100 * float64(dead) / float64(all)
	}
	fmt.Fprintf(r.out, "\n%d of %d killed, %.0f %% (%d of them by time; left out: %d known as equivalent, %d that do not compile, %d for want of time)\n",
		dead, all, rate, r.counts[killedByTime], r.equivalent, r.counts[noMutant], r.left)
	return rate
}
