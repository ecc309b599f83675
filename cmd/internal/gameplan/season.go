package gameplan

import (
	"fmt"
	"slices"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
	"sevenyard/optimize/season"
)

// Season is the games on record, summed up.
type Season struct {
	Kids  []string // of the roster, in its order, then those of the record who are not on it any more
	There int      // the first so many of Kids are on the roster
	Roles []string // the team's, then others of the record
	Games []games.Game
	Table *season.Table
}

// Before is the record as it stood before the game of the given id was played: without it, and without later games. They are told by the
// dates, and where a date is missing by their order. A game that is not on record has everything before it.
func Before(rec *games.Record, id string) *games.Record {
	at := slices.IndexFunc(rec.Games, func(g games.Game) bool { return g.ID == id })
	if at < 0 {
		return rec
	}
	dated := func(i int) bool {
		_, err := time.Parse(time.DateOnly, rec.Games[i].Date)
		return err == nil
	}
	out := *rec
	out.Games = nil
	for i, g := range rec.Games {
		later := i > at
		if dated(i) && dated(at) && g.Date != rec.Games[at].Date {
			later = g.Date > rec.Games[at].Date
		}
		if i != at && !later {
			out.Games = append(out.Games, g)
		}
	}
	return &out
}

// NewSeason sums the record up, without the game of the given id ("": all). Games of which no series is on record do not count.
func NewSeason(f *drills.Folder, rec *games.Record, without string) (*Season, error) {
	s := &Season{There: len(f.Roster), Roles: f.Team.Catalogue.RoleNames()}
	for _, k := range f.Roster {
		s.Kids = append(s.Kids, k.ID)
	}
	kids, roles := numbers(s.Kids), numbers(s.Roles)
	var played []season.Game
	for _, g := range rec.Games {
		if g.ID == without && without != "" || Recorded(&g) == 0 {
			continue
		}
		s.Games = append(s.Games, g)
		var out season.Game
		var at []int // the numbers of the series that were played
		for _, line := range g.Series {
			if len(line.Slots) == 0 {
				continue
			}
			at = append(at, line.Number)
			var cells []season.Spot
			for _, x := range line.Slots {
				cells = append(cells, season.Spot{Kid: number(kids, &s.Kids, x.Kid), Role: number(roles, &s.Roles, x.Role)})
			}
			out.Series = append(out.Series, cells)
		}
		for i, p := range g.Kids {
			if i > 0 && g.Kids[i-1].Kid == p.Kid {
				continue // its stretches stand together
			}
			there := make([]bool, len(at))
			for j, n := range at {
				there[j] = games.There(g.Kids, p.Kid, n)
			}
			when := rotation.PresenceOf(there)
			out.There = append(out.There, season.Attendance{Kid: number(kids, &s.Kids, p.Kid), First: when.First, Last: when.Last, Away: when.Away,
				Hurt: slices.Contains(g.Hurt, p.Kid)})
		}
		played = append(played, out)
	}
	var err error
	if s.Table, err = season.Summarize(len(s.Kids), len(s.Roles), played); err != nil {
		return nil, fmt.Errorf("%s: %w", games.File, err)
	}
	return s, nil
}

func numbers(words []string) map[string]int {
	out := map[string]int{}
	for i, w := range words {
		out[w] = i
	}
	return out
}

// number is the place of a word in the list, at its end if it is new.
func number(places map[string]int, list *[]string, word string) int {
	i, ok := places[word]
	if !ok {
		i = len(*list)
		places[word], *list = i, append(*list, word)
	}
	return i
}

// Owe lets the plan know what its kids are owed, and what roles they have played.
func (pl *Plan) Owe(s *Season) {
	if s == nil || len(s.Games) == 0 {
		return
	}
	pl.Season = s
	for k := range pl.IDs {
		line := s.Table.Lines[pl.rows[k]] // rows are the roster's, as the season's first kids are
		kid := &pl.Game.Kids[k]
		kid.Owed, kid.Played = line.Balance, make([]bool, len(pl.Game.Roles))
		for r := range kid.Played {
			kid.Played[r] = line.ByRole[r] > 0
		}
	}
}

