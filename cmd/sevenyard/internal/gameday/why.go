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
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
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
		Action: func(c *cli.Context) error {
			o, err := readWhyOptions(c, sio)
			if err != nil {
				return err
			}
			return runWhy(c.Context, o, sio)
		},
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
	o.wishes.Series = 0 // --series asks about one here; the game is as long as the team's or the plan's
	return o, err
}

func runWhy(ctx context.Context, o whyOptions, sio tty.IO) error {
	w, err := openQuestion(o, sio)
	if err != nil {
		return err
	}
	g := w.g
	if err := g.Search(ctx, func() error { return w.answer(ctx) }); err != nil {
		return err
	}
	g.Set.Limit = w.base.Limit // what the plan itself had
	if g.Stopped {             // answers that were not searched for to the end are none; the plan is there
		return w.unanswered(sio)
	}
	w.why.Warnings = append(w.why.Warnings, g.warnings()...)
	if g.JSON {
		return report.Write(sio.Out, w.why)
	}
	g.Warn(sio, g.Briefly())
	s := &whyScreen{View: g.View, who: g.callNames(), w: w.why, pl: g.Pl, src: g.src, ofGame: g.season.game != ""}
	_, err = io.WriteString(sio.Out, s.text())
	return err
}

// unanswered shows the plan that the question was about.
func (w *whyRun) unanswered(sio tty.IO) error {
	g := w.g
	if g.JSON {
		return errors.New("stopped before the question was answered")
	}
	g.Warn(sio, g.Briefly())
	if _, err := io.WriteString(sio.Out, NewLineupScreen(g, g.Lineup(), false).Text()); err != nil {
		return err
	}
	return tty.After(false, errors.New("stopped before the question was answered: shown is the plan that it is about"))
}

// whyRun is a question on its way to an answer.
type whyRun struct {
	g     *Game
	q     gameplan.Question
	from  string
	heat  *drills.Heat // the saved plan's reading, where no other was given
	favor string       // the saved plan's order of objectives
	kid   int
	roles []int
	base  rotation.Settings // of the plan asked about
	why   *report.Why
}

// openQuestion puts together the game that is asked about.
func openQuestion(o whyOptions, sio tty.IO) (*whyRun, error) {
	w := &whyRun{q: o.question, from: o.from}
	var err error
	w.g, err = o.Read(sio, func(g *Game) (*gameplan.Plan, error) {
		pl, err := w.plan(g)
		if err == nil {
			w.kid, w.roles, err = pl.Asked(w.q, g.Folder.Roster)
		}
		return pl, err
	})
	if err != nil {
		return nil, err
	}
	if w.heat != nil {
		w.g.heat = w.heat
		w.g.Pl.Notes = append(w.g.Pl.Notes, heatCounts(w.heat))
	}
	if w.favor != "" && o.wishes.Favor == "" {
		if w.g.Set.Favor, err = gameplan.ParseFavor(w.favor); err != nil {
			return nil, err
		}
	}
	w.base = w.g.share(0.4)
	return w, nil
}

func (w *whyRun) plan(g *Game) (*gameplan.Plan, error) {
	if w.from == "" {
		return newPlan(g)
	}
	saved, err := ReadSaved(w.from)
	if err != nil {
		return nil, err
	}
	w.favor = saved.Favor
	if w.heat, err = savedHeat(g.wbgt, saved, &g.Folder.Team); err != nil {
		return nil, err
	}
	heed(w.heat, g.Folder)
	pl, err := gameplan.NewFrom(g.Folder, g.Profile, g.wishes, saved, -1)
	if err == nil {
		spare(w.heat, pl)
	}
	return pl, err
}

// answer makes the plan asked about and solves it again in other ways.
func (w *whyRun) answer(ctx context.Context) error {
	pl := w.g.Pl
	set := w.g.share(0.6)
	var err error
	if w.from == "" {
		err = pl.Arrange(ctx, w.base, w.g.Strict)
	} else { // the saved plan itself where it still holds
		err = pl.Rearrange(ctx, w.base, w.g.Strict, 0)
	}
	if err != nil || pl.Outcome.Result == nil || pl.Outcome.Result.Plan == nil {
		return err
	}
	if w.from != "" {
		pl.Own()
	}
	if w.why, err = pl.Why(ctx, w.q, w.kid, w.roles, w.base, set); err != nil || w.from == "" {
		return err
	}
	set.Limit /= 4
	fresh, err := pl.Fresh(ctx, set)
	w.why.From = pl.From(w.from, fresh)
	return err
}
