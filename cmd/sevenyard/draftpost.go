package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/sevenyard/internal/draftplan"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/draft"
)

// savedFlag names the saved teams that a command goes on from.
func savedFlag() cli.Flag {
	return &cli.StringFlag{Name: "from", Usage: "the saved teams (draft --save)"}
}

func newDraftPost(sio stdio) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		demoFlag("the invented league's pool"), savedFlag(),
		&cli.StringFlag{Name: "was", Usage: "earlier saved teams, to say who changed teams since"},
		&cli.StringFlag{Name: "draw", Usage: "the record of a draw (draft draw --save), to name the coaches"},
		&cli.StringFlag{Name: "csv", Usage: "also write a row a kid into this new file, for a spreadsheet"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}, viewFlags())
	return &cli.Command{
		Name: "post", Usage: "the list to post: saved teams, how even they are, and the rules they keep", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft post harbor --from teams.json --draw draw.json\nshows no kid's scores, and neither holds nor who is to be kept apart.",
		Flags:       flags, OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runDraftPost(c, sio) },
	}
}

// openTeams reads the pool and the saved teams of the command line.
func openTeams(c *cli.Context, sio stdio) (*pool, *saved, error) {
	sv, err := savedTeams(c)
	if err != nil {
		return nil, nil, err
	}
	p, err := readPool(c, sio, nil)
	if err != nil {
		return nil, nil, err
	}
	return p, sv, sv.take(p)
}

// whole refuses teams that are not the pool's any more.
func (s *saved) whole(p *pool) error {
	if late := p.pl.Unplaced(s.now); len(late) > 0 {
		return fmt.Errorf("%s of pool.csv on no team (kid %s first); place them: sevenyard draft add %s --from %s",
			gameplan.Count(len(late), "kid"), p.pl.IDs[late[0]], p.src.Name, quote(s.file))
	}
	if len(s.gone) > 0 {
		return fmt.Errorf("%s of %s not in pool.csv any more (kid %s first); see what that does: sevenyard draft drop %s --from %s",
			gameplan.Count(len(s.gone), "kid"), s.file, s.gone[0].Kid, p.src.Name, quote(s.file))
	}
	return nil
}

func runDraftPost(c *cli.Context, sio stdio) error {
	out, err := readTeamTargets(c)
	if err != nil {
		return err
	}
	p, sv, err := openTeams(c, sio)
	if err != nil {
		return err
	}
	if err := firstError(p.noArgs(), sv.whole(p)); err != nil {
		return err
	}
	d := p.pl.Draft(sv.now, p.pl.Numbers.Measure(sv.now), sv.Seed)
	snake, mended, err := draft.Snake(c.Context, p.pl.Numbers)
	if err != nil {
		return err
	}
	d.Snake = p.pl.Compare(snake, mended)
	if name := c.String("was"); name != "" {
		if d.Moved, err = p.movedSince(name, sv.now); err != nil {
			return err
		}
	}
	s := newDraftScreen(p, d, sv.now)
	if name := c.String("draw"); name != "" {
		if s.coach, err = readDrawn(name, sv); err != nil {
			return err
		}
		if p.IDsOnly {
			hideCoaches(s.coach, p.pool)
		}
		for i := range d.Teams {
			d.Teams[i].Coach = s.coach[d.Teams[i].Team]
		}
	}
	d.Warnings = append(d.Warnings, p.warnings()...)
	if err := out.save(p, d); err != nil {
		return err
	}
	if p.JSON {
		return report.Write(sio.Out, d)
	}
	_, err = io.WriteString(sio.Out, s.post()+out.told(p, d))
	return err
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// post is the list for the wall.
func (s *draftScreen) post() string {
	t := s.head() + "\n" + s.teams() + s.moved() + "\n" + s.evenness() + "\n"
	if len(draft.Check(s.pl.Numbers, s.split)) > 0 {
		return t + s.rules()
	}
	return t + s.rules() + "\n" + s.Fold("Points come from drills on one evening. A place on a team says nothing about a kid.", "")
}

// readDrawn reads the record of a draw: the coach of every team. It has to be the draw of these very teams.
func readDrawn(name string, sv *saved) (map[string]string, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("%w; the file comes from sevenyard draft draw --save", err)
	}
	bad := func(what, do string) error {
		return drills.Problems{{At: drills.Place{File: filepath.Base(name)}, What: what, Do: do}}
	}
	var d report.Draw
	if len(data) > draftplan.MaxSaved || json.Unmarshal(data, &d) != nil || d.Schema != report.DrawSchema {
		return nil, bad("this is no record of a draw", "give the file that sevenyard draft draw --save wrote")
	}
	out := map[string]string{}
	for _, x := range d.Coaches {
		if !slices.ContainsFunc(sv.Teams, func(t draftplan.SavedTeam) bool { return strings.EqualFold(t.Team, x.Team) }) {
			return nil, bad(fmt.Sprintf("team %q of the draw is not among the saved teams", x.Team), "give the draw of these teams, or draw again")
		}
		out[x.Team] = x.Coach
	}
	return out, nil
}

// hideCoaches puts numbers in place of the coaches' names.
func hideCoaches(coach map[string]string, p *drills.Pool) {
	n := 0
	for _, t := range p.League.Teams {
		if coach[t.Name] != "" {
			n++
			coach[t.Name] = fmt.Sprintf("coach %d", n)
		}
	}
}
