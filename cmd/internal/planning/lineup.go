package planning

import (
	"slices"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/report"
)

// Lineup is the plan as an object, with what is to be known of it: warnings, cautions, the heat.
func (g *Game) Lineup() *report.Lineup {
	l := g.Plan.Lineup(g.Set)
	l.Warnings = append(l.Warnings, g.Warnings()...)
	l.Cautions = g.cautions()
	g.addHeat(l)
	return l
}

// cautions are those of a game.
func (g *Game) cautions() []string {
	topics := []string{"concussion", "heat", "advice"}
	onHold := func(a gameplan.Away) bool { return a.Why == gameplan.OnHold || a.Why == gameplan.Hurt }
	if slices.ContainsFunc(g.Plan.Away, onHold) || slices.ContainsFunc(g.Plan.Gone, onHold) || len(g.Wishes.Hurt) > 0 {
		topics = append(topics, "hold")
	}
	return report.Cautions(&g.Folder.Team.Catalogue, topics...)
}

// OutOfTime is the warning of a plan that another run may not give again.
const OutOfTime = "stopped by the time limit: the plan is not proven, and another run may give another one"

// StoppedWarning is what programs read of a search that was ended by hand; people are told on the screen.
const StoppedWarning = "stopped by hand: the plan is the best that was found so far, and what is not proven may not be the best there is"

// Warnings are all warnings about one game, as they stand in what is saved: from the files, from the scores, from the plan, and without names
// whatever is shown.
func (g *Game) Warnings() []string {
	out := g.Folder.Warnings.Words()
	out = append(out, g.Profile.Warnings...)
	out = nameless.Sentences(append(out, g.SeasonWarnings...), nameless.PlainWords(g.Folder), g.Folder.Trials, &g.Folder.Team.Catalogue)
	if g.Stopped {
		out = append(out, StoppedWarning)
	}
	out = append(out, g.PlanWarnings()...)
	return g.hideGames(out)
}

// PlanWarnings are the warnings about this plan: not about the files, the scores or the record.
func (g *Game) PlanWarnings() []string {
	out := append(asked.RenderAll(slices.Clone(g.Plan.Notes), g.Words.Say), g.Plan.ShortWords()...)
	if g.Heat != nil {
		out = append(out, offElsewhere(g.Heat)...)
	}
	if g.Plan.OutOfTime(g.Set) {
		out = append(out, OutOfTime)
	}
	if !g.Nameless {
		return out
	}
	return g.hideGames(out)
}

// hideGames takes ids of games that may be names out of sentences.
func (g *Game) hideGames(list []string) []string {
	hide := nameless.HideGames(nameless.GamesNamed(g.Dir))
	for i := range list {
		list[i] = hide(list[i])
	}
	return list
}

// Shown is what a front end needs to show the plan beside its numbers; kids are called by name where Plan.Call knows one.
func (g *Game) Shown() *report.Shown { return g.Plan.Shown(g.Set, g.Stopped) }
