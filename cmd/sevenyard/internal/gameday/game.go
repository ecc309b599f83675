package gameday

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// Game is one team's game on its way to a plan: what every planning command reads first.
type Game struct {
	tty.View
	sio     tty.IO
	src     tty.Source
	Folder  *drills.Folder
	Profile *assess.Profile
	wishes  gameplan.Wishes
	Set     rotation.Settings
	Strict  bool
	wbgt    *drills.WBGT // nil: no reading was given
	heat    *drills.Heat // what it comes to for this team
	season  seasonWish
	rec     *games.Record // the games on record, read once; what could be read of them
	recOdd  drills.Problems
	recErr  error // what is wrong with the record
	Pl      *gameplan.Plan
	// Stopped: the search was ended by hand, and the plan is the best found until then.
	Stopped bool
}

// builder puts a plan together from what has been read.
type builder func(*Game) (*gameplan.Plan, error)

// NewPlan plans a game anew.
func NewPlan(g *Game) (*gameplan.Plan, error) { return gameplan.New(g.Folder, g.Profile, g.wishes) }

// PlanFlags are the flags of every command that plans: who is there, and how to search for at most so many seconds.
func PlanFlags(seconds float64) []cli.Flag {
	return append([]cli.Flag{
		&cli.StringSliceFlag{Name: "absent", Usage: "kids who are not there: 4 or 4,7"},
		&cli.StringSliceFlag{Name: "late", Usage: "9@3: kid 9 is there from series 3 on"},
		&cli.StringSliceFlag{Name: "leaves", Usage: "6@5: series 5 is the last one that kid 6 is there for"},
		&cli.StringFlag{Name: "favor", DefaultText: "the team's", Usage: "what comes first: weakest series, total, or even strength"},
		&cli.BoolFlag{Name: "strict", Usage: "refuse rather than loosen a rule"},
		wbgtFlag(),
		&cli.BoolFlag{Name: "ignore-season", Usage: "plan this game for itself, whatever earlier games on record owe"},
		&cli.Float64Flag{Name: "seconds", Value: seconds, Usage: "time to search; 0: until proven"},
		&cli.Uint64Flag{Name: "seed", Value: 1, Usage: "another start: picks among plans of equal value; where nothing is proven, it may find a better one"},
	}, tty.ViewFlags()...)
}

// ReadGame reads the command line and the folder, and puts the game together with build.
func ReadGame(c *cli.Context, sio tty.IO, build builder) (*Game, error) {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return nil, err
	}
	g := &Game{View: v, sio: sio, Strict: c.Bool("strict"), season: readSeasonWish(c)}
	if g.wishes, g.Set, err = readWishes(c); err != nil {
		return nil, err
	}
	if g.src, err = tty.ReadSource(c); err != nil {
		return nil, err
	}
	if g.wbgt, err = readWBGT(c); err != nil {
		return nil, err
	}
	return g, g.load(build)
}

// load reads the folder and puts the game together with build.
func (g *Game) load(build builder) (err error) {
	if g.Folder, err = g.ReadTeam(g.src); err != nil {
		return err
	}
	if g.wishes.Favor == "" {
		if g.Set.Favor, err = gameplan.ParseFavor(g.Folder.Team.Favor); err != nil {
			return err
		}
	}
	if g.heat, err = heatOn(g.View, g.wbgt, &g.Folder.Team); err != nil {
		return err
	}
	heed(g.heat, g.Folder)
	g.Profile = assess.Assess(g.Folder)
	if err := g.roll(); err != nil {
		return err
	}
	if g.Pl, err = build(g); err != nil {
		return err
	}
	spare(g.heat, g.Pl)
	return g.owe()
}

// Search runs a search with the meter beside it, and tells why there is no plan where there is none.
func (g *Game) Search(c *cli.Context, solve func() error) error {
	meter := tty.StartMeter(g.sio)
	g.Set.Progress = meter.Note
	err := solve()
	meter.End()
	return g.settled(c.Context, err)
}

// settled gives the error of a search, or why there is no plan where there is none. What a search that was ended by hand has found
// is a plan like others: it obeys every rule, and its bounds hold.
func (g *Game) settled(ctx context.Context, err error) error {
	found := g.Pl.Outcome != nil && g.Pl.Outcome.Result != nil && g.Pl.Outcome.Result.Plan != nil
	switch {
	case ctx.Err() != nil && found && (err == nil || errors.Is(err, ctx.Err())):
		g.Stopped = true
	case ctx.Err() != nil && (err == nil || errors.Is(err, ctx.Err())):
		return tty.ErrNoPlanYet
	case err != nil:
		return tty.PlanError(err)
	case !found:
		return g.refuse(ctx)
	}
	return nil
}

