package gameday

import (
	"errors"
	"fmt"

	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// readBase gives what a rebuild starts from: the saved plan, with the series that are on record as they were played, or
// the record alone.
func (g *Game) readBase(from string) (*gameplan.Saved, error) {
	var saved *gameplan.Saved
	var err error
	if from != "" {
		if saved, err = ReadSaved(from); err != nil {
			return nil, err
		}
	}
	on, note, err := g.gameOn()
	switch {
	case err != nil:
		return nil, err
	case on == nil && saved == nil:
		more := ""
		if note != "" {
			more = "; " + note
		}
		return nil, tty.Usagef("rebuild from which plan? Give --from plan.json (sevenyard lineup --save plan.json writes one), or --game and the id of a game on record%s", more)
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
	rec, id := g.rec, g.season.game
	if today := OnToday(rec, g.sio, g.Folder); id == "" && today != nil {
		id = today.ID
		note = fmt.Sprintf("game %s is of today, with %s on record: taken as the game that is on", id, gameplan.Count(gameplan.Recorded(today), "series"))
	} else if n := len(rec.Games); id == "" && n > 0 && rec.Games[n-1].Date == "" && gameplan.Recorded(&rec.Games[n-1]) < g.Folder.Team.Series {
		last := &rec.Games[n-1]
		note = fmt.Sprintf("%s has game %s without a date and with %s: if that is the game that is on, add --game %s",
			games.File, last.ID, gameplan.Count(gameplan.Recorded(last), "series"), last.ID)
	}
	if id == "" {
		return nil, note, nil
	}
	if g.recErr != nil {
		return nil, "", g.HideProblems(g.recErr, g.src, g.Folder)
	}
	found, ok := rec.Game(id)
	if !ok {
		var ids []string
		for _, x := range rec.Games {
			ids = append(ids, tty.GameInList(x.ID))
		}
		there := "there is none yet; sevenyard record writes it"
		if len(ids) > 0 {
			there = "it has " + gameplan.And(ids[max(0, len(ids)-8):])
		}
		return nil, "", fmt.Errorf("--game: no game %q in %s; %s", id, games.File, there)
	}
	return &found, note, nil
}

// roll reads the record, once for all that a command asks of it, and settles who may not be on the field today.
func (g *Game) roll() error {
	g.rec, g.recOdd, g.recErr = tty.ReadRecord(g.src, g.Folder)
	var ps drills.Problems
	switch {
	case g.recErr != nil && !errors.As(g.recErr, &ps):
		return g.recErr
	case g.recErr != nil && !g.season.ignore:
		return g.HideProblems(withoutSeason(g.recErr), g.src, g.Folder)
	}
	if on, there := g.rec.Game(g.season.game); there {
		g.season.game = on.ID // 07 where the record has 7
	}
	g.wishes.Out = g.out(g.season.game)
	return nil
}

// out is who may not be on the field in a game ("": the one that is on).
func (g *Game) out(id string) availability.Out {
	return availability.Of(g.Folder.Roster, g.rec, id, g.sio.Today(), g.Folder.Team.Series)
}
