//go:build unix

package regular

import "syscall"

// DontFollow as a flag to open with keeps a file from being opened through a link that was made after the look.
const DontFollow = syscall.O_NOFOLLOW
