package rotation

import (
	"context"
	"math"
	"slices"
)

// Back is one series paid back in a game: To plays one more than its share gives it, From one less.
type Back struct{ To, From int }

// Turns are the least and the most series of a game that each kid plays.
type Turns struct{ Lo, Hi []int }

// PayBack says which series a game pays back. A kid who is owed more than one whole series, and would be so after the game too, plays one more,
// at the expense of a kid who would have had more than its share after the game too: of those who would be owed most, the first, from those
// who would have had most. A kid gets at most so many, and gives one at most. Nothing is paid back where nobody has had more, and
// nobody is owed more than before for it by whom it was not had: balances move towards each other with every series paid back.
//
// owed is what kids are owed from earlier games, fair their shares of the whole game, and whole what those give, the larger ones included. now is
// the same as whole, or what it has come to by what was played so far; ok tells whether a game of such turns can be planned.
func PayBack(owed []float64, fair []Share, whole, now Turns, most int, ok func(Turns) bool) []Back {
	var out []Back
	after := func(k, turns int) float64 {
		return owed[k] + float64(fair[k].Num)/float64(fair[k].Den) - float64(turns)
	}
	want := slices.Clone(whole.Hi) // with what is paid back
	var to, from []int
	for k := range owed {
		due := after(k, whole.Hi[k])
		switch {
		case owed[k] > 1+near && due > 1+near:
			want[k] += min(most, int(math.Ceil(due-1-near)))
			to = append(to, k)
		case owed[k] < -near && after(k, whole.Lo[k]) < -near && now.Lo[k] >= whole.Lo[k] && now.Lo[k] > 0:
			from = append(from, k)
		}
	}
	slices.SortStableFunc(from, func(a, b int) int { return compareNear(after(a, whole.Lo[a]), after(b, whole.Lo[b])) })
	got := make([]int, len(owed))
	for len(to) > 0 && len(from) > 0 {
		slices.SortStableFunc(to, func(a, b int) int { return compareNear(after(b, whole.Hi[b]+got[b]), after(a, whole.Hi[a]+got[a])) })
		k := to[0]
		at := -1
		if now.Hi[k] < want[k] {
			at = slices.IndexFunc(from, func(j int) bool { return ok(now.paid(Back{k, j})) })
		}
		if at < 0 {
			to = to[1:]
			continue
		}
		out = append(out, Back{k, from[at]})
		now = now.paid(out[len(out)-1])
		from = slices.Delete(from, at, at+1)
		got[k]++
	}
	return out
}

// near is how far two balances may differ by rounding alone, in series.
const near = 1e-9

func compareNear(a, b float64) int {
	switch {
	case a < b-near:
		return -1
	case a > b+near:
		return 1
	}
	return 0
}

// paid are the turns with one more series paid back.
func (t Turns) paid(b Back) Turns {
	t.Lo, t.Hi = slices.Clone(t.Lo), slices.Clone(t.Hi)
	t.Lo[b.To]++
	t.Hi[b.To]++
	t.Lo[b.From]--
	t.Hi[b.From]--
	return t
}

// Fits tells whether kids can have such turns, as far as who is there when allows: each at least Lo and at most Hi, all spots filled. spots
// are those still to fill, played the series that each kid has been on for; both count in Lo and Hi.
func (t Turns) Fits(avail []Presence, spots, played []int) bool {
	lo, hi := make([]int64, len(avail)), make([]int64, len(avail))
	sum, all := int64(0), int64(0)
	for k := range avail {
		if t.Hi[k] < max(played[k], t.Lo[k]) {
			return false
		}
		lo[k], hi[k] = int64(max(0, t.Lo[k]-played[k])), int64(t.Hi[k]-played[k])
		sum += lo[k]
	}
	for _, n := range spots {
		all += int64(n)
	}
	there := grid(avail, len(spots)) // who can have the least, and spots that can be filled with the most: then both can be (Mendelsohn and Dulmage 1958)
	return newFlow(there, spots, lo, 1).run() == sum && newFlow(there, spots, hi, 1).run() == all
}