// seasonLine is what the plan's object says of earlier games; nil: none count.
func (pl *Plan) seasonLine() *report.LineupSeason {
	if pl.Season == nil {
		return nil
	}
	out := &report.LineupSeason{Games: len(pl.Season.Games), Larger: []string{}, Passed: []string{}}
	if owed := pl.Outcome.Owed; owed != nil {
		for _, k := range owed.Larger {
			out.Larger = append(out.Larger, pl.IDs[k])
		}
		for _, k := range owed.Passed {
			out.Passed = append(out.Passed, pl.IDs[k])
		}
		for _, b := range owed.Back {
			out.PaidBack = append(out.PaidBack, report.PaidBack{To: pl.IDs[b.To], From: pl.IDs[b.From]})
		}
		for _, k := range owed.Unpaid {
			out.Unpaid = append(out.Unpaid, pl.IDs[k])
		}
	}
	return out
}

// paidBack are the series that a saved plan pays back, between kids who are in the game. The word of a file that was changed counts for nothing.
func (pl *Plan) paidBack(sv *Saved) []rotation.Back {
	if sv.seal != unchanged || !sv.CountsSeason() {
		return nil
	}
	var out []rotation.Back
	for _, x := range sv.said.Season.PaidBack {
		to, okTo := pl.index[x.To]
		from, okFrom := pl.index[x.From]
		if okTo && okFrom {
			out = append(out, rotation.Back{To: to, From: from})
		}
	}
	return out
}

// owed is what the game's kid k is owed; nil where no earlier games count.
func (pl *Plan) owed(k int) *float64 {
	if pl.Season == nil {
		return nil
	}
	x := pl.Game.Kids[k].Owed
	return &x
}

// newcomers are the kids who play a role that they have not yet played in the season, as the rules in force ask.
func (pl *Plan) newcomers() []int {
	var out []int
	for k, kid := range pl.Outcome.Problem.Kids {
		if kid.Different > 0 {
			out = append(out, k)
		}
	}
	return out
}

// seasonRoles is the demand for different roles over the season; 0: none, or none is left in force.
func (pl *Plan) seasonRoles() int {
	given := slices.ContainsFunc(pl.Outcome.Loosened, func(x rotation.Loosened) bool { return x.Rule.Kind == rotation.RuleSeasonRoles })
	if pl.Game.SeasonRoles <= 1 || given && len(pl.newcomers()) == 0 {
		return 0
	}
	return pl.Game.SeasonRoles
}

// Report is the season as an object: all kids and all games.
func (s *Season) Report(team string) *report.Season {
	out := &report.Season{Schema: report.SeasonSchema, Team: team, Games: []report.SeasonGame{}, Kids: []report.SeasonKid{},
		Jain: report.Number(s.Table.Jain), Gini: report.Number(s.Table.Gini), Warnings: []string{}}
	for _, g := range s.Games {
		line := report.SeasonGame{Game: g.ID, Date: g.Date, Opponent: g.Opponent, Series: []int{}}
		for _, x := range g.Series {
			if len(x.Slots) > 0 {
				line.Series = append(line.Series, x.Number)
			}
		}
		out.Games = append(out.Games, line)
	}
	for k, id := range s.Kids {
		l := &s.Table.Lines[k]
		kid := report.SeasonKid{Kid: id, Gone: k >= s.There, Attended: l.Games, There: l.There, Series: l.Series, Share: l.Share, Owed: l.Balance,
			Roles: s.byRole(l.ByRole), LongestOff: l.LongestOff, Games: []report.SeasonPart{}}
		for i, p := range l.Parts {
			part := report.SeasonPart{Game: s.Games[i].ID, Series: p.Series, Share: p.Share, Owed: p.Balance, Roles: s.byRole(p.ByRole), LongestOff: p.LongestOff, Hurt: p.Hurt}
			if p.There {
				at := out.Games[i].Series
				part.There = &[2]int{at[p.First], at[p.Last]}
				for _, w := range p.Away {
					part.Away = append(part.Away, [2]int{at[w.First], at[w.Last]})
				}
			}
			kid.Games = append(kid.Games, part)
		}
		out.Kids = append(out.Kids, kid)
	}
	return out
}

func (s *Season) byRole(n []int) map[string]int {
	out := map[string]int{}
	for r, x := range n {
		if x > 0 {
			out[s.Roles[r]] = x
		}
	}
	return out
}

// Index is the place of a kid; -1: neither the roster nor the record has it.
func (s *Season) Index(kid string) int { return slices.Index(s.Kids, kid) }
