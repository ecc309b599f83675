package gameday

import (
	"context"
	"errors"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// whySeconds is how long all the solves of one answer may take together.
const whySeconds = 10

// NewWhy is the command why.
func NewWhy(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented team"),
		&cli.StringFlag{Name: "kid", Usage: "the kid asked about"},
		&cli.StringFlag{Name: "role", DefaultText: "every role", Usage: "the role asked about"},
		&cli.IntFlag{Name: "series", DefaultText: "the whole game", Usage: "the series asked about"},
		&cli.StringFlag{Name: "from", DefaultText: "the plan that lineup gives", Usage: "the plan asked about: a file that --save wrote"},
		gameFlag(),
	}, PlanFlags(whySeconds))
	return &cli.Command{
		Name: "why", Usage: "why a kid plays here and not there, and what each rule costs", ArgsUsage: "DIR | --demo",
		Description: "sevenyard why sandpipers --kid 7 --role deep\nplans the game as lineup does, and again with the wish granted, and tells the difference.\n" +
			"sevenyard why sandpipers --from plan.json --kid 7\nasks the same about the plan in that file, by the aim that it was made for (--favor).",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readWhyOptions, runWhy),
	}
}

// whyOptions are what the command was told.
type whyOptions struct {
	PlanOptions
	question gameplan.Question
	from     string
}

func readWhyOptions(c *cli.Context, sio tty.IO) (o whyOptions, err error) {
	q := gameplan.Question{Kid: c.String("kid"), Role: c.String("role"), Series: c.Int("series")}
	switch {
	case q.Kid == "":
		return o, tty.Usagef("which kid? Give --kid and the kid's id, such as --kid 7")
	case c.IsSet("series") && q.Series < 1:
		return o, tty.Usagef("--series: %d; series are counted 1, 2, 3", q.Series)
	}
	o.question, o.from = q, c.String("from")
	o.PlanOptions, err = ReadPlanOptions(c, sio)
	o.asked.Wishes.Series = 0 // --series asks about one here; the game is as long as the team's or the plan's
	return o, err
}

func runWhy(ctx context.Context, o whyOptions, sio tty.IO) error {
	g := o.game(sio)
	f, err := g.ReadTeam(g.src)
	if err != nil {
		return err
	}
	w, err := g.Inquire(f, o.question, o.from, func() (*gameplan.Saved, error) { return ReadSaved(o.from) })
	if err != nil {
		return g.inWords(err)
	}
	if err := g.Search(ctx, w.Answer); err != nil {
		return err
	}
	why := w.Report()
	if why == nil {
		return g.unanswered(sio)
	}
	if g.JSON {
		return report.Write(sio.Out, why)
	}
	g.Warn(sio, g.Briefly())
	who := g.callNames()
	s := &whyScreen{View: g.View, who: who, w: why, l: g.Lineup(), sh: g.Shown(), src: g.src, ofGame: g.Season.Game != ""}
	_, err = io.WriteString(sio.Out, s.text())
	return err
}

// unanswered shows the plan that a question was about which was stopped.
func (g *Game) unanswered(sio tty.IO) error {
	if g.JSON {
		return errors.New("stopped before the question was answered")
	}
	g.Warn(sio, g.Briefly())
	if _, err := io.WriteString(sio.Out, NewLineupScreen(g, g.Lineup(), false).Text()); err != nil {
		return err
	}
	return tty.After(false, errors.New("stopped before the question was answered: shown is the plan that it is about"))
}
