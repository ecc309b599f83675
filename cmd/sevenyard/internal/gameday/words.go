package gameday

import (
	"errors"
	"fmt"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
)

// words are what the terminal calls the things that people are told to do: flags and commands.
type words struct{ g *Game }

func (w words) DateGame(game string) string {
	return fmt.Sprintf("say when: sevenyard record %s --game %s --date 2026-09-12", w.g.src.Name, tty.Quote(game))
}

func (w words) Say(f asked.Field, value string) string { return tty.Spell(f, value) }

func (w words) ReadFiles() string           { return " (sevenyard check)" }
func (w words) PlanAlone() string           { return "--ignore-season plans this game for itself" }
func (w words) NameGame(game string) string { return "add --game " + game }
func (w words) RecordFirst() string         { return "sevenyard record writes it" }
func (w words) NoGame(what string) error    { return errors.New("--game: " + what) }
func (w words) DateAgain() string           { return DateAgain }
func (w words) GiveHeat() string            { return "give a reading with --wbgt" }
func (w words) GiveHeatAnew() string        { return "give a new reading with --wbgt" }
func (w words) GiveHeatHourly() string      { return "read again every hour, and give it with --wbgt" }
func (w words) NonePlayed() string          { return nonePlayed }

func (w words) MoreTime() string {
	return "give it more time with --seconds 120, or ask for less: fewer series or rules"
}

func (w words) AskLess(seed uint64) string {
	return fmt.Sprintf("ask for less: fewer series or rules; or try --seed %d", seed+1)
}

// DateAgain is what to do about a game whose date is wrong.
const DateAgain = "record it again with --date"

// inWords puts an answer of no into words for people.
func (g *Game) inWords(err error) error {
	var hot *planning.TooHot
	var none *planning.NoPlan
	switch {
	case errors.As(err, &hot):
		return tooHot(g.View, hot)
	case errors.As(err, &none) && none.Conflict == nil:
		return &tty.Refused{Text: g.Fold("sevenyard: "+none.Error(), "  "), Object: none.Refusal()}
	case errors.As(err, &none):
		g.callNames()
		none.Conflict = tty.SaidConflict(none.Conflict)
		return &tty.Refused{Text: g.conflictText(tty.SaidConflict(g.Plan.Conflict(none.Conflict.Loosens))), Object: none.Refusal()}
	}
	return err
}

func tooHot(v tty.View, hot *planning.TooHot) error {
	text := v.Fold("sevenyard: "+hot.Head(), "  ")
	for _, why := range hot.Rules {
		text += v.Fold("- "+why, "  ")
	}
	text += v.Fold("Cancel, or play when a new reading is lower. "+planning.LocalFirst, "")
	return &tty.Refused{Text: text, Object: hot.Refusal()}
}

// conflictText is a conflict for people.
func (g *Game) conflictText(c *report.Conflict) string {
	out := g.Fold("sevenyard: no plan: "+tty.ConflictHead(c), "  ") + g.ConflictBody(c)
	if c.Loosens {
		out += g.Fold("Or leave --strict out: then rules are loosened as little as need be, and the screen says which.", "")
	}
	return out
}
