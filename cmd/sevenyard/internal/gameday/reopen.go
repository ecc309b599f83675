package gameday

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/regular"
	"sevenyard/optimize/rotation"
)

// ReadSaved reads a plan from a file.
func ReadSaved(name string) (*gameplan.Saved, error) {
	data, err := readPlanFile(name)
	if err != nil {
		return nil, err
	}
	return gameplan.ReadSaved(name, data)
}

// readPlanFile reads the bytes of a saved plan.
func readPlanFile(name string) ([]byte, error) {
	data, err := regular.Read(name, gameplan.MaxSaved)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("no file %s; sevenyard lineup --save %s writes one", name, tty.Quote(name))
	case err != nil && tty.IsFolder(name):
		return nil, fmt.Errorf("%s is a folder; give the file in it that sevenyard lineup --save wrote", name)
	}
	return data, tty.PlainFile(name, err)
}

// proveSeconds is how long it may take to prove again what a saved plan claims; most plans are proven in a tenth of a second.
const proveSeconds = 10

// SavedOptions are what a command was told that shows a saved plan again.
type SavedOptions struct {
	tty.View
	Source tty.Source
	From   string            // the plan's file
	set    rotation.Settings // how long to prove anew what it claims
}

// ReadSavedOptions reads which folder is meant and how to show what comes of it.
func ReadSavedOptions(c *cli.Context, sio tty.IO) (o SavedOptions, err error) {
	o.From, o.set = c.String("from"), rotation.Settings{Seed: 1, Limit: proveSeconds * time.Second}
	if o.View, err = tty.ReadView(c, sio); err != nil {
		return o, err
	}
	if c.IsSet("seconds") {
		if _, o.set, err = readWishes(c); err != nil {
			return o, err
		}
	}
	o.Source, err = tty.ReadSource(c)
	return o, err
}

// Lineup reads the team and the plan saved for it. Every number of what comes back is worked out now, from the folder.
func (o SavedOptions) Lineup(ctx context.Context, sio tty.IO) (*Game, *report.Lineup, error) {
	g, l, err := o.Reopen(ctx, sio, nil)
	if err == nil && !g.JSON {
		g.Warn(sio, g.PlanWarnings()) // what the files and the scores are warned of was said when the plan was made
	}
	return g, l, err
}

// Reopen is Lineup without a word. With clear, which takes a kid's mark out of what the plan says, the record's marks of that kid do not
// count either: they are cleared in the same breath.
func (o SavedOptions) Reopen(ctx context.Context, sio tty.IO, clear func(*gameplan.Saved) (kid string, err error)) (*Game, *report.Lineup, error) {
	g := &Game{View: o.View, sio: sio, src: o.Source, Set: o.set}
	var heat *drills.Heat
	err := g.load(func(g *Game) (*gameplan.Plan, error) {
		saved, err := ReadSaved(o.From)
		if err != nil {
			return nil, err
		}
		if heat, err = savedHeat(nil, saved, &g.Folder.Team); err != nil {
			return nil, err
		}
		heed(heat, g.Folder)
		out := g.wishes.Out
		if clear != nil {
			kid, err := clear(saved)
			if err != nil {
				return nil, err
			}
			out = g.onceCleared(kid)
		}
		g.season = seasonWish{ignore: !saved.CountsSeason(), quiet: true}
		if g.Set.Favor, err = gameplan.ParseFavor(saved.Favor); err != nil {
			return nil, err
		}
		g.wishes.Favor = saved.Favor
		return gameplan.Reopen(g.Folder, g.Profile, out, saved)
	})
	if err != nil {
		return nil, nil, err
	}
	g.heat = heat
	spare(heat, g.Pl)
	if err := g.Search(ctx, func() error { return g.Pl.Verify(ctx, g.Set) }); err != nil {
		return nil, nil, err
	}
	l := g.Lineup()
	l.Schema = g.Pl.SavedAs()
	return g, l, nil
}

// onceCleared is who may not be on the field when a kid's marks on record are cleared.
func (g *Game) onceCleared(kid string) availability.Out {
	rec := *g.rec
	rec.Games = slices.Clone(rec.Games)
	for i := range rec.Games {
		marks := slices.Clone(rec.Games[i].Marks)
		for j := range marks {
			marks[j].Cleared = marks[j].Cleared || marks[j].Kid == kid
		}
		rec.Games[i].Marks = marks
	}
	return availability.Of(g.Folder.Roster, &rec, g.season.game, g.sio.Today(), g.Folder.Team.Series)
}
