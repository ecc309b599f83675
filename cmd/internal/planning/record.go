package planning

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"time"

	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// ReadRecord reads the games on record of a folder and compares them with the team. With an error of type drills.Problems, the record holds what could be read.
func ReadRecord(dir fs.FS, f *drills.Folder) (*games.Record, drills.Problems, error) {
	rec, err := games.ReadFolder(dir)
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

// roll reads the record, once for all that is asked of it, and settles who may not be on the field today.
func (g *Game) roll() error {
	g.Record, _, g.recordErr = ReadRecord(g.Dir, g.Folder)
	var ps drills.Problems
	switch {
	case g.recordErr != nil && !errors.As(g.recordErr, &ps):
		return g.recordErr
	case g.recordErr != nil && !g.Season.Ignore:
		return g.hideProblems(g.withoutSeason(g.recordErr))
	}
	if on, there := g.Record.Game(g.Season.Game); there {
		g.Season.Game = on.ID // 07 where the record has 7
	}
	g.Wishes.Out = g.out(g.Record)
	return nil
}

// out is who may not be on the field by a record.
func (g *Game) out(rec *games.Record) availability.Out {
	return availability.Of(g.Folder.Roster, rec, g.Season.Game, g.Today, g.Folder.Team.Series)
}

// onceCleared is who may not be on the field when a kid's marks on record are cleared.
func (g *Game) onceCleared(kid string) availability.Out {
	rec := *g.Record
	rec.Games = slices.Clone(rec.Games)
	for i := range rec.Games {
		marks := slices.Clone(rec.Games[i].Marks)
		for j := range marks {
			marks[j].Cleared = marks[j].Cleared || marks[j].Kid == kid
		}
		rec.Games[i].Marks = marks
	}
	return g.out(&rec)
}

// hideProblems takes what was typed, and may be a name, out of problems where names are to be left out.
func (g *Game) hideProblems(err error) error {
	var ps drills.Problems
	if g.Nameless && errors.As(err, &ps) {
		return nameless.OfRecord(ps, g.Dir, g.Folder)
	}
	return err
}

// owe lets the plan know what kids are owed. The game being planned is none of the earlier ones.
func (g *Game) owe() error {
	for _, k := range g.Folder.Roster {
		if b, barred := g.Wishes.Out.Find(k.ID); barred && b.Undated && b.Game != g.Season.Game {
			g.Plan.Notes = append(g.Plan.Notes, fmt.Sprintf("kid %s was hurt in game %s, which has no date, or none that is written as 2026-09-12, and so may be of today: not planned; if the game was earlier, %s",
				k.ID, b.Game, g.Words.DateGame(b.Game)))
		}
	}
	if g.Season.Ignore {
		if g.recordErr != nil {
			g.Plan.Notes = append(g.Plan.Notes, "games.csv cannot be read in full: who was hurt today may stand in what cannot be read, and would then be planned; look before anybody plays"+g.Words.ReadFiles())
		}
		return nil
	}
	rec, without := g.Record, g.Season.Game
	if on := OnToday(rec, g.Today, g.Folder); without == "" && on != nil {
		if without = on.ID; !g.Season.Quiet {
			g.Plan.Notes = append(g.Plan.Notes, fmt.Sprintf("game %s of today is still on; it does not count as an earlier one", on.ID))
		}
	}
	rec = gameplan.Before(rec, without)
	g.Plan.HurtBefore(rec, without)
	s, err := gameplan.NewSeason(g.Folder, rec, without)
	if err != nil {
		return err
	}
	warnings := append(slices.Clone(rec.Warnings), StillToCome(rec, g.Today, g.Words.DateAgain())...)
	if g.Nameless {
		warnings = nameless.OfRecord(warnings, g.Dir, g.Folder)
	}
	g.SeasonWarnings = warnings.Words()
	g.Plan.Owe(s)
	return nil
}

// StillToCome warns of games on record that are dated after today: they count as played, and most likely a date is wrong. do says what to do.
func StillToCome(rec *games.Record, today, do string) drills.Problems {
	var out drills.Problems
	for _, g := range rec.Games {
		if _, err := time.Parse(time.DateOnly, g.Date); err == nil && g.Date > today { // what is no date has a warning of its own
			out = append(out, drills.Problem{At: drills.Place{File: games.File}, What: fmt.Sprintf("game %q is dated %s, which is still to come (today is %s), and counts as played", g.ID, g.Date, today),
				Do: "if the date is wrong, " + do})
		}
	}
	return out
}

// OnToday is the last game on record, if it is of today and not all its series are on record; nil: none.
func OnToday(rec *games.Record, today string, f *drills.Folder) *games.Game {
	if len(rec.Games) == 0 {
		return nil
	}
	last := &rec.Games[len(rec.Games)-1]
	if last.Date != today || gameplan.Recorded(last) >= f.Team.Series {
		return nil
	}
	return last
}

// withoutSeason adds to the problems of the record what to do if there is no time to mend them.
func (g *Game) withoutSeason(err error) error {
	var ps drills.Problems
	if !errors.As(err, &ps) {
		return err
	}
	return append(slices.Clone(ps), drills.Problem{At: drills.Place{File: games.File}, What: "until that is mended it cannot be told what earlier games owe", Do: g.Words.PlanAlone()})
}

// NoBase is that there is neither a plan nor a game on record to start from, with what else there is to say.
type NoBase struct{ Note string }

func (e *NoBase) Error() string { return "rebuild from which plan?" }

// Base gives what a rebuild starts from: a saved plan (nil: there is none) with the series that are on record as they were played, or the
// record alone.
func (g *Game) Base(saved *gameplan.Saved) (*gameplan.Saved, error) {
	on, note, err := g.gameOn()
	switch {
	case err != nil:
		return nil, err
	case on == nil && saved == nil:
		return nil, &NoBase{Note: note}
	case on == nil:
	case saved == nil:
		saved, err = gameplan.FromRecord(on, g.Folder)
	default:
		saved, err = saved.WithRecord(on)
	}
	if errors.Is(err, gameplan.ErrOver) {
		return nil, fmt.Errorf("game %s: %w", on.ID, err)
	}
	if err == nil && note != "" {
		saved.Note("%s", note)
	}
	return saved, err
}

// gameOn is the game on record that is asked for, or that is on: the last one, if it is of today and not all its series are on record;
// nil: none. What was not asked for is told in a note.
func (g *Game) gameOn() (on *games.Game, note string, err error) {
	rec, id := g.Record, g.Season.Game
	if today := OnToday(rec, g.Today, g.Folder); id == "" && today != nil {
		id = today.ID
		note = fmt.Sprintf("game %s is of today, with %s on record: taken as the game that is on", id, prose.Count(gameplan.Recorded(today), "series"))
	} else if n := len(rec.Games); id == "" && n > 0 && rec.Games[n-1].Date == "" && gameplan.Recorded(&rec.Games[n-1]) < g.Folder.Team.Series {
		last := &rec.Games[n-1]
		note = fmt.Sprintf("%s has game %s without a date and with %s: if that is the game that is on, %s",
			games.File, last.ID, prose.Count(gameplan.Recorded(last), "series"), g.Words.NameGame(last.ID))
	}
	if id == "" {
		return nil, note, nil
	}
	if g.recordErr != nil {
		return nil, "", g.hideProblems(g.recordErr)
	}
	found, ok := rec.Game(id)
	if !ok {
		var ids []string
		for _, x := range rec.Games {
			ids = append(ids, nameless.GameInList(x.ID))
		}
		there := "there is none yet; " + g.Words.RecordFirst()
		if len(ids) > 0 {
			there = "it has " + prose.And(ids[max(0, len(ids)-8):])
		}
		return nil, "", g.Words.NoGame(fmt.Sprintf("no game %q in %s; %s", id, games.File, there))
	}
	return &found, note, nil
}
