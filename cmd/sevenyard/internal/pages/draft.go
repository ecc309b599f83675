package pages

import (
	"context"
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

// draftOptions are what the command was told.
type draftOptions struct {
	*paper
	saved *draftday.TeamsOptions // the teams to show; nil: the pool is drafted now
	pool  draftday.PoolOptions
	draw  string // the record of a draw; "": none
	seed  uint64
}

func readDraftOptions(c *cli.Context, sio tty.IO) (o draftOptions, err error) {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return o, err
	}
	switch {
	case c.IsSet("draw") && !c.IsSet("from"):
		return o, tty.Usagef("--draw goes with --from: the draw is one of saved teams")
	case c.IsSet("seed") && c.IsSet("from"):
		return o, tty.Usagef("--seed drafts anew, and --from shows saved teams; give one of them")
	}
	o.draw, o.seed = c.String("draw"), c.Uint64("seed")
	if o.paper, err = readPaper(c, sio, v); err != nil {
		return o, err
	}
	if !c.IsSet("from") {
		o.pool, err = draftday.ReadPoolOptions(c, sio)
		return o, err
	}
	saved, err := draftday.ReadTeamsOptions(c, sio)
	o.saved = &saved
	return o, err
}

func runDraftSheet(ctx context.Context, o draftOptions, sio tty.IO) error {
	p, d, split, draw, err := o.teams(ctx, sio)
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
	if o.saved == nil {
		o.screen = who.Text
	}
	return tty.FirstError(o.put(page, &report.Sheet{Sheet: "draft", Team: d.League, Kids: kids, Warnings: append([]string{}, d.Warnings...)}), tty.After(p.Stopped))
}

// teams takes the teams from a file or drafts the pool.
func (o draftOptions) teams(ctx context.Context, sio tty.IO) (*draftday.Pool, *report.Draft, draft.Split, *sheet.Drawing, error) {
	if o.saved == nil {
		p, err := o.pool.Read(sio, nil)
		if err == nil {
			err = p.NoArgs()
		}
		if err != nil {
			return nil, nil, nil, nil, err
		}
		meter := tty.StartMeterWith(sio, func() string { return "evening the teams out" })
		d, at, err := p.Split(ctx, draft.Settings{Seed: o.seed, Effort: draftday.UsualEffort})
		meter.End()
		if err != nil {
			return nil, nil, nil, nil, err
		}
		d.Warnings = append(d.Warnings, p.Warnings()...)
		p.Brief()
		return p, d, at.Now, nil, nil
	}
	p, sv, err := o.saved.Open(sio)
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
	snake, mended, err := draft.Snake(ctx, p.Pl.Numbers)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	d.Snake = p.Pl.Compare(snake, mended)
	draw, err := readDrawing(p, o.draw, sv)
	if !p.JSON {
		p.Warn(sio, p.Notes)
	}
	d.Warnings = append(d.Warnings, p.Warnings()...)
	return p, d, sv.Now, draw, err
}

// readDrawing reads the record of the draw, if one is named; nil: none is.
func readDrawing(p *draftday.Pool, name string, sv *draftday.Saved) (*sheet.Drawing, error) {
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
