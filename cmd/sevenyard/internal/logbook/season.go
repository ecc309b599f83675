package logbook

import (
	"cmp"
	"context"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

// NewSeason is the command season.
func NewSeason(sio tty.IO) *cli.Command {
	flags := append([]cli.Flag{
		tty.DemoFlag("the invented team, after three invented games"),
		&cli.StringFlag{Name: "kid", Usage: "one kid's season, game by game"},
	}, tty.ViewFlags()...)
	return &cli.Command{
		Name: "season", Usage: "what every kid has played so far, and what it is owed", ArgsUsage: "DIR | --demo",
		Description: "sevenyard season sandpipers\nsums up the games on record (games.csv): series played, the fair share of them, and what is owed.\n" +
			"sevenyard season sandpipers --kid 7\nis the same for one kid, game by game.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readSeasonOptions, runSeason),
	}
}

// seasonOptions are what the command was told.
type seasonOptions struct {
	tty.FolderOptions
	one bool   // one kid's season is asked for
	kid string // whose
}

func readSeasonOptions(c *cli.Context, sio tty.IO) (o seasonOptions, err error) {
	o.one, o.kid = c.IsSet("kid"), c.String("kid")
	if o.FolderOptions, err = tty.ReadFolderOptions(c, sio); err == nil && c.Bool("demo") {
		o.Source.FS = fixtures.DemoSeason()
	}
	return o, err
}

func runSeason(_ context.Context, o seasonOptions, sio tty.IO) error {
	v, src := o.View, o.Source
	f, err := v.ReadTeam(src)
	if err != nil {
		return err
	}
	rec, warnings, err := planning.ReadRecord(src.FS, f)
	if err != nil {
		return v.HideProblems(err, src, f)
	}
	warnings = append(warnings, planning.StillToCome(rec, sio.Today(), gameday.DateAgain)...)
	if v.IDsOnly {
		warnings = nameless.OfRecord(warnings, src.FS, f)
	}
	s, err := gameplan.NewSeason(f, rec, "")
	if err != nil {
		return err
	}
	out := s.Report(f.Team.Name)
	out.Warnings = append(out.Warnings, warnings.Words()...)
	v.HideSeason(out)
	if err := o.oneKid(f, s, out); err != nil {
		return err
	}
	if v.JSON {
		return report.Write(sio.Out, out)
	}
	v.Warn(sio, warnings.Words())
	_, err = io.WriteString(sio.Out, newSeasonScreen(v, f, s, out, src, o.one).text())
	return err
}

// oneKid leaves the kid that is asked for.
func (o seasonOptions) oneKid(f *drills.Folder, s *gameplan.Season, out *report.Season) error {
	if !o.one {
		return nil
	}
	id := o.kid
	meant, which := drills.FindKid(id, f.Roster)
	if len(which) > 1 {
		what, do := drills.KidError(id, which, f.Roster)
		return asked.Wrong(asked.Kid, what, do)
	}
	i := s.Index(cmp.Or(meant, id))
	if i < 0 {
		return asked.Wrong(asked.Kid, fmt.Sprintf("no kid %q in the roster, and none on record", id), drills.KidAdvice(id, f.Roster))
	}
	out.Kids = out.Kids[i : i+1]
	return nil
}
