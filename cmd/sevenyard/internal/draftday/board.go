package draftday

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

var entryNames = map[draft.EntryKind]string{draft.Picked: "picked", draft.Placed: "placed", draft.Owed: "owed", draft.Full: "full"}

// report writes the board down, with the most even end that is still possible and the even split there was at the start.
func (l *live) report(ctx context.Context, set draft.Settings) (*report.Board, error) {
	turn, split := l.board.Turn(), l.board.Split()
	now := l.Pl.Numbers.Measure(split)
	r := &report.Board{
		Schema: report.BoardSchema, League: l.Pool.Pool.League.Common.Name, Order: []string{}, Over: turn.Over, Round: turn.Round,
		Entries: l.entries(l.board.Entries()), Teams: l.Pl.Teams(now), Measures: l.Pl.Measures(), Left: []string{}, Legal: []string{},
		Spread: l.Pl.Evenness(split, now).Spread, Warnings: append(append([]string{}, l.warnings...), l.Pool.Warnings()...),
	}
	for _, t := range l.order {
		r.Order = append(r.Order, l.Pl.Numbers.Teams[t])
	}
	even, err := draft.Draft(ctx, l.Pl.Numbers, set)
	if err == nil {
		err = ctx.Err()
	}
	switch {
	case err != nil:
		return nil, err
	case even.Split == nil: // a board that could be started has one
		return nil, errors.New("no even split was found to compare with")
	}
	r.Even = l.Pl.Evenness(even.Split, even.Balance)
	if turn.Over {
		return r, nil
	}
	r.Turn = l.Pl.Numbers.Teams[turn.Team]
	left := l.Pl.Unplaced(split)
	score := func(k int) float64 { return l.Pl.Numbers.Kids[k].Scores[0] }
	slices.SortStableFunc(left, func(a, b int) int {
		switch {
		case score(a) > score(b):
			return -1
		case score(a) < score(b):
			return 1
		}
		return 0
	})
	for _, k := range left {
		r.Left = append(r.Left, l.Pl.IDs[k])
	}
	for _, k := range l.board.Legal(ctx) {
		r.Legal = append(r.Legal, l.Pl.IDs[k])
	}
	rest, err := draft.Draft(ctx, l.board.Rest(), set)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil || rest.Split == nil {
		return r, err
	}
	e := l.Pl.Evenness(rest.Split, l.Pl.Numbers.Measure(rest.Split))
	r.Rest = &e
	return r, nil
}

func (l *live) entries(list []draft.Entry) []report.BoardEntry {
	out := []report.BoardEntry{}
	for _, e := range list {
		x := report.BoardEntry{Round: e.Round, Team: l.Pl.Numbers.Teams[e.Team], How: entryNames[e.Kind], Kids: []string{}}
		for _, k := range e.Kids {
			x.Kids = append(x.Kids, l.Pl.IDs[k])
		}
		out = append(out, x)
	}
	return out
}

// text is the board for the room: what has just happened, the teams, the balance, and whose turn it is.
func (l *live) text(r *report.Board) string {
	s := newChangeScreen(l.Pool)
	name := screen.Clean(r.League)
	if name == "" {
		name = "Your league"
	}
	out := l.Fold(l.Strong(fmt.Sprintf("%s: live snake, round %d", name, r.Round)), "")
	if r.Over {
		out = l.Fold(l.Strong(name+": live snake, all picked"), "")
	}
	if l.undone {
		out += l.Fold("The last pick is taken back.", "")
	}
	for _, e := range l.entries(l.news) {
		out += l.Fold(l.entryWords(s.who, e), "  ")
	}
	out += "\n"
	for _, t := range r.Teams {
		var kids []string
		for _, id := range t.Kids {
			kids = append(kids, s.who.Inline(id))
		}
		if len(kids) == 0 {
			kids = []string{"nobody yet"}
		}
		out += l.Fold(fmt.Sprintf("%s (%d): %s", l.Strong(screen.Clean(t.Team)), len(t.Kids), strings.Join(kids, ", ")), "  ")
	}
	out += "\n" + l.balance(s, r) + "\n"
	if r.Over {
		full := "The board is full."
		if !l.saved {
			full += " Save the teams with --save teams.json."
		}
		return out + l.Fold(full, "")
	}
	return out + l.turn(s.who, r)
}

// entryWords says one turn.
func (l *live) entryWords(who tty.People, e report.BoardEntry) string {
	switch e.How {
	case "picked", "placed":
		verb := "picks"
		if e.How == "placed" {
			verb = "has the settled kid"
		}
		text := fmt.Sprintf("Round %d: %s %s %s", e.Round, e.Team, verb, who.Inline(e.Kids[0]))
		if len(e.Kids) > 1 {
			text += ", with " + who.List(e.Kids[1:])
		}
		return tty.Sentence(text)
	case "owed":
		return fmt.Sprintf("Round %d: %s has had this pick already, for a sibling.", e.Round, e.Team)
	}
	return fmt.Sprintf("Round %d: %s has nobody to pick.", e.Round, e.Team)
}

// balance is how far apart the teams are, how even they can still get, and how even they could have been.
func (l *live) balance(s *changeScreen, r *report.Board) string {
	names, list := []string{"now"}, []report.Evenness{{Spread: r.Spread}}
	if r.Rest != nil {
		names, list = append(names, "still possible"), append(list, *r.Rest)
	}
	names, list = append(names, "even split"), append(list, r.Even)
	words := "Now: how far apart the means of the teams are, as they stand. "
	if r.Rest != nil {
		words += "Still possible: if the rest is dealt as evenly as can be. "
	}
	return s.spreads(names, list) + l.Fold(words+"Even split: if nobody had picked.", "")
}

// shownLegal is how many of the kids who can be called are listed.
const shownLegal = 8

func (l *live) turn(who tty.People, r *report.Board) string {
	list := r.Legal[:min(shownLegal, len(r.Legal))]
	var best []string
	for _, id := range list {
		k, _ := l.Pl.Find(id)
		best = append(best, who.Inline(id)+" "+screen.Figure(l.Pl.Numbers.Kids[k].Scores[0], 0))
	}
	out := l.Fold(fmt.Sprintf("%s still to be picked. Best overall that %s may call, in points: %s.", prose.Count(len(r.Left), "kid"), r.Turn, strings.Join(best, ", ")), "")
	if n := len(r.Left) - len(r.Legal); n > 0 {
		out += l.Fold(fmt.Sprintf("The rules keep %s of them from %s.", prose.Count(n, "kid"), r.Turn), "")
	}
	text := l.Strong(fmt.Sprintf("Round %d: %s picks.", r.Round, r.Turn))
	if len(list) == 0 {
		return out + l.Fold(text, "")
	}
	return out + tty.Commands(strings.TrimRight(l.Fold(text, ""), "\n"), l.callFor(l.board.Turn(), list[0]))
}
