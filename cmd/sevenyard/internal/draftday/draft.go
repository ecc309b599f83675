package draftday

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/drills/regular"
	"sevenyard/fixtures"
	"sevenyard/optimize/draft"
)

// playSeconds is how long the plan of one team may be searched for where a draft is tried out. Most are proven sooner.
const playSeconds = 0.2

// UsualEffort is the work for teams that stay for a season: about a second. What a live draft is compared with makes do with the least.
const UsualEffort = 10

// NewDraft is the command draft with those below it.
func NewDraft(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("draft the invented league's pool"),
		&cli.StringFlag{Name: "from", Usage: "saved teams, to say who changes teams against them"},
		&cli.IntFlag{Name: "effort", Value: UsualEffort, Usage: "how much work to put in, 1 to 100; more adds to the search, and never makes teams less even"},
		&cli.BoolFlag{Name: "no-play", Usage: "leave out the teams' games, by which the draft is tried out"},
		&cli.Float64Flag{Name: "play-seconds", Value: playSeconds, Usage: "time for each team's plan in them"},
		&cli.BoolFlag{Name: "detail", Usage: "every rule by itself, and what the evenness is made of"},
	}, teamFlags(), []cli.Flag{SeedFlag()}, tty.ViewFlags())
	return &cli.Command{
		Name: "draft", Usage: "split a pool of kids into even teams", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft harbor --save teams.json\nsplits the pool of a folder (league.toml, pool.csv, results.csv) into teams as even as the rules allow.\n" +
			"More --effort, or another --seed, may find more even teams and never makes them less even: whoever finds nothing better gets the same teams.\n" +
			"The commands below go on from the saved teams; each has a --help of its own.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Subcommands: []*cli.Command{newDraftPost(sio), newDraftSwap(sio), newDraftAdd(sio), newDraftDrop(sio), newDraftDraw(sio), newDraftPick(sio)},
		Action:      tty.Doing(sio, readSplitOptions, runDraft),
	}
}

// SeedFlag is another start of the search.
func SeedFlag() cli.Flag {
	return &cli.Uint64Flag{Name: "seed", Value: 1, Usage: "search from other beginnings too, beside the usual ones, so the teams are never less even; the same files, effort and seed give the same teams anywhere"}
}

// teamFlags are the files that teams can be written into.
func teamFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "save", Usage: "also write the teams into this new file (JSON, ids only), to go on from"},
		&cli.StringFlag{Name: "csv", Usage: "also write a row a kid into this new file, for a spreadsheet"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}
}

// Pool is a league's pool on its way to teams: what every command of the draft reads first.
type Pool struct {
	tty.View
	sio  tty.IO
	src  tty.Source
	args []string // what stands on the command line beside the folder
	Pool *drills.Pool
	Pl   *draftplan.Plan
	who  tty.People // of the folder, those who leave included
	// Stopped: the search was ended by hand, and the teams are the most even found until then.
	Stopped bool
	// Notes are what a command has to say beside the warnings of the files.
	Notes []string
}

// PoolOptions are what every command of the draft is told: which pool, and how to show what comes of it.
type PoolOptions struct {
	tty.View
	source tty.Source
	args   []string // what stands on the command line beside the folder
}

// ReadPoolOptions reads them.
func ReadPoolOptions(c *cli.Context, sio tty.IO) (o PoolOptions, err error) {
	if o.View, err = tty.ReadView(c, sio); err != nil {
		return o, err
	}
	o.source, o.args, err = poolSource(c)
	return o, err
}

// Read reads the folder. change, if not nil, alters the pool before it is scored.
func (o PoolOptions) Read(sio tty.IO, change func(*drills.Pool) (*drills.Pool, error)) (p *Pool, err error) {
	p = &Pool{View: o.View, sio: sio, src: o.source, args: o.args}
	if p.Pool, err = team.ReadPoolFolder(p.View, p.src); err != nil {
		return nil, err
	}
	p.who = tty.NewPeople(p.Pool.Folder())
	if change != nil {
		if p.Pool, err = change(p.Pool); err != nil {
			return nil, err
		}
	}
	p.Pl, err = draftplan.New(p.Pool)
	return p, err
}

