package team

import (
	"errors"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
)

// ReadPoolFolder reads a pool; with names left out, nothing after it can know one.
func ReadPoolFolder(v tty.View, src tty.Source) (*drills.Pool, error) {
	p, err := drills.ReadPool(src.FS)
	var problems drills.Problems
	if v.IDsOnly && errors.As(err, &problems) {
		err = nameless.Hide(problems, tty.PoolWords(p))
	}
	if err != nil {
		return nil, err
	}
	if v.IDsOnly {
		hidePool(p)
	}
	return p, nil
}

// hidePool takes the names of kids and timers out of a pool. Those of coaches stay, as the draw goes by them; see pool.coach.
func hidePool(p *drills.Pool) {
	p.Warnings = nameless.Hide(p.Warnings, tty.PoolWords(p))
	f := p.Folder()
	nameless.Team(f) // changes the trials it shares with the pool
	p.Trials = f.Trials
	p.League.Common.Catalogue, p.League.Common.Formations = f.Team.Catalogue, f.Team.Formations
	for i := range p.Kids {
		p.Kids[i].Name, p.Kids[i].Notes = "", ""
	}
}
