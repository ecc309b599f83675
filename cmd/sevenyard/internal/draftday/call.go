package draftday

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"sevenyard/cmd/internal/boardfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/optimize/draft"
)

// call makes a pick: on the board, then in the file. A call says which turn it is for, as two people may call for one turn, and a line may be sent twice: without a
// team it is only tried out.
func (l *live) call(ctx context.Context, o pickOptions, f *boardfile.Board) error {
	kid, err := l.kid(l.args[0])
	if err != nil {
		return err
	}
	turn, team := l.board.Turn(), l.board.Turn().Team
	named := o.team
	if named != "" {
		if team, err = l.team(named); err != nil {
			return err
		}
	}
	if turn.Over {
		team = 0
	} else if named != "" && (team != turn.Team || o.round > 0 && o.round != turn.Round) {
		return l.refuseTurn(team, o.round)
	}
	last, again := l.lastPick()
	again = again && last.Team == turn.Team && o.round == 0
	news, why := l.board.Pick(ctx, team, kid)
	switch {
	case why != nil:
		return l.refusePick(kid, why)
	case named == "":
		return l.refused("no pick yet: which turn is the call for?", fmt.Sprintf("For that of %s in round %d:", l.Pl.Numbers.Teams[team], turn.Round), l.callFor(turn, l.Pl.IDs[kid]))
	case again:
		return l.refused(fmt.Sprintf("no pick yet: %s picks twice in a row; is the call for round %d, or was it for round %d, in which %s was called?",
			l.Pl.Numbers.Teams[team], turn.Round, last.Round, l.Pl.IDs[last.Kids[0]]),
			fmt.Sprintf("For round %d:", turn.Round), l.callFor(turn, l.Pl.IDs[kid]))
	}
	l.news = news
	return f.Append(boardfile.Row{What: boardfile.Pick, Team: l.Pl.Numbers.Teams[team], Kid: l.Pl.IDs[kid]})
}

// callFor is the command that calls a kid for a turn.
func (l *live) callFor(turn draft.Turn, kid string) string {
	return fmt.Sprintf("sevenyard draft pick %s --board %s --team %s --round %d %s", l.src.Name, tty.Quote(l.file), tty.Quote(l.Pl.Numbers.Teams[turn.Team]), turn.Round, kid)
}

// lastPick is the call that stands last.
func (l *live) lastPick() (draft.Entry, bool) {
	list := l.board.Entries()
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].Kind == draft.Picked {
			return list[i], true
		}
	}
	return draft.Entry{}, false
}

// refused is a call or an undo that is not for the turn it would be taken for. The file stays as it is.
func (l *live) refused(what, do, command string) error {
	text := l.Fold("sevenyard: "+what, "  ") + l.Fold("The board is as it was.", "")
	if command == "" {
		return &tty.Refused{Text: text + l.Fold(tty.Sentence(do), ""), Object: report.NewRefusal(report.Problem{What: what, Do: do})}
	}
	return &tty.Refused{Text: text + tty.Commands(do, command), Object: report.NewRefusal(report.Problem{What: what, Do: do + " " + command})}
}

// refuseTurn refuses a call for a turn that is over or has not come; round 0: it names none.
func (l *live) refuseTurn(team, round int) error {
	turn, name := l.board.Turn(), l.Pl.Numbers.Teams[team]
	what := fmt.Sprintf("no pick: it is the turn of %s now, in round %d", l.Pl.Numbers.Teams[turn.Team], turn.Round)
	list := l.board.Entries()
	slices.Reverse(list)
	if i := slices.IndexFunc(list, func(e draft.Entry) bool { return e.Team == team && (round == 0 || e.Round == round) }); i >= 0 {
		switch e := list[i]; {
		case e.Kind == draft.Picked:
			what += fmt.Sprintf("; %s has called %s in round %d", name, l.Pl.IDs[e.Kids[0]], e.Round)
		case round > 0:
			what += fmt.Sprintf("; the turn of %s in round %d is over", name, round)
		}
	} else if round > 0 {
		what += fmt.Sprintf("; the turn of %s in round %d has not come", name, round)
	}
	return l.refused(what, fmt.Sprintf("Call for %s, or take the last call back with --undo", l.Pl.Numbers.Teams[turn.Team]), "")
}

// undo takes a call back. It names the kid, so that the same line sent twice does not take back two calls.
func (l *live) undo(f *boardfile.Board) error {
	last, there := l.lastPick()
	if !there {
		return errors.New("there is no pick to take back")
	}
	id, team := l.Pl.IDs[last.Kids[0]], l.Pl.Numbers.Teams[last.Team]
	command := fmt.Sprintf("sevenyard draft pick %s --board %s --undo %s", l.src.Name, tty.Quote(l.file), id)
	if len(l.args) == 0 {
		return l.refused(fmt.Sprintf("nothing taken back yet: the last call is that of %s, by %s in round %d", id, team, last.Round), "To take it back:", command)
	}
	kid, err := l.kid(l.args[0])
	if err != nil {
		return err
	}
	if kid != last.Kids[0] {
		return l.refused(fmt.Sprintf("nothing taken back: the last call is not that of %s but of %s, by %s in round %d; calls are taken back from the last one on", l.Pl.IDs[kid], id, team, last.Round),
			"To take that back:", command)
	}
	if !l.board.Undo() {
		return errors.New("there is no pick to take back")
	}
	l.undone = true
	return f.Append(boardfile.Row{What: boardfile.Undo})
}
