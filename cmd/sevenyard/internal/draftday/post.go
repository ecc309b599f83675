package draftday

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/drills/regular"
	"sevenyard/optimize/draft"
)

// savedFlag names the saved teams that a command goes on from.
func savedFlag() cli.Flag {
	return &cli.StringFlag{Name: "from", Usage: "the saved teams (draft --save)"}
}

func newDraftPost(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented league's pool"), savedFlag(),
		&cli.StringFlag{Name: "was", Usage: "earlier saved teams, to say who changed teams since"},
		&cli.StringFlag{Name: "draw", Usage: "the record of a draw (draft draw --save), to name the coaches"},
		&cli.StringFlag{Name: "csv", Usage: "also write a row a kid into this new file, for a spreadsheet"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}, tty.ViewFlags())
	return &cli.Command{
		Name: "post", Usage: "the list to post: saved teams, how even they are, and the rules they keep", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft post harbor --from teams.json --draw draw.json\nshows no kid's scores, and neither holds nor who is to be kept apart.",
		Flags:       flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readPostOptions, runDraftPost),
	}
}

// postOptions are what the command was told.
type postOptions struct {
	TeamsOptions
	was, draw string // files of earlier teams, and of a draw
	out       *teamTargets
}

func readPostOptions(c *cli.Context, sio tty.IO) (o postOptions, err error) {
	o.was, o.draw = c.String("was"), c.String("draw")
	if o.out, err = readTeamTargets(c); err != nil {
		return o, err
	}
	o.TeamsOptions, err = ReadTeamsOptions(c, sio)
	return o, err
}

// Whole refuses teams that are not the pool's any more.
func (s *Saved) Whole(p *Pool) error {
	if late := p.Pl.Unplaced(s.Now); len(late) > 0 {
		return fmt.Errorf("%s of pool.csv on no team (kid %s first); place them: sevenyard draft add %s --from %s",
			prose.Count(len(late), "kid"), p.Pl.IDs[late[0]], p.src.Name, tty.Quote(s.file))
	}
	if len(s.gone) > 0 {
		return fmt.Errorf("%s of %s not in pool.csv any more (kid %s first); see what that does: sevenyard draft drop %s --from %s",
			prose.Count(len(s.gone), "kid"), s.file, s.gone[0].Kid, p.src.Name, tty.Quote(s.file))
	}
	return nil
}

func runDraftPost(ctx context.Context, o postOptions, sio tty.IO) error {
	out := o.out
	p, sv, err := o.Open(sio)
	if err != nil {
		return err
	}
	if err := tty.FirstError(p.NoArgs(), sv.Whole(p)); err != nil {
		return err
	}
	sv.Heed(p)
	d := p.Pl.Draft(sv.Now, p.Pl.Numbers.Measure(sv.Now), sv.Seed)
	if err := p.known(ctx, d, sv.Now, UsualEffort); err != nil {
		return err
	}
	p.Notes = append(p.Notes, sv.unproven(d)...)
	snake, mended, err := draft.Snake(ctx, p.Pl.Numbers)
	if err != nil {
		return err
	}
	d.Snake = p.Pl.Compare(snake, mended)
	if name := o.was; name != "" {
		if d.Moved, err = p.movedSince(name, sv.Now); err != nil {
			return err
		}
	}
	s := NewDraftScreen(p, d, sv.Now)
	if name := o.draw; name != "" {
		drawn, err := p.ReadDrawn(name, sv)
		if err != nil {
			return err
		}
		s.coach, p.Notes = drawn.Coach, append(p.Notes, drawn.Notes...)
		for i := range d.Teams {
			d.Teams[i].Coach = s.coach[d.Teams[i].Team]
		}
	}
	d.Warnings = append(d.Warnings, p.Warnings()...)
	late := tty.After(false, out.save(p, d))
	if p.JSON {
		// Who is to be kept apart is the league's business, and this is the list for everybody.
		d.Rules = slices.DeleteFunc(d.Rules, func(r report.KeptRule) bool { return r.Rule == "apart" })
		return tty.FirstError(report.Write(sio.Out, d), late)
	}
	p.Warn(sio, append(p.Notes, sv.brokenNotes(p, draft.Apart)...))
	_, err = io.WriteString(sio.Out, s.post()+out.written(p, d))
	return tty.FirstError(err, late)
}

