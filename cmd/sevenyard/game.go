package main

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
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// game is one team's game on its way to a plan: what every planning command reads first.
type game struct {
	view
	sio     stdio
	src     source
	folder  *drills.Folder
	profile *assess.Profile
	wishes  gameplan.Wishes
	set     rotation.Settings
	strict  bool
	wbgt    *drills.WBGT // nil: no reading was given
	heat    *drills.Heat // what it comes to for this team
	season  seasonWish
	rec     *games.Record // the games on record, read once; what could be read of them
	recOdd  drills.Problems
	recErr  error // what is wrong with the record
	pl      *gameplan.Plan
	// stopped: the search was ended by hand, and the plan is the best found until then.
	stopped bool
}

// builder puts a plan together from what has been read.
type builder func(*game) (*gameplan.Plan, error)

// newPlan plans a game anew.
func newPlan(g *game) (*gameplan.Plan, error) { return gameplan.New(g.folder, g.profile, g.wishes) }

// planFlags are the flags of every command that plans: who is there, and how to search for at most so many seconds.
func planFlags(seconds float64) []cli.Flag {
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
	}, viewFlags()...)
}

// readGame reads the command line and the folder, and puts the game together with build.
func readGame(c *cli.Context, sio stdio, build builder) (*game, error) {
	v, err := readView(c, sio)
	if err != nil {
		return nil, err
	}
	g := &game{view: v, sio: sio, strict: c.Bool("strict"), season: readSeasonWish(c)}
	if g.wishes, g.set, err = readWishes(c); err != nil {
		return nil, err
	}
	if g.src, err = readSource(c); err != nil {
		return nil, err
	}
	if g.wbgt, err = readWBGT(c); err != nil {
		return nil, err
	}
	return g, g.load(build)
}

// load reads the folder and puts the game together with build.
func (g *game) load(build builder) (err error) {
	if g.folder, err = g.readTeam(g.src); err != nil {
		return err
	}
	if g.wishes.Favor == "" {
		if g.set.Favor, err = gameplan.ParseFavor(g.folder.Team.Favor); err != nil {
			return err
		}
	}
	if g.heat, err = g.heatOn(g.wbgt, &g.folder.Team); err != nil {
		return err
	}
	heed(g.heat, g.folder)
	g.profile = assess.Assess(g.folder)
	if err := g.roll(); err != nil {
		return err
	}
	if g.pl, err = build(g); err != nil {
		return err
	}
	spare(g.heat, g.pl)
	return g.owe()
}

// search runs a search with the meter beside it, and tells why there is no plan where there is none.
func (g *game) search(c *cli.Context, solve func() error) error {
	meter := startMeter(g.sio)
	g.set.Progress = meter.note
	err := solve()
	meter.end()
	return g.settled(c.Context, err)
}

// settled gives the error of a search, or why there is no plan where there is none. What a search that was ended by hand has found
// is a plan like others: it obeys every rule, and its bounds hold.
func (g *game) settled(ctx context.Context, err error) error {
	found := g.pl.Outcome != nil && g.pl.Outcome.Result != nil && g.pl.Outcome.Result.Plan != nil
	switch {
	case ctx.Err() != nil && found && (err == nil || errors.Is(err, ctx.Err())):
		g.stopped = true
	case ctx.Err() != nil && (err == nil || errors.Is(err, ctx.Err())):
		return errNoPlanYet
	case err != nil:
		return planError(err)
	case !found:
		return g.refuse(ctx)
	}
	return nil
}

// share is the settings with a part of the time.
func (g *game) share(part float64) rotation.Settings {
	set := g.set
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
			return w, set, usagef("--series: %d; a game has at least 1", w.Series)
		}
	}
	if c.IsSet("favor") {
		w.Favor = c.String("favor")
		favor, err := gameplan.ParseFavor(w.Favor)
		if err != nil || w.Favor == "" {
			return w, set, usagef("--favor: %q is not known; use weakest, total or even", w.Favor)
		}
		set.Favor = favor
	}
	seconds := c.Float64("seconds")
	if !(seconds >= 0 && seconds <= 1e6) {
		return w, set, usagef("--seconds: %v; use a number of seconds, or 0 for no limit", seconds)
	}
	set.Limit = time.Duration(math.Ceil(seconds * float64(time.Second)))
	set.Seed = c.Uint64("seed")
	return w, set, nil
}

// outOfTime is the warning of a plan that another run may not give again.
const outOfTime = "stopped by the time limit: the plan is not proven, and another run may give another one"

// warnings are all warnings about one game, as they stand in what is saved: from the files, from the scores, from the plan, and without names
// whatever the screen shows.
func (g *game) warnings() []string {
	out := problemWords(g.folder.Warnings)
	out = append(out, g.profile.Warnings...)
	out = namelessWords(append(out, g.season.warnings...), plainWords(g.folder), g.folder.Trials, &g.folder.Team.Catalogue)
	if g.stopped {
		out = append(out, stoppedWarning)
	}
	out = append(out, g.planWarnings()...)
	hide := hideGames(gamesNamed(g.src.FS))
	for i := range out {
		out[i] = hide(out[i])
	}
	return out
}

func (g *game) planWarnings() []string {
	out := append(slices.Clone(g.pl.Notes), g.pl.ShortWords()...)
	if g.heat != nil {
		out = append(out, offElsewhere(g.heat)...)
	}
	if g.pl.OutOfTime(g.set) {
		out = append(out, outOfTime)
	}
	if !g.IDsOnly {
		return out
	}
	hide := hideGames(gamesNamed(g.src.FS))
	for i := range out {
		out[i] = hide(out[i])
	}
	return out
}

// stoppedWarning is what programs read of a search that was ended by hand; people are told on the screen.
const stoppedWarning = "stopped by hand: the plan is the best that was found so far, and what is not proven may not be the best there is"

// warningsAt says where to read warnings that are about the folder as such.
func warningsAt(n int, src source) string {
	return fmt.Sprintf("note: %s about the files and the scores: sevenyard check %s", gameplan.Count(n, "warning"), src.Name)
}

// briefly keeps the screen at the field calm: what concerns this game in full, the rest as a count.
func (g *game) briefly() []string {
	var out []string
	if n := len(g.folder.Warnings) + len(g.profile.Warnings); n > 0 {
		out = append(out, warningsAt(n, g.src))
	}
	if n := len(g.season.warnings); n > 0 {
		out = append(out, fmt.Sprintf("note: %s about the record: sevenyard season %s", gameplan.Count(n, "warning"), g.src.Name))
	}
	return append(out, g.planWarnings()...)
}

// callNames lets sentences of the plan name the kids; what programs read goes by ids.
func (g *game) callNames() people {
	who := newPeople(g.folder)
	g.pl.Call = func(id string) string { return who.name[id] }
	return who
}

func planError(err error) error {
	switch {
	case errors.Is(err, rotation.ErrNobody):
		return fmt.Errorf("no plan: in some series nobody is there; look at --absent, --late and --leaves")
	case errors.Is(err, rotation.ErrNoSeries):
		return fmt.Errorf("no plan: the game has no series; set series in team.toml")
	}
	return err
}