// payBack puts into the outcome's problem, once the larger shares are settled, what the game pays back. Like those it never costs a rule: what
// leaves no plan is not paid back.
func (g *Game) payBack(ctx context.Context, out *Outcome) {
	if g.PayBack <= 0 || !slices.ContainsFunc(g.Kids, func(k Player) bool { return k.Owed > 1+near }) ||
		slices.ContainsFunc(out.Loosened, func(x Loosened) bool { return x.Rule.Kind == RuleShare }) {
		return
	}
	p := out.Problem
	x := g.split(p)
	fair, whole := g.wholeGame(p, x)
	now := Turns{}
	for k := range p.Kids {
		now.Lo, now.Hi = append(now.Lo, p.Kids[k].Lo), append(now.Hi, p.Kids[k].Hi)
	}
	unpaid := map[int]bool{}
	out.back = PayBack(x.owed, fair, whole, now, g.PayBack, func(t Turns) bool {
		if ctx.Err() != nil {
			return false
		}
		if !t.Fits(x.avail, x.spots, x.played) {
			return false // who is there when does not allow it, such as a kid who has left
		}
		for k := range t.Lo {
			if t.Lo[k] > now.Lo[k] {
				unpaid[k] = true
			}
		}
		for _, rest := range []bool{false, true} {
			if q := g.paying(p, now, t, rest); q != nil && Feasible(ctx, q) == Yes {
				if out.fair == nil {
					out.fair = p
				}
				out.Problem = q
				return true
			}
		}
		return false
	})
	for _, b := range out.back {
		delete(unpaid, b.To)
	}
	for k := range p.Kids {
		if unpaid[k] {
			out.unpaid = append(out.unpaid, k)
		}
	}
}

// paying is the problem with other turns. With rest, the limits of rest that the game left to the head count go by those too: who
// gives a series may be off for one series longer, and who gets one on for as long as that takes. nil: there are no such limits.
func (g *Game) paying(p *Problem, was, t Turns, rest bool) *Problem {
	if rest && g.MaxOff > 0 && g.MaxOn > 0 {
		return nil
	}
	q := *p
	q.Kids = slices.Clone(p.Kids)
	for k := range q.Kids {
		kid := &q.Kids[k]
		kid.Lo, kid.Hi = t.Lo[k], t.Hi[k]
		if rest && g.MaxOff == 0 && p.maxOff(k) > 0 && t.Lo[k] < was.Lo[k] {
			kid.MaxOff = p.maxOff(k) + 1
		}
	}
	if rest && g.MaxOn == 0 {
		ahead, lo := g.ahead(&q)
		for k := range q.Kids {
			if on := p.maxOn(k); on > 0 && t.Lo[k] > was.Lo[k] {
				q.Kids[k].MaxOn = max(on, onForShare(stretches(ahead[k]), lo[k]))
			}
		}
	}
	return &q
}

// wholeGame are the shares of the whole game, what is over included, and the turns that they give. Of kids who were hurt in it
// nothing is asked.
func (g *Game) wholeGame(p *Problem, x *split) ([]Share, Turns) {
	spots, had := p.spots(), map[int][]int{}
	for k, kid := range g.Kids {
		if kid.Hurt {
			had[k] = nil
		}
	}
	for s, cells := range p.Played {
		if cells != nil {
			spots[s] = len(cells)
		}
		for _, c := range cells {
			if on, hurt := had[c.Kid]; hurt {
				had[c.Kid] = append(on, s)
			}
		}
	}
	avail, left := lessHurt(x.avail, spots, had)
	none := make([]int, len(avail))
	shares := FairShares(avail, left)
	lo, hi := LargerShares(avail, left, none, shares, x.owed)
	for k, on := range had {
		lo[k], hi[k] = len(on), len(on)
		shares[k] = Share{int64(len(on)), 1}
	}
	return shares, Turns{lo, hi}
}
