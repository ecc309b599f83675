package draftday

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/boardfile"
	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

func newDraftPick(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented league's pool"),
		&cli.StringFlag{Name: "board", Usage: "the file that keeps the board"},
		&cli.BoolFlag{Name: "start", Usage: "start a new board in that file"},
		&cli.StringFlag{Name: "order", DefaultText: "as in league.toml", Usage: "with --start: the teams in the order of round 1, with commas between"},
		&cli.StringFlag{Name: "team", Usage: "the team that the call is for; refused where it is not its turn"},
		&cli.IntFlag{Name: "round", Usage: "the round that the call is for; needed where a team picks twice in a row"},
		&cli.BoolFlag{Name: "undo", Usage: "take the call of this kid back, if it is the last one"},
		SeedFlag(),
	}, teamFlags(), tty.ViewFlags())
	return &cli.Command{
		Name: "pick", Usage: "a live snake draft: keep the board while coaches call", ArgsUsage: "DIR [KID] | --demo [KID]",
		Description: "sevenyard draft pick harbor --board board.csv --start\nsevenyard draft pick harbor --board board.csv --team Egrets --round 1 12\n" +
			"starts a board, and lets Egrets pick kid 12 in round 1; without a kid it shows the board. A call names its turn, so that two calls for one turn, or the same line twice, " +
			"never fill the next one; --undo 12 takes it back. The order turns round by round. Siblings come along and cost " +
			"the next pick; a settled kid costs the pick of the round that the score says. Every pick is on the disk before it is shown.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readPickOptions, runDraftPick),
	}
}

// live is a board being played.
type live struct {
	*Pool
	board    *draft.Board
	order    []int
	file     string
	news     []draft.Entry // made by this command
	undone   bool
	warnings []string
	saved    bool // the teams were written down
}

// pickOptions are what the command was told.
type pickOptions struct {
	PoolOptions
	board, order string
	start, undo  bool
	team         string // that the call is for; "": it is only tried out
	round        int    // that it is for; 0: it does not say
	seed         uint64
	out          *teamTargets
}

func readPickOptions(c *cli.Context, sio tty.IO) (o pickOptions, err error) {
	o.board, o.order, o.start, o.undo, o.team, o.round, o.seed = c.String("board"), c.String("order"), c.Bool("start"), c.Bool("undo"), c.String("team"), c.Int("round"), c.Uint64("seed")
	switch {
	case o.board == "":
		return o, tty.Usagef("--board: which file keeps the board? Such as --board board.csv")
	case c.IsSet("order") && !o.start:
		return o, tty.Usagef("--order goes with --start")
	}
	if o.out, err = readTeamTargets(c); err != nil {
		return o, err
	}
	for _, file := range []string{o.out.plan, o.out.csv} {
		if file != "" && filepath.Clean(file) == filepath.Clean(o.board) {
			return o, tty.Usagef("%s is the board, which nothing is written over", o.board)
		}
	}
	if o.PoolOptions, err = ReadPoolOptions(c, sio); err != nil {
		return o, err
	}
	calls := len(o.args)
	switch {
	case calls > 1:
		return o, tty.Usagef("one pick at a time; what is %q?", o.args[1])
	case (calls > 0 || o.undo) && o.start:
		return o, tty.Usagef("either --start, or a kid, or --undo and a kid")
	case (c.IsSet("team") || c.IsSet("round")) && (calls == 0 || o.undo):
		return o, tty.Usagef("--team and --round go with a kid who is called")
	case c.IsSet("round") && (!c.IsSet("team") || o.round < 1):
		return o, tty.Usagef("--round: the round, from 1, in which the team of --team picks")
	case (calls > 0 || o.undo || o.start) && (o.out.plan != "" || o.out.csv != ""):
		return o, tty.Usagef("--save and --csv go without a pick, when the board is full")
	}
	return o, nil
}

