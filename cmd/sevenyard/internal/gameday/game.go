package gameday

import (
	"context"
	"fmt"

	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// Game is one team's game on its way to a plan, with how a terminal shows it.
type Game struct {
	tty.View
	*planning.Game
	sio tty.IO
	src tty.Source
}

// game is the game of the options, with nothing read yet.
func (o PlanOptions) game(sio tty.IO) *Game {
	return newGame(o.View, sio, o.Source, o.asked)
}

func newGame(v tty.View, sio tty.IO, src tty.Source, asked planning.Asked) *Game {
	g := &Game{View: v, sio: sio, src: src}
	g.Game = &planning.Game{Asked: asked, Words: words{g}, Today: sio.Today(), Nameless: v.IDsOnly, Dir: src.FS}
	return g
}

// Plan reads the folder and plans the game anew.
func (o PlanOptions) Plan(ctx context.Context, sio tty.IO) (*Game, error) {
	g := o.game(sio)
	if err := g.load(); err != nil {
		return nil, err
	}
	return g, g.Search(ctx, g.Arrange)
}

// load reads the folder and puts a game together that is planned anew.
func (g *Game) load() error {
	f, err := g.ReadTeam(g.src)
	if err != nil {
		return err
	}
	return g.inWords(g.Load(f, planning.Anew))
}

// Search runs a search with the meter beside it, and tells why there is no plan where there is none.
func (g *Game) Search(ctx context.Context, solve func(context.Context) error) error {
	meter := tty.StartMeter(g.sio)
	g.Set.Progress = meter.Note
	err := solve(ctx)
	meter.End()
	return g.inWords(tty.PlanError(g.Settled(ctx, err)))
}

// Briefly keeps the screen at the field calm: what concerns this game in full, the rest as a count.
func (g *Game) Briefly() []string {
	var out []string
	if n := len(g.Folder.Warnings) + len(g.Profile.Warnings); n > 0 {
		out = append(out, tty.WarningsAt(n, g.src))
	}
	if n := len(g.SeasonWarnings); n > 0 {
		out = append(out, fmt.Sprintf("note: %s about the record: sevenyard season %s", prose.Count(n, "warning"), g.src.Name))
	}
	return append(out, g.PlanWarnings()...)
}

// callNames lets sentences of the plan name the kids; what programs read goes by ids.
func (g *Game) callNames() tty.People {
	who := tty.NewPeople(g.Folder)
	g.Plan.Call = func(id string) string { return who.Name[id] }
	return who
}
