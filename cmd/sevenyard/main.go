package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/term"

	"sevenyard/cmd/sevenyard/internal/tty"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)   // a second Ctrl-C ends the program at once
	signal.Ignore(syscall.SIGPIPE) // a reader that is gone is an error of writing, like others
	sio := tty.IO{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Getenv: os.Getenv}
	if closedOut(os.Stdout) {
		sio.Out = noOut{}
	}
	if fd := int(os.Stdout.Fd()); term.IsTerminal(fd) {
		sio.OutTerminal = true
		sio.Columns, _, _ = term.GetSize(fd)
	}
	sio.ErrTerminal = term.IsTerminal(int(os.Stderr.Fd()))
	os.Exit(run(ctx, os.Args[1:], sio))
}

// noOut is a standard output that is closed.
type noOut struct{}

func (noOut) Write([]byte) (int, error) { return 0, errNoOut }

var errNoOut = errors.New("it is closed")
