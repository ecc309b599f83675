//go:build !unix

package regular

// DontFollow: the system has no such flag; there the look before has to do.
const DontFollow = 0
