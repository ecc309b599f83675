package pages

import (
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/draftday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/optimize/draft"
)

func draftSheetFlags() []cli.Flag {
	return slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented league's pool"),
		&cli.StringFlag{Name: "from", Usage: "the saved teams (draft --save) to show; without it, the pool is drafted now"},
		&cli.StringFlag{Name: "draw", Usage: "the record of a draw of these teams (draft draw --save), to name the coaches"},
		draftday.SeedFlag(),
	}, outFlags("draft-page.html"), tty.ViewFlags())
}

func runDraftSheet(c *cli.Context, sio tty.IO) error {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return err
	}
	switch {
	case c.IsSet("draw") && !c.IsSet("from"):
		return tty.Usagef("--draw goes with --from: the draw is one of saved teams")
	case c.IsSet("seed") && c.IsSet("from"):
		return tty.Usagef("--seed drafts anew, and --from shows saved teams; give one of them")
	}
	out, err := readPaper(c, sio, v)
	if err != nil {
		return err
	}
	p, d, split, draw, err := readDrafted(c, sio)
	if err != nil {
		return err
	}
	who := draftday.NewDraftScreen(p, d, split)
	t := PageTeam(p.Pl.Folder, report.Cautions(&p.Pool.League.Common.Catalogue, "advice"))
	t.Name = d.League
	page, err := sheet.Draft(d, who.RuleLines(), draw, t)
	if err != nil {
		return err
	}
	kids := []string{}
	for _, x := range d.Teams {
		kids = append(kids, x.Kids...)
	}
	if !c.IsSet("from") {
		out.screen = who.Text
	}
	return tty.FirstError(out.put(page, &report.Sheet{Sheet: "draft", Team: d.League, Kids: kids, Warnings: append([]string{}, d.Warnings...)}), tty.After(p.Stopped))
}

// readDrafted takes the teams from a file or drafts the pool.
func readDrafted(c *cli.Context, sio tty.IO) (*draftday.Pool, *report.Draft, draft.Split, *sheet.Drawing, error) {
	if !c.IsSet("from") {
		p, err := draftday.ReadPool(c, sio, nil)
		if err == nil {
			err = p.NoArgs()
		}
		if err != nil {
			return nil, nil, nil, nil, err
		}
		meter := tty.StartMeterWith(sio, func() string { return "evening the teams out" })
		d, at, err := p.Split(c, draft.Settings{Seed: c.Uint64("seed"), Effort: draftday.UsualEffort})
		meter.End()
		if err != nil {
			return nil, nil, nil, nil, err
		}
		d.Warnings = append(d.Warnings, p.Warnings()...)
		p.Brief()
		return p, d, at.Now, nil, nil
	}
	p, sv, err := draftday.OpenTeams(c, sio)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	if err := tty.FirstError(p.NoArgs(), sv.Whole(p)); err != nil {
		return nil, nil, nil, nil, err
	}
	sv.Heed(p)
	if err := sv.Lawful(p, "no page, which is for teams that keep every rule"); err != nil {
		return nil, nil, nil, nil, err
	}
	d := p.Pl.Draft(sv.Now, p.Pl.Numbers.Measure(sv.Now), sv.Seed)
	snake, mended, err := draft.Snake(c.Context, p.Pl.Numbers)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	d.Snake = p.Pl.Compare(snake, mended)
	draw, err := readDrawing(p, c, sv)
	if !p.JSON {
		p.Warn(sio, p.Notes)
	}
	d.Warnings = append(d.Warnings, p.Warnings()...)
	return p, d, sv.Now, draw, err
}

// readDrawing reads the record of the draw, if one is named; nil: none is.
func readDrawing(p *draftday.Pool, c *cli.Context, sv *draftday.Saved) (*sheet.Drawing, error) {
	name := c.String("draw")
	if name == "" {
		return nil, nil
	}
	drawn, err := p.ReadDrawn(name, sv)
	if err != nil {
		return nil, err
	}
	p.Notes = append(p.Notes, drawn.Notes...)
	if p.IDsOnly {
		drawn.Words = "" // anything may have been said
	}
	return &sheet.Drawing{Words: drawn.Words, Coach: drawn.Coach}, nil
}
