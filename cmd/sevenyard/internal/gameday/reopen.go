package gameday

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
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

// SavedOptions are what a command was told that shows a saved plan again.
type SavedOptions struct {
	tty.View
	Source tty.Source
	From   string            // the plan's file
	set    rotation.Settings // how long to prove anew what it claims
}

// ReadSavedOptions reads which folder is meant and how to show what comes of it.
func ReadSavedOptions(c *cli.Context, sio tty.IO) (o SavedOptions, err error) {
	o.From, o.set = c.String("from"), rotation.Settings{Seed: 1, Limit: planning.ProveSeconds * time.Second}
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

// Reopen is Lineup without a word. clear may be nil.
func (o SavedOptions) Reopen(ctx context.Context, sio tty.IO, clear planning.Clearing) (*Game, *report.Lineup, error) {
	g := newGame(o.View, sio, o.Source, planning.Asked{Set: o.set})
	f, err := g.ReadTeam(g.src)
	if err != nil {
		return nil, nil, err
	}
	if err := g.inWords(g.Game.Reopen(f, func() (*gameplan.Saved, error) { return ReadSaved(o.From) }, clear)); err != nil {
		return nil, nil, err
	}
	if err := g.Search(ctx, g.Verify); err != nil {
		return nil, nil, err
	}
	return g, g.Reopened(), nil
}