// poolSource is the folder of the command line, and what stands there beside it.
func poolSource(c *cli.Context) (tty.Source, []string, error) {
	args := c.Args().Slice()
	if c.Bool("demo") {
		return tty.Source{FS: fixtures.Pool(), Name: "--demo"}, args, nil
	}
	if tty.IsPool(regular.Folder(".")) && (len(args) == 0 || !tty.IsFolder(args[0])) {
		return tty.At("."), args, nil
	}
	if len(args) == 0 {
		return tty.Source{}, nil, tty.Usagef("which pool? Give its folder, or --demo for an invented one (sevenyard %s --help)", commandPath(c))
	}
	info, err := os.Stat(args[0])
	switch {
	case errors.Is(err, fs.ErrNotExist):
		var names []string
		for _, sub := range c.Command.Subcommands {
			names = append(names, sub.Name)
		}
		if near := prose.Near(args[0], names); near != "" {
			return tty.Source{}, nil, tty.Usagef("no folder %s; did you mean sevenyard draft %s?", args[0], near)
		}
		return tty.Source{}, nil, fmt.Errorf("no folder %s; sevenyard start --pool %s makes a new one", args[0], tty.Quote(args[0]))
	case err != nil:
		return tty.Source{}, nil, err
	case !info.IsDir():
		return tty.Source{}, nil, fmt.Errorf("%s is a file; give the folder it is in", args[0])
	}
	return tty.At(args[0]), args[1:], nil
}

// commandPath is how the command is typed, such as "draft swap".
func commandPath(c *cli.Context) string {
	if c.Command.Name == "draft" {
		return "draft"
	}
	return "draft " + c.Command.Name
}

// NoArgs refuses what stands beside the folder.
func (p *Pool) NoArgs() error {
	if len(p.args) > 0 {
		return tty.Usagef("one folder at a time; what is %q?", p.args[0])
	}
	return nil
}

// Warnings are all warnings about the pool: from the files and from the scores.
func (p *Pool) Warnings() []string {
	return slices.Concat(p.Pool.Warnings.Words(), p.Pl.Profile.Warnings, p.Notes)
}

// callNames lets sentences name the kids; what programs read goes by ids.
func (p *Pool) callNames() tty.People {
	p.Pl.Call = func(id string) string { return p.who.Name[id] }
	return p.who
}

// splitOptions are what the command was told.
type splitOptions struct {
	PoolOptions
	set    draft.Settings
	play   time.Duration // for each team's plan; 0: the draft is not tried out
	from   string        // saved teams to compare with
	out    *teamTargets
	detail bool
}

func readSplitOptions(c *cli.Context, sio tty.IO) (o splitOptions, err error) {
	effort, seconds := c.Int("effort"), c.Float64("play-seconds")
	switch {
	case effort < 1 || effort > 100:
		return o, tty.Usagef("--effort: %d; use 1 to 100", effort)
	case !(seconds > 0 && seconds <= 3600):
		return o, tty.Usagef("--play-seconds: %v; use a number of seconds above 0", seconds)
	}
	o.set, o.from, o.detail = draft.Settings{Seed: c.Uint64("seed"), Effort: effort}, c.String("from"), c.Bool("detail")
	if !c.Bool("no-play") {
		o.play = max(1, time.Duration(seconds*float64(time.Second)))
	}
	if o.out, err = readTeamTargets(c); err != nil {
		return o, err
	}
	o.PoolOptions, err = ReadPoolOptions(c, sio)
	return o, err
}

func runDraft(ctx context.Context, o splitOptions, sio tty.IO) error {
	out := o.out
	p, err := o.Read(sio, nil)
	if err != nil {
		return err
	}
	if err := p.NoArgs(); err != nil {
		return err
	}
	meter := tty.StartMeterWith(sio, func() string { return "evening the teams out" })
	d, split, err := p.Split(ctx, o.set)
	if err == nil && o.play > 0 && !p.Stopped {
		err = p.play(ctx, d, split, o.play)
	}
	meter.End()
	if err != nil {
		return err
	}
	if name := o.from; name != "" {
		if d.Moved, err = p.movedSince(name, split.Now); err != nil {
			return err
		}
	}
	d.Warnings = append(d.Warnings, p.Warnings()...)
	d.Cautions = report.Cautions(&p.Pool.League.Common.Catalogue, "advice", "hold")
	if p.Stopped {
		d.Warnings = append(d.Warnings, stoppedDraft)
	}
	late := tty.After(p.Stopped, out.save(p, d)) // with or without its files, the draft is shown
	if p.JSON {
		return tty.FirstError(report.Write(sio.Out, d), late)
	}
	p.Brief()
	s := NewDraftScreen(p, d, split.Now)
	s.detail = o.detail
	_, err = io.WriteString(sio.Out, s.Text()+out.written(p, d))
	return tty.FirstError(err, late)
}

// stoppedDraft is what programs read of a draft that was ended by hand.
const stoppedDraft = "stopped by hand: the teams are the most even that were found so far"

// splits are the split of a draft and those it is compared with; nil: none was found.
type splits struct{ Now, snake, random draft.Split }

