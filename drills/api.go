package drills

import "io/fs"

// Default is the embedded catalogue.
func Default() Catalogue { panic("not written") }

// ReadFolder reads a team folder: team.toml, roster.csv, results.csv and fits.csv.
// roster.csv must be there; results.csv must be there unless fits.csv is complete.
// The error is of type Problems and lists every problem of every file.
func ReadFolder(dir fs.FS) (*Folder, error) { panic("not written") }
