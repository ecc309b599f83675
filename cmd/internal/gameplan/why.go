package gameplan

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"sevenyard/assess"
	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// Question asks why a kid plays where the plan has it. Role "": every role; Series, from 1, 0: the whole game.
type Question struct {
	Kid, Role string
	Series    int
}

// Asked finds the question's kid and roles in the solver's numbers.
func (pl *Plan) Asked(q Question, roster []drills.Kid) (kid int, roles []int, err error) {
	id, which := drills.FindKid(q.Kid, roster)
	if len(which) > 1 {
		what, do := drills.KidError(q.Kid, which, roster)
		return 0, nil, asked.Wrong(asked.Kid, what, do)
	}
	q.Kid = cmp.Or(id, q.Kid)
	if err := known(asked.Kid, q.Kid, roster); err != nil {
		return 0, nil, err
	}
	kid, ok := pl.index[q.Kid]
	if !ok {
		for _, a := range pl.Away {
			if a.ID == q.Kid && a.Why == OnHold {
				return 0, nil, asked.Wrong(asked.Kid, fmt.Sprintf("kid %s is on medical hold, and so is not planned", q.Kid), "")
			}
		}
		return 0, nil, asked.Wrong(asked.Kid, fmt.Sprintf("kid %s is not planned in this game", q.Kid), "look at ⟦absent⟧")
	}
	k := pl.Game.Kids[kid]
	if q.Series > 0 && q.Series <= pl.Over {
		return 0, nil, asked.Wrong(asked.Series, fmt.Sprintf("series %d is over, and what was played is a fact", q.Series), fmt.Sprintf("use a series from %d on", pl.Over+1))
	}
	if q.Series > len(pl.Game.Series) {
		return 0, nil, asked.Wrong(asked.Series, fmt.Sprintf("%d, and the game has %d series", q.Series, len(pl.Game.Series)),
			"it asks about one series; for a longer game save its plan (⟦plan-longer⟧) and ask with ⟦from-file plan.json⟧")
	}
	if q.Series > 0 && !k.There(q.Series-1) {
		return 0, nil, asked.Wrong(asked.Series, fmt.Sprintf("kid %s is not there in series %d", q.Kid, q.Series), fmt.Sprintf("use a series from %d to %d", k.First+1, k.Last+1))
	}
	used := pl.used(q.Series)
	if q.Role == "" {
		return kid, used, nil
	}
	r := pl.role(pl.Team.Catalogue.RoleMeant(q.Role))
	switch {
	case r < 0:
		return 0, nil, asked.Wrong(asked.Role, fmt.Sprintf("no role %q", q.Role), "use "+prose.And(pl.roleNames(used)))
	case !slices.Contains(used, r):
		return 0, nil, asked.Wrong(asked.Role, fmt.Sprintf("no formation played there has a %s", q.Role), "use "+prose.And(pl.roleNames(used)))
	}
	return kid, []int{r}, nil
}

// used are the roles of the formations of a series, or of the whole game.
func (pl *Plan) used(series int) []int {
	has := make([]bool, len(pl.Game.Roles))
	for s, f := range pl.Game.Series {
		if series == 0 || s == series-1 {
			for _, r := range pl.Game.Forms[f].Spots {
				has[r] = true
			}
		}
	}
	var out []int
	for r, x := range has {
		if x {
			out = append(out, r)
		}
	}
	return out
}

func (pl *Plan) roleNames(roles []int) []string {
	out := make([]string, len(roles))
	for i, r := range roles {
		out[i] = pl.Game.Roles[r]
	}
	return out
}

