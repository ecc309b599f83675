//go:build !unix

package main

import "github.com/rogpeppe/go-internal/testscript"

// mkfifo makes a pipe; here there are none with names.
func mkfifo(ts *testscript.TestScript, _ bool, _ []string) { ts.Fatalf("no pipes here") }
