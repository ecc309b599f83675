package season

import (
	"errors"
	"fmt"
	"math/big"

	"sevenyard/optimize/rotation"
)

// Spot is a kid in a role in one series.
type Spot struct{ Kid, Role int }

// Attendance is a kid who was there from series First to series Last of a game, inclusive, from 0, but for the stretches Away, as in
// rotation.Presence; First > Last: not at all.
type Attendance struct {
	Kid, First, Last int
	Away             []rotation.Window
	Hurt             bool // it left because it was hurt: its share is what it had played by then
}

// There tells whether the kid was there for series s.
func (a Attendance) There(s int) bool { return a.Presence().There(s) }

// Presence is which series the kid was there for.
func (a Attendance) Presence() rotation.Presence {
	return rotation.Presence{First: a.First, Last: a.Last, Away: a.Away}
}

// Game is one game as it was played: who was there, and who stood where in each series.
type Game struct {
	There  []Attendance // each kid once
	Series [][]Spot
}

// Line is one kid's season. Counts are of series.
type Line struct {
	Games      int     // in which the kid was there for at least one series
	There      int     // series the kid was there for
	Series     int     // on the field
	Share      float64 // the fair number of series on the field (Shares)
	Balance    float64 // Share - Series: positive, the kid is owed; negative, it had more than its share
	ByRole     []int   // series on the field, by role
	LongestOff int     // most series in a row on the bench while there, in one game; what comes after a stretch away is another row
	Parts      []Part  // game by game, those missed included
}

// Part is one kid's part in one game. All zero but Balance for a game that the kid missed.
type Part struct {
	There       bool
	First, Last int               // first and last series the kid was there for, from 0
	Away        []rotation.Window // stretches in between that it was not there for
	Hurt        bool              // the kid was hurt in the game
	Series      int
	Share       float64
	Balance     float64 // after the game
	ByRole      []int
	LongestOff  int
}

// Table is a season summed up. Jain and Gini are of the kids' series as parts of their shares (Evenness), NaN before anybody has a share.
type Table struct {
	Lines []Line // by kid
	Jain  float64
	Gini  float64
}

// ErrBadSeason says that the games are not well formed.
var ErrBadSeason = errors.New("season: the games are not well formed")

// Summarize sums the games up for so many kids and roles.
func Summarize(kids, roles int, games []Game) (*Table, error) {
	t := &Table{Lines: make([]Line, kids)}
	balance := make([]big.Rat, kids)
	share := make([]big.Rat, kids)
	for k := range t.Lines {
		t.Lines[k].ByRole = make([]int, roles)
	}
	for i := range games {
		g := &games[i]
		parts, shares, err := g.parts(kids, roles)
		if err != nil {
			return nil, fmt.Errorf("%w: game %d: %w", ErrBadSeason, i+1, err)
		}
		var x big.Rat
		for k := range parts {
			part, line := &parts[k], &t.Lines[k]
			if part.There {
				x.SetFrac64(shares[k].Num, shares[k].Den)
				share[k].Add(&share[k], &x)
				x.Sub(&x, new(big.Rat).SetInt64(int64(part.Series)))
				balance[k].Add(&balance[k], &x)
				line.add(part, len(g.Series))
			}
			part.Balance, _ = balance[k].Float64()
			line.Parts = append(line.Parts, *part)
		}
	}
	for k := range t.Lines {
		t.Lines[k].Share, _ = share[k].Float64()
		t.Lines[k].Balance, _ = balance[k].Float64()
	}
	even := t.Evenness()
	t.Jain, t.Gini = Jain(even), Gini(even)
	return t, nil
}

// add counts a part of the season in.
func (l *Line) add(part *Part, series int) {
	l.Games++
	l.There += rotation.Presence{First: part.First, Last: part.Last, Away: part.Away}.Count(series)
	l.Series += part.Series
	l.LongestOff = max(l.LongestOff, part.LongestOff)
	for r, n := range part.ByRole {
		l.ByRole[r] += n
	}
}

// Evenness is what each kid played as a part of its fair share, 1 being even; kids without a share are left out.
func (t *Table) Evenness() []float64 {
	var out []float64
	for _, l := range t.Lines {
		if l.Share > 0 {
			out = append(out, float64(l.Series)/l.Share)
		}
	}
	return out
}

// parts is every kid's part in the game, and the exact shares.
func (g *Game) parts(kids, roles int) ([]Part, []rotation.Share, error) {
	avail, err := g.there(kids)
	if err != nil {
		return nil, nil, err
	}
	parts := make([]Part, kids)
	for k, w := range avail {
		parts[k].ByRole = make([]int, roles)
		if p := &parts[k]; w.First <= w.Last {
			p.There, p.First, p.Last, p.Away = true, w.First, w.Last, w.Away
		}
	}
	for _, a := range g.There {
		parts[a.Kid].Hurt = a.Hurt && parts[a.Kid].There
	}
	off := make([]int, kids)
	on := make([]int, kids) // the last series on the field, from 1
	for s, cells := range g.Series {
		for _, c := range cells {
			if c.Kid < 0 || c.Kid >= kids || c.Role < 0 || c.Role >= roles || on[c.Kid] == s+1 || !avail[c.Kid].There(s) {
				return nil, nil, fmt.Errorf("series %d: kid %d in role %d is unknown, twice on the field, or not there", s+1, c.Kid, c.Role)
			}
			on[c.Kid] = s + 1
			parts[c.Kid].Series++
			parts[c.Kid].ByRole[c.Role]++
		}
		for k, there := range avail {
			switch {
			case on[k] == s+1 || !there.There(s):
				off[k] = 0
			default:
				off[k]++
				parts[k].LongestOff = max(parts[k].LongestOff, off[k])
			}
		}
	}
	shares := g.shares(avail)
	for k := range parts {
		if parts[k].There {
			parts[k].Share = float64(shares[k].Num) / float64(shares[k].Den)
		}
	}
	return parts, shares, nil
}
