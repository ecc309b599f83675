package gameday

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// gameFlag names the game that is being planned.
func gameFlag() cli.Flag {
	return &cli.StringFlag{Name: "game", DefaultText: "the one of today that is on", Usage: "the game this is, if it is on record (games.csv): it is no earlier one, nor are those after it"}
}

// owed says who has the larger share because of earlier games, and who should have had it.
func (s *lineupScreen) owed() string {
	season := s.l.Season
	if season == nil {
		return ""
	}
	after := prose.Count(season.Games, "game") + " on record"
	out := ""
	if len(season.Larger) > 0 {
		verb := "has"
		if len(season.Larger) > 1 {
			verb = "have"
		}
		out = s.Fold(fmt.Sprintf("%s %s the larger share: owed most, after %s.", s.names(season.Larger), verb, after), "  ")
	}
	for _, id := range season.Passed {
		why := "comes before others who are owed less"
		if owed := s.balance(id); strings.HasPrefix(owed, "+") {
			why = fmt.Sprintf("is owed %s series", owed[1:])
		}
		out += s.Fold(fmt.Sprintf("! %s %s, but does not get the larger share: no plan with that was found that keeps the rules.", s.who.Inline(id), why), "  ")
	}
	return out + s.paidBack()
}

// paidBack says which series are paid back in this game, and to whom one should have been.
func (s *lineupScreen) paidBack() string {
	more, fewer := map[string]int{}, []string{}
	var to []string
	for _, b := range s.l.Season.PaidBack {
		if more[b.To]++; more[b.To] == 1 {
			to = append(to, b.To)
		}
		fewer = append(fewer, fmt.Sprintf("%s one less: had %s more than its share", s.who.Inline(b.From), strings.TrimLeft(s.balance(b.From), "-")))
	}
	out := ""
	for i, id := range to {
		plays := "one"
		if more[id] > 1 {
			plays = strconv.Itoa(more[id])
		}
		to[i] = fmt.Sprintf("%s plays %s more: owed %s series", s.who.Inline(id), plays, strings.TrimPrefix(s.balance(id), "+"))
	}
	if len(to) > 0 {
		out = s.Fold(strings.Join(append(to, fewer...), "; ")+".", "  ")
	}
	for _, id := range s.l.Season.Unpaid {
		out += s.Fold(fmt.Sprintf("! %s is owed %s series, and none is paid back in this game: no plan with that was found that keeps the rules.", s.who.Inline(id),
			strings.TrimPrefix(s.balance(id), "+")), "  ")
	}
	return out
}

func (s *lineupScreen) names(ids []string) string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = s.who.Inline(id)
	}
	return prose.And(names)
}

// balance is what a kid is owed, with its sign.
func (s *lineupScreen) balance(id string) string {
	for _, k := range s.l.Kids {
		if k.Kid == id && k.Owed != nil {
			return tty.Signed(*k.Owed)
		}
	}
	return ""
}
