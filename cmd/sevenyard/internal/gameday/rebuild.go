package gameday

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// rebuildSeconds is how long a rebuild may take: somebody waits for it at the field.
const rebuildSeconds = 10

// maxCosts is the most T points that a change may count as; above it no change is ever worth it.
const maxCosts = 1000

// NewRebuild is the command rebuild.
func NewRebuild(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented team"),
		&cli.StringFlag{Name: "from", Usage: "the plan to change: a file that --save wrote"},
		&cli.StringFlag{Name: "game", DefaultText: "the one of today that is on", Usage: "the game on record (games.csv) whose series so far are facts"},
		&cli.IntFlag{Name: "played", DefaultText: "as the record and the plan say", Usage: "the first so many series are over, and stay as they were"},
		&cli.StringSliceFlag{Name: "hurt", Usage: "2@5: kid 2 was hurt in series 5, and is on hold from it on for the rest of the day"},
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
		Action: func(c *cli.Context) error {
			o, err := readRebuildOptions(c, sio)
			if err != nil {
				return err
			}
			return runRebuild(c.Context, o, sio)
		},
	}
}

// rebuildWay is how a plan is to be rebuilt.
type rebuildWay struct {
	played    int     // -1: as the record and the plan say
	costs     float64 // T points a change counts as; 0: as few changes as can be
	changes   int     // at most so many; -1: as few as can be
	tradeoffs bool
}

// rebuildOptions are what the command was told.
type rebuildOptions struct {
	PlanOptions
	from   string
	out    *targets
	way    rebuildWay
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
	way, out := o.way, o.out
	var heat *drills.Heat
	g, err := o.Read(sio, func(g *Game) (*gameplan.Plan, error) {
		saved, err := g.readBase(o.from)
		if err != nil {
			return nil, err
		}
		if heat, err = savedHeat(g.wbgt, saved, &g.Folder.Team); err != nil {
			return nil, err
		}
		heed(heat, g.Folder)
		return gameplan.NewFrom(g.Folder, g.Profile, g.wishes, saved, way.played)
	})
	if err != nil {
		return err
	}
	if heat != nil {
		g.heat = heat
		spare(heat, g.Pl)
	}
	var found solved
	limit := g.share(1. / 3).Limit // a rebuild, a fresh plan, a list
	err = g.Search(ctx, func() error {
		set := g.Set
		set.Limit = limit
		found, err = way.solve(ctx, g, set)
		return err
	})
	if err != nil {
		return err
	}
	if g.Stopped { // what was not searched through tells nothing
		found = solved{}
	}
	g.Set.Limit = limit // what the rebuild itself had
	g.Pl.NoteFavor(g.wishes.Favor)
	re := g.Pl.Rebuild(g.Set, way.costs, found.fresh, found.trade)
	if n := re.Changes; way.changes >= 0 && n.Value > way.changes {
		return way.tooFew(n, g.Stopped)
	}
	re.Warnings = append(re.Warnings, g.warnings()...)
	running := way.played < 0 && re.Played == 0 && g.running()
	if running {
		re.Warnings = append(re.Warnings, nonePlayed)
	}
	re.Cautions = tty.Cautions(&g.Folder.Team.Catalogue, g.topics()...)
	g.addHeat(&re.Lineup)
	if heat != nil {
		g.Pl.Notes = append(g.Pl.Notes, heatStays(heat))
		re.Warnings = append(re.Warnings, heatStays(heat))
	}
	if err := re.Seal(re); err != nil {
		return err
	}
	late := tty.After(g.Stopped, out.Save(re))
	if g.JSON {
		return tty.FirstError(report.Write(sio.Out, re), late)
	}
	g.Warn(sio, g.Briefly())
	s := newRebuildScreen(o, g, re)
	s.running = running
	_, err = io.WriteString(sio.Out, s.text(out.kept(g, s)))
	return tty.FirstError(err, late)
}

// solved is what stands beside a rebuilt plan; nil where it was not asked for or not found.
type solved struct {
	fresh *rotation.Rebuilt
	trade []rotation.Tradeoff
}

// solve rebuilds the plan, and looks at what else there would be.
func (w rebuildWay) solve(ctx context.Context, g *Game, set rotation.Settings) (out solved, err error) {
	switch {
	case g.Pl.Bare(): // nothing to keep
		return out, g.Pl.ArrangeRest(ctx, set, g.Strict)
	case w.changes >= 0:
		err = g.Pl.RearrangeWithin(ctx, set, g.Strict, w.changes)
	default:
		err = g.Pl.Rearrange(ctx, set, g.Strict, w.costs)
	}
	if err != nil || g.Pl.Outcome.Result == nil || g.Pl.Outcome.Result.Plan == nil {
		return out, err
	}
	if out.fresh, err = g.Pl.Fresh(ctx, set); err != nil || !w.tradeoffs {
		return out, err
	}
	out.trade, err = g.Pl.Tradeoffs(ctx, set)
	return out, err
}

// tooFew says that there is no plan with so few changes.
func (w rebuildWay) tooFew(n report.Changes, stopped bool) error {
	spots := gameplan.Count(n.Value, "changed spot")
	if n.Bound > w.changes {
		return fmt.Errorf("no plan under the rules changes %s or fewer: it takes at least %d; use --changes %d, or leave it out for the fewest",
			gameplan.Count(w.changes, "spot"), n.Bound, n.Value)
	}
	if stopped {
		return fmt.Errorf("stopped: no plan with %s or fewer was found yet, only one with %s", gameplan.Count(w.changes, "changed spot"), spots)
	}
	return fmt.Errorf("no plan with %s or fewer was found in the time given, only one with %s; give it more time with --seconds 60, or use --changes %d",
		gameplan.Count(w.changes, "changed spot"), spots, n.Value)
}

// kept says where a rebuilt plan is, or how to keep it.
func (t *targets) kept(g *Game, s *rebuildScreen) string {
	if t.Plan == "" && (s.re.Changes.Value > 0 || s.pl.Bare()) {
		return "\n" + g.Fold("Not saved: the same again with --save and a new file's name keeps this plan for the next change.", "")
	}
	return t.told(g, s.lineupScreen)
}

// running tells whether the wishes hint at a game that is on.
func (g *Game) running() bool {
	later := func(at gameplan.At) bool { return at.Series > 1 }
	return slices.ContainsFunc(g.wishes.Late, later) || len(g.wishes.Leaves)+len(g.wishes.Hurt) > 0
}

func readWay(c *cli.Context) (rebuildWay, error) {
	w := rebuildWay{played: -1, changes: -1, costs: c.Float64("change-costs"), tradeoffs: c.Bool("tradeoffs")}
	if c.IsSet("played") {
		if w.played = c.Int("played"); w.played < 0 {
			return w, tty.Usagef("--played: %d; give the number of series that are over", w.played)
		}
	}
	if c.IsSet("change-costs") && !(w.costs > 0 && w.costs <= maxCosts) {
		return w, tty.Usagef("--change-costs: %v; use points above 0, up to %d, such as 0.5; left out, the changes are as few as can be", w.costs, maxCosts)
	}
	if c.IsSet("changes") {
		switch w.changes = c.Int("changes"); {
		case w.changes < 0:
			return w, tty.Usagef("--changes: %d; give the most spots that may change, such as 4", w.changes)
		case c.IsSet("change-costs"):
			return w, tty.Usagef("--changes and --change-costs are two ways of the same: say one of them")
		}
	}
	return w, nil
}
