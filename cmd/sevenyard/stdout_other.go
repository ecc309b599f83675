//go:build !unix

package main

import "os"

// closedOut tells whether the program was started with standard output closed.
func closedOut(f *os.File) bool {
	_, err := f.Stat()
	return err != nil
}
