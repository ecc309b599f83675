package drills

import (
	"embed"
	"io/fs"
)

//go:embed templates/team.toml templates/roster.csv templates/results.csv templates/pool
var templateFiles embed.FS

// Templates holds the files of a new team folder, with comments that explain every key and column.
func Templates() fs.FS {
	sub, err := fs.Sub(templateFiles, "templates")
	if err != nil {
		panic("drills: embedded templates: " + err.Error())
	}
	return sub
}

// PoolTemplates holds the files of a new pool folder in the same way.
func PoolTemplates() fs.FS {
	sub, err := fs.Sub(templateFiles, "templates/pool")
	if err != nil {
		panic("drills: embedded templates: " + err.Error())
	}
	return sub
}
