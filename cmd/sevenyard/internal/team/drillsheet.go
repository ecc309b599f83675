package team

import (
	"context"
	"fmt"
	"io"
	"strconv"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// NewDrills is the command drills.
func NewDrills(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "drills", Usage: "how each drill is set up and run on evaluation night", ArgsUsage: "[DIR | --demo]",
		Description:  "Without a folder: the drills that come with the tool. With one: the team's own too, and its changes.",
		Flags:        append([]cli.Flag{tty.DemoFlag("the invented team's drills")}, tty.ViewFlags()...),
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readCatalogueOptions, runDrills),
	}
}

// catalogueOptions are what a command was told that shows what the trade knows, or what a team knows of it.
type catalogueOptions struct {
	tty.View
	command string
	source  *tty.Source // nil: what comes with the tool
}

func readCatalogueOptions(c *cli.Context, sio tty.IO) (o catalogueOptions, err error) {
	o.command = c.Command.Name
	if o.View, err = tty.ReadView(c, sio); err != nil || !c.Args().Present() && !c.Bool("demo") && !tty.Here() {
		return o, err
	}
	src, err := tty.ReadSource(c)
	o.source = &src
	return o, err
}

// team reads no more than team.toml: a team that has still to hold its drills has no results yet.
func (o catalogueOptions) team() (drills.Team, error) {
	if o.source == nil {
		return drills.Team{Catalogue: drills.Default()}, nil
	}
	f, err := o.source.FS.Open("team.toml")
	if err != nil {
		return drills.Team{}, fmt.Errorf("%s has no team.toml to read; sevenyard %s without a folder lists what comes with the tool", o.source.Name, o.command)
	}
	defer f.Close()
	team, _, err := drills.ReadTeam(f)
	if err != nil {
		return drills.Team{}, err
	}
	if o.IDsOnly {
		nameless.TeamFile(team)
	}
	return *team, nil
}

func runDrills(_ context.Context, o catalogueOptions, sio tty.IO) error {
	team, err := o.team()
	if err != nil {
		return err
	}
	if o.JSON {
		return report.Write(sio.Out, drillSheet(&team.Catalogue))
	}
	_, err = io.WriteString(sio.Out, drillText(o.View, &team.Catalogue))
	return err
}

func drillSheet(cat *drills.Catalogue) *report.DrillSheet {
	out := &report.DrillSheet{Schema: report.DrillsSchema, Drills: []report.Station{}, Cautions: report.Cautions(cat, "setup", "concussion", "heat")}
	for _, d := range cat.Drills {
		out.Drills = append(out.Drills, report.Station{
			Drill: d.Name, Title: d.Title, Kind: string(d.Kind), Unit: d.Unit, Trials: d.Trials, Attempts: d.Attempts, Minutes: d.Minutes,
			Setup: d.Setup, Safety: d.Safety, Source: d.Source,
		})
	}
	return out
}

func drillText(v tty.View, cat *drills.Catalogue) string {
	out := v.Fold("Keep in mind", "")
	for _, text := range report.Cautions(cat, "setup", "concussion", "heat") {
		out += v.Fold("- "+text, "  ")
	}
	for _, d := range cat.Drills {
		out += "\n" + v.Fold(v.Strong(d.Name)+": "+d.Title, "  ") + v.Fold(how(d), "  ")
		for _, text := range []string{d.Setup, d.Safety} {
			if text != "" {
				out += v.Fold(text, "  ")
			}
		}
	}
	return out + "\n" + v.Fold("What the kids did goes into results.csv, under the drill's name.", "")
}

// how says what is measured, and how long it takes.
func how(d drills.Drill) string {
	text := map[drills.Kind]string{drills.Timed: "timed, in seconds", drills.Counted: "counted, " + prose.Count(d.Attempts, "attempt") + " a trial",
		drills.Rated: "rated, a mark from 1 to 5"}[d.Kind]
	if d.Trials > 0 {
		text += "; " + prose.Count(d.Trials, "trial") + " a kid"
	}
	if d.Minutes > 0 {
		text += ", about " + strconv.FormatFloat(d.Minutes, 'f', -1, 64) + " min in all"
	}
	return text + "."
}
