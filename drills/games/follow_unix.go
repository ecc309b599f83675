//go:build unix

package games

import "syscall"

// dontFollow keeps the lock's file from being opened through a link that was made after the look.
const dontFollow = syscall.O_NOFOLLOW
