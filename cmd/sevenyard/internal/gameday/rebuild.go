package gameday

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// rebuildSeconds is how long a rebuild may take: somebody waits for it at the field.
const rebuildSeconds = 10

// maxCosts is the most T points that a change may count as; above it no change is ever worth it.
const maxCosts = 1000

// NewRebuild is the command rebuild.
func NewRebuild(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented team"),
		&cli.StringFlag{Name: "from", DefaultText: "the last one saved today", Usage: "the plan to change: a file that --save wrote; none: the record alone"},
		&cli.StringFlag{Name: "game", DefaultText: "the one of today that is on", Usage: "the game on record (games.csv) whose series so far are facts"},
		&cli.IntFlag{Name: "played", DefaultText: "as the record and the plan say", Usage: "the first so many series are over, and stay as they were"},
		&cli.StringSliceFlag{Name: "hurt", Usage: "2@5: kid 2 was hurt in series 5, and is on hold from it on for the rest of the day"},
		&cli.StringSliceFlag{Name: "swap", Usage: "3:2@2: a change made already: kid 2 is in 3's spot in series 2, which counts as played; 3:-@2: nobody is"},
		&cli.IntFlag{Name: "changes", DefaultText: "as few as can be", Usage: "at most so many changed spots: the strongest weakest series that they buy"},
		&cli.Float64Flag{Name: "change-costs", DefaultText: "as few changes as can be", Usage: "the middle way: a changed spot counts as so many points of the total"},
		&cli.BoolFlag{Name: "tradeoffs", Usage: "also list how strong the weakest series can be with more changes"},
		&cli.BoolFlag{Name: "detail", Usage: "every series with names and fits, and all cautions"},
	}, SaveFlags(), PlanFlags(rebuildSeconds))
	return &cli.Command{
		Name: "rebuild", Usage: "change a plan as little as need be when kids are missing", ArgsUsage: "DIR | --demo",
		Description: "sevenyard rebuild sandpipers --from plan.json --absent 4 --hurt 2@5\nkeeps series 1 to 4 as played, and plans the rest without kids 2 and 4.\n" +
			"Who is there follows the plan, except where you say otherwise; --late 9@3 also brings a kid in who is not in it.\n" +
			"sevenyard rebuild sandpipers --from plan.json --game 3 --hurt 2@5\ntakes the series of game 3 that are on record as they were played, whatever the plan says. " +
			"Without --from it plans the rest anew.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readRebuildOptions, runRebuild),
	}
}

// rebuildOptions are what the command was told.
type rebuildOptions struct {
	PlanOptions
	from   string
	out    *Targets
	way    planning.Way
	detail bool
}

func readRebuildOptions(c *cli.Context, sio tty.IO) (o rebuildOptions, err error) {
	if o.out, err = ReadTargets(c, sio); err != nil {
		return o, err
	}
	if o.way, err = readWay(c); err != nil {
		return o, err
	}
	o.from, o.detail = c.String("from"), c.Bool("detail")
	o.PlanOptions, err = ReadPlanOptions(c, sio)
	return o, err
}

func runRebuild(ctx context.Context, o rebuildOptions, sio tty.IO) error {
	g := o.game(sio)
	f, err := g.ReadTeam(g.src)
	if err != nil {
		return err
	}
	r, err := g.Rebuild(f, o.way, func() (*gameplan.Saved, error) { return g.base(o.from) })
	if err != nil {
		return g.inWords(noBase(err))
	}
	if err := g.Search(ctx, r.Solve); err != nil {
		return err
	}
	re, err := r.Report()
	if err != nil {
		return tooFew(err)
	}
	late := tty.After(g.Stopped, o.out.Save(re))
	if g.JSON {
		return tty.FirstError(report.Write(sio.Out, re), late)
	}
	g.Warn(sio, g.Briefly())
	s := newRebuildScreen(o, g, re)
	s.running = r.Running(re)
	_, err = io.WriteString(sio.Out, s.text(o.out.kept(g, s)))
	return tty.FirstError(err, late)
}

// noBase says that there is nothing to start from.
func noBase(err error) error {
	var no *planning.NoBase
	if !errors.As(err, &no) {
		return err
	}
	more := ""
	if no.Note != "" {
		more = "; " + no.Note
	}
	return tty.Usagef("rebuild from which plan? Give --from plan.json (sevenyard lineup --save plan.json writes one), or --game and the id of a game on record%s", more)
}

// tooFew says that there is no plan with so few changes.
func tooFew(err error) error {
	var few *planning.TooFew
	if !errors.As(err, &few) {
		return err
	}
	n, most := few.Changes, few.Most
	spots := prose.Count(n.Value, "changed spot")
	if n.Bound > most {
		return fmt.Errorf("no plan under the rules changes %s or fewer: it takes at least %d; use --changes %d, or leave it out for the fewest",
			prose.Count(most, "spot"), n.Bound, n.Value)
	}
	if few.Stopped {
		return fmt.Errorf("stopped: no plan with %s or fewer was found yet, only one with %s", prose.Count(most, "changed spot"), spots)
	}
	return fmt.Errorf("no plan with %s or fewer was found in the time given, only one with %s; give it more time with --seconds 60, or use --changes %d",
		prose.Count(most, "changed spot"), spots, n.Value)
}

// kept says where a rebuilt plan is, or how to keep it.
func (t *Targets) kept(g *Game, s *rebuildScreen) string {
	if t.Plan == "" && (s.re.Changes.Value > 0 || s.sh.Bare) {
		return "\n" + g.Fold("Not saved: the same again with --save and a new file's name keeps this plan for the next change.", "")
	}
	return t.written(g, s.lineupScreen)
}

func readWay(c *cli.Context) (planning.Way, error) {
	w := planning.Way{Played: -1, Changes: -1, Costs: c.Float64("change-costs"), Tradeoffs: c.Bool("tradeoffs")}
	if c.IsSet("played") {
		if w.Played = c.Int("played"); w.Played < 0 {
			return w, tty.Usagef("--played: %d; give the number of series that are over", w.Played)
		}
	}
	if c.IsSet("change-costs") && !(w.Costs > 0 && w.Costs <= maxCosts) {
		return w, tty.Usagef("--change-costs: %v; use points above 0, up to %d, such as 0.5; left out, the changes are as few as can be", w.Costs, maxCosts)
	}
	if c.IsSet("changes") {
		switch w.Changes = c.Int("changes"); {
		case w.Changes < 0:
			return w, tty.Usagef("--changes: %d; give the most spots that may change, such as 4", w.Changes)
		case c.IsSet("change-costs"):
			return w, tty.Usagef("--changes and --change-costs are two ways of the same: say one of them")
		}
	}
	return w, nil
}
