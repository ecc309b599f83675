package main

import (
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// readBase gives what a rebuild starts from: the saved plan, with the series that are on record as they were played, or
// the record alone.
func readBase(c *cli.Context, sio stdio, f *drills.Folder) (*gameplan.Saved, error) {
	var saved *gameplan.Saved
	var err error
	if c.String("from") != "" {
		if saved, err = readSaved(c.String("from")); err != nil {
			return nil, err
		}
	}
	g, note, err := gameOn(c, sio, f)
	switch {
	case err != nil:
		return nil, err
	case g == nil && saved == nil:
		more := ""
		if note != "" {
			more = "; " + note
		}
		return nil, usagef("rebuild from which plan? Give --from plan.json (sevenyard lineup --save plan.json writes one), or --game and the id of a game on record%s", more)
	case g == nil:
	case saved == nil:
		saved, err = gameplan.FromRecord(g, f)
	default:
		saved, err = saved.WithRecord(g)
	}
	if errors.Is(err, gameplan.ErrOver) {
		return nil, fmt.Errorf("game %s: %w", g.ID, err)
	}
	if err == nil && note != "" {
		saved.Note("%s", note)
	}
	return saved, err
}

// gameOn is the game on record that is asked for, or that is on: the last one, if it is of today and not all its series are on record;
// nil: none. What was not asked for is told in a note.
func gameOn(c *cli.Context, sio stdio, f *drills.Folder) (g *games.Game, note string, err error) {
	src, err := readSource(c)
	if err != nil {
		return nil, "", err
	}
	rec, err := games.ReadFolder(src.FS)
	if err != nil {
		return nil, "", err
	}
	id := c.String("game")
	if on := onToday(rec, sio, f); id == "" && on != nil {
		id = on.ID
		note = fmt.Sprintf("game %s is of today, with %s on record: taken as the game that is on", id, gameplan.Count(gameplan.Recorded(on), "series"))
	} else if n := len(rec.Games); id == "" && n > 0 && rec.Games[n-1].Date == "" && gameplan.Recorded(&rec.Games[n-1]) < f.Team.Series {
		last := &rec.Games[n-1]
		note = fmt.Sprintf("%s has game %s without a date and with %s: if that is the game that is on, add --game %s",
			games.File, last.ID, gameplan.Count(gameplan.Recorded(last), "series"), last.ID)
	}
	if id == "" {
		return nil, note, nil
	}
	if _, err := rec.Check(f); err != nil {
		return nil, "", err
	}
	found, ok := rec.Game(id)
	if !ok {
		var ids []string
		for _, x := range rec.Games {
			id := x.ID
			if maybeName(id) {
				id = strconv.Quote(id) // and so it is not told where names are left out
			}
			ids = append(ids, id)
		}
		there := "there is none yet; sevenyard record writes it"
		if len(ids) > 0 {
			there = "it has " + gameplan.And(ids[max(0, len(ids)-8):])
		}
		return nil, "", fmt.Errorf("--game: no game %q in %s; %s", id, games.File, there)
	}
	return &found, note, nil
}

// today is the date as the record writes it.
func (sio stdio) today() string {
	if sio.Now != nil {
		return sio.Now().Format(time.DateOnly)
	}
	return time.Now().Format(time.DateOnly)
}
