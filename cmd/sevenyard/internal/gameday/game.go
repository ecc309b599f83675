package gameday

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

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

// newPlan plans a game anew.
func newPlan(g *Game) (*gameplan.Plan, error) { return gameplan.New(g.Folder, g.Profile, g.wishes) }

// Read reads the folder of the options, and puts the game together with build.
func (o PlanOptions) Read(sio tty.IO, build builder) (*Game, error) {
	g := o.game(sio)
	return g, g.load(build)
}

// Plan reads the folder and plans the game anew.
func (o PlanOptions) Plan(ctx context.Context, sio tty.IO) (*Game, error) {
	g, err := o.Read(sio, newPlan)
	if err != nil {
		return nil, err
	}
	return g, g.Search(ctx, func() error { return g.Pl.Arrange(ctx, g.Set, g.Strict) })
}

// game is the game of the options, with nothing read yet.
func (o PlanOptions) game(sio tty.IO) *Game {
	return &Game{View: o.View, sio: sio, src: o.Source, wishes: o.wishes, Set: o.set, Strict: o.strict, wbgt: o.wbgt, season: o.season}
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
func (g *Game) Search(ctx context.Context, solve func() error) error {
	meter := tty.StartMeter(g.sio)
	g.Set.Progress = meter.Note
	err := solve()
	meter.End()
	return g.settled(ctx, err)
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
