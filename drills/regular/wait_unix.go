//go:build unix

package regular

import "syscall"

// dontWait keeps opening a pipe from waiting for the other end. For plain files it does nothing.
const dontWait = syscall.O_NONBLOCK
