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
	dir     string // in the copy of the module
	program string
	only    string // a pattern of the tests that are asked, "" for all
	slow    string // a pattern of the slow tests, "" for none
	limit   time.Duration
}

// bench tries mutants in a copy of the module, so that neither it nor a test that goes wild changes the real one.
type bench struct {
	root string // the copy
	work string // for builds
}

// build makes the test program of a package, with the files of overlay (by name in the module) in place of its own.
func (b *bench) build(ctx context.Context, dir, program string, overlay map[string][]byte) error {
	work, err := os.MkdirTemp(b.work, "overlay-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	replace := map[string]string{}
	for name, text := range overlay {
		file := filepath.Join(work, fmt.Sprintf("%d.go", len(replace)))
		if err := os.WriteFile(file, text, 0o600); err != nil {
			return err
		}
		replace[filepath.Join(b.root, name)] = file
	}
	paths, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return err
	}
	list := filepath.Join(work, "overlay.json")
	if err := os.WriteFile(list, paths, 0o600); err != nil {
		return err
	}
	_, err = run(ctx, b.root, nil, 10*time.Minute, "go", "test", "-c", "-trimpath", "-vet=off", "-ldflags=-s -w", "-overlay", list, "-o", program, "./"+dir)
	return err
}

// measure builds a package's tests with a batch of mutants, none of which is on, and runs them: they have to pass. It notes which of
// them are slow.
func (b *bench) measure(ctx context.Context, dir, only string, overlay map[string][]byte) (*suite, error) {
	program := filepath.Join(b.work, strings.ReplaceAll(dir, "/", "-")+".test")
	for i := 2; ; i++ {
		if _, err := os.Stat(program); err != nil {
			break
		}
		program = filepath.Join(b.work, fmt.Sprintf("%s-%d.test", strings.ReplaceAll(dir, "/", "-"), i))
	}
	if err := b.build(ctx, dir, program, overlay); err != nil {
		return nil, err
	}
	start := time.Now()
	out, err := b.tests(ctx, dir, program, "", time.Hour, "-test.v", "-test.run", only)
	if err != nil {
		return nil, fmt.Errorf("the tests of %s fail without a mutant: %w\n%s", dir, err, out)
	}
	return &suite{dir, program, only, slowTests(out), 5*time.Since(start) + 20*time.Second}, nil
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

// try gives the verdict on a mutant by the quick or the slow tests of the suites, in their order. on chooses it in their programs; if
// it is "", programs are built for it.
func (b *bench) try(ctx context.Context, m *mutant, on string, source []byte, suites []*suite, quick bool) (verdict, error) {
	for _, s := range suites {
		args := []string{"-test.failfast"}
		switch {
		case s.slow != "" && quick:
			args = append(args, "-test.run", s.only, "-test.skip", s.slow)
		case s.slow != "":
			args = append(args, "-test.run", s.slow)
		case !quick:
			continue
		default:
			args = append(args, "-test.run", s.only)
		}
		program := s.program
		if on == "" {
			work, err := os.MkdirTemp(b.work, "mutant-")
			if err != nil {
				return noMutant, err
			}
			defer os.RemoveAll(work)
			program = filepath.Join(work, "mutant.test")
			if err := b.build(ctx, s.dir, program, map[string][]byte{m.file: m.apply(source)}); err != nil {
				return noMutant, ctx.Err()
			}
		}
		_, err := b.tests(ctx, s.dir, program, on, s.limit, args...)
		switch {
		case ctx.Err() != nil:
			return noMutant, ctx.Err()
		case errors.Is(err, context.DeadlineExceeded):
			return killedByTime, nil
		case err != nil:
			return killed, nil
		}
	}
	return survived, nil
}

// tests runs a test program in its package's folder, with one of its mutants on.
func (b *bench) tests(ctx context.Context, dir, program, on string, limit time.Duration, args ...string) ([]byte, error) {
	args = append([]string{"-c", fmt.Sprintf(`ulimit -v %d && exec "$@"`, memory), "sh", program}, args...)
	return run(ctx, filepath.Join(b.root, dir), []string{variable + "=" + on}, limit, "sh", args...)
}

// run waits for a command. At the limit, or when ctx ends, it and all it started are killed.
func run(ctx context.Context, dir string, environment []string, limit time.Duration, command string, args ...string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	var out bytes.Buffer
	c := exec.CommandContext(ctx, command, args...)
	c.Dir, c.Stdout, c.Stderr = dir, &out, &out
	c.Env = append(os.Environ(), environment...)
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
