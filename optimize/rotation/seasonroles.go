package rotation

import "slices"

// fillSeasonRoles asks each kid who has not yet played so many different roles in the season for one more in this game, where there is one that
// the kid can play in a series still to come. A role played earlier in this very game counts too.
func (g *Game) fillSeasonRoles(p *Problem) {
	if g.SeasonRoles <= 1 {
		return
	}
	for k := range p.Kids {
		kid := &p.Kids[k]
		kid.Before = make([]bool, len(p.Roles))
		copy(kid.Before, g.Kids[k].Played)
		before := kid.known()
		within := slices.Clone(kid.Before) // what the season can have seen by the end of this game
		for s := range p.Series {
			if p.over(s) {
				if r, on := p.playedRole(k, s); on {
					within[r] = true
				}
				continue
			}
			for r, n := range p.count(s) {
				if n > 0 && kid.There(s) && !p.never(k, r) {
					within[r] = true
				}
			}
		}
		reach := (&Kid{Before: within}).known()
		if kid.Different = min(g.SeasonRoles, before+1, reach); !kid.asksRoles() {
			kid.Different, kid.Before = 0, nil
		}
	}
}