// Why answers a question about the solved game from new solves, which share the time of set.
func (pl *Plan) Why(ctx context.Context, q Question, kid int, roles []int, base, set rotation.Settings) (*report.Why, error) {
	l := pl.Lineup(base)
	out := &report.Why{
		Schema: report.WhySchema, Team: l.Team, Kid: pl.IDs[kid], Seed: l.Seed, Limited: l.Limited, Share: l.Kids[kid].Share,
		Plays: []report.Stint{}, Fits: []report.Rank{}, Weakest: l.Weakest, Total: l.Total, Wishes: []report.Wish{}, Rules: []report.Price{},
		Loosened: l.Loosened, Warnings: []string{},
	}
	out.LongTurn = pl.longTurn(kid)
	for _, r := range pl.used(0) {
		if in := pl.playedIn(kid, r); len(in) > 0 {
			out.Plays = append(out.Plays, report.Stint{Role: pl.Game.Roles[r], Series: in})
		}
		out.Fits = append(out.Fits, pl.rank(kid, r))
	}
	if set.Limit > 0 {
		set.Budget = rotation.NewBudget(set.Limit, pl.solves(len(roles), q.Series))
	}
	for _, r := range roles {
		w, err := pl.wish(ctx, kid, r, q.Series-1, set)
		if err != nil {
			return nil, err
		}
		out.Wishes = append(out.Wishes, w)
	}
	prices, err := rotation.Prices(ctx, pl.Outcome.Problem, pl.Outcome.Result, set)
	for _, x := range prices {
		if r := x.Rules[0]; r.Kind == rotation.RuleCover && r.Value == 0 { // given up already
			continue
		}
		out.Rules = append(out.Rules, pl.price(x))
	}
	return out, err
}

// longTurn says why a kid is on the field for more series in a row than the others may be; "" where it is not.
func (pl *Plan) longTurn(k int) string {
	p := pl.Outcome.Problem
	run, first, best, at := 0, 0, 0, 0
	for s := range p.Series {
		if pl.roleIn(k, s) < 0 {
			run = 0
			continue
		}
		if run++; run == 1 {
			first = s
		}
		if run > best {
			best, at = run, first
		}
	}
	kid := p.Kids[k]
	if p.MaxOn == 0 || best <= p.MaxOn || at+best <= pl.Over {
		return ""
	}
	text := fmt.Sprintf("On for series %d to %d without a rest, where the others have at most %d in a row", at+1, at+best, p.MaxOn)
	end := len(p.Series) - 1
	switch {
	case kid.MaxOn <= p.MaxOn: // what is over is a fact
		return text + "."
	case kid.First > 0 && kid.Last < end:
		return text + fmt.Sprintf(": the kid is there for series %d to %d only, and its share of the turns has to fit in.", kid.First+1, kid.Last+1)
	case kid.Last < end:
		return text + fmt.Sprintf(": the kid leaves after series %d, and its share of the turns has to fit in before.", kid.Last+1)
	case kid.First > 0:
		return text + fmt.Sprintf(": the kid comes for series %d, and its share of the turns has to fit in after.", kid.First+1)
	}
	return text + ": the equal shares leave no other way."
}

// solves is about how many solves a question takes.
func (pl *Plan) solves(roles, series int) int {
	p, n := pl.Outcome.Problem, roles
	if series == 0 {
		n *= len(p.Series)
	}
	return n + len(p.Covers) + len(p.Together) + len(p.Apart) + len(p.Pins) + 6
}

// playedIn lists the series, from 1, that the kid plays in the role.
func (pl *Plan) playedIn(kid, role int) []int {
	var out []int
	for s := range pl.Game.Series {
		if pl.roleIn(kid, s) == role {
			out = append(out, s+1)
		}
	}
	return out
}

func (pl *Plan) never(k, role int) bool {
	n := pl.Game.Kids[k].Never
	return n != nil && n[role]
}

// rank is the kid's place in a role among those who may play it.
func (pl *Plan) rank(kid, role int) report.Rank {
	fit := pl.fit(kid, role)
	out := report.Rank{Role: pl.Game.Roles[role], Fit: fit.T, SE: fit.SE, Own: fit.Own, Tested: fit.Tested, Never: pl.never(kid, role), TooClose: []string{}}
	if !out.Never {
		out.Rank = 1
	}
	for k := range pl.IDs {
		if pl.never(k, role) {
			continue
		}
		out.Of++
		other := pl.fit(k, role)
		if k == kid || out.Never {
			continue
		}
		if other.T > fit.T {
			out.Rank++
		}
		if assess.TooClose(fit, other) {
			out.TooClose = append(out.TooClose, pl.IDs[k])
		}
	}
	return out
}

