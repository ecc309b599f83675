package team

import (
	"errors"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// checkRecord adds what is wrong with games.csv to what is wrong with the other files of a folder (before), and its warnings to the
// folder's.
func checkRecord(v tty.View, src tty.Source, f *drills.Folder, before error) error {
	var problems, more drills.Problems
	if before != nil && !errors.As(before, &problems) {
		return before
	}
	team := f
	var err error
	if f == nil {
		team = &drills.Folder{} // kids and roles cannot be compared with what cannot be read
		_, err = games.ReadFolder(src.FS)
	} else {
		var odd drills.Problems
		_, odd, err = planning.ReadRecord(src.FS, f)
		f.Warnings = append(f.Warnings, odd...)
	}
	if v.IDsOnly {
		team.Warnings = nameless.OfRecord(team.Warnings, src.FS, team)
	}
	switch errors.As(v.HideProblems(err, src, team), &more); {
	case err != nil && more == nil:
		return err
	case len(problems)+len(more) > 0:
		return append(problems, more...)
	}
	return nil
}
