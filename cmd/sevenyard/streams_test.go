package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"sevenyard/cmd/sevenyard/internal/tty"
)

// process starts the program as a process of its own, with standard output as given; nil: closed.
func process(ts *testscript.TestScript, out *os.File, args []string) (p *os.Process, errs *os.File) {
	null, err := os.Open(os.DevNull)
	ts.Check(err)
	defer null.Close()
	errs, err = os.Create(filepath.Join(ts.Getenv("WORK"), "errors"))
	ts.Check(err)
	files := []*os.File{null, out, errs}
	name := ""
	for _, dir := range filepath.SplitList(ts.Getenv("PATH")) {
		if path := filepath.Join(dir, "sevenyard"); name == "" {
			if _, err := os.Stat(path); err == nil {
				name = path
			}
		}
	}
	p, err = os.StartProcess(name, append([]string{"sevenyard"}, args...), &os.ProcAttr{Dir: ts.MkAbs("."), Files: files})
	ts.Check(err)
	return p, errs
}

// unprinted runs the program with a standard output that cannot be written: full, closed, or gone, as a pipe whose reader is. It has to
// end with 1, and what it says is in the file "errors".
func unprinted(ts *testscript.TestScript, neg bool, args []string) {
	var out *os.File
	var err error
	switch args[0] {
	case "full":
		out, err = os.OpenFile("/dev/full", os.O_WRONLY, 0)
	case "gone":
		var in *os.File
		in, out, err = os.Pipe()
		ts.Check(errors.Join(err, in.Close()))
	case "closed":
	case "null":
		out, err = os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	}
	ts.Check(err)
	p, errs := process(ts, out, args[1:])
	state, err := p.Wait()
	ts.Check(errors.Join(err, errs.Close()))
	if want := tty.ExitInput; (state.ExitCode() != want) != neg {
		text, _ := os.ReadFile(errs.Name())
		ts.Fatalf("%v: %v\n%s", args, state, text)
	}
}

// interrupted sends the program the signal of Ctrl-C after three seconds, so that a plan is there on a busy machine too; it has to end within a minute with status 1. What it printed is in
// the files "printed" and "errors".
func interrupted(ts *testscript.TestScript, _ bool, args []string) {
	out, err := os.Create(filepath.Join(ts.Getenv("WORK"), "printed"))
	ts.Check(err)
	p, errs := process(ts, out, args)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	context.AfterFunc(ctx, func() {
		if !errors.Is(ctx.Err(), context.Canceled) {
			_ = p.Kill()
		}
	})
	time.Sleep(3 * time.Second)
	ts.Check(p.Signal(syscall.SIGINT))
	state, err := p.Wait()
	ts.Check(errors.Join(err, errs.Close(), out.Close()))
	if state.ExitCode() != tty.ExitInput {
		text, _ := os.ReadFile(errs.Name())
		ts.Fatalf("%v: %v\n%s", args, state, bytes.TrimSpace(text))
	}
}
