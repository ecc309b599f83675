package main

import (
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/optimize/draft"
)

func draftSheetFlags() []cli.Flag {
	return slices.Concat([]cli.Flag{
		demoFlag("the invented league's pool"),
		&cli.StringFlag{Name: "from", Usage: "the saved teams (draft --save) to show; without it, the pool is drafted now"},
		&cli.StringFlag{Name: "draw", Usage: "the record of a draw of these teams (draft draw --save), to name the coaches"},
		seedFlag(),
	}, outFlags("draft-page.html"), viewFlags())
}

func runDraftSheet(c *cli.Context, sio stdio) error {
	v, err := readView(c, sio)
	if err != nil {
		return err
	}
	switch {
	case c.IsSet("draw") && !c.IsSet("from"):
		return usagef("--draw goes with --from: the draw is one of saved teams")
	case c.IsSet("seed") && c.IsSet("from"):
		return usagef("--seed drafts anew, and --from shows saved teams; give one of them")
	}
	out, err := readPaper(c, sio, v)
	if err != nil {
		return err
	}
	p, d, split, draw, err := readDrafted(c, sio)
	if err != nil {
		return err
	}
	who := newDraftScreen(p, d, split)
	t := pageTeam(p.pl.Folder, cautions(&p.pool.League.Common.Catalogue, "advice"))
	t.Name = d.League
	page, err := sheet.Draft(d, who.ruleLines(), draw, t)
	if err != nil {
		return err
	}
	kids := []string{}
	for _, x := range d.Teams {
		kids = append(kids, x.Kids...)
	}
	if !c.IsSet("from") {
		out.screen = who.text
	}
	return firstError(out.put(page, &report.Sheet{Sheet: "draft", Team: d.League, Kids: kids, Warnings: append([]string{}, d.Warnings...)}), after(p.stopped))
}

// readDrafted takes the teams from a file or drafts the pool.
func readDrafted(c *cli.Context, sio stdio) (*pool, *report.Draft, draft.Split, *sheet.Drawing, error) {
	if !c.IsSet("from") {
		p, err := readPool(c, sio, nil)
		if err == nil {
			err = p.noArgs()
		}
		if err != nil {
			return nil, nil, nil, nil, err
		}
		meter := startMeterWith(sio, func() string { return "evening the teams out" })
		d, at, err := p.split(c, draft.Settings{Seed: c.Uint64("seed"), Effort: usualEffort})
		meter.end()
		if err != nil {
			return nil, nil, nil, nil, err
		}
		d.Warnings = append(d.Warnings, p.warnings()...)
		p.brief()
		return p, d, at.now, nil, nil
	}
	p, sv, err := openTeams(c, sio)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	if err := firstError(p.noArgs(), sv.whole(p)); err != nil {
		return nil, nil, nil, nil, err
	}
	sv.heed(p)
	if err := sv.lawful(p, "no page, which is for teams that keep every rule"); err != nil {
		return nil, nil, nil, nil, err
	}
	d := p.pl.Draft(sv.now, p.pl.Numbers.Measure(sv.now), sv.Seed)
	snake, mended, err := draft.Snake(c.Context, p.pl.Numbers)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	d.Snake = p.pl.Compare(snake, mended)
	draw, err := p.readDrawing(c, sv)
	if !p.JSON {
		p.warn(sio, p.notes)
	}
	d.Warnings = append(d.Warnings, p.warnings()...)
	return p, d, sv.now, draw, err
}

// readDrawing reads the record of the draw, if one is named; nil: none is.
func (p *pool) readDrawing(c *cli.Context, sv *saved) (*sheet.Drawing, error) {
	name := c.String("draw")
	if name == "" {
		return nil, nil
	}
	drawn, err := p.readDrawn(name, sv)
	if err != nil {
		return nil, err
	}
	p.notes = append(p.notes, drawn.notes...)
	if p.IDsOnly {
		drawn.Words = "" // anything may have been said
	}
	return &sheet.Drawing{Words: drawn.Words, Coach: drawn.coach}, nil
}
