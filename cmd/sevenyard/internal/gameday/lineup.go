package gameday

import (
	"context"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// DefaultSeconds is how long a plan may be searched for. Most are proven within a second.
const DefaultSeconds = 20

// NewLineup is the command lineup.
func NewLineup(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("plan the invented team's game"),
		&cli.IntFlag{Name: "series", DefaultText: "the team's", Usage: "series to plan"},
		gameFlag(),
		&cli.BoolFlag{Name: "detail", Usage: "every series with names and fits, and all cautions"},
		&cli.StringFlag{Name: "save-dir", Usage: "of several folders: write every plan into this folder, under the name of the team's"},
	}, SaveFlags(), modelFlags(), PlanFlags(DefaultSeconds))
	return &cli.Command{
		Name: "lineup", Usage: "plan who plays which role in every series of a game", ArgsUsage: "DIR [DIR ...] | --demo",
		Description: "sevenyard lineup sandpipers --absent 4,7 --late 9@3 --leaves 6@5\nplans without kids 4 and 7, with kid 9 from series 3 on, and kid 6 up to and with series 5.\n" +
			"With --save plan.json the plan can be rebuilt at the field: sevenyard rebuild sandpipers --from plan.json\n" +
			"sevenyard lineup league/* --save-dir plans\nplans a game for every team of a league, a line each.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error {
			if many(c) {
				l, err := readLeague(c, sio)
				if err != nil {
					return err
				}
				return runLineups(c.Context, l, sio)
			}
			o, err := readLineupOptions(c, sio)
			if err != nil {
				return err
			}
			return runLineup(c.Context, o, sio)
		},
	}
}

// lineupOptions are what the command was told.
type lineupOptions struct {
	PlanOptions
	out    *Targets
	detail bool
}

func readLineupOptions(c *cli.Context, sio tty.IO) (o lineupOptions, err error) {
	if c.IsSet("save-dir") {
		return o, tty.Usagef("--save-dir goes with several folders; for one there is --save FILE")
	}
	if o.out, err = ReadTargets(c, sio); err != nil {
		return o, err
	}
	o.detail = c.Bool("detail")
	o.PlanOptions, err = ReadPlanOptions(c, sio)
	return o, err
}

func runLineup(ctx context.Context, o lineupOptions, sio tty.IO) error {
	g, err := o.Plan(ctx, sio)
	if err != nil {
		return err
	}
	l := g.Lineup()
	if err := l.Seal(l); err != nil {
		return err
	}
	late := tty.After(g.Stopped, o.out.Save(l), o.out.writeModel(g)) // with or without its files, the plan is shown
	if g.JSON {
		return tty.FirstError(report.Write(sio.Out, l), late)
	}
	g.Warn(sio, g.Briefly())
	s := NewLineupScreen(g, l, o.detail)
	s.saved = o.out.Plan != ""
	_, err = io.WriteString(sio.Out, s.Text()+o.out.written(g, s))
	return tty.FirstError(err, late)
}
