package team

import (
	"context"
	"io"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
)

// NewProfile is the command profile.
func NewProfile(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "profile", Usage: "what the drills say about each kid, and how surely", ArgsUsage: "DIR | --demo",
		Flags: append([]cli.Flag{
			tty.DemoFlag("the invented team's profile"),
			&cli.BoolFlag{Name: "plot", Usage: "draw the traits, with their errors, instead of the table"},
			&cli.BoolFlag{Name: "all-roles", Usage: "also roles that none of the team's formations has"},
		}, tty.ViewFlags()...),
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readProfileOptions, runProfile),
	}
}

// profileOptions are what the command was told.
type profileOptions struct {
	tty.FolderOptions
	plot, allRoles bool
}

func readProfileOptions(c *cli.Context, sio tty.IO) (o profileOptions, err error) {
	o.plot, o.allRoles = c.Bool("plot"), c.Bool("all-roles")
	o.FolderOptions, err = tty.ReadFolderOptions(c, sio)
	return o, err
}

func runProfile(_ context.Context, o profileOptions, sio tty.IO) error {
	v, src := o.View, o.Source
	f, err := v.ReadTeam(src)
	if err != nil {
		return err
	}
	p := assess.Assess(f)
	warnings := append(f.Warnings.Words(), p.Warnings...)
	if v.JSON {
		out := ProfileReport(f, p)
		out.Warnings = append(out.Warnings, warnings...)
		return report.Write(sio.Out, out)
	}
	if len(warnings) > 0 {
		v.Warn(sio, []string{tty.WarningsAt(len(warnings), src)})
	}
	s := profileScreen{View: v, f: f, p: p, who: tty.NewPeople(f), src: src, allRoles: o.allRoles,
		plot: o.plot, plain: sio.Getenv("TERM") == "dumb"}
	_, err = io.WriteString(sio.Out, s.text())
	return err
}

// ProfileReport is a profile as an object.
func ProfileReport(f *drills.Folder, p *assess.Profile) *report.Profile {
	out := &report.Profile{
		Schema: report.ProfileSchema, Team: f.Team.Name, Drills: []report.Drill{}, Kids: []report.ProfileKid{},
		Weights: map[string]map[string]float64{}, Importance: map[string]float64{}, Warnings: []string{},
	}
	for _, r := range p.Reports {
		out.Drills = append(out.Drills, report.Drill{
			Drill: r.Drill, Unit: r.Unit, Kids: r.Kids, Trials: r.Trials, Mean: r.Mean, SDKid: r.SDKid, SDTrial: r.SDTrial,
			ICC1: r.ICC1, ICCMean: r.ICCMean, SEM: r.SEM, MDC: r.MDC, Assumed: r.Assumed, TrialsFor80: r.TrialsFor80,
		})
	}
	for _, k := range p.Kids {
		kid := report.ProfileKid{Kid: k.ID, Name: k.Name, Traits: map[string]report.Trait{}, Fits: map[string]report.Fit{}}
		for _, t := range k.Traits {
			kid.Traits[t.Name] = report.Trait{T: t.T, SE: t.SE, Tested: t.Tested}
		}
		for _, x := range k.Fits {
			kid.Fits[x.Name] = report.Fit{Fit: x.T, SE: x.SE, Own: x.Own, Tested: x.Tested}
		}
		out.Kids = append(out.Kids, kid)
	}
	for _, r := range f.Team.Catalogue.Roles {
		w := map[string]float64{}
		for _, share := range r.Weights {
			w[share.Name] = share.Weight
		}
		out.Weights[r.Name] = w
		out.Importance[r.Name] = assess.Importance(&f.Team, r.Name)
	}
	return out
}
