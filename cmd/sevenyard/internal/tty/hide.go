package tty

import (
	"errors"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// HideProblems takes what was typed, and may be a name, out of problems where names are to be left out.
func (v View) HideProblems(err error, src Source, f *drills.Folder) error {
	var ps drills.Problems
	if v.IDsOnly && errors.As(err, &ps) {
		return nameless.OfRecord(ps, src.FS, f)
	}
	return err
}

// GameID is the id of the game that an entry is about, as far as it may be shown.
func (v View) GameID(id string) string {
	if v.IDsOnly {
		return nameless.GameID(id)
	}
	return id
}

// Date is the date of a game, as far as it may be shown.
func (v View) Date(text string) string {
	if v.IDsOnly {
		return nameless.Date(text)
	}
	return text
}

// HideSeason takes opponents and ids that may be names out of a season.
func (v View) HideSeason(s *report.Season) {
	if v.IDsOnly {
		nameless.Season(s)
	}
}
