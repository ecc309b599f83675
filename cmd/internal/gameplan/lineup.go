package gameplan

import (
	"math"
	"slices"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
	"sevenyard/optimize/season"
)

// Lineup writes the solved game down. There must be a result. Kids go by their ids.
func (pl *Plan) Lineup(set rotation.Settings) *report.Lineup {
	p, res := pl.Outcome.Problem, pl.Outcome.Result
	l := &report.Lineup{
		Schema: report.LineupSchema, Team: pl.Team.Name, Seed: set.Seed, Favor: favors[set.Favor], Played: pl.Over, Limited: pl.Outcome.Result.Status == rotation.Limited,
		Loosened: []string{}, Warnings: []string{}, Cautions: []string{},
		Weakest: report.Weakest{Bounded: pl.points(res.Weakest), Series: res.WeakestSeries + 1},
		Total:   pl.points(res.Total),
		Levels:  res.Levels,
		Rules:   report.Rules{MaxOn: p.MaxOn, MaxOff: p.MaxOff, MinRoles: p.MinRoles, SeasonRoles: pl.seasonRoles(), MaxSameRole: pl.cap(), MinShare: pl.minShare()},
	}
	if l.Rules.MinRoles == 1 {
		l.Rules.MinRoles = 0 // no demand
	}
	l.Season, l.Broken = pl.seasonLine(), pl.Broken
	shares := pl.shares()
	for k, id := range pl.IDs {
		l.Kids = append(l.Kids, pl.kidLine(k, id, shares[k]))
	}
	for _, away := range slices.Concat(pl.Away, pl.Gone) {
		if away.Why == Hurt {
			l.Hurt = append(l.Hurt, away.ID)
		}
	}
	for _, kid := range pl.marked { // a hold comes and goes, and the mark stays
		if !slices.Contains(l.Hurt, kid) {
			l.Hurt = append(l.Hurt, kid)
		}
	}
	l.Cleared = pl.cleared
	for s := range res.Plan {
		l.Series = append(l.Series, pl.seriesLine(s))
	}
	for _, x := range pl.Outcome.Loosened {
		l.Loosened = append(l.Loosened, pl.LoosenedWords(x))
		l.Loosening = append(l.Loosening, pl.loosening(x))
	}
	return l
}

func (pl *Plan) points(b rotation.Bounded) report.Bounded {
	scale := float64(pl.Outcome.Problem.Scale)
	return report.Bounded{Value: float64(b.Value) / scale, Bound: float64(b.Bound) / scale, Proven: b.Proven}
}

// cap is the limit of series in one role in force: the least of the kids'.
func (pl *Plan) cap() int {
	least := 0
	for _, k := range pl.Outcome.Problem.Kids {
		if k.Cap > 0 && (least == 0 || k.Cap < least) {
			least = k.Cap
		}
	}
	return least
}

func (pl *Plan) minShare() float64 {
	for _, x := range pl.Outcome.Loosened {
		if x.Rule.Kind == rotation.RuleMinShare && x.To < 0 {
			return 0
		}
	}
	return pl.Game.MinShare
}

// shares are the fair numbers of series of the whole game, unrounded: what is over as it was played, the rest as planned.
func (pl *Plan) shares() []float64 {
	p := pl.Outcome.Problem
	var g season.Game
	for k, kid := range p.Kids {
		g.There = append(g.There, season.Attendance{Kid: k, First: kid.First, Last: kid.Last, Away: kid.Away, Hurt: pl.Game.Kids[k].Hurt})
	}
	for _, cells := range pl.Outcome.Result.Plan {
		var line []season.Spot
		for _, c := range cells {
			line = append(line, season.Spot(c))
		}
		g.Series = append(g.Series, line)
	}
	out := make([]float64, len(p.Kids))
	shares, err := season.Shares(len(p.Kids), &g)
	if err != nil { // cannot be: the plan was checked
		return out
	}
	for k, sh := range shares {
		out[k] = float64(sh.Num) / float64(sh.Den)
	}
	return out
}

