//go:build unix

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// closedOut tells whether the program was started with standard output closed. Go then opens the null device in its place,
// for reading and writing, before any of this runs; a shell that is told to throw output away opens it for writing only.
func closedOut(f *os.File) bool {
	is, err1 := f.Stat()
	null, err2 := os.Stat(os.DevNull)
	if err1 != nil || err2 != nil || !os.SameFile(is, null) {
		return err1 != nil
	}
	flags, err := unix.FcntlInt(f.Fd(), unix.F_GETFL, 0)
	return err == nil && flags&unix.O_ACCMODE == unix.O_RDWR
}
