package draftday

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

func moveFlags() []cli.Flag {
	return []cli.Flag{
		tty.DemoFlag("the invented league's pool"), savedFlag(),
		&cli.IntFlag{Name: "moves", Value: 2, Usage: fmt.Sprintf("the most kids that may change teams for it, 0 to %d", draft.MostMoves)},
		&cli.IntFlag{Name: "take", Value: 1, Usage: "the option to take for --save, by its number"},
	}
}

func newDraftAdd(sio tty.IO) *cli.Command {
	flags := slices.Concat(moveFlags(), []cli.Flag{
		&cli.StringSliceFlag{Name: "kid", DefaultText: "all without a team", Usage: "place these only: 73 or 73,74"},
	}, teamFlags(), tty.ViewFlags())
	return &cli.Command{
		Name: "add", Usage: "place kids who registered late", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft add harbor --from teams.json\nlists the ways to place the kids who are in pool.csv and on no team yet, by how many others have to move.\n" +
			"With --save new.json one of them is taken: the first, or with --take 2 the second.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readMoveOptions, runDraftAdd),
	}
}

func newDraftDrop(sio tty.IO) *cli.Command {
	flags := slices.Concat(moveFlags(), []cli.Flag{
		&cli.StringSliceFlag{Name: "kid", DefaultText: "all who are not in pool.csv any more", Usage: "these leave too, though they are still in pool.csv: 5 or 5,9"},
	}, teamFlags(), tty.ViewFlags())
	return &cli.Command{
		Name: "drop", Usage: "go on without kids who left", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft drop harbor --from teams.json --kid 5\nlists the ways to go on without kids who left, by how many others have to move so that the teams are of equal size again.\n" +
			"With --save new.json one of them is taken: the first, or with --take 2 the second.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readMoveOptions, runDraftDrop),
	}
}

// moveOptions are what a command was told that puts teams in order again.
type moveOptions struct {
	TeamsOptions
	kids       []string // as typed
	most, take int      // moves, and the option to take
	out        *teamTargets
}

func readMoveOptions(c *cli.Context, sio tty.IO) (o moveOptions, err error) {
	if o.TeamsOptions, err = ReadTeamsOptions(c, sio); err != nil {
		return o, err
	}
	o.kids, o.most, o.take = kidList(c, "kid"), c.Int("moves"), c.Int("take")
	switch {
	case o.most < 0 || o.most > draft.MostMoves:
		return o, tty.Usagef("--moves: %d; use 0 to %d", o.most, draft.MostMoves)
	case o.take < 1:
		return o, tty.Usagef("--take: %d; use a number from the list, from 1", o.take)
	}
	o.out, err = readTeamTargets(c)
	return o, err
}

func runDraftAdd(ctx context.Context, o moveOptions, sio tty.IO) error {
	sv, err := openSaved(o.from)
	if err != nil {
		return err
	}
	p, err := o.Read(sio, func(pool *drills.Pool) (*drills.Pool, error) {
		ids, err := poolKids(o.kids, pool)
		if err != nil {
			return nil, usageIn("--kid", err, "; add a row for the kid first")
		}
		return onlyLate(pool, sv, ids)
	})
	if err != nil {
		return err
	}
	if err := sv.take(p); err != nil {
		return err
	}
	late := p.Pl.Unplaced(sv.Now)
	switch {
	case len(sv.gone) > 0:
		return fmt.Errorf("%s of %s not in pool.csv any more (kid %s first); go on without them first: sevenyard draft drop %s --from %s",
			prose.Count(len(sv.gone), "kid"), sv.file, sv.gone[0].Kid, p.src.Name, tty.Quote(sv.file))
	case len(late) == 0:
		return fmt.Errorf("every kid of pool.csv has a team in %s; add a row for the kid who came late to pool.csv", sv.file)
	}
	return o.place(ctx, p, sv, "Kids who came late")
}

// onlyLate leaves out kids without a team who are not asked for.
func onlyLate(pool *drills.Pool, sv *Saved, only []string) (*drills.Pool, error) {
	if len(only) == 0 {
		return pool, nil
	}
	for _, id := range only {
		if !slices.Contains(sv.without(pool, nil), id) {
			return nil, tty.Usagef("--kid: kid %s has a team in %s already", id, sv.file)
		}
	}
	return draftplan.Without(pool, sv.without(pool, only)), nil
}

func runDraftDrop(ctx context.Context, o moveOptions, sio tty.IO) error {
	sv, err := openSaved(o.from)
	if err != nil {
		return err
	}
	var leave, late []string
	p, err := o.Read(sio, func(pool *drills.Pool) (*drills.Pool, error) {
		var err error
		if leave, err = poolKids(o.kids, pool); err != nil {
			return nil, usageIn("--kid", err, "")
		}
		late = sv.without(pool, leave)
		without := draftplan.Without(pool, append(slices.Clone(leave), late...))
		if len(without.Kids) < len(without.League.Teams) {
			return nil, fmt.Errorf("that leaves %s for %s", prose.Count(len(without.Kids), "kid"), prose.Count(len(without.League.Teams), "team"))
		}
		return without, nil
	})
	if err != nil {
		return err
	}
	if err := sv.take(p); err != nil {
		return err
	}
	if len(sv.gone) == 0 {
		return fmt.Errorf("every kid of %s is in pool.csv; name who leaves with --kid, or take the kid's rows out of pool.csv and results.csv", sv.file)
	}
	for _, m := range sv.gone {
		if slices.Contains(leave, m.Kid) {
			sv.rows = append(sv.rows, m.Kid)
		}
	}
	if len(late) > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("%s of pool.csv on no team (kid %s first) and left out here; when this is saved, place them with sevenyard draft add", prose.Count(len(late), "kid"), late[0]))
	}
	return o.place(ctx, p, sv, "Kids who left")
}