// hurtNow tells whether the game's kid k was hurt in the game, and is out.
func (pl *Plan) hurtNow(k int) bool { return slices.Contains(pl.Gone, Away{pl.IDs[k], Hurt}) }

func (pl *Plan) kidLine(k int, id string, share float64) report.LineupKid {
	kid := pl.Outcome.Problem.Kids[k]
	line := report.LineupKid{Kid: id, Available: [2]int{kid.First + 1, kid.Last + 1}, Back: pl.back[id], Share: share, Owed: pl.owed(k), Roles: map[string]int{}}
	on, off := 0, 0
	for _, w := range kid.Away {
		line.Away = append(line.Away, [2]int{w.First + 1, w.Last + 1})
	}
	for s := kid.First; s <= kid.Last; s++ {
		if !kid.There(s) {
			on, off = 0, 0 // turns are counted anew when a kid comes back
		} else if r := pl.roleIn(k, s); r >= 0 {
			line.Series++
			line.Roles[pl.Game.Roles[r]]++
			on, off = on+1, 0
		} else {
			on, off = 0, off+1
		}
		line.LongestOn, line.LongestOff = max(line.LongestOn, on), max(line.LongestOff, off)
	}
	return line
}

// roleIn is the role of the game's kid k in series s; -1: not on the field.
func (pl *Plan) roleIn(k, s int) int {
	for _, c := range pl.Outcome.Result.Plan[s] {
		if c.Kid == k {
			return c.Role
		}
	}
	return -1
}

func (pl *Plan) seriesLine(s int) report.LineupSeries {
	p, res := pl.Outcome.Problem, pl.Outcome.Result
	form := pl.Game.Forms[pl.Game.Series[s]]
	cells := res.Plan[s]
	line := report.LineupSeries{
		Number: s + 1, Formation: form.Label, Strength: float64(res.Strength[s]) / float64(p.Scale),
		Slots: []report.Placed{}, Bench: []string{},
	}
	imp := pl.importance(form.Spots[:len(cells)])
	for i, c := range pl.spotted(s, cells) {
		fit := pl.fit(c.Kid, c.Role)
		line.Slots = append(line.Slots, report.Placed{
			Slot: games.Slot{Role: pl.Game.Roles[c.Role], Kid: pl.IDs[c.Kid]}, Fit: fit.T, SE: fit.SE, Own: fit.Own, Tested: fit.Tested,
			Importance: imp[i], Value: int(rotation.SlotValue(imp[i], fit.T)),
		})
	}
	for k, kid := range p.Kids {
		if kid.There(s) && pl.roleIn(k, s) < 0 {
			line.Bench = append(line.Bench, pl.IDs[k])
		}
	}
	return line
}

// spotted puts the cells of a series into the order of its formation's spots. A short-handed series keeps the first ones.
func (pl *Plan) spotted(s int, cells []rotation.Cell) []rotation.Cell {
	used := make([]bool, len(cells))
	var out []rotation.Cell
	for _, role := range pl.Game.Forms[pl.Game.Series[s]].Spots[:len(cells)] {
		for j, c := range cells {
			if !used[j] && c.Role == role {
				used[j] = true
				out = append(out, c)
				break
			}
		}
	}
	return out
}

func (pl *Plan) fit(k, role int) assess.Score { return pl.Profile.Kids[pl.rows[k]].Fits[role] }

// importance scales the importances of the spots so that they sum to their number, as the
// solver does; a test holds the two together.
func (pl *Plan) importance(spots []int) []float64 {
	sum := 0.0
	for _, r := range spots {
		sum += pl.Game.Importance[r]
	}
	out := make([]float64, len(spots))
	for i, r := range spots {
		out[i] = 1
		if sum > 0 {
			out[i] = pl.Game.Importance[r] * float64(len(spots)) / sum
		}
	}
	return out
}

// percent is a share as a whole number of per cent.
func percent(x float64) int { return int(math.Round(100 * x)) }
