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

func newDraftSwap(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented league's pool"), savedFlag(),
		&cli.IntFlag{Name: "counter", Usage: "take the counter-trade of this number with it, for --save"},
	}, teamFlags(), tty.ViewFlags())
	return &cli.Command{
		Name: "swap", Usage: "what a trade costs, and the cheapest counter-trade", ArgsUsage: "DIR 12:31 | --demo 12:31",
		Description: "sevenyard draft swap harbor --from teams.json 12:31\nprices kids 12 and 31 changing places; 12@Egrets moves kid 12 to a team. Several may stand there: 12:31 4@Terns.\n" +
			"Siblings go along. With --save the trade is made, if it keeps every rule; --counter 1 makes the first counter-trade with it.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readSwapOptions, runDraftSwap),
	}
}

// swapOptions are what the command was told.
type swapOptions struct {
	TeamsOptions
	counter int // the counter-trade to take, from 1; 0: none
	out     *teamTargets
}

func readSwapOptions(c *cli.Context, sio tty.IO) (o swapOptions, err error) {
	if o.out, err = readTeamTargets(c); err != nil {
		return o, err
	}
	if o.counter = c.Int("counter"); o.counter < 0 {
		return o, tty.Usagef("--counter: %d; use a number from the list, from 1", o.counter)
	}
	o.TeamsOptions, err = ReadTeamsOptions(c, sio)
	return o, err
}

func runDraftSwap(ctx context.Context, o swapOptions, sio tty.IO) error {
	out := o.out
	p, sv, err := o.Open(sio)
	if err != nil {
		return err
	}
	if err := sv.Whole(p); err != nil {
		return err
	}
	sv.Heed(p)
	moves, err := p.trades(sv.Now)
	if err != nil {
		return err
	}
	tr, err := draft.Swap(ctx, p.Pl.Numbers, sv.Now, moves)
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	tr.Counters = draftplan.Worthwhile(tr.Counters)
	r := p.trade(sv.Now, tr)
	after := tr.Split
	if n := o.counter; n > len(tr.Counters) {
		return tty.Usagef("--counter: %d, and there are %d", n, len(tr.Counters))
	} else if n > 0 {
		r.Taken, after = n, tr.Counters[n-1].Split
	}
	late, err := p.saveAfter(ctx, out, after, sv)
	if err != nil {
		return err
	}
	if p.JSON {
		return tty.FirstError(report.Write(sio.Out, r), late)
	}
	p.Warn(sio, append(p.Notes, sv.brokenNotes(p)...))
	s := newChangeScreen(p)
	_, err = io.WriteString(sio.Out, s.tradeText(r, sv, tr)+s.savedWords(out, sv, after, tradeHow(r)))
	return tty.FirstError(err, late)
}

// tradeHow says how a trade is made; nothing where it may not be.
func tradeHow(r *report.Trade) string {
	switch {
	case len(r.Counters) > 0 && r.Allowed:
		return " makes the trade, and with --counter 1 the first counter-trade with it"
	case len(r.Counters) > 0:
		return " and --counter 1 makes the trade with the first counter-trade"
	case r.Allowed:
		return " makes the trade"
	}
	return ""
}

// trades reads what is to be traded.
func (p *Pool) trades(now draft.Split) ([]draft.Move, error) {
	const say = "write 12:31 for two kids who change places, or 12@Egrets for a kid who goes to a team"
	if len(p.args) == 0 {
		return nil, tty.Usagef("which trade? %s", say)
	}
	var moves []draft.Move
	for _, arg := range p.args {
		if a, b, ok := strings.Cut(arg, ":"); ok {
			i, err := p.kid(a)
			if err != nil {
				return nil, err
			}
			j, err := p.kid(b)
			if err != nil {
				return nil, err
			}
			if now[i] == now[j] {
				return nil, fmt.Errorf("kids %s and %s are both on %s: nothing to trade", a, b, p.Pl.Numbers.Teams[now[i]])
			}
			moves = append(moves, draft.Move{Kid: i, Team: now[j]}, draft.Move{Kid: j, Team: now[i]})
			continue
		}
		id, team, ok := strings.Cut(arg, "@")
		if !ok {
			return nil, tty.Usagef("what is %q? %s", arg, say)
		}
		i, err := p.kid(id)
		if err != nil {
			return nil, err
		}
		t, err := p.team(team)
		if err != nil {
			return nil, err
		}
		if now[i] == t {
			return nil, fmt.Errorf("kid %s is on %s already: nothing to trade", p.Pl.IDs[i], p.Pl.Numbers.Teams[t])
		}
		moves = append(moves, draft.Move{Kid: i, Team: t})
	}
	for i, m := range moves {
		if slices.ContainsFunc(moves[:i], func(o draft.Move) bool { return o.Kid == m.Kid }) {
			return nil, tty.Usagef("kid %s stands in two trades", p.Pl.IDs[m.Kid])
		}
	}
	return moves, nil
}

