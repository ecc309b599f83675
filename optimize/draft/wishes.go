package draft

import (
	"context"
	"slices"
)

// wishKicks is how many kicks the search for the price of a wish makes.
const wishKicks = 60

// Prices tells what each carpool costs or would cost. From the split given, the search goes on with the wish granted for sure or, if it is granted, with the
// wish not asked for; the price is how much better the objective is without the wish than with it, the wish's own cost not counted.
func Prices(ctx context.Context, p *Pool, now Split, s Settings) ([]WishPrice, error) {
	if err := p.validateNow(now); err != nil {
		return nil, err
	}
	if slices.Contains(now, Unplaced) || len(Check(p, now)) > 0 {
		return nil, errNotWhole
	}
	broken := p.Measure(now).BrokenWishes
	prices := make([]WishPrice, len(p.Carpools))
	s.share(len(prices), func(i int) {
		prices[i] = p.price(ctx, i, !slices.Contains(broken, i), now, s)
	})
	return prices, nil
}

// price prices one wish, granted or not.
func (p *Pool) price(ctx context.Context, wish int, granted bool, now Split, s Settings) WishPrice {
	w := WishPrice{Wish: wish, Granted: granted, Possible: true}
	q := *p
	q.Carpools = slices.Delete(slices.Clone(p.Carpools), wish, wish+1)
	if granted {
		q.without(ctx, now, s, &w)
	} else {
		q.with(ctx, p.Carpools[wish], now, s, &w)
	}
	return w
}

// without prices a granted wish: what the pool without it can reach.
func (p *Pool) without(ctx context.Context, now Split, s Settings, w *WishPrice) {
	m := p.newModel(Squares)
	w.Split = m.split(m.search(ctx, m.assign(now), s.Seed))
	w.Price = max(0, p.Measure(now).Objective-p.Measure(w.Split).Objective)
}

// with prices a wish that is not granted: what it takes to make it a rule.
func (p *Pool) with(ctx context.Context, wish []int, now Split, s Settings, w *WishPrice) {
	q := *p
	q.Siblings = append(slices.Clone(p.Siblings), wish)
	m := q.newModel(Squares)
	none := slices.Repeat([]int32{Unplaced}, len(m.units))
	start, a := m.fill(ctx, none, m.assign(now))
	if a != yes {
		w.Possible = a != no
		return
	}
	w.Split = m.split(m.search(ctx, start, s.Seed))
	w.Price = max(0, p.Measure(w.Split).Objective-p.Measure(now).Objective)
}

// search improves a split without ever going back.
func (m *model) search(ctx context.Context, start []int32, seed uint64) []int32 {
	stop := func() bool { return ctx.Err() != nil }
	s := m.newState(start)
	if len(s.movable) < 2 {
		return start
	}
	s.descend(false, stop)
	r := s.newResplitter(seed)
	r.settle(r.some(r.teams), stop)
	for range wishKicks {
		if stop() {
			break
		}
		r.kick(stop)
	}
	return s.team
}
