package logbook

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// NewClear is the command clear.
func NewClear(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("refused: the invented team is no folder to write to"),
		&cli.StringFlag{Name: "kid", Usage: "the kid who is not hurt, or may play again"},
		&cli.StringFlag{Name: "by", Usage: "who says so"},
		&cli.StringFlag{Name: "game", DefaultText: "the one with the mark", Usage: "the game on record (games.csv)"},
		&cli.StringFlag{Name: "from", Usage: "a saved plan that has the kid as hurt"},
	}, gameday.SaveFlags(), tty.ViewFlags())
	return &cli.Command{
		Name: "clear", Usage: "take back that a kid was hurt, with the name of who says so", ArgsUsage: "DIR",
		Description: "sevenyard clear sandpipers --kid 2 --by \"Ana R.\"\nsays that kid 2 was entered as hurt by mistake, or has been cleared by somebody who may. It stays in games.csv, with the name.\n" +
			"With --from plan.json --save new.json it is taken out of a saved plan too. The kid is there again from the series that you then say.\n" +
			"A hold in roster.csv is not touched: a person empties the cell.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readClearOptions, runClear),
	}
}

// clearOptions are what the command was told.
type clearOptions struct {
	tty.FolderOptions
	kid, by, game string
	from          *gameday.SavedOptions // nil: there is no plan to take the mark out of
	target        *gameday.Targets
}

func readClearOptions(c *cli.Context, sio tty.IO) (o clearOptions, err error) {
	if o.View, err = tty.ReadView(c, sio); err != nil {
		return o, err
	}
	o.kid, o.by, o.game = c.String("kid"), strings.TrimSpace(c.String("by")), c.String("game")
	switch {
	case c.Bool("demo"):
		return o, tty.Usagef("the invented team is inside the program, where nothing can be written; sevenyard start --demo sandpipers makes a folder of it")
	case o.kid == "":
		return o, tty.Usagef("which kid? Give --kid and the kid's id, such as --kid 2")
	case o.by == "":
		return o, tty.Usagef("who says that kid %s may play? Give the name with --by; it stays on record", o.kid)
	case c.IsSet("from") != c.IsSet("save"):
		return o, tty.Usagef("--from and --save go together: the plan with the mark, and a new file for the one without it")
	}
	if bad := drills.CheckText(o.by); bad != "" {
		return o, tty.Usagef("--by: it %s", bad)
	}
	if o.target, err = gameday.ReadTargets(c, sio); err != nil {
		return o, err
	}
	if o.Source, err = tty.ReadSource(c); err != nil || c.String("from") == "" {
		return o, err
	}
	from, err := gameday.ReadSavedOptions(c, sio)
	o.from = &from
	return o, err
}

// clearing is a mark on its way out.
type clearing struct {
	tty.View
	folder  *drills.Folder
	src     tty.Source
	kid, by string
	plan    *report.Lineup // nil: none was given
	notes   []string
	out     *report.Clear
}

func runClear(ctx context.Context, o clearOptions, sio tty.IO) (err error) {
	v, target := o.View, o.target
	cl := &clearing{View: v, kid: o.kid, by: o.by, src: o.Source}
	if cl.folder, err = v.ReadTeam(cl.src); err != nil {
		return err
	}
	if cl.kid, err = gameplan.Kid(asked.Kid, cl.kid, cl.folder.Roster); err != nil {
		return err
	}
	if err := cl.readPlan(ctx, o.from, sio); err != nil {
		return err
	}
	if err := v.HideProblems(cl.record(ctx, cl.src.Dir, o.game, sio), cl.src, cl.folder); err != nil {
		return err
	}
	if cl.plan != nil {
		if err := cl.plan.Seal(cl.plan); err != nil {
			return err
		}
		if err := target.Save(cl.plan); err != nil {
			return err
		}
		cl.out.Plan = target.Plan
	}
	if v.JSON {
		return report.Write(sio.Out, cl.out)
	}
	v.Warn(sio, cl.out.Warnings)
	_, err = io.WriteString(sio.Out, cl.text())
	return err
}

// readPlan reads the saved plan, and takes the mark out of it.
func (cl *clearing) readPlan(ctx context.Context, from *gameday.SavedOptions, sio tty.IO) error {
	if from == nil {
		return nil
	}
	g, l, err := from.Reopen(ctx, sio, func(sv *gameplan.Saved) (string, error) {
		if !slices.Contains(sv.Hurt, cl.kid) {
			return "", fmt.Errorf("%s does not have kid %s as hurt: nothing is to be cleared there; leave --from and --save out", from.From, cl.kid)
		}
		sv.Hurt = slices.DeleteFunc(sv.Hurt, func(id string) bool { return id == cl.kid })
		if !slices.Contains(sv.Cleared, cl.kid) {
			sv.Cleared = append(sv.Cleared, cl.kid)
		}
		return cl.kid, nil
	})
	if err != nil {
		return err
	}
	cl.plan, cl.notes = l, g.PlanWarnings()
	return nil
}

