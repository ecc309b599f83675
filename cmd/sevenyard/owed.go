package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// gameFlag names the game that is being planned.
func gameFlag() cli.Flag {
	return &cli.StringFlag{Name: "game", DefaultText: "the one of today that is on", Usage: "the game this is, if it is on record (games.csv): it is no earlier one, nor are those after it"}
}

// seasonWish is which earlier games are to count.
type seasonWish struct {
	ignore bool
	game   string // the game being planned; "": the one that is on, if any
	quiet  bool   // which one that is has been said

	warnings []string // about the record
}

func readSeasonWish(c *cli.Context) seasonWish {
	return seasonWish{ignore: c.Bool("ignore-season"), game: c.String("game"), quiet: c.Command.Name == "rebuild"}
}

// owe reads the record and lets the plan know what kids are owed. The game being planned is none of the earlier ones.
func (g *game) owe() error {
	for _, k := range g.folder.Roster {
		if b, barred := g.wishes.Out.Find(k.ID); barred && b.Undated && b.Game != g.season.game {
			g.pl.Notes = append(g.pl.Notes, fmt.Sprintf("kid %s was hurt in game %s, which has no date, or none that is written as 2026-09-12, and so may be of today: not planned; if the game was earlier, say when: "+
				"sevenyard record %s --game %s --date 2026-09-12", k.ID, b.Game, g.src.Name, quote(b.Game)))
		}
	}
	if g.season.ignore {
		if g.recErr != nil {
			g.pl.Notes = append(g.pl.Notes, "games.csv cannot be read in full: who was hurt today may stand in what cannot be read, and would then be planned; look before anybody plays (sevenyard check)")
		}
		return nil
	}
	rec, without := g.rec, g.season.game
	if on := onToday(rec, g.sio, g.folder); without == "" && on != nil {
		if without = on.ID; !g.season.quiet {
			g.pl.Notes = append(g.pl.Notes, fmt.Sprintf("game %s of today is still on; it does not count as an earlier one", on.ID))
		}
	}
	rec = gameplan.Before(rec, without)
	g.pl.HurtBefore(rec, without)
	s, err := gameplan.NewSeason(g.folder, rec, without)
	if err != nil {
		return err
	}
	warnings := append(slices.Clone(rec.Warnings), stillToCome(rec, g.sio)...)
	if g.IDsOnly {
		warnings = g.namelessRecord(warnings, g.src, g.folder)
	}
	g.season.warnings = problemWords(warnings)
	g.pl.Owe(s)
	return nil
}

// stillToCome warns of games on record that are dated in the future: they count as played, and most likely a date is wrong.
func stillToCome(rec *games.Record, sio stdio) drills.Problems {
	var out drills.Problems
	for _, g := range rec.Games {
		if today := sio.today(); isDate(g.Date) && g.Date > today { // what is no date has a warning of its own
			out = append(out, drills.Problem{At: drills.Place{File: games.File}, What: fmt.Sprintf("game %q is dated %s, which is still to come (today is %s), and counts as played", g.ID, g.Date, today),
				Do: "if the date is wrong, record it again with --date"})
		}
	}
	return out
}

// onToday is the last game on record, if it is of today and not all its series are on record; nil: none.
func onToday(rec *games.Record, sio stdio, f *drills.Folder) *games.Game {
	if len(rec.Games) == 0 {
		return nil
	}
	last := &rec.Games[len(rec.Games)-1]
	if last.Date != sio.today() || gameplan.Recorded(last) >= f.Team.Series {
		return nil
	}
	return last
}

// withoutSeason adds to the problems of the record what to do if there is no time to mend them.
func withoutSeason(err error) error {
	var ps drills.Problems
	if !errors.As(err, &ps) {
		return err
	}
	return append(slices.Clone(ps), drills.Problem{At: drills.Place{File: games.File}, What: "until that is mended it cannot be told what earlier games owe",
		Do: "--ignore-season plans this game for itself"})
}

// owed says who has the larger share because of earlier games, and who should have had it.
func (s *lineupScreen) owed() string {
	season := s.l.Season
	if season == nil {
		return ""
	}
	after := gameplan.Count(season.Games, "game") + " on record"
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
		out += s.Fold(fmt.Sprintf("! %s %s, but does not get the larger share: no plan with that was found that keeps the rules.", s.who.inline(id), why), "  ")
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
		fewer = append(fewer, fmt.Sprintf("%s one less: had %s more than its share", s.who.inline(b.From), strings.TrimLeft(s.balance(b.From), "-")))
	}
	out := ""
	for i, id := range to {
		plays := "one"
		if more[id] > 1 {
			plays = strconv.Itoa(more[id])
		}
		to[i] = fmt.Sprintf("%s plays %s more: owed %s series", s.who.inline(id), plays, strings.TrimPrefix(s.balance(id), "+"))
	}
	if len(to) > 0 {
		out = s.Fold(strings.Join(append(to, fewer...), "; ")+".", "  ")
	}
	for _, id := range s.l.Season.Unpaid {
		out += s.Fold(fmt.Sprintf("! %s is owed %s series, and none is paid back in this game: no plan with that was found that keeps the rules.", s.who.inline(id),
			strings.TrimPrefix(s.balance(id), "+")), "  ")
	}
	return out
}

func (s *lineupScreen) names(ids []string) string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = s.who.inline(id)
	}
	return gameplan.And(names)
}

// balance is what a kid is owed, with its sign.
func (s *lineupScreen) balance(id string) string {
	for _, k := range s.l.Kids {
		if k.Kid == id && k.Owed != nil {
			return signed(*k.Owed)
		}
	}
	return ""
}

// signed is a balance for a table: +0.4 is owed, -0.4 was had; 0 has no sign.
func signed(x float64) string {
	text := fmt.Sprintf("%+.1f", x)
	if strings.Trim(text, "+-0.") == "" {
		return "0"
	}
	return text
}
