package draft

import (
	"context"
	"slices"
)

// Grant goes on from a split that Draft made, wish by wish: it grants a carpool that costs less than it counts, and gives one up that
// costs more, as far as a search from there finds. What comes out is never worse than what went in.
func Grant(ctx context.Context, p *Pool, now Split, s Settings) (Split, error) {
	if err := p.validateNow(now); err != nil {
		return nil, err
	}
	if slices.Contains(now, Unplaced) || len(Check(p, now)) > 0 {
		return nil, errNotWhole
	}
	best := p.Measure(now)
	for i := range p.Carpools {
		if ctx.Err() != nil {
			break
		}
		w := p.price(ctx, i, !slices.Contains(best.BrokenWishes, i), now, s)
		if w.Split == nil || len(Check(p, w.Split)) > 0 {
			continue
		}
		b := p.Measure(w.Split)
		if b.Shortage < best.Shortage || b.Shortage == best.Shortage && b.Objective < best.Objective {
			now, best = w.Split, b
		}
	}
	return now, nil
}
