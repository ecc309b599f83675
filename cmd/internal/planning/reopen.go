package planning

import (
	"context"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// ProveSeconds is how long it may take to prove again what a saved plan claims; most plans are proven in a tenth of a second.
const ProveSeconds = 10

// Clearing takes a kid's mark out of a saved plan; the record's marks of that kid do not count either: they are cleared in the same breath.
type Clearing func(*gameplan.Saved) (kid string, err error)

// Reopen puts together the game of a saved plan, which read gives. clear may be nil.
func (g *Game) Reopen(folder *drills.Folder, read func() (*gameplan.Saved, error), clear Clearing) error {
	var heat *drills.Heat
	err := g.Load(folder, func(g *Game) (*gameplan.Plan, error) {
		saved, err := read()
		if err != nil {
			return nil, err
		}
		if heat, err = g.SavedHeat(saved); err != nil {
			return nil, err
		}
		g.heed(heat)
		out := g.Wishes.Out
		if clear != nil {
			kid, err := clear(saved)
			if err != nil {
				return nil, err
			}
			out = g.onceCleared(kid)
		}
		g.Season = Season{Ignore: !saved.CountsSeason(), Quiet: true}
		if g.Set.Favor, err = gameplan.ParseFavor(saved.Favor); err != nil {
			return nil, err
		}
		g.Wishes.Favor = saved.Favor
		return gameplan.Reopen(g.Folder, g.Profile, out, saved)
	})
	if err != nil {
		return err
	}
	g.Heat = heat
	g.keepSafe(heat)
	return nil
}

// Verify works out and proves again what the saved plan claims.
func (g *Game) Verify(ctx context.Context) error { return g.Plan.Verify(ctx, g.Set) }

// Reopened is the saved plan as an object, every number worked out now.
func (g *Game) Reopened() *report.Lineup {
	l := g.Lineup()
	l.Schema = g.Plan.SavedAs()
	return l
}
