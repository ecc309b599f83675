package rotation

import (
	"fmt"
	"math"
)

// validate tells whether a game can be made into a problem at all.
func (g *Game) validate() error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%w: %s", ErrBadGame, fmt.Sprintf(format, args...))
	}
	if len(g.Series) == 0 {
		return ErrNoSeries
	}
	if n, s, r := len(g.Kids), len(g.Series), len(g.Roles); n > MaxKids || s > MaxSeries || r > MaxRoles {
		return bad("%d kids, %d series, %d roles; at most %d, %d, %d", n, s, r, MaxKids, MaxSeries, MaxRoles)
	}
	if len(g.Played) > len(g.Series) {
		return bad("%d series played of %d", len(g.Played), len(g.Series))
	}
	if len(g.Importance) != len(g.Roles) {
		return bad("%d importances for %d roles", len(g.Importance), len(g.Roles))
	}
	for r, x := range g.Importance {
		if !(x >= 0 && x <= maxFit) {
			return bad("importance %v of role %s", x, g.Roles[r])
		}
	}
	for _, f := range g.Forms {
		for _, r := range f.Spots {
			if r < 0 || r >= len(g.Roles) {
				return bad("form %s has an unknown role", f.Label)
			}
		}
		if n := len(f.Spots); n == 0 || n > MaxKids {
			return bad("form %s has %d spots, not 1 to %d", f.Label, n, MaxKids)
		}
	}
	for s, f := range g.Series {
		if f < 0 || f >= len(g.Forms) {
			return bad("series %d has an unknown form", s+1)
		}
	}
	for _, k := range g.Kids {
		if k.Played != nil && len(k.Played) != len(g.Roles) {
			return bad("kid %s has the wrong number of roles played", k.Label)
		}
		if len(k.Fit) != len(g.Roles) || (k.Never != nil && len(k.Never) != len(g.Roles)) {
			return bad("kid %s has the wrong number of fits", k.Label)
		}
		if err := k.Presence().Validate(); err != nil {
			return bad("kid %s is %v", k.Label, err)
		}
		for _, f := range k.Fit {
			if !(math.Abs(f) <= maxFit) {
				return bad("kid %s has fit %v", k.Label, f)
			}
		}
	}
	for k, there := range g.KeptThere {
		if err := there.Validate(); err != nil {
			return bad("in the plan to be changed kid %d is %v", k, err)
		}
	}
	if g.MaxOn < 0 || g.MaxOff < 0 || g.SafeOn < 0 || g.MinRoles < 0 || g.MaxSameRole < 0 || g.SeasonRoles < 0 || g.PayBack < 0 || !(g.MinShare >= 0 && g.MinShare <= 1) {
		return bad("a negative rule")
	}
	if g.MinRoles > MaxRoles || g.SeasonRoles > MaxRoles {
		return bad("more different roles asked of a kid than there can be")
	}
	for i, c := range g.Covers {
		if c.AtLeast > MaxKids {
			return bad("cover %d asks for %d kids", i+1, c.AtLeast)
		}
	}
	return g.validateOwed()
}
