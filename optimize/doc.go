// Package optimize is the home of the solvers: rotation plans the series of a game.
//
// The solvers know numbers and labels only: no files, no terminals, no drills. All decisions
// are made in integers, so that every bound and proof is exact.
package optimize