// share is the settings with a part of the time.
func (g *Game) share(part float64) rotation.Settings {
	set := g.Set
	if set.Limit > 0 {
		set.Limit = max(time.Millisecond, time.Duration(part*float64(set.Limit)))
	}
	return set
}

func readWishes(c *cli.Context) (gameplan.Wishes, rotation.Settings, error) {
	var w gameplan.Wishes
	var set rotation.Settings
	for _, text := range c.StringSlice("absent") {
		kids, err := gameplan.ParseKids("--absent", text)
		if err != nil {
			return w, set, err
		}
		w.Absent = append(w.Absent, kids...)
	}
	for _, part := range []struct {
		flag string
		into *[]gameplan.At
	}{{"late", &w.Late}, {"leaves", &w.Leaves}, {"hurt", &w.Hurt}} {
		for _, text := range c.StringSlice(part.flag) {
			ats, err := gameplan.ParseAts("--"+part.flag, text)
			if err != nil {
				return w, set, err
			}
			*part.into = append(*part.into, ats...)
		}
	}
	if c.IsSet("series") {
		if w.Series = c.Int("series"); w.Series < 1 {
			return w, set, tty.Usagef("--series: %d; a game has at least 1", w.Series)
		}
	}
	if c.IsSet("favor") {
		w.Favor = c.String("favor")
		favor, err := gameplan.ParseFavor(w.Favor)
		if err != nil || w.Favor == "" {
			return w, set, tty.Usagef("--favor: %q is not known; use weakest, total or even", w.Favor)
		}
		set.Favor = favor
	}
	seconds := c.Float64("seconds")
	if !(seconds >= 0 && seconds <= 1e6) {
		return w, set, tty.Usagef("--seconds: %v; use a number of seconds, or 0 for no limit", seconds)
	}
	set.Limit = time.Duration(math.Ceil(seconds * float64(time.Second)))
	set.Seed = c.Uint64("seed")
	return w, set, nil
}

// outOfTime is the warning of a plan that another run may not give again.
const outOfTime = "stopped by the time limit: the plan is not proven, and another run may give another one"

// warnings are all warnings about one game, as they stand in what is saved: from the files, from the scores, from the plan, and without names
// whatever the screen shows.
func (g *Game) warnings() []string {
	out := tty.ProblemWords(g.Folder.Warnings)
	out = append(out, g.Profile.Warnings...)
	out = tty.NamelessWords(append(out, g.season.warnings...), tty.PlainWords(g.Folder), g.Folder.Trials, &g.Folder.Team.Catalogue)
	if g.Stopped {
		out = append(out, StoppedWarning)
	}
	out = append(out, g.PlanWarnings()...)
	hide := tty.HideGames(tty.GamesNamed(g.src.FS))
	for i := range out {
		out[i] = hide(out[i])
	}
	return out
}

// PlanWarnings are the warnings about this plan: not about the files, the scores or the record.
func (g *Game) PlanWarnings() []string {
	out := append(slices.Clone(g.Pl.Notes), g.Pl.ShortWords()...)
	if g.heat != nil {
		out = append(out, offElsewhere(g.heat)...)
	}
	if g.Pl.OutOfTime(g.Set) {
		out = append(out, outOfTime)
	}
	if !g.IDsOnly {
		return out
	}
	hide := tty.HideGames(tty.GamesNamed(g.src.FS))
	for i := range out {
		out[i] = hide(out[i])
	}
	return out
}

// StoppedWarning is what programs read of a search that was ended by hand; people are told on the screen.
const StoppedWarning = "stopped by hand: the plan is the best that was found so far, and what is not proven may not be the best there is"

// Briefly keeps the screen at the field calm: what concerns this game in full, the rest as a count.
func (g *Game) Briefly() []string {
	var out []string
	if n := len(g.Folder.Warnings) + len(g.Profile.Warnings); n > 0 {
		out = append(out, tty.WarningsAt(n, g.src))
	}
	if n := len(g.season.warnings); n > 0 {
		out = append(out, fmt.Sprintf("note: %s about the record: sevenyard season %s", gameplan.Count(n, "warning"), g.src.Name))
	}
	return append(out, g.PlanWarnings()...)
}

// callNames lets sentences of the plan name the kids; what programs read goes by ids.
func (g *Game) callNames() tty.People {
	who := tty.NewPeople(g.Folder)
	g.Pl.Call = func(id string) string { return who.Name[id] }
	return who
}
