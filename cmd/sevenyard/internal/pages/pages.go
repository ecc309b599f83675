package pages

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// NewSheet is the command sheet with those below it.
func NewSheet(sio tty.IO) *cli.Command {
	sub := func(name, usage, args string, flags []cli.Flag, action cli.ActionFunc) *cli.Command {
		return &cli.Command{Name: name, Usage: usage, ArgsUsage: args, Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true, Action: action}
	}
	planned := func(demo, file string) []cli.Flag {
		return slices.Concat([]cli.Flag{tty.DemoFlag(demo), fromFlag()}, outFlags(file), gameday.PlanFlags(gameday.DefaultSeconds))
	}
	return &cli.Command{
		Name: "sheet", Usage: "pages to print, to pin up, to show: HTML that needs nothing else", ArgsUsage: "game | kid | team | draft",
		Description:     "sevenyard sheet game sandpipers --from plan.json\nwrites game-sheet.html: open it in a browser and print it, on Letter or A4. Nothing on it is loaded from anywhere.",
		HideHelpCommand: true,
		OnUsageError: func(*cli.Context, error, bool) error {
			return tty.Usagef("which page? There are game, kid, team and draft: sevenyard sheet game --demo")
		},
		Action: func(c *cli.Context) error {
			if word := c.Args().First(); word != "" {
				names := tty.CommandNames(&cli.App{Commands: c.Command.Subcommands})
				return tty.Usagef("no page %q; %sthere are %s", word, tty.Meant(word, names), prose.And(names))
			}
			return cli.ShowSubcommandHelp(c)
		},
		Subcommands: []*cli.Command{
			sub("game", "the clipboard's page: every series, and the formations to scale", "DIR | --demo", planned("the invented team's game", "game-sheet.html"), tty.Doing(sio, readPlanOptions, runGameSheet)),
			sub("kid", "a card for each kid, in words for a parent; no other kid is on it", "DIR | --demo", kidFlags(), tty.Doing(sio, readKidOptions, runKidSheet)),
			sub("team", "the whole team: fits as a heat map, the plan, strength and shares", "DIR | --demo", planned("the invented team's page", "team-page.html"), tty.Doing(sio, readPlanOptions, runTeamSheet)),
			sub("draft", "the draft's room: teams side by side, how even they are, the rules kept", "DIR | --demo", draftSheetFlags(), tty.Doing(sio, readDraftOptions, runDraftSheet)),
		},
	}
}

func fromFlag() cli.Flag {
	return &cli.StringFlag{Name: "from", Usage: "the saved plan to show; without it, a plan is made now"}
}

func outFlags(file string) []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "out", Value: file, Usage: "the new file; - for standard output"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}
}

// paper is where a page goes.
type paper struct {
	sio  tty.IO
	v    tty.View
	file newfile.Target
	// screen, if not nil, is what the page shows as a text for the terminal, for when it cannot be written.
	screen func() string
}

// instead shows a plan that was searched for when its page cannot be written.
func (p *paper) instead(err error) error {
	if p.screen == nil || p.v.JSON {
		return err
	}
	if _, bad := io.WriteString(p.sio.Out, p.screen()); bad != nil {
		return bad
	}
	return tty.After(false, err)
}

// readPaper looks whether the page can be written, before any work is done.
func readPaper(c *cli.Context, sio tty.IO, v tty.View) (*paper, error) {
	p := &paper{sio: sio, v: v, file: tty.Target(c, c.String("out"), newfile.Page)}
	switch name := p.file.Name; {
	case name == "":
		return nil, tty.Usagef("--out: which file? Such as --out page.html, or - for standard output")
	case name == "-" && v.JSON:
		return nil, tty.Usagef("--out - and --format json both want standard output; give a file")
	case name == "-":
		return p, nil
	}
	return p, tty.Taken(p.file.Name, p.file.Free())
}

