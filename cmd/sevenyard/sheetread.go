package main

import (
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// readScored reads a team folder and scores it.
func readScored(c *cli.Context, v view) (source, *drills.Folder, *assess.Profile, error) {
	src, err := readSource(c)
	if err != nil {
		return src, nil, nil, err
	}
	f, err := v.readTeam(src)
	if err != nil {
		return src, nil, nil, err
	}
	return src, f, assess.Assess(f), nil
}

// proveSeconds is how long it may take to prove again what a saved plan claims; most plans are proven in a tenth of a second.
const proveSeconds = 10

// readSavedLineup reads the team and a plan saved for it. Every number of what comes back is worked out now, from the folder.
func readSavedLineup(c *cli.Context, sio stdio, from string) (*game, *report.Lineup, error) {
	g, l, err := reopen(c, sio, from, nil)
	if err == nil && !g.JSON {
		g.warn(sio, g.planWarnings()) // what the files and the scores are warned of was said when the plan was made
	}
	return g, l, err
}

// reopen is readSavedLineup without a word. With clear, which takes a kid's mark out of what the plan says, the record's marks of that kid do not
// count either: they are cleared in the same breath.
func reopen(c *cli.Context, sio stdio, from string, clear func(*gameplan.Saved) (kid string, err error)) (*game, *report.Lineup, error) {
	v, err := readView(c, sio)
	if err != nil {
		return nil, nil, err
	}
	g := &game{view: v, sio: sio, set: rotation.Settings{Seed: 1, Limit: proveSeconds * time.Second}}
	if c.IsSet("seconds") {
		if _, g.set, err = readWishes(c); err != nil {
			return nil, nil, err
		}
	}
	if g.src, err = readSource(c); err != nil {
		return nil, nil, err
	}
	var heat *drills.Heat
	err = g.load(func(g *game) (*gameplan.Plan, error) {
		saved, err := readSaved(from)
		if err != nil {
			return nil, err
		}
		if heat, err = savedHeat(c, saved, &g.folder.Team); err != nil {
			return nil, err
		}
		heed(heat, g.folder)
		out := g.wishes.Out
		if clear != nil {
			kid, err := clear(saved)
			if err != nil {
				return nil, err
			}
			out = g.onceCleared(kid)
		}
		g.season = seasonWish{ignore: !saved.CountsSeason(), quiet: true}
		if g.set.Favor, err = gameplan.ParseFavor(saved.Favor); err != nil {
			return nil, err
		}
		g.wishes.Favor = saved.Favor
		return gameplan.Reopen(g.folder, g.profile, out, saved)
	})
	if err != nil {
		return nil, nil, err
	}
	g.heat = heat
	spare(heat, g.pl)
	if err := g.search(c, func() error { return g.pl.Verify(c.Context, g.set) }); err != nil {
		return nil, nil, err
	}
	l := g.lineup()
	l.Schema = g.pl.SavedAs()
	return g, l, nil
}
