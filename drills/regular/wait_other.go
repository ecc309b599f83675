//go:build !unix

package regular

// dontWait: the system has no such flag, or does not need it.
const dontWait = 0