// put writes the page, and says so.
func (p *paper) put(page *sheet.Page, about *report.Sheet) error {
	if p.file.Name == "-" {
		return p.sio.Document(page.HTML)
	}
	if err := tty.Taken(p.file.Name, p.file.Write(page.HTML)); err != nil {
		return p.instead(err)
	}
	p.sio.Did("the page is written into %s", p.file.Name)
	about.Schema, about.File, about.Bytes, about.Pages = report.SheetSchema, p.file.Name, len(page.HTML), page.Pages
	if p.v.JSON {
		return report.Write(p.sio.Out, about)
	}
	what := sheetWords[about.Sheet]
	if about.Sheet == "kid" && len(about.Kids) == 1 {
		what = "one kid's card"
	}
	text := fmt.Sprintf("Wrote %s: %s, %s on Letter or A4, upright. Open it in a browser, and print it from there.",
		p.file.Name, what, prose.Count(page.Pages, "printed page"))
	if p.v.IDsOnly {
		text += " No name is on it."
	} else {
		text += " It has kids' names on it: pass it on only to those they concern, or make it with --ids-only."
	}
	_, err := io.WriteString(p.sio.Out, p.v.Fold(text, ""))
	return err
}

var sheetWords = map[string]string{"game": "the game sheet", "kid": "a card for each kid", "team": "the team page", "draft": "the draft page"}

// PageTeam is what a page needs to know of a team beside the numbers.
func PageTeam(f *drills.Folder, cautions []string) sheet.Team {
	t := sheet.Team{Name: f.Team.Name, Division: f.Team.Division.Words(), Catalogue: &f.Team.Catalogue, Names: map[string]string{}, Never: map[string][]string{}, Cautions: cautions}
	for _, k := range f.Roster {
		t.Roster = append(t.Roster, k.ID)
		t.Names[k.ID], t.Never[k.ID] = k.Name, k.Never
	}
	return t
}

// planOptions are what a command was told that makes a page of a plan.
type planOptions struct {
	*paper
	saved *gameday.SavedOptions // the plan to show; nil: one is made now
	plan  gameday.PlanOptions
}

func readPlanOptions(c *cli.Context, sio tty.IO) (o planOptions, err error) {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return o, err
	}
	if o.paper, err = readPaper(c, sio, v); err != nil {
		return o, err
	}
	if !c.IsSet("from") {
		o.plan, err = gameday.ReadPlanOptions(c, sio)
		return o, err
	}
	if err := onlySaved(c, c.String("from")); err != nil {
		return o, err
	}
	saved, err := gameday.ReadSavedOptions(c, sio)
	o.saved = &saved
	return o, err
}

func runGameSheet(ctx context.Context, o planOptions, sio tty.IO) error {
	g, l, err := o.lineup(ctx, sio)
	if err != nil {
		return err
	}
	page, err := sheet.Game(l, PageTeam(g.Folder, report.Cautions(&g.Folder.Team.Catalogue, "advice", "concussion", "heat", "hold")))
	if err != nil {
		return err
	}
	return tty.FirstError(o.put(page, &report.Sheet{Sheet: "game", Team: l.Team, Kids: planKids(l), Warnings: l.Warnings}), tty.After(g.Stopped))
}

func planKids(l *report.Lineup) []string {
	out := []string{}
	for _, k := range l.Kids {
		out = append(out, k.Kid)
	}
	return out
}

// lineup reads the team, and takes the plan from its file or makes one.
func (o planOptions) lineup(ctx context.Context, sio tty.IO) (*gameday.Game, *report.Lineup, error) {
	if o.saved != nil {
		return o.saved.Lineup(ctx, sio)
	}
	g, err := o.plan.Plan(ctx, sio)
	if err != nil {
		return nil, nil, err
	}
	l := g.Lineup()
	if !g.JSON {
		g.Warn(sio, g.Briefly())
	}
	o.screen = func() string { return gameday.NewLineupScreen(g, l, false).Text() }
	return g, l, nil
}

// onlySaved refuses what would change a saved plan: that is a rebuild.
func onlySaved(c *cli.Context, from string) error {
	if from == "" {
		return tty.Usagef("--from: which file? Such as --from plan.json")
	}
	for _, f := range []string{"absent", "late", "leaves", "favor", "strict", "wbgt", "ignore-season", "seed"} {
		if c.IsSet(f) {
			return tty.Usagef("--%s would change the saved plan; make the change first: sevenyard rebuild %s --from %s --save NEW", f,
				cmp.Or(c.Args().First(), "."), tty.Quote(from))
		}
	}
	return nil
}
