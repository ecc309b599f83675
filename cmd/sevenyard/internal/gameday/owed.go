package gameday

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/tty"
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
func (g *Game) owe() error {
	for _, k := range g.Folder.Roster {
		if b, barred := g.wishes.Out.Find(k.ID); barred && b.Undated && b.Game != g.season.game {
			g.Pl.Notes = append(g.Pl.Notes, fmt.Sprintf("kid %s was hurt in game %s, which has no date, or none that is written as 2026-09-12, and so may be of today: not planned; if the game was earlier, say when: "+
				"sevenyard record %s --game %s --date 2026-09-12", k.ID, b.Game, g.src.Name, tty.Quote(b.Game)))
		}
	}
	if g.season.ignore {
		if g.recErr != nil {
			g.Pl.Notes = append(g.Pl.Notes, "games.csv cannot be read in full: who was hurt today may stand in what cannot be read, and would then be planned; look before anybody plays (sevenyard check)")
		}
		return nil
	}
	rec, without := g.rec, g.season.game
	if on := OnToday(rec, g.sio, g.Folder); without == "" && on != nil {
		if without = on.ID; !g.season.quiet {
			g.Pl.Notes = append(g.Pl.Notes, fmt.Sprintf("game %s of today is still on; it does not count as an earlier one", on.ID))
		}
	}
	rec = gameplan.Before(rec, without)
	g.Pl.HurtBefore(rec, without)
	s, err := gameplan.NewSeason(g.Folder, rec, without)
	if err != nil {
		return err
	}
	warnings := append(slices.Clone(rec.Warnings), tty.StillToCome(rec, g.sio)...)
	if g.IDsOnly {
		warnings = g.NamelessRecord(warnings, g.src, g.Folder)
	}
	g.season.warnings = tty.ProblemWords(warnings)
	g.Pl.Owe(s)
	return nil
}

// OnToday is the last game on record, if it is of today and not all its series are on record; nil: none.
func OnToday(rec *games.Record, sio tty.IO, f *drills.Folder) *games.Game {
	if len(rec.Games) == 0 {
		return nil
	}
	last := &rec.Games[len(rec.Games)-1]
	if last.Date != sio.Today() || gameplan.Recorded(last) >= f.Team.Series {
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
	return gameplan.And(names)
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
