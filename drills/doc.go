// Package drills holds the facts of the trade and reads the files a person keeps.
//
// The facts are data (catalogue.toml, embedded): traits, drills, roles, formations and the
// run share of a division. The files are those of a team folder: team.toml, roster.csv,
// results.csv and, optionally, fits.csv. Readers report every problem of a file at once, each with file, line,
// the value and what to do about it; nothing is dropped or guessed silently.
//
// The package knows no statistics: it hands on trials as they were written down.
package drills
