package rotation

import (
	"errors"
	"fmt"
	"math"
)

// Game is what a coach wants for one game, in labels, T points and counts. Problem turns it
// into whole numbers; Arrange solves it and, where the rules cannot all hold, loosens them.
// Kids, roles, forms and series are indices from 0.
type Game struct {
	Kids       []Player
	Roles      []string  // labels
	Importance []float64 // by role, at least 0, not all 0 in any form
	Forms      []Form
	Series     []int // the form of each series

	// MaxOn and MaxOff are the most series in a row on the field and on the bench while
	// present; 0 asks for the default: the larger of 3 and what the head count forces, and
	// the least that the head count allows; more on the field for a kid whose equal share forces it, and as much as in Kept.
	MaxOn, MaxOff int
	Kept          Plan       // the plan that is to be changed, kids that are not in the game as -1; nil: there is none
	KeptThere     []Presence // by kid, the series that it was there for in that plan; nil: as in this game
	// Loose is what the plan that is to be changed had loosened; it is taken over, except where nothing may be loosened at all, and what the
	// new plan has no need of is tightened again. Rule.Value is what was asked for then: where that is another number by now, it does not count.
	Loose []Loosened
	// SafeOn is the most series in a row on the field that the kids' health allows, where MaxOn is there for its sake; 0: MaxOn is not.
	// Beyond it MaxOn is widened only where nothing else that may give way is left in the conflict, equal series not either.
	SafeOn      int
	MinRoles    int // different roles for every kid who plays; 0 or 1: no demand
	MaxSameRole int // most series in one role; 0: no limit
	// SeasonRoles asks that every kid who plays brings, until it has played so many different roles in the season, at least one
	// role that it has not played yet; 0 or 1: no demand. What it has played is in Player.Played.
	SeasonRoles int
	MinShare    float64 // least share of the series a kid is present for, 0 to 1
	// PayBack is the most whole series that the game pays back to one kid who is owed more than one (see the function of that name); 0: nothing is.
	PayBack int
	// Paid are series that the plan to be shown pays back by its own word: Inspect and Appraise hold its kids to the shares that this makes,
	// where the plan does not keep the others. Nothing else heeds it.
	Paid []Back

	Together, Apart [][2]int
	Covers          []Cover
	Pins            []Pin
	Played          [][]Cell // Played[s] nil or missing: still to plan
}

// Player is a kid who may play. A kid on hold or absent is left out of the game altogether.
type Player struct {
	Label       string
	First, Last int       // first and last series present, inclusive
	Away        []Window  // stretches in between that it is not there for, as in Presence; nil: there throughout
	Never       []bool    // by role; nil: plays everything
	Fit         []float64 // by role, T points
	// Owed is what the kid is owed from earlier games, in series; negative: it had more than its share. Where shares are
	// fractions, the kids owed most get the larger ones, and among plans of the same values the roles they fit best.
	Owed float64
	// Hurt: the kid was hurt in this game, and its share is what it has played.
	Hurt bool
	// Played are the roles played in earlier games of the season, by role; nil: none.
	Played []bool
}

// Form is a formation: the role of every spot, in the order in which spots are kept when the
// team is short-handed (the last one is dropped first).
type Form struct {
	Label string
	Spots []int
}

// Short says that a series is played with fewer spots than its form has.
type Short struct {
	Series  int
	Dropped []int // roles of the dropped spots, the first dropped first
}

// Errors of Game.Problem that no loosening can mend.
var (
	ErrNoSeries = errors.New("rotation: no series to plan")
	ErrNobody   = errors.New("rotation: a series has no kid present")
	ErrBadGame  = errors.New("rotation: the game is not well formed")
)

// maxFit bounds fits and importances, so that no sum leaves int32.
const maxFit = 10_000

// present lists the kids who are there in series s.
func (g *Game) present(s int) []int {
	var ks []int
	for k := range g.Kids {
		if g.Kids[k].There(s) {
			ks = append(ks, k)
		}
	}
	return ks
}

// over tells whether series s has been played.
func (g *Game) over(s int) bool { return s < len(g.Played) && g.Played[s] != nil }

// SlotValue is what a kid is worth at a spot: round(10 * importance * fit), half away from zero, in tenths of a T point.
func SlotValue(importance, fit float64) int32 {
	return int32(math.Round(10 * importance * fit)) // math.Round rounds half away from zero
}

// scaled gives the importances of the spots of one form so that they sum to the number of spots.
func (g *Game) scaled(spots []int) []float64 {
	sum := 0.0
	for _, r := range spots {
		sum += g.Importance[r]
	}
	out := make([]float64, len(g.Roles))
	for r, x := range g.Importance {
		if sum > 0 {
			out[r] = x * float64(len(spots)) / sum
		} else {
			out[r] = 1
		}
	}
	return out
}