// Split drafts the pool, and writes the result down beside a snake draft and a random one.
func (p *Pool) Split(ctx context.Context, set draft.Settings) (*report.Draft, splits, error) {
	pl := p.Pl
	set.Grant = true
	res, err := draft.Draft(ctx, pl.Numbers, set)
	switch {
	case err != nil:
		return nil, splits{}, err
	case ctx.Err() != nil && res.Split == nil:
		return nil, splits{}, errNoTeamsYet
	case res.Split == nil:
		return nil, splits{}, p.refuse(ctx, res)
	}
	at := splits{Now: res.Split, snake: res.Snake}
	d := pl.Draft(at.Now, res.Balance, set.Seed)
	d.Bound, d.Proven = res.Bound, res.Proven
	if at.random, err = draft.Random(ctx, pl.Numbers, set.Seed); err != nil && ctx.Err() == nil {
		return nil, at, err
	}
	d.Snake, d.Random = pl.Compare(at.snake, res.SnakeMended), pl.Compare(at.random, 0)
	if len(pl.Numbers.Carpools) > 0 {
		prices, err := draft.Prices(ctx, pl.Numbers, at.Now, draft.Settings{}) // whatever seed found the teams, what a wish costs is searched in the same way
		switch {
		case ctx.Err() != nil: // prices that were not searched for to the end are none
		case err != nil:
			return nil, at, err
		default:
			d.Carpools = pl.Wishes(prices)
		}
	}
	p.Stopped = ctx.Err() != nil
	return d, at, nil
}

// errNoTeamsYet is the end of a draft that was stopped before there was a first split.
var errNoTeamsYet = errors.New("stopped: no teams were found yet")

// play tries the splits out by playing.
func (p *Pool) play(ctx context.Context, d *report.Draft, at splits, limit time.Duration) error {
	team := &p.Pool.League.Common
	out := &report.PlayedOut{Series: team.Series, Formation: []string{}, Seconds: limit.Seconds()}
	for _, f := range team.Formations {
		out.Formation = append(out.Formation, f.Name)
	}
	for _, x := range []struct {
		split draft.Split
		into  **report.Played
	}{{at.Now, &out.Draft}, {at.snake, &out.Snake}, {at.random, &out.Random}} {
		if x.split == nil {
			continue
		}
		var err error
		*x.into, err = p.Pl.Play(ctx, x.split, limit, d.Seed)
		switch {
		case ctx.Err() != nil:
			p.Stopped = true
			return nil
		case err != nil:
			d.Warnings = append(d.Warnings, "the teams were not tried out by playing: "+tty.OneLine(err))
			return nil
		}
	}
	d.Play = out
	return nil
}

// Brief keeps the screen calm: warnings about the files are only counted.
func (p *Pool) Brief() {
	if n := len(p.Warnings()); n > 0 {
		where := "sevenyard check " + p.src.Name
		if p.src.Name == "--demo" {
			where = "sevenyard draft --demo --format json lists them"
		}
		p.Warn(p.sio, []string{fmt.Sprintf("note: %s about the files and the scores: %s", prose.Count(n, "warning"), where)})
	}
}

// refuse tells why there are no teams.
func (p *Pool) refuse(ctx context.Context, res *draft.Result) error {
	if res.Conflict != nil {
		return p.conflict(ctx, "no teams: ", res.Conflict)
	}
	what, do := "no split was found that keeps every rule, and none was ruled out", "take a rule out, and draft again"
	if res.Status == draft.Infeasible {
		what, do = "the rules cannot all hold; which of them collide was not settled", "take rules out until it works"
	}
	return &tty.Refused{Text: p.Fold("sevenyard: no teams: "+what+"; "+do, "  "), Object: report.NewRefusal(report.Problem{What: what, Do: do})}
}

// conflict is rules that collide, for people and for programs.
func (p *Pool) conflict(ctx context.Context, head string, c *draft.Conflict) error {
	remedies := p.Pl.Remedies(ctx, c)
	object := report.NewRefusal()
	object.Conflict = p.Pl.Conflict(c, remedies)
	p.callNames()
	text := p.Fold("sevenyard: "+head+draftplan.ConflictHead(c), "  ")
	for _, words := range p.Pl.RulesWords(c.Rules) {
		text += p.Fold("- "+words, "  ")
	}
	for _, fact := range p.Pl.Facts(c) {
		text += p.Fold(fact, "")
	}
	if len(remedies) == 0 {
		return &tty.Refused{Text: text + p.Fold("No single one of them was found that would do to leave out, nor several that were tried: mend more than one in league.toml or pool.csv.", ""), Object: object}
	}
	if len(remedies[0]) > 1 {
		text += p.Fold("No single one of these was found to do, as others collide too. Leaving out all of the following would, in league.toml or pool.csv; there may be other ways:", "")
	} else {
		text += p.Fold("Each of these alone would do, in league.toml or pool.csv:", "")
	}
	for _, rules := range remedies {
		for _, words := range p.Pl.RemedyWords(rules) {
			text += p.Fold("- "+words, "  ")
		}
	}
	return &tty.Refused{Text: text, Object: object}
}
