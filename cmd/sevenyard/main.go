package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/term"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	sio := stdio{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Getenv: os.Getenv}
	if fd := int(os.Stdout.Fd()); term.IsTerminal(fd) {
		sio.OutTerminal = true
		sio.Columns, _, _ = term.GetSize(fd)
	}
	sio.ErrTerminal = term.IsTerminal(int(os.Stderr.Fd()))
	os.Exit(run(ctx, os.Args[1:], sio))
}
