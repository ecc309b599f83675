package pages

import (
	"context"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

func kidFlags() []cli.Flag {
	return slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented team's cards"),
		&cli.StringSliceFlag{Name: "kid", Usage: "only these kids' cards: 7 or 7,9"},
	}, outFlags("kid-cards.html"), tty.ViewFlags())
}

// kidOptions are what the command was told.
type kidOptions struct {
	*paper
	tty.FolderOptions
	demo bool
	all  bool     // no kid is named
	kids []string // as typed
}

func readKidOptions(c *cli.Context, sio tty.IO) (o kidOptions, err error) {
	o.demo, o.all, o.kids = c.Bool("demo"), !c.IsSet("kid"), c.StringSlice("kid")
	if o.View, err = tty.ReadView(c, sio); err != nil {
		return o, err
	}
	if o.paper, err = readPaper(c, sio, o.View); err != nil {
		return o, err
	}
	o.Source, err = tty.ReadSource(c)
	return o, err
}

func runKidSheet(_ context.Context, o kidOptions, sio tty.IO) error {
	v, src := o.View, o.Source
	f, err := v.ReadTeam(src)
	if err != nil {
		return err
	}
	profile := assess.Assess(f)
	kids, err := o.named(f)
	if err != nil {
		return err
	}
	r := team.ProfileReport(f, profile)
	season, notes, err := o.season(f)
	if err != nil {
		return err
	}
	warnings := append(f.Warnings.Words(), profile.Warnings...)
	if len(warnings) > 0 && !v.JSON {
		v.Warn(sio, []string{tty.WarningsAt(len(warnings), src)})
	}
	if !v.JSON {
		v.Warn(sio, notes)
	}
	page, err := sheet.Kids(r, kids, UsedRoles(f), season, PageTeam(f, report.Cautions(&f.Team.Catalogue, "advice")))
	if err != nil {
		return err
	}
	about := &report.Sheet{Sheet: "kid", Team: f.Team.Name, Kids: kids, Warnings: append(append([]string{}, warnings...), notes...)}
	return o.put(page, about)
}

// named are the kids asked for, in the roster's order, or all.
func (o kidOptions) named(f *drills.Folder) ([]string, error) {
	var named []string
	for _, text := range o.kids {
		kids, err := gameplan.ParseKids(asked.Kid, text)
		if err != nil {
			return nil, err
		}
		for i := range kids {
			if kids[i], err = gameplan.Kid(asked.Kid, kids[i], f.Roster); err != nil {
				return nil, err
			}
		}
		named = append(named, kids...)
	}
	out := []string{}
	for _, k := range f.Roster {
		if o.all || slices.Contains(named, k.ID) {
			out = append(out, k.ID)
		}
	}
	return out, nil
}

// UsedRoles are the roles of the team's formations, in the catalogue's order.
func UsedRoles(f *drills.Folder) []string {
	var out []string
	for _, r := range f.Team.Catalogue.Roles {
		used := func(form drills.Formation) bool {
			return slices.ContainsFunc(form.Spots, func(s drills.Spot) bool { return s.Role == r.Name })
		}
		if slices.ContainsFunc(f.Team.Formations, used) {
			out = append(out, r.Name)
		}
	}
	return out
}

// season is what the record says; nil where no game is on it. The invented team has a record of its own.
func (o kidOptions) season(f *drills.Folder) (*report.Season, []string, error) {
	v, src := o.View, o.Source
	if o.demo {
		src.FS = fixtures.DemoSeason()
	}
	rec, warnings, err := planning.ReadRecord(src.FS, f)
	if err != nil {
		return nil, nil, v.HideProblems(err, src, f)
	}
	if v.IDsOnly {
		warnings = nameless.OfRecord(warnings, src.FS, f)
	}
	if len(rec.Games) == 0 {
		return nil, warnings.Words(), nil
	}
	s, err := gameplan.NewSeason(f, rec, "")
	if err != nil {
		return nil, nil, err
	}
	out := s.Report(f.Team.Name)
	v.HideSeason(out)
	return out, warnings.Words(), nil
}
