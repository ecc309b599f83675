package tty

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// ReadRecord reads the games on record and compares them with the team. With an error of type drills.Problems, the record holds what could be read.
func ReadRecord(src Source, f *drills.Folder) (*games.Record, drills.Problems, error) {
	rec, err := games.ReadFolder(src.FS)
	var problems drills.Problems
	if err != nil && !errors.As(err, &problems) || rec == nil {
		return nil, nil, err
	}
	warnings, err := rec.Check(f) // of what could be read, so that all problems are told at once
	var more drills.Problems
	if err != nil && !errors.As(err, &more) {
		return nil, nil, err
	}
	problems = append(slices.Clone(problems), more...)
	slices.SortStableFunc(problems, func(a, b drills.Problem) int { return cmp.Compare(a.At.Line, b.At.Line) })
	if len(problems) > 0 {
		return rec, nil, problems
	}
	return rec, append(slices.Clone(rec.Warnings), warnings...), nil
}

// HideProblems takes what was typed, and may be a name, out of problems where names are to be left out.
func (v View) HideProblems(err error, src Source, f *drills.Folder) error {
	var ps drills.Problems
	if v.IDsOnly && errors.As(err, &ps) {
		return v.NamelessRecord(ps, src, f)
	}
	return err
}

// NamelessRecord is nameless, and takes ids of games that may be names out too.
func (v View) NamelessRecord(ps drills.Problems, src Source, f *drills.Folder) drills.Problems {
	out, hide := nameless(ps, f), HideGames(GamesNamed(src.FS))
	for i := range out {
		out[i].What, out[i].Do = hide(out[i].What), hide(out[i].Do)
	}
	return out
}

// StillToCome warns of games on record that are dated in the future: they count as played, and most likely a date is wrong.
func StillToCome(rec *games.Record, sio IO) drills.Problems {
	var out drills.Problems
	for _, g := range rec.Games {
		if today := sio.Today(); isDate(g.Date) && g.Date > today { // what is no date has a warning of its own
			out = append(out, drills.Problem{At: drills.Place{File: games.File}, What: fmt.Sprintf("game %q is dated %s, which is still to come (today is %s), and counts as played", g.ID, g.Date, today),
				Do: "if the date is wrong, record it again with --date"})
		}
	}
	return out
}