// wish asks what the best plan would be if the kid played the role where the plan does not have it so, or did not play it where
// it does. series counts from 0; -1: the whole game.
func (pl *Plan) wish(ctx context.Context, kid, role, series int, set rotation.Settings) (report.Wish, error) {
	in := slices.DeleteFunc(pl.playedIn(kid, role), func(s int) bool { return s <= pl.Over })
	w := rotation.Wish{Kid: kid, Role: role, Series: series, Not: len(in) > 0}
	if series >= 0 {
		w.Not = slices.Contains(in, series+1)
	}
	out := report.Wish{Role: pl.Game.Roles[role], Series: series + 1, Not: w.Not, Against: []report.Opponent{}}
	if pl.never(kid, role) {
		out.Proven = true
		return out, nil
	}
	change, err := rotation.Grant(ctx, pl.Outcome.Problem, pl.Outcome.Result, w, set)
	if err != nil {
		return out, err
	}
	scale := float64(pl.Outcome.Problem.Scale)
	out.Possible, out.Proven = change.Possible, change.Proven
	out.Weakest, out.Total = float64(change.Weakest)/scale, float64(change.Total)/scale
	plan := pl.Outcome.Result.Plan
	if w.Not && change.Result != nil {
		plan = change.Result.Plan
	}
	for k, id := range pl.IDs {
		if k != kid && has(plan, k, role, series, w.Not, in) {
			fit := pl.fit(k, role)
			out.Against = append(out.Against, report.Opponent{Kid: id, Fit: fit.T, SE: fit.SE, Own: fit.Own, Tested: fit.Tested, TooClose: assess.TooClose(fit, pl.fit(kid, role))})
		}
	}
	return out, nil
}

// has tells whether a plan has kid k in the role in a series (-1: any; with only, one of the series in, from 1).
func has(plan rotation.Plan, k, role, series int, only bool, in []int) bool {
	for s, cells := range plan {
		if series >= 0 && s != series || series < 0 && only && !slices.Contains(in, s+1) {
			continue
		}
		if slices.Contains(cells, rotation.Cell{Kid: k, Role: role}) {
			return true
		}
	}
	return false
}

func (pl *Plan) price(x rotation.RulePrice) report.Price {
	scale := float64(pl.Outcome.Problem.Scale)
	out := report.Price{Words: pl.priceWords(x.Rules), Weakest: float64(x.Weakest) / scale, Total: float64(x.Total) / scale, Proven: x.Proven}
	for _, r := range x.Rules {
		if name := r.Kind.String(); !slices.Contains(out.Rules, name) {
			out.Rules = append(out.Rules, name)
		}
	}
	return out
}

// priceWords says what has a price, rules about each kid as one.
func (pl *Plan) priceWords(rules []rotation.RuleRef) string {
	r := rules[0]
	for _, x := range rules {
		if x.Kind != r.Kind {
			return "equal series and rest"
		}
	}
	switch r.Kind {
	case rotation.RuleSeasonRoles:
		return "the demand for a role not yet played this season (season_roles)"
	case rotation.RuleMinRoles:
		return fmt.Sprintf("the demand for %s a kid (min_roles)", prose.Count(r.Value, "role"))
	case rotation.RuleSameRole:
		return fmt.Sprintf("the limit of %s in one role (max_same_role)", prose.Count(r.Value, "series"))
	case rotation.RuleMaxOn:
		return fmt.Sprintf("the limit of %d in a row on the field (max_on)", r.Value)
	case rotation.RuleMaxOff:
		return fmt.Sprintf("the limit of %d in a row on the bench (max_off)", r.Value)
	case rotation.RuleShare:
		return "equal series"
	case rotation.RuleMinShare:
		return "the least share of the game (min_share)"
	}
	return "the rule: " + pl.RuleWords(r)
}