// kid finds a kid of the pool by the id or the name typed.
func (p *Pool) kid(typed string) (int, error) {
	id, err := poolKid(typed, p.Pool)
	if err != nil {
		return 0, err
	}
	if k, ok := p.Pl.Find(id); ok {
		return k, nil
	}
	return 0, tty.Usagef("no kid %q in pool.csv", typed)
}

// poolKid is the id of the kid of a pool that a typed word means.
func poolKid(typed string, pool *drills.Pool) (string, error) {
	roster := pool.Folder().Roster
	id, which := drills.FindKid(typed, roster)
	if id != "" {
		return id, nil
	}
	if len(which) > 1 {
		what, do := drills.KidError(typed, which, roster)
		return "", tty.Usagef("%s; %s", what, do)
	}
	ids := make([]string, len(roster))
	for i, k := range roster {
		ids[i] = k.ID
	}
	if near := drills.NearID(typed, ids); near != "" {
		return "", tty.Usagef("no kid %q in pool.csv; did you mean %s?", typed, near)
	}
	return "", tty.Usagef("no kid %q in pool.csv", typed)
}

func (p *Pool) team(name string) (int, error) {
	if t, ok := p.Pl.FindTeam(name); ok {
		return t, nil
	}
	if near := prose.Near(name, p.Pl.Numbers.Teams); near != "" {
		return 0, tty.Usagef("no team %q in league.toml; did you mean %s?", name, near)
	}
	return 0, tty.Usagef("no team %q in league.toml; the teams are %s", name, strings.Join(p.Pl.Numbers.Teams, ", "))
}

// trade writes a trade down.
func (p *Pool) trade(now draft.Split, tr *draft.Trade) *report.Trade {
	r := &report.Trade{
		Schema: report.TradeSchema, League: p.Pool.League.Common.Name, Moves: p.Pl.Moved(now, tr.Split), Along: []string{},
		Allowed: len(tr.Broken) == 0, Broken: p.Pl.Broken(tr.Broken, tr.Split), Price: tr.After.Objective - tr.Before.Objective,
		Before: p.Pl.Evenness(now, tr.Before), After: p.Pl.Evenness(tr.Split, tr.After), Counters: []report.DraftOption{}, Restored: tr.Restored, Warnings: p.Warnings(),
	}
	for _, k := range tr.Along {
		r.Along = append(r.Along, p.Pl.IDs[k])
	}
	for _, o := range tr.Counters {
		r.Counters = append(r.Counters, p.Pl.Option(tr.Split, o))
	}
	return r
}

// saveAfter writes the teams after a change, if asked to. Teams that break a rule are not saved.
func (p *Pool) saveAfter(ctx context.Context, out *teamTargets, split draft.Split, sv *Saved) (late, err error) {
	if out.plan == "" && out.csv == "" {
		return nil, nil
	}
	if broken := draft.Check(p.Pl.Numbers, split); len(broken) > 0 {
		return nil, p.brokenRules("not saved: these teams would break rules", "change a rule, or save another change", broken, split)
	}
	d := p.Pl.Draft(split, p.Pl.Numbers.Measure(split), sv.Seed)
	if err := p.known(ctx, d, split, UsualEffort); err != nil {
		return nil, err
	}
	d.Moved = append(p.Pl.Moved(sv.Now, split), sv.gone...)
	return tty.After(false, out.save(p, d)), nil
}
