//go:build !unix

package games

// dontFollow: the system has no such flag; there the look before has to do.
const dontFollow = 0
