package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// verdict is what became of a mutant.
type verdict int

const (
	noMutant verdict = iota // it does not compile
	killed
	killedByTime
	survived
)

// slow is the time from which on a test is left for mutants that the others let live.
const slow = time.Second

// memory that a mutant may ask for, KiB: a loop without end must not take the machine with it.
const memory = 8 << 20

// suite is a package's tests, with what a run without a mutant told of them.
type suite struct {
	dir   string // in the copy of the module
	slow  string // a pattern of the slow tests, "" for none
	limit time.Duration
}

// bench tries mutants in a copy of the module, so that neither it nor a test that goes wild changes the real one.
type bench struct {
	root string // the copy
	work string // for builds
}

// build makes the test program of a package, with one file replaced if overlay says so.
func (b *bench) build(ctx context.Context, dir, program, overlay string) error {
	args := []string{"test", "-c", "-trimpath", "-vet=off", "-ldflags=-s -w", "-o", program}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	_, err := run(ctx, b.root, 10*time.Minute, "go", append(args, "./"+dir)...)
	return err
}

// measure runs a package's tests as they are: they have to pass, and it notes which of them are slow.
func (b *bench) measure(ctx context.Context, dir string) (*suite, error) {
	program := filepath.Join(b.work, "as-it-is.test")
	if err := b.build(ctx, dir, program, ""); err != nil {
		return nil, err
	}
	start := time.Now()
	out, err := b.tests(ctx, dir, program, time.Hour, "-test.v")
	if err != nil {
		return nil, fmt.Errorf("the tests of %s fail without a mutant: %w\n%s", dir, err, out)
	}
	return &suite{dir, slowTests(out), 5*time.Since(start) + 20*time.Second}, nil
}

var passed = regexp.MustCompile(`(?m)^--- PASS: (\S+) \(([0-9.]+)s\)$`)

func slowTests(out []byte) string {
	var names []string
	for _, m := range passed.FindAllSubmatch(out, -1) {
		if s, err := strconv.ParseFloat(string(m[2]), 64); err == nil && s >= slow.Seconds() {
			names = append(names, string(m[1]))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "^(" + strings.Join(names, "|") + ")$"
}

// try gives the verdict on a mutant by the suites, in their order. The number keeps trials that run side by side apart.
func (b *bench) try(ctx context.Context, m *mutant, source []byte, suites []*suite, number int) (verdict, error) {
	work, err := os.MkdirTemp(b.work, strconv.Itoa(number)+"-")
	if err != nil {
		return noMutant, err
	}
	defer os.RemoveAll(work)
	changed, overlay := filepath.Join(work, "mutant.go"), filepath.Join(work, "overlay.json")
	if err := os.WriteFile(changed, m.apply(source), 0o600); err != nil {
		return noMutant, err
	}
	paths, err := json.Marshal(map[string]map[string]string{"Replace": {filepath.Join(b.root, m.file): changed}})
	if err != nil {
		return noMutant, err
	}
	if err := os.WriteFile(overlay, paths, 0o600); err != nil {
		return noMutant, err
	}
	for _, s := range suites {
		program := filepath.Join(work, "mutant.test")
		if err := b.build(ctx, s.dir, program, overlay); err != nil {
			return noMutant, ctx.Err()
		}
		rounds := [][]string{{"-test.failfast"}}
		if s.slow != "" {
			rounds = [][]string{{"-test.failfast", "-test.skip", s.slow}, {"-test.failfast", "-test.run", s.slow}}
		}
		for _, args := range rounds {
			_, err := b.tests(ctx, s.dir, program, s.limit, args...)
			switch {
			case ctx.Err() != nil:
				return noMutant, ctx.Err()
			case errors.Is(err, context.DeadlineExceeded):
				return killedByTime, nil
			case err != nil:
				return killed, nil
			}
		}
	}
	return survived, nil
}

func (b *bench) tests(ctx context.Context, dir, program string, limit time.Duration, args ...string) ([]byte, error) {
	args = append([]string{"-c", fmt.Sprintf(`ulimit -v %d && exec "$@"`, memory), "sh", program}, args...)
	return run(ctx, filepath.Join(b.root, dir), limit, "sh", args...)
}

// run waits for a command. At the limit, or when ctx ends, it and all it started are killed.
func run(ctx context.Context, dir string, limit time.Duration, command string, args ...string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	var out bytes.Buffer
	c := exec.CommandContext(ctx, command, args...)
	c.Dir, c.Stdout, c.Stderr = dir, &out, &out
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	c.Cancel = func() error { return syscall.Kill(-c.Process.Pid, syscall.SIGKILL) }
	c.WaitDelay = 5 * time.Second
	err := c.Run()
	if c.Process != nil {
		_ = syscall.Kill(-c.Process.Pid, syscall.SIGKILL) // what it left behind, if anything
	}
	if ctx.Err() != nil {
		return out.Bytes(), ctx.Err()
	}
	if err != nil {
		return out.Bytes(), fmt.Errorf("%s: %w: %s", command, err, bytes.TrimSpace(out.Bytes()))
	}
	return out.Bytes(), nil
}

// copyModule copies the module's files, without what is not its own.
func copyModule(from, to string) error {
	return filepath.WalkDir(from, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		target := filepath.Join(to, name)
		switch {
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules"):
			return filepath.SkipDir
		case d.IsDir():
			return os.MkdirAll(target, 0o700)
		case !d.Type().IsRegular():
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(target, data, 0o600)
	})
}