// Problem turns the game into whole numbers with the game's own rules, and with the default
// ones by head count and equal shares where a rule is not given. Series with fewer kids than spots are played
// short; they are listed in order.
func (g *Game) Problem() (*Problem, []Short, error) {
	if err := g.validate(); err != nil {
		return nil, nil, err
	}
	p := &Problem{Roles: g.Roles, MinRoles: g.MinRoles, Together: g.Together, Apart: g.Apart, Covers: g.Covers, Pins: g.Pins}
	type key struct{ form, keep int }
	seen := map[key]int{}
	var shorts []Short
	var keeps []int
	for s, f := range g.Series {
		spots := g.Forms[f].Spots
		keep := g.kept(s)
		if keep == 0 {
			return nil, nil, fmt.Errorf("%w: series %d", ErrNobody, s+1)
		}
		if keep < len(spots) && !g.over(s) {
			sh := Short{Series: s}
			for i := len(spots) - 1; i >= keep; i-- {
				sh.Dropped = append(sh.Dropped, spots[i])
			}
			shorts = append(shorts, sh)
		}
		id, ok := seen[key{f, keep}]
		if !ok {
			id = len(p.Shapes)
			seen[key{f, keep}] = id
			p.Shapes = append(p.Shapes, g.shape(f, keep))
			keeps = append(keeps, keep)
		}
		p.Series = append(p.Series, id)
	}
	if err := g.unify(p, keeps); err != nil {
		return nil, nil, err
	}
	spots := make([]int, len(p.Series))
	for s, id := range p.Series {
		spots[s] = keeps[id]
	}
	g.fillKids(p, spots)
	g.fillRest(p, spots)
	if len(g.Played) > 0 {
		p.Played = make([][]Cell, len(p.Series))
		copy(p.Played, g.Played)
	}
	if err := p.Validate(); err != nil {
		return nil, nil, err
	}
	g.fillSeasonRoles(p)
	return p, shorts, p.Validate()
}

// kept is how many spots of its form series s is played with: as many as there are kids, or were on if it is over.
func (g *Game) kept(s int) int {
	n := len(g.Forms[g.Series[s]].Spots)
	if g.over(s) {
		return min(n, max(1, len(g.Played[s])))
	}
	return min(n, len(g.present(s)))
}

// unify brings all shapes, of so many spots each, to one unit: a shape with n spots has its values multiplied by scale/n, so that
// the sum over a series is its strength times 10*scale, comparable between shapes.
func (g *Game) unify(p *Problem, keeps []int) error {
	scale := int64(1)
	for _, n := range keeps {
		if scale = lcm(scale, int64(n)); 10*scale > maxScale {
			return fmt.Errorf("%w: series with too many different numbers of spots to compare their strengths", ErrBadGame)
		}
	}
	p.Scale = 10 * scale
	for i, sh := range p.Shapes {
		m := scale / int64(keeps[i])
		for k, row := range sh.Value {
			for r, x := range row {
				v := int64(x) * m
				if v > maxValue || v < -maxValue {
					return fmt.Errorf("%w: kid %s is worth %d at %s, too much to reckon with beside the other formations", ErrBadGame, g.Kids[k].Label, v, g.Roles[r])
				}
				row[r] = int32(v)
			}
		}
	}
	return nil
}

// shape builds form f with its first keep spots; values are in tenths of a T point.
func (g *Game) shape(f, keep int) Shape {
	spots := g.Forms[f].Spots[:keep]
	sh := Shape{Label: g.Forms[f].Label, Count: make([]int, len(g.Roles)), Value: make([][]int32, len(g.Kids))}
	for _, r := range spots {
		sh.Count[r]++
	}
	imp := g.scaled(spots)
	for k, kid := range g.Kids {
		sh.Value[k] = make([]int32, len(g.Roles))
		for r := range g.Roles {
			if sh.Count[r] > 0 {
				sh.Value[k][r] = SlotValue(imp[r], kid.Fit[r])
			}
		}
	}
	return sh
}

func (g *Game) fillKids(p *Problem, spots []int) {
	avail := make([]Presence, len(g.Kids))
	for k := range g.Kids {
		avail[k] = g.Kids[k].Presence().Within(len(spots))
	}
	played, ahead := make([]int, len(g.Kids)), append([]int(nil), spots...)
	for s, cells := range g.Played {
		if cells != nil && s < len(ahead) {
			ahead[s] = 0
			for _, c := range cells {
				if c.Kid >= 0 && c.Kid < len(played) {
					played[c.Kid]++
				}
			}
		}
	}
	shares := FairSharesAfter(avail, ahead, played)
	for k, kid := range g.Kids {
		present := avail[k].Count(len(spots))
		// The tolerance keeps 0.1*10 from asking for a second series.
		least := int(math.Ceil(g.MinShare*float64(present) - 1e-9))
		p.Kids = append(p.Kids, Kid{
			Label: kid.Label, First: avail[k].First, Last: avail[k].Last, Away: avail[k].Away,
			Lo: shares[k].Floor(), Hi: shares[k].Ceil(), Least: least, Never: kid.Never, Cap: g.MaxSameRole,
		})
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func lcm(a, b int64) int64 { return a / gcd(a, b) * b }
