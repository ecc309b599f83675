package main

import (
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
)

// defaultSeconds is how long a plan may be searched for. Most are proven within a second.
const defaultSeconds = 20

func newLineup(sio stdio) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		demoFlag("plan the invented team's game"),
		&cli.IntFlag{Name: "series", DefaultText: "the team's", Usage: "series to plan"},
		gameFlag(),
		&cli.BoolFlag{Name: "detail", Usage: "every series with names and fits, and all cautions"},
		&cli.StringFlag{Name: "save-dir", Usage: "of several folders: write every plan into this folder, under the name of the team's"},
	}, saveFlags(), modelFlags(), planFlags(defaultSeconds))
	return &cli.Command{
		Name: "lineup", Usage: "plan who plays which role in every series of a game", ArgsUsage: "DIR [DIR ...] | --demo",
		Description: "sevenyard lineup sandpipers --absent 4,7 --late 9@3 --leaves 6@5\nplans without kids 4 and 7, with kid 9 from series 3 on, and kid 6 up to and with series 5.\n" +
			"With --save plan.json the plan can be rebuilt at the field: sevenyard rebuild sandpipers --from plan.json\n" +
			"sevenyard lineup league/* --save-dir plans\nplans a game for every team of a league, a line each.",
		Flags: flags, OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runLineup(c, sio) },
	}
}

func runLineup(c *cli.Context, sio stdio) error {
	if many(c) {
		return runLineups(c, sio)
	}
	if c.IsSet("save-dir") {
		return usagef("--save-dir goes with several folders; for one there is --save FILE")
	}
	out, err := readTargets(c, sio)
	if err != nil {
		return err
	}
	g, err := readGame(c, sio, newPlan)
	if err != nil {
		return err
	}
	if err := g.search(c, func() error { return g.pl.Arrange(c.Context, g.set, g.strict) }); err != nil {
		return err
	}
	l := g.lineup()
	if err := l.Seal(l); err != nil {
		return err
	}
	late := after(g.stopped, out.save(l), out.writeModel(g)) // with or without its files, the plan is shown
	if g.JSON {
		return firstError(report.Write(sio.Out, l), late)
	}
	g.warn(sio, g.briefly())
	s := newLineupScreen(g, l, c.Bool("detail"))
	s.saved = out.plan != ""
	_, err = io.WriteString(sio.Out, s.text()+out.told(g, s))
	return firstError(err, late)
}

// lineup is the plan as an object.
func (g *game) lineup() *report.Lineup {
	l := g.pl.Lineup(g.set)
	l.Warnings = append(l.Warnings, g.warnings()...)
	l.Cautions = cautions(&g.folder.Team.Catalogue, g.topics()...)
	g.addHeat(l)
	return l
}

// topics are the cautions of a game.
func (g *game) topics() []string {
	topics := []string{"concussion", "heat", "advice"}
	onHold := func(a gameplan.Away) bool { return a.Why == gameplan.OnHold || a.Why == gameplan.Hurt }
	if slices.ContainsFunc(g.pl.Away, onHold) || slices.ContainsFunc(g.pl.Gone, onHold) || len(g.wishes.Hurt) > 0 {
		topics = append(topics, "hold")
	}
	return topics
}
