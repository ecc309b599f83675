package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// readBase gives what a rebuild starts from: the saved plan, with the series that are on record as they were played, or
// the record alone.
func (g *game) readBase(c *cli.Context) (*gameplan.Saved, error) {
	var saved *gameplan.Saved
	var err error
	if c.String("from") != "" {
		if saved, err = readSaved(c.String("from")); err != nil {
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
		return nil, usagef("rebuild from which plan? Give --from plan.json (sevenyard lineup --save plan.json writes one), or --game and the id of a game on record%s", more)
	case on == nil:
	case saved == nil:
		saved, err = gameplan.FromRecord(on, g.folder)
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
func (g *game) gameOn() (on *games.Game, note string, err error) {
	rec, id := g.rec, g.season.game
	if today := onToday(rec, g.sio, g.folder); id == "" && today != nil {
		id = today.ID
		note = fmt.Sprintf("game %s is of today, with %s on record: taken as the game that is on", id, gameplan.Count(gameplan.Recorded(today), "series"))
	} else if n := len(rec.Games); id == "" && n > 0 && rec.Games[n-1].Date == "" && gameplan.Recorded(&rec.Games[n-1]) < g.folder.Team.Series {
		last := &rec.Games[n-1]
		note = fmt.Sprintf("%s has game %s without a date and with %s: if that is the game that is on, add --game %s",
			games.File, last.ID, gameplan.Count(gameplan.Recorded(last), "series"), last.ID)
	}
	if id == "" {
		return nil, note, nil
	}
	if g.recErr != nil {
		return nil, "", g.hideProblems(g.recErr, g.src, g.folder)
	}
	found, ok := rec.Game(id)
	if !ok {
		var ids []string
		for _, x := range rec.Games {
			ids = append(ids, gameInList(x.ID))
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
func (g *game) roll() error {
	g.rec, g.recOdd, g.recErr = readRecord(g.src, g.folder)
	var ps drills.Problems
	switch {
	case g.recErr != nil && !errors.As(g.recErr, &ps):
		return g.recErr
	case g.recErr != nil && !g.season.ignore:
		return g.hideProblems(withoutSeason(g.recErr), g.src, g.folder)
	}
	if on, there := g.rec.Game(g.season.game); there {
		g.season.game = on.ID // 07 where the record has 7
	}
	g.wishes.Out = g.out(g.season.game)
	return nil
}

// out is who may not be on the field in a game ("": the one that is on).
func (g *game) out(id string) availability.Out {
	return availability.Of(g.folder.Roster, g.rec, id, g.sio.today(), g.folder.Team.Series)
}

// today is the date as the record writes it.
func (sio stdio) today() string {
	if sio.Now != nil {
		return sio.Now().Format(time.DateOnly)
	}
	return time.Now().Format(time.DateOnly)
}