func runDraftPick(ctx context.Context, o pickOptions, sio tty.IO) error {
	p, err := o.Read(sio, nil)
	if err != nil {
		return err
	}
	calls := len(p.args)
	l := &live{Pool: p, file: o.board}
	if o.start {
		if err := l.begin(ctx, o.order); err != nil {
			return err
		}
	}
	f, err := l.open(ctx)
	if err != nil {
		return err
	}
	defer f.Close()
	switch {
	case o.undo:
		err = l.undo(f)
	case calls > 0:
		err = l.call(ctx, o, f)
	}
	if err != nil {
		return err
	}
	if calls > 0 || o.undo {
		l.sio.Did("the board has it")
	}
	return l.show(ctx, o)
}

// begin makes a new board.
func (l *live) begin(ctx context.Context, order string) error {
	if err := newfile.Free(l.file, false); err != nil {
		if errors.Is(err, newfile.ErrExists) {
			return fmt.Errorf("%s is there already, and nothing is written over; go on with it, or choose another name", l.file)
		}
		return err
	}
	teams, err := l.readOrder(order)
	if err != nil {
		return err
	}
	if _, err := draft.NewBoard(ctx, l.Pl.Numbers, teams); err != nil {
		return l.noBoard(ctx, err)
	}
	rows := []boardfile.Row{{What: boardfile.Start, Kid: l.Pl.Fingerprint()}}
	for _, t := range teams {
		rows = append(rows, boardfile.Row{What: boardfile.Order, Team: l.Pl.Numbers.Teams[t]})
	}
	return tty.Taken(l.file, boardfile.Create(l.file, rows))
}

// noBoard puts rules that cannot hold into words.
func (l *live) noBoard(ctx context.Context, err error) error {
	var c *draft.ConflictError
	switch {
	case !errors.As(err, &c):
		return err
	case c.Conflict == nil:
		return l.refuse(ctx, &draft.Result{Status: draft.Unsettled})
	}
	return l.conflict(ctx, "no board: ", c.Conflict)
}

func (l *live) readOrder(text string) ([]int, error) {
	var order []int
	if text == "" {
		for t := range l.Pl.Numbers.Teams {
			order = append(order, t)
		}
		return order, nil
	}
	for parts := strings.Split(text, ","); len(parts) > 0; {
		t, n, err := l.nextTeam(parts)
		if err != nil {
			return nil, err
		}
		parts = parts[n:]
		if slices.Contains(order, t) {
			return nil, tty.Usagef("--order: %s stands there twice", l.Pl.Numbers.Teams[t])
		}
		order = append(order, t)
	}
	for t, name := range l.Pl.Numbers.Teams {
		if !slices.Contains(order, t) {
			return nil, tty.Usagef("--order: %s is missing", name)
		}
	}
	return order, nil
}

// nextTeam finds the team that a list begins with, and how many parts of it its name takes: there may be commas in it. The longest name counts.
func (l *live) nextTeam(parts []string) (team, n int, err error) {
	for n = len(parts); n > 0; n-- {
		if t, ok := l.Pl.FindTeam(strings.TrimSpace(strings.Join(parts[:n], ","))); ok {
			return t, n, nil
		}
	}
	team, err = l.team(strings.TrimSpace(parts[0]))
	return team, 1, err
}

// open reads the board and plays it up to where it stands.
func (l *live) open(ctx context.Context) (*boardfile.Board, error) {
	f, err := boardfile.Open(l.file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("no board %s; start one: sevenyard draft pick %s --board %s --start", l.file, l.src.Name, tty.Quote(l.file))
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("%s is not opened: the board or its folder may not be written by you; have its owner allow it, since a board is kept in one place only", l.file)
	case err != nil:
		return nil, err
	}
	if err := l.replay(ctx, f); err != nil {
		_ = f.Close()
		return nil, err
	}
	if len(f.Torn) > 0 {
		l.warnings = append(l.warnings, fmt.Sprintf("the last row of %s was cut off while it was written, and does not count; what it said has to be called again", l.file))
	}
	return f, nil
}

