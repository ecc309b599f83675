package logbook

import (
	"cmp"
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
		Action: func(c *cli.Context) error { return runSeason(c, sio) },
	}
}

func runSeason(c *cli.Context, sio tty.IO) error {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return err
	}
	src, err := tty.ReadSource(c)
	if err != nil {
		return err
	}
	if c.Bool("demo") {
		src.FS = fixtures.DemoSeason()
	}
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
	if err := oneKid(c, f, s, out); err != nil {
		return err
	}
	if v.JSON {
		return report.Write(sio.Out, out)
	}
	v.Warn(sio, warnings.Words())
	_, err = io.WriteString(sio.Out, newSeasonScreen(v, f, s, out, src, c.IsSet("kid")).text())
	return err
}

// oneKid leaves the kid that is asked for.
func oneKid(c *cli.Context, f *drills.Folder, s *gameplan.Season, out *report.Season) error {
	if !c.IsSet("kid") {
		return nil
	}
	id := c.String("kid")
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
