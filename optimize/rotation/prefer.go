package rotation

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
)

// OwedShares tells what became of the larger shares, and of what is paid back, where kids are owed from earlier games.
type OwedShares struct {
	// Larger are the kids who get the larger share because they are owed more than others who would take it, the most owed first.
	Larger []int
	// Passed are kids who were to get it and do not, because no plan with that was found that keeps the other rules; a
	// search that ran out of time or nodes counts as such, so it is no proof that there is none.
	Passed []int
	// Back are the series that the game pays back, beside the larger shares.
	Back []Back
	// Unpaid are kids who are owed more than a whole series and get nothing back, although there are kids who have had more, because no
	// plan with that was found that keeps the rules; it is no proof either.
	Unpaid []int
	// Ranked tells whether larger shares went by what kids are owed: there were more kids for them than could have one.
	Ranked bool
}

// maxOwed bounds what a kid may be owed, in series.
const maxOwed = 1e6

func (g *Game) validateOwed() error {
	for _, k := range g.Kids {
		if !(math.Abs(k.Owed) <= maxOwed) {
			return fmt.Errorf("%w: kid %s is owed %v", ErrBadGame, k.Label, k.Owed)
		}
	}
	return nil
}

// split is what the preference works on: who is there, what is over, and the fair shares.
type split struct {
	avail         []Presence
	spots, played []int
	shares        []Share
	owed          []float64
}

func (g *Game) split(p *Problem) *split {
	x := &split{avail: p.presences(), spots: p.spots(), played: make([]int, len(p.Kids))}
	for k := range p.Kids {
		x.owed = append(x.owed, g.Kids[k].Owed)
	}
	for s, cells := range p.Played {
		if cells != nil {
			x.spots[s] = 0
			for _, c := range cells {
				x.played[c.Kid]++
			}
		}
	}
	x.shares = FairSharesAfter(x.avail, x.spots, x.played)
	return x
}

// prefer gives the larger shares to the kids owed most, once the rules are settled, and then pays back. It is the first thing to give way: where
// no plan has all of these shares it tries rank by rank, and no rule is ever loosened for it.
func (g *Game) prefer(ctx context.Context, out *Outcome) {
	g.larger(ctx, out)
	g.payBack(ctx, out)
}

func (g *Game) larger(ctx context.Context, out *Outcome) {
	if !slices.ContainsFunc(g.Kids, func(k Player) bool { return k.Owed != g.Kids[0].Owed }) {
		return
	}
	p := out.Problem
	x := g.split(p)
	lo, hi := LargerShares(x.avail, x.spots, x.played, x.shares, x.owed)
	if !x.narrows(lo, hi) {
		return
	}
	out.fair, out.split = p, x
	for k, sh := range x.shares {
		if lo[k] > sh.Floor() {
			out.first = append(out.first, k)
		}
	}
	slices.SortStableFunc(out.first, x.mostOwed)
	q := *p
	q.Kids = slices.Clone(p.Kids)
	for k := range q.Kids {
		q.Kids[k].Lo, q.Kids[k].Hi = max(p.Kids[k].Lo, lo[k]), min(p.Kids[k].Hi, hi[k])
	}
	if Feasible(ctx, &q) != No {
		out.Problem = &q
		return
	}
	x.oneByOne(ctx, out)
}

// oneByOne goes through the ranks of what kids are owed, the most owed first: all of a rank have the larger share; or as many as can be, nobody owed less
// having it; or, where the rules allow neither, one kid after another.
func (x *split) oneByOne(ctx context.Context, out *Outcome) {
	var order []int
	for k, sh := range x.shares {
		if sh.Floor() < sh.Ceil() {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, x.mostOwed)
	for i, j := 0, 0; i < len(order) && ctx.Err() == nil; i = j {
		for j = i; j < len(order) && x.mostOwed(order[i], order[j]) == 0; {
			j++
		}
		if out.adopt(ctx, x, order[i:j], nil) {
			continue
		}
		if out.adopt(ctx, x, nil, order[j:]) {
			return
		}
		for _, k := range order[i:j] {
			out.adopt(ctx, x, []int{k}, nil)
		}
	}
}

// adopt gives kids the larger share and others the smaller one, if there is a plan with that.
func (out *Outcome) adopt(ctx context.Context, x *split, larger, smaller []int) bool {
	q := *out.Problem
	q.Kids = slices.Clone(q.Kids)
	for _, k := range larger {
		q.Kids[k].Lo = max(q.Kids[k].Lo, x.shares[k].Ceil())
	}
	for _, k := range smaller {
		q.Kids[k].Hi = min(q.Kids[k].Hi, x.shares[k].Floor())
	}
	if Feasible(ctx, &q) != Yes {
		return false
	}
	out.Problem = &q
	return true
}

// mostOwed orders kids, the most owed first.
func (x *split) mostOwed(a, b int) int { return cmp.Compare(x.owed[b], x.owed[a]) }

// narrows tells whether lo and hi leave less open than the shares do.
func (x *split) narrows(lo, hi []int) bool {
	for k, sh := range x.shares {
		if lo[k] != sh.Floor() || hi[k] != sh.Ceil() {
			return true
		}
	}
	return false
}

// preferring solves the outcome's problem; should the preference for kids owed most have left no plan after all, it solves
// again without. It then says what became of the larger shares.
func (out *Outcome) preferring(solve func(*Problem) (*Result, error)) error {
	r, err := solve(out.Problem)
	if err == nil && r.Plan == nil && out.fair != nil {
		for _, b := range out.back {
			out.unpaid = append(out.unpaid, b.To)
		}
		slices.Sort(out.unpaid)
		out.Problem, out.back, out.unpaid = out.fair, nil, slices.Compact(out.unpaid)
		r, err = solve(out.Problem)
	}
	if err != nil || r.Plan == nil || out.fair == nil && len(out.unpaid) == 0 {
		return err
	}
	out.Owed = &OwedShares{Back: out.back, Unpaid: out.unpaid, Ranked: out.split != nil}
	count := make([]int, len(out.Problem.Kids))
	for _, cells := range r.Plan {
		for _, c := range cells {
			count[c.Kid]++
		}
	}
	for _, k := range out.first {
		if count[k] >= out.split.shares[k].Ceil() {
			out.Owed.Larger = append(out.Owed.Larger, k)
		} else {
			out.Owed.Passed = append(out.Owed.Passed, k)
		}
	}
	return nil
}

// rebuilding fills the outcome with a rebuilt plan.
func (g *Game) rebuilding(out *Outcome, old Plan, set Settings, rebuild func(*Problem) (*Rebuilt, error)) error {
	err := out.preferring(func(p *Problem) (*Result, error) {
		var err error
		if out.Rebuilt, err = rebuild(p); err != nil {
			return nil, err
		}
		return &out.Rebuilt.Result, nil
	})
	if err != nil {
		return err
	}
	out.Result = &out.Rebuilt.Result
	g.pick(out.Problem, out.Result, set.Favor, old)
	return nil
}
