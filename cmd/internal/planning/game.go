package planning

import (
	"context"
	"errors"
	"io/fs"
	"time"

	"sevenyard/assess"
	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// Asked is what a person has asked for.
type Asked struct {
	Wishes gameplan.Wishes
	Set    rotation.Settings
	Strict bool         // refuse rather than loosen a rule
	WBGT   *drills.WBGT // nil: no reading was given
	Season Season
}

// Season is which earlier games are to count.
type Season struct {
	Ignore bool   // none
	Game   string // the game being planned, by its id on record; "": the one of today that is on, if any
	Quiet  bool   // which one that is has been said
}

// Words are what a front end calls the things that people are told to do.
type Words interface {
	Say(f asked.Field, value string) string // what a reference in a sentence is called

	DateGame(game string) string // say of what day the game is in which the kid was hurt
	ReadFiles() string           // look at what cannot be read
	PlanAlone() string           // plan this game without the earlier ones
	NameGame(game string) string // say that this game is the one that is on
	RecordFirst() string         // put a first game on record
	NoGame(what string) error    // there is no such game on record
	DateAgain() string           // record a game again, with another date
	GiveHeat() string            // give a reading of the heat
	GiveHeatAnew() string        // give a new one
	GiveHeatHourly() string      // read again every hour, and give it
	MoreTime() string            // give the search more time, or ask for less
	AskLess(seed uint64) string  // ask for less, or try another seed than this one
	NonePlayed() string          // no series counts as played: say how many are, if the game is on
}

// Game is one team's game on its way to a plan: what every front end reads first.
type Game struct {
	Asked
	Words    Words
	Today    string // 2026-09-12
	Nameless bool   // names are left out
	Dir      fs.FS  // the team's folder

	Folder  *drills.Folder
	Profile *assess.Profile
	Heat    *drills.Heat  // what the reading comes to for this team; nil: there is none
	Record  *games.Record // the games on record, read once; what could be read of them
	Plan    *gameplan.Plan
	Stopped bool // the search was ended by hand, and the plan is the best found until then

	// SeasonWarnings are about the record.
	SeasonWarnings []string
	recordErr      error // what is wrong with the record
}

// Builder puts a plan together from what has been read.
type Builder func(*Game) (*gameplan.Plan, error)

// Anew plans a game anew.
func Anew(g *Game) (*gameplan.Plan, error) { return gameplan.New(g.Folder, g.Profile, g.Wishes) }

// Load puts the game of a team together with build.
func (g *Game) Load(folder *drills.Folder, build Builder) (err error) {
	g.Folder = folder
	if g.Wishes, err = g.Wishes.Named(folder.Roster); err != nil {
		return err
	}
	if g.Wishes.Favor == "" {
		if g.Set.Favor, err = gameplan.ParseFavor(g.Folder.Team.Favor); err != nil {
			return err
		}
	}
	if g.Heat, err = HeatOn(g.WBGT, &g.Folder.Team); err != nil {
		return err
	}
	g.heed(g.Heat)
	g.Profile = assess.Assess(g.Folder)
	if err := g.roll(); err != nil {
		return err
	}
	if g.Plan, err = build(g); err != nil {
		return err
	}
	g.keepSafe(g.Heat)
	return g.owe()
}

// Arrange plans the game anew.
func (g *Game) Arrange(ctx context.Context) error { return g.Plan.Arrange(ctx, g.Set, g.Strict) }

// ErrNoPlanYet is the end of a search that was stopped by hand before it had found anything.
var ErrNoPlanYet = errors.New("stopped: no plan was found yet")

// Settled gives the error of a search, or why there is no plan where there is none (NoPlan). What a search that was ended by hand has found
// is a plan like others: it obeys every rule, and its bounds hold.
func (g *Game) Settled(ctx context.Context, err error) error {
	found := g.Plan.Outcome != nil && g.Plan.Outcome.Result != nil && g.Plan.Outcome.Result.Plan != nil
	switch {
	case ctx.Err() != nil && found && (err == nil || errors.Is(err, ctx.Err())):
		g.Stopped = true
	case ctx.Err() != nil && (err == nil || errors.Is(err, ctx.Err())):
		return ErrNoPlanYet
	case err != nil:
		return err
	case !found:
		return g.refuse(ctx)
	}
	return nil
}

// Share is the settings with a part of the time.
func (g *Game) Share(part float64) rotation.Settings {
	set := g.Set
	if set.Limit > 0 {
		set.Limit = max(time.Millisecond, time.Duration(part*float64(set.Limit)))
	}
	return set
}
