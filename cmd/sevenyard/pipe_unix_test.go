//go:build unix

package main

import (
	"syscall"

	"github.com/rogpeppe/go-internal/testscript"
)

// mkfifo makes a pipe.
func mkfifo(ts *testscript.TestScript, _ bool, args []string) {
	ts.Check(syscall.Mkfifo(ts.MkAbs(args[0]), 0o600))
}
