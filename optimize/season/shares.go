package season

import (
	"fmt"

	"sevenyard/optimize/rotation"
)

// Shares are the fair numbers of series of a game, by kid and exact, as the package's comment defines them: of a game that is over, of one
// as it is planned, and of one that is on, its series so far as played and the others as planned. For so many kids; one who was not there has 0.
func Shares(kids int, g *Game) ([]rotation.Share, error) {
	roles := 0
	for _, cells := range g.Series {
		for _, c := range cells {
			roles = max(roles, c.Role+1)
		}
	}
	_, shares, err := g.parts(kids, roles)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrBadSeason, err)
	}
	return shares, nil
}

// shares are those of a game that is well formed.
func (g *Game) shares(avail []rotation.Presence) []rotation.Share {
	had := map[int][]int{}
	for _, a := range g.There {
		if a.Hurt {
			had[a.Kid] = nil
		}
	}
	spots := make([]int, len(g.Series))
	for s, cells := range g.Series {
		spots[s] = len(cells)
		for _, c := range cells {
			if on, hurt := had[c.Kid]; hurt {
				had[c.Kid] = append(on, s)
			}
		}
	}
	return rotation.FairSharesHurt(avail, spots, had)
}

// there are the series that each kid was there for.
func (g *Game) there(kids int) ([]rotation.Presence, error) {
	avail := make([]rotation.Presence, kids)
	for k := range avail {
		avail[k] = rotation.Presence{First: 0, Last: -1}
	}
	seen := make([]bool, kids)
	for _, a := range g.There {
		if a.Kid < 0 || a.Kid >= kids || seen[a.Kid] {
			return nil, fmt.Errorf("kid %d stands twice or is unknown", a.Kid)
		}
		seen[a.Kid] = true
		if err := a.Presence().Validate(); err != nil {
			return nil, fmt.Errorf("kid %d is %w", a.Kid, err)
		}
		if there := a.Presence().Within(len(g.Series)); there.First <= there.Last {
			avail[a.Kid] = there
		}
	}
	return avail, nil
}