// record writes who cleared the kid into games.csv.
func (cl *clearing) record(ctx context.Context, dir, id string, sio tty.IO) error {
	j := &games.Journal{Dir: dir, Wait: lockWait}
	res, err := j.Update(ctx, func(rec *games.Record) (*games.Change, error) {
		if _, err := rec.Check(cl.folder); err != nil {
			return nil, err
		}
		g, marked, err := cl.game(rec, id, sio)
		if err != nil {
			return nil, err
		}
		cl.out = &report.Clear{Schema: report.ClearSchema, Team: cl.folder.Team.Name, Game: cl.GameID(g.ID), Kid: cl.kid, By: cl.by,
			Warnings: report.Filled(cl.notes), Cautions: report.Cautions(&cl.folder.Team.Catalogue, "concussion", "hold")}
		mark := games.Mark{Kid: cl.kid, By: cl.by}
		if !marked {
			mark.Series = cl.hurtIn()
		}
		return &games.Change{Game: g.ID, Date: g.Date, Opponent: g.Opponent, Cleared: []games.Mark{mark}}, nil
	})
	if err != nil {
		return tty.Unwritable(dir, err)
	}
	cl.out.Entry = res.Entry
	sio.Did("kid %s is cleared in entry %d", cl.kid, res.Entry)
	if cl.IDsOnly {
		cl.out.By = ""
	}
	if cl.held() {
		cl.out.Warnings = append(cl.out.Warnings, fmt.Sprintf("kid %s has a hold in roster.csv as well, and so is not planned; a person empties that cell", cl.kid))
	}
	return nil
}

// held tells whether the kid has a hold in the roster, which is not for this command to take away.
func (cl *clearing) held() bool {
	return slices.ContainsFunc(cl.folder.Roster, func(k drills.Kid) bool { return k.ID == cl.kid && k.Hold != "" })
}

// hurtIn is the series in which the plan has the kid hurt: the one after its last.
func (cl *clearing) hurtIn() int {
	for _, k := range cl.plan.Kids {
		if k.Kid == cl.kid {
			return k.Available[1] + 1
		}
	}
	return 1
}

// game is the game that the mark is of; marked tells whether the record has it.
func (cl *clearing) game(rec *games.Record, id string, sio tty.IO) (g games.Game, marked bool, err error) {
	var with []games.Game
	for _, g := range rec.Games {
		if slices.Contains(g.Hurt, cl.kid) && (id == "" || drills.IDKey(g.ID) == drills.IDKey(id)) {
			with = append(with, g)
		}
	}
	on := planning.OnToday(rec, sio.Today(), cl.folder)
	switch found, there := rec.Game(id); {
	case len(with) == 1:
		return with[0], true, nil
	case len(with) > 1 && on != nil && slices.Contains(on.Hurt, cl.kid):
		return *on, true, nil
	case len(with) > 1:
		var ids []string
		for _, g := range with {
			ids = append(ids, nameless.GameInList(g.ID))
		}
		return g, false, fmt.Errorf("kid %s is on record as hurt in games %s: which one? Say --game %s", cl.kid, prose.And(ids), with[len(with)-1].ID)
	case cl.plan == nil && cl.held():
		return g, false, fmt.Errorf("kid %s is not on record as hurt, but has a hold in roster.csv; a person empties that cell, when somebody who may has cleared the kid", cl.kid)
	case cl.plan == nil && id != "":
		return g, false, fmt.Errorf("kid %s is not on record as hurt in game %s: nothing is to be cleared", cl.kid, id)
	case cl.plan == nil:
		return g, false, fmt.Errorf("kid %s is not on record as hurt: nothing is to be cleared; where a saved plan has the kid as hurt, give it with --from plan.json --save NEW", cl.kid)
	case there:
		return found, false, nil
	case id != "":
		if bad := drills.CheckID(id); bad != "" {
			return g, false, tty.Usagef("--game: %s; use the game's number or any short id", bad)
		}
		return games.Game{ID: id, Date: sio.Today()}, false, nil
	case on != nil:
		return *on, false, nil
	}
	return g, false, tty.Usagef("of which game is the plan? Give it a number or any short id, --game 3: who cleared kid %s goes on record there", cl.kid)
}

func (cl *clearing) text() string {
	who := tty.NewPeople(cl.folder).Inline(cl.kid)
	by := ""
	if cl.out.By != "" {
		by = " by " + cl.out.By
	}
	out := cl.Fold(fmt.Sprintf("%s is cleared in game %s%s (games.csv, entry %d).", who, cl.out.Game, by, cl.out.Entry), "")
	next := fmt.Sprintf("sevenyard rebuild %s --game %s --late %s@SERIES", cl.src.Name, tty.Quote(cl.out.Game), tty.Quote(cl.kid))
	if cl.out.Plan != "" {
		out += cl.Fold("Saved as "+cl.out.Plan+", without the mark; else it is the plan that it was.", "")
		next = fmt.Sprintf("sevenyard rebuild %s --from %s --late %s@SERIES", cl.src.Name, tty.Quote(cl.out.Plan), tty.Quote(cl.kid))
	} else {
		out += cl.Fold("A saved plan that has the kid as hurt keeps it out until it is cleared there too: --from plan.json --save NEW.", "")
	}
	out += "\n"
	for _, x := range cl.out.Cautions {
		out += cl.Fold(x, "")
	}
	text := strings.TrimRight(cl.Fold("The kid is there again when you say from which series on:", ""), "\n")
	return out + "\n" + tty.Commands(text, next)
}
