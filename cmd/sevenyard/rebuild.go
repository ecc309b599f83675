package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// rebuildSeconds is how long a rebuild may take: somebody waits for it at the field.
const rebuildSeconds = 10

// maxCosts is the most T points that a change may count as; above it no change is ever worth it.
const maxCosts = 1000

func newRebuild(sio stdio) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		demoFlag("the invented team"),
		&cli.StringFlag{Name: "from", Usage: "the plan to change: a file that --save wrote"},
		&cli.IntFlag{Name: "played", DefaultText: "as the plan says", Usage: "the first so many series are over, and stay as they were"},
		&cli.StringSliceFlag{Name: "hurt", Usage: "2@5: kid 2 was hurt in series 5, and is not planned from it on"},
		&cli.Float64Flag{Name: "change-costs", DefaultText: "as few changes as can be", Usage: "the middle way: a changed spot counts as so many points of the total"},
		&cli.BoolFlag{Name: "tradeoffs", Usage: "also list how strong the weakest series can be with more changes"},
		&cli.BoolFlag{Name: "detail", Usage: "every series with names and fits, and all cautions"},
	}, saveFlags(), planFlags(rebuildSeconds))
	return &cli.Command{
		Name: "rebuild", Usage: "change a saved plan as little as need be when kids are missing", ArgsUsage: "DIR | --demo",
		Description: "sevenyard rebuild sandpipers --from plan.json --absent 4 --hurt 2@5\nkeeps series 1 to 4 as played, and plans the rest without kids 2 and 4.\n" +
			"Who is there follows the plan, except where you say otherwise; --late 9@3 also brings a kid in who is not in it.",
		Flags: flags, OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runRebuild(c, sio) },
	}
}

func runRebuild(c *cli.Context, sio stdio) error {
	out, err := readTargets(c)
	if err != nil {
		return err
	}
	played, costs, err := readRebuild(c)
	if err != nil {
		return err
	}
	g, err := readGame(c, sio, func(f *drills.Folder, p *assess.Profile, w gameplan.Wishes) (*gameplan.Plan, error) {
		saved, err := readSaved(c.String("from"))
		if err != nil {
			return nil, err
		}
		return gameplan.NewFrom(f, p, w, saved, played)
	})
	if err != nil {
		return err
	}
	var fresh *rotation.Result
	var trade []rotation.Tradeoff
	limit := g.share(1. / 3).Limit // a rebuild, a fresh plan, a list
	err = g.search(c, func() error {
		set := g.set
		set.Limit = limit
		if err := g.pl.Rearrange(c.Context, set, g.strict, costs); err != nil || g.pl.Outcome.Result == nil || g.pl.Outcome.Result.Plan == nil {
			return err
		}
		if fresh, err = g.pl.Fresh(c.Context, set); err != nil || !c.Bool("tradeoffs") {
			return err
		}
		trade, err = g.pl.Tradeoffs(c.Context, set)
		return err
	})
	if err != nil {
		return err
	}
	g.set.Limit = limit // what the rebuild itself had
	re := g.pl.Rebuild(g.set, costs, fresh, trade)
	running := played < 0 && re.Played == 0 && g.running()
	re.Warnings = append(re.Warnings, g.warnings()...)
	if running {
		re.Warnings = append(re.Warnings, nonePlayed)
	}
	re.Cautions = cautions(&g.folder.Team.Catalogue, g.topics()...)
	if err := out.save(re); err != nil {
		return err
	}
	if g.JSON {
		return report.Write(sio.Out, re)
	}
	g.warn(sio, g.briefly())
	s := &rebuildScreen{lineupScreen: newLineupScreen(g, &re.Lineup, c.Bool("detail")), re: re, asked: c.Bool("tradeoffs"), hurt: g.wishes.Hurt, running: running}
	if s.under = " with so few changes"; costs > 0 {
		s.under = " at that price of a change"
	}
	if len(s.hurt) > 0 {
		s.said = 1 // the one about a knock to the head
	}
	_, err = io.WriteString(sio.Out, s.text(out.kept(g, s)))
	return err
}

// kept says where a rebuilt plan is, or how to keep it.
func (t *targets) kept(g *game, s *rebuildScreen) string {
	if t.plan == "" && s.re.Changes.Value > 0 {
		return "\n" + g.Fold("Not saved: the same again with --save and a new file's name keeps this plan for the next change.", "")
	}
	return t.told(g, s.lineupScreen)
}

// running tells whether the wishes hint at a game that is on.
func (g *game) running() bool {
	later := func(at gameplan.At) bool { return at.Series > 1 }
	return slices.ContainsFunc(g.wishes.Late, later) || len(g.wishes.Leaves)+len(g.wishes.Hurt) > 0
}

func readRebuild(c *cli.Context) (played int, costs float64, err error) {
	if c.String("from") == "" {
		return 0, 0, usagef("rebuild from which plan? Give --from plan.json; sevenyard lineup --save plan.json writes one")
	}
	played = -1
	if c.IsSet("played") {
		if played = c.Int("played"); played < 0 {
			return 0, 0, usagef("--played: %d; give the number of series that are over", played)
		}
	}
	costs = c.Float64("change-costs")
	if c.IsSet("change-costs") && !(costs > 0 && costs <= maxCosts) {
		return 0, 0, usagef("--change-costs: %v; use points above 0, up to %d, such as 0.5; left out, the changes are as few as can be", costs, maxCosts)
	}
	return played, costs, nil
}

// readSaved reads a plan from a file.
func readSaved(name string) (*gameplan.Saved, error) {
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("no file %s; sevenyard lineup --save %s writes one", name, quote(name))
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, gameplan.MaxSaved+1))
	if err != nil {
		return nil, err
	}
	return gameplan.ReadSaved(name, data)
}
