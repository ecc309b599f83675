package main

import (
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
)

// whySeconds is how long all the solves of one answer may take together.
const whySeconds = 10

func newWhy(sio stdio) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		demoFlag("the invented team"),
		&cli.StringFlag{Name: "kid", Usage: "the kid asked about"},
		&cli.StringFlag{Name: "role", DefaultText: "every role", Usage: "the role asked about"},
		&cli.IntFlag{Name: "series", DefaultText: "the whole game", Usage: "the series asked about"},
	}, planFlags(whySeconds))
	return &cli.Command{
		Name: "why", Usage: "why a kid plays here and not there, and what each rule costs", ArgsUsage: "DIR | --demo",
		Description: "sevenyard why sandpipers --kid 7 --role deep\nplans the game as lineup does, and again with the wish granted, and tells the difference.",
		Flags:       flags, OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runWhy(c, sio) },
	}
}

func runWhy(c *cli.Context, sio stdio) error {
	q := gameplan.Question{Kid: c.String("kid"), Role: c.String("role"), Series: c.Int("series")}
	switch {
	case q.Kid == "":
		return usagef("which kid? Give --kid and the kid's id, such as --kid 7")
	case c.IsSet("series") && q.Series < 1:
		return usagef("--series: %d; series are counted 1, 2, 3", q.Series)
	}
	var kid int
	var roles []int
	g, err := readGame(c, sio, func(f *drills.Folder, p *assess.Profile, w gameplan.Wishes) (*gameplan.Plan, error) {
		w.Series = 0 // --series asks about one here; the game is as long as the team's
		pl, err := gameplan.New(f, p, w)
		if err == nil {
			kid, roles, err = pl.Asked(q, f.Roster)
		}
		return pl, err
	})
	if err != nil {
		return err
	}
	var why *report.Why
	base := g.share(0.4)
	err = g.search(c, func() error {
		if err := g.pl.Arrange(c.Context, base, g.strict); err != nil || g.pl.Outcome.Result == nil || g.pl.Outcome.Result.Plan == nil {
			return err
		}
		why, err = g.pl.Why(c.Context, q, kid, roles, base, g.share(0.6))
		return err
	})
	if err != nil {
		return err
	}
	g.set.Limit = base.Limit // what the plan itself had
	why.Warnings = append(why.Warnings, g.warnings()...)
	if g.JSON {
		return report.Write(sio.Out, why)
	}
	g.warn(sio, g.briefly())
	s := &whyScreen{view: g.view, who: g.callNames(), w: why, pl: g.pl, src: g.src}
	_, err = io.WriteString(sio.Out, s.text())
	return err
}