// post is the list for the wall.
func (s *draftScreen) post() string {
	t := s.head() + "\n" + s.teams() + s.moved() + "\n" + s.evenness() + "\n"
	if broken := draft.Check(s.pl.Numbers, s.split); len(broken) > 0 {
		// Who is to be kept apart is for the league alone to know.
		return t + s.broken(slices.DeleteFunc(slices.Clone(broken), func(r draft.Rule) bool { return r.Kind == draft.Apart }), len(broken))
	}
	return t + s.rules() + "\n" + s.Fold("Points come from drills on one evening. A place on a team says nothing about a kid.", "")
}

// drawing is the record of a draw as read. The coaches go by team.
type drawing struct {
	*report.Draw
	Coach map[string]string
	Notes []string // how the teams have changed since the draw
}

// ReadDrawn reads the record of a draw. Its teams have to be those of the league; where kids have changed teams since, it says so.
func (p *Pool) ReadDrawn(name string, sv *Saved) (*drawing, error) {
	data, err := regular.Read(name, draftplan.MaxSaved)
	if err != nil {
		return nil, fmt.Errorf("%w; the file comes from sevenyard draft draw --save", err)
	}
	bad := func(what, do string) error {
		return drills.Problems{{At: drills.Place{File: filepath.Base(name)}, What: what, Do: do}}
	}
	d := &drawing{Draw: &report.Draw{}, Coach: map[string]string{}}
	if json.Unmarshal(data, d.Draw) != nil || d.Schema != report.DrawSchema {
		return nil, bad("this is no record of a draw", "give the file that sevenyard draft draw --save wrote")
	}
	for _, x := range d.Coaches {
		t, known := p.Pl.FindTeam(x.Team)
		if !known {
			return nil, bad(fmt.Sprintf("team %q of the draw is not among the saved teams", x.Team), "give the draw of these teams, or draw again")
		}
		team := p.Pl.Numbers.Teams[t]
		if _, twice := d.Coach[team]; twice {
			return nil, bad(fmt.Sprintf("team %q has two coaches in the draw", team), "draw again")
		}
		d.Coach[team] = x.Coach
	}
	if sum := sha256.Sum256(sv.data); d.Input.SHA256 != hex.EncodeToString(sum[:]) {
		d.Notes = append(d.Notes, fmt.Sprintf("the draw was made from another file of teams than %s, so kids may have changed teams since; the coaches keep the teams they drew", sv.file))
	}
	for i, c := range p.Pool.League.Coaches {
		k, known := p.Pl.Find(c.Kid)
		if !known || sv.Now[k] == draft.Unplaced {
			continue
		}
		t := p.Pl.Numbers.Teams[sv.Now[k]]
		if drawn := slices.IndexFunc(d.Coaches, func(x report.CoachTeam) bool { return x.Coach == c.Name }); drawn >= 0 && !strings.EqualFold(d.Coaches[drawn].Team, t) {
			d.Notes = append(d.Notes, fmt.Sprintf("the kid of %s is on %s now, and the draw has %s with %s; draw again", p.coach(i), t, p.coach(i), d.Coaches[drawn].Team))
		}
	}
	if p.IDsOnly {
		p.hideCoaches(d)
	}
	return d, nil
}

// hideCoaches puts numbers in place of the coaches' names: those that the draw itself gives them.
func (p *Pool) hideCoaches(d *drawing) {
	more := len(p.Pool.League.Coaches)
	for _, team := range p.Pl.Numbers.Teams {
		name, drawn := d.Coach[team]
		if !drawn || numberedCoach.MatchString(name) { // the record was made without names
			continue
		}
		i := slices.IndexFunc(p.Pool.League.Coaches, func(c drills.Coach) bool { return c.Name == name })
		if i < 0 { // no longer in league.toml
			i = more
			more++
		}
		d.Coach[team] = fmt.Sprintf("coach %d", i+1)
	}
}

var numberedCoach = regexp.MustCompile(`^coach [0-9]+$`)