// replay plays the rows of the file. What does not fit the pool any more is a problem with its line.
func (l *live) replay(ctx context.Context, f *boardfile.Board) error {
	bad := func(i int, what, do string) error {
		return drills.Problems{{At: drills.Place{File: filepath.Base(l.file), Line: f.Lines[i]}, What: what, Do: do}}
	}
	const mend = "put the pool back as it was when the board was started, or start a new board"
	if len(f.Rows) == 0 || f.Rows[0].What != boardfile.Start {
		return drills.Problems{{At: drills.Place{File: filepath.Base(l.file), Line: 2}, What: "the board has no start", Do: "start a new board"}}
	}
	if f.Rows[0].Kid != l.Pl.Fingerprint() {
		l.warnings = append(l.warnings, "the pool has changed since the board was started; the picks so far still hold")
	}
	for i, r := range f.Rows[1:] {
		i++
		t, known := l.Pl.FindTeam(r.Team)
		if !known && r.What != boardfile.Undo {
			return bad(i, fmt.Sprintf("team %q is not in league.toml any more", r.Team), mend)
		}
		if r.What == boardfile.Order {
			l.order = append(l.order, t)
			continue
		}
		if err := l.ready(ctx); err != nil {
			return err
		}
		switch r.What {
		case boardfile.Pick:
			k, known := l.Pl.Find(r.Kid)
			if !known {
				return bad(i, fmt.Sprintf("kid %q is not in pool.csv any more", r.Kid), mend)
			}
			if _, why := l.board.Pick(ctx, t, k); why != nil {
				return bad(i, "this pick cannot be made any more: "+l.Pl.RefusalWords(k, why), mend)
			}
		case boardfile.Undo:
			if !l.board.Undo() {
				return bad(i, "there is no pick to take back", mend)
			}
		default:
			return bad(i, fmt.Sprintf("unknown event %q", r.What), "start a new board")
		}
	}
	return l.ready(ctx)
}

// ready makes the board once the order is known.
func (l *live) ready(ctx context.Context) (err error) {
	if l.board == nil {
		if l.board, err = draft.NewBoard(ctx, l.Pl.Numbers, l.order); err != nil {
			return l.noBoard(ctx, err)
		}
	}
	return ctx.Err()
}

// refusePick says why a pick is not allowed. The board stays as it is.
func (l *live) refusePick(kid int, why *draft.Refusal) error {
	object := report.NewRefusal(report.Problem{What: l.Pl.RefusalWords(kid, why), Do: "call another kid"})
	if why.Conflict != nil {
		object.Conflict = l.Pl.Conflict(why.Conflict, nil)
	}
	l.callNames()
	text := l.Fold("sevenyard: no pick: "+l.Pl.RefusalWords(kid, why), "  ")
	if why.Conflict != nil {
		text += l.Fold("Then "+draftplan.ConflictHead(why.Conflict)+":", "")
		for _, words := range l.Pl.RulesWords(why.Conflict.Rules) {
			text += l.Fold("- "+words, "  ")
		}
		for _, fact := range l.Pl.Facts(why.Conflict) {
			text += l.Fold(fact, "")
		}
	}
	return &tty.Refused{Text: text + l.Fold("The board is as it was.", ""), Object: object}
}

// show writes the board down as it stands.
func (l *live) show(ctx context.Context, o pickOptions) error {
	set, out := draft.Settings{Seed: o.seed}, o.out
	r, err := l.report(ctx, set)
	if err != nil {
		return err
	}
	var d *report.Draft
	if out.plan != "" || out.csv != "" {
		if !r.Over {
			are := "are"
			if len(r.Left) == 1 {
				are = "is"
			}
			return fmt.Errorf("%s %s still to be picked; the teams can be saved when the board is full (the board itself is safe in %s)", prose.Count(len(r.Left), "kid"), are, l.file)
		}
		split := l.board.Split()
		d = l.Pl.Draft(split, l.Pl.Numbers.Measure(split), set.Seed)
		if err := l.known(ctx, d, split, UsualEffort); err != nil {
			return err
		}
		if err := out.save(l.Pool, d); err != nil {
			return err
		}
		l.saved = out.plan != ""
	}
	if l.JSON {
		return report.Write(l.sio.Out, r)
	}
	l.Warn(l.sio, l.warnings)
	_, err = io.WriteString(l.sio.Out, l.text(r)+out.written(l.Pool, d))
	return err
}