// place finds the ways to put teams in order, shows them, and takes one if asked to.
func (o moveOptions) place(ctx context.Context, p *Pool, sv *Saved, title string) error {
	most, take, out := o.most, o.take, o.out
	if err := p.NoArgs(); err != nil {
		return err
	}
	res, err := draft.Place(ctx, p.Pl.Numbers, sv.Now, most)
	switch {
	case err != nil:
		return err
	case ctx.Err() != nil:
		return ctx.Err()
	case res.Conflict != nil:
		return p.conflict(ctx, "no teams: ", res.Conflict)
	case len(res.Options) == 0:
		return &tty.Refused{
			Text:   p.Fold(fmt.Sprintf("sevenyard: no way was found to put the teams in order with at most %s; draft anew: sevenyard draft %s", prose.Count(most, "move"), p.src.Name), "  "),
			Object: report.NewRefusal(report.Problem{What: fmt.Sprintf("no way was found with at most %d moves", most), Do: "draft anew"}),
		}
	}
	r := p.placement(sv, res, most)
	if take > len(res.Options) {
		return tty.Usagef("--take: %d, and there are %d", take, len(res.Options))
	}
	after := res.Options[take-1].Split
	if out.plan != "" || out.csv != "" {
		r.Taken = take
	}
	late, err := p.saveAfter(ctx, out, after, sv)
	if err != nil {
		return err
	}
	if p.JSON {
		return tty.FirstError(report.Write(p.sio.Out, r), late)
	}
	p.Warn(p.sio, p.Notes)
	s := newChangeScreen(p)
	_, err = io.WriteString(p.sio.Out, s.placementText(title, r, sv)+s.savedWords(out, sv, after, s.takeWords(r)))
	return tty.FirstError(err, late)
}

func (p *Pool) placement(sv *Saved, res *draft.Placement, most int) *report.Placement {
	r := &report.Placement{
		Schema: report.PlaceSchema, League: p.Pool.League.Common.Name, New: []string{}, Gone: sv.gone, Most: most,
		Options: []report.DraftOption{}, Beyond: res.Beyond, Warnings: p.Warnings(),
	}
	for _, k := range p.Pl.Unplaced(sv.Now) {
		r.New = append(r.New, p.Pl.IDs[k])
	}
	for _, o := range res.Options {
		r.Options = append(r.Options, p.Pl.Option(sv.Now, o))
	}
	return r
}

func (s *changeScreen) placementText(title string, r *report.Placement, sv *Saved) string {
	var who []string
	for _, id := range r.New {
		who = append(who, s.who.Inline(id))
	}
	for _, m := range r.Gone {
		who = append(who, fmt.Sprintf("%s from %s", s.who.Inline(m.Kid), m.From))
	}
	out := s.Fold(s.Strong(tty.Sentence(title+": "+strings.Join(who, ", "))), "  ")
	if r.Beyond {
		out += s.Fold(fmt.Sprintf("No way with at most %s was found that keeps every rule; this one moves more:", prose.Count(r.Most, "move")), "")
	}
	out += "\n"
	for i, o := range r.Options {
		out += s.Fold(fmt.Sprintf("%d. %s", i+1, s.optionWords(o)), "   ")
	}
	out += "\n"
	names, list := []string{}, []report.Evenness{}
	for i, o := range r.Options {
		names, list = append(names, fmt.Sprint(i+1)), append(list, o.After)
	}
	out += s.compare(names, list) + s.pointWords()
	return out + s.Fold(s.choice(r), "")
}

// choice says how the options compare.
func (s *changeScreen) choice(r *report.Placement) string {
	words := "It keeps all rules."
	if len(r.Options) > 1 {
		words = "Every one keeps all rules; each is more even than those above it, and moves more kids."
	}
	if len(r.Options[0].Moves) == 0 {
		words += " Nobody has to move."
	} else {
		words += " With fewer moves no way was found that keeps them."
	}
	switch even := slices.IndexFunc(r.Options, func(o report.DraftOption) bool { return o.After.Even }); {
	case even == 0:
		with := "the first"
		if len(r.Options) == 1 {
			with = "it"
		}
		words += " With " + with + " the teams are even as far as anybody can tell."
	case even > 0:
		words += fmt.Sprintf(" From number %d on the teams are even as far as anybody can tell.", even+1)
	}
	return words
}

// takeWords says how one of the options is taken.
func (s *changeScreen) takeWords(r *report.Placement) string {
	if len(r.Options) > 1 {
		return " takes the first, and with --take 2 the second"
	}
	return " takes it"
}

// optionWords says who goes where.
func (s *changeScreen) optionWords(o report.DraftOption) string {
	var parts []string
	for _, m := range o.Placed {
		parts = append(parts, fmt.Sprintf("%s to %s", s.who.Inline(m.Kid), m.To))
	}
	if len(o.Moves)+len(o.Placed) == 0 {
		return "nobody moves."
	}
	if len(o.Moves) == 0 {
		return tty.Sentence(strings.Join(append(parts, "nobody else moves"), "; "))
	}
	for _, m := range o.Moves {
		parts = append(parts, fmt.Sprintf("%s moves from %s to %s", s.who.Inline(m.Kid), m.From, m.To))
	}
	return tty.Sentence(strings.Join(parts, "; "))
}

// usageIn says in which flag a word stands that is wrong, and what to do.
func usageIn(flag string, err error, do string) error {
	return tty.Usagef("%s: %s%s", flag, err, do)
}
