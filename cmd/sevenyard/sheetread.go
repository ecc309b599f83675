package main

import (
	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
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
	data, err := readPlanFile(from)
	if err != nil {
		return nil, nil, err
	}
	l, err := gameplan.ReadLineup(from, data, g.folder)
	return g, l, err
}
