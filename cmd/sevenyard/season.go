package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/fixtures"
)

func newSeason(sio stdio) *cli.Command {
	flags := append([]cli.Flag{
		demoFlag("the invented team, after three invented games"),
		&cli.StringFlag{Name: "kid", Usage: "one kid's season, game by game"},
	}, viewFlags()...)
	return &cli.Command{
		Name: "season", Usage: "what every kid has played so far, and what it is owed", ArgsUsage: "DIR | --demo",
		Description: "sevenyard season sandpipers\nsums up the games on record (games.csv): series played, the fair share of them, and what is owed.\n" +
			"sevenyard season sandpipers --kid 7\nis the same for one kid, game by game.",
		Flags: flags, OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runSeason(c, sio) },
	}
}

func runSeason(c *cli.Context, sio stdio) error {
	v, err := readView(c, sio)
	if err != nil {
		return err
	}
	src, err := readSource(c)
	if err != nil {
		return err
	}
	if c.Bool("demo") {
		src.FS = fixtures.DemoSeason()
	}
	f, err := v.readTeam(src)
	if err != nil {
		return err
	}
	rec, warnings, err := readRecord(src, f)
	if err != nil {
		return v.hideProblems(err, src, f)
	}
	warnings = append(warnings, stillToCome(rec, sio)...)
	if v.IDsOnly {
		warnings = v.namelessRecord(warnings, src, f)
	}
	s, err := gameplan.NewSeason(f, rec, "")
	if err != nil {
		return err
	}
	out := s.Report(f.Team.Name)
	out.Warnings = append(out.Warnings, problemWords(warnings)...)
	v.hideSeason(out)
	if err := oneKid(c, f, s, out); err != nil {
		return err
	}
	if v.JSON {
		return report.Write(sio.Out, out)
	}
	v.warn(sio, problemWords(warnings))
	_, err = io.WriteString(sio.Out, newSeasonScreen(v, f, s, out, src, c.IsSet("kid")).text())
	return err
}

// readRecord reads the games on record and compares them with the team. With an error of type drills.Problems, the record holds what could be read.
func readRecord(src source, f *drills.Folder) (*games.Record, drills.Problems, error) {
	rec, err := games.ReadFolder(src.FS)
	var problems drills.Problems
	if err != nil && !errors.As(err, &problems) || rec == nil {
		return nil, nil, err
	}
	warnings, err := rec.Check(f) // of what could be read, so that all problems are told at once
	var more drills.Problems
	if err != nil && !errors.As(err, &more) {
		return nil, nil, err
	}
	problems = append(slices.Clone(problems), more...)
	slices.SortStableFunc(problems, func(a, b drills.Problem) int { return cmp.Compare(a.At.Line, b.At.Line) })
	if len(problems) > 0 {
		return rec, nil, problems
	}
	return rec, append(slices.Clone(rec.Warnings), warnings...), nil
}

// oneKid leaves the kid that is asked for.
func oneKid(c *cli.Context, f *drills.Folder, s *gameplan.Season, out *report.Season) error {
	if !c.IsSet("kid") {
		return nil
	}
	id := c.String("kid")
	i := s.Index(id)
	if i < 0 {
		return &gameplan.WishError{Flag: "--kid", What: fmt.Sprintf("no kid %q in the roster, and none on record", id), Do: drills.KidAdvice(id, f.Roster)}
	}
	out.Kids = out.Kids[i : i+1]
	return nil
}
