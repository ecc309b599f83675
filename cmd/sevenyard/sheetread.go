package main

import (
	"errors"
	"fmt"
	"io/fs"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/sevenyard/internal/availability"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
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

// readSavedLineup reads the team and a plan saved for it.
func readSavedLineup(c *cli.Context, sio stdio, from string) (*game, *report.Lineup, error) {
	v, err := readView(c, sio)
	if err != nil {
		return nil, nil, err
	}
	g := &game{view: v, sio: sio}
	if g.src, g.folder, g.profile, err = readScored(c, v); err != nil {
		return nil, nil, err
	}
	data, err := readLimited(from)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, fmt.Errorf("no file %s; sevenyard lineup --save %s writes one", from, quote(from))
	}
	if err != nil {
		return nil, nil, err
	}
	l, err := gameplan.ReadLineup(from, data, g.folder)
	if err != nil {
		return nil, nil, err
	}
	if err := g.roll(); err != nil {
		return nil, nil, err
	}
	return g, l, g.mayShow(from, l)
}

// mayShow refuses a saved plan that has a kid on the field, in series that are still to come, who is on hold or was hurt today: what is printed is played.
func (g *game) mayShow(from string, l *report.Lineup) error {
	out := g.out("").WithPlan(from, l.Hurt)
	var ps drills.Problems
	for _, b := range out.Breaches(lineupSeries(l), l.Played) {
		what := "is on medical hold (roster.csv)"
		switch {
		case b.Bar.Game != "":
			what = fmt.Sprintf("was hurt in game %s and is out for the day (%s)", b.Bar.Game, games.File)
		case b.Bar.Why == availability.Hurt:
			what = "is out for the day, hurt, by the plan's own list"
		}
		ps = append(ps, drills.Problem{At: drills.Place{File: from}, What: fmt.Sprintf("series %d has kid %s on the field, who %s", b.Series, b.Kid, what),
			Do: fmt.Sprintf("take the kid out first: sevenyard rebuild %s --from %s --save NEW", g.src.Name, quote(from))})
	}
	if len(ps) > 0 {
		return ps
	}
	return nil
}

// lineupSeries are who stands where in a plan.
func lineupSeries(l *report.Lineup) []games.Series {
	var out []games.Series
	for _, s := range l.Series {
		line := games.Series{Number: s.Number}
		for _, x := range s.Slots {
			line.Slots = append(line.Slots, games.Slot{Role: x.Role, Kid: x.Kid})
		}
		out = append(out, line)
	}
	return out
}
