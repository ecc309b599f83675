package draftplan

import (
	"slices"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/draft"
)

// Draft writes a split down. b is its balance. Snake, random split, prices and play are added by Compare, Wishes and Play.
func (pl *Plan) Draft(s draft.Split, b *draft.Balance, seed uint64) *report.Draft {
	common := &pl.Pool.League.Common
	out := &report.Draft{
		Schema: report.DraftSchema, League: common.Name, Division: common.Division.String(), Seed: seed, Pool: pl.Fingerprint(),
		Measures: pl.Measures(), Teams: pl.Teams(b), Spread: pl.byMeasure(b.Spread), Error: pl.noise(s, b),
		Objective: b.Objective, Shortage: b.Shortage, Parts: []report.Part{}, Rules: pl.Kept(s), Broken: pl.Broken(draft.Check(pl.Numbers, s), s), Carpools: []report.Carpool{},
		Moved: []report.Moved{}, Warnings: []string{}, Cautions: []string{},
	}
	for _, p := range b.Parts {
		out.Parts = append(out.Parts, report.Part{Part: partName(p), Cost: p.Cost, Bound: p.Bound})
	}
	return out
}

// Known fills in what a search of the pool tells of a split that keeps the rules: the bounds, whether it is proven, and the more even split that was found, if
// one was.
func (pl *Plan) Known(d *report.Draft, b *draft.Balance, res *draft.Result) {
	if res.Split == nil || len(d.Broken) > 0 {
		return
	}
	d.Bound = min(res.Bound, b.Objective)
	for i := range d.Parts {
		d.Parts[i].Bound = min(res.Balance.Parts[i].Bound, d.Parts[i].Cost)
	}
	less := res.Balance.Objective < b.Objective && differ(res.Balance.Objective, b.Objective)
	if res.Balance.Shortage < b.Shortage || res.Balance.Shortage == b.Shortage && less {
		e := pl.Evenness(res.Split, res.Balance)
		d.Better = &e
	}
	d.Proven = res.Proven && d.Better == nil
}

func partName(p draft.Part) string {
	switch p.Kind {
	case draft.PartGrades:
		return drills.EvenGrades
	case draft.PartUntested:
		return drills.EvenUntested
	case draft.PartUncertainty:
		return drills.EvenUncertainty
	case draft.PartReturning:
		return drills.EvenReturning
	case draft.PartCarpool:
		return drills.EvenCarpools
	}
	return p.Label
}

// Measures names what the teams are to be even in, the overall score first.
func (pl *Plan) Measures() []string {
	out := []string{}
	for _, m := range pl.Numbers.Measures {
		out = append(out, m.Label)
	}
	return out
}

func (pl *Plan) byMeasure(values []float64) map[string]float64 {
	out := map[string]float64{}
	for j, m := range pl.Numbers.Measures {
		if j < len(values) {
			out[m.Label] = values[j]
		}
	}
	return out
}

// Teams writes the teams of a balance down.
func (pl *Plan) Teams(b *draft.Balance) []report.DraftTeam {
	out := []report.DraftTeam{}
	for t, x := range b.Teams {
		team := report.DraftTeam{
			Team: pl.Numbers.Teams[t], Nights: append([]string{}, pl.Pool.League.Teams[t].Nights...), Kids: pl.ids(x.Kids),
			Means: pl.byMeasure(x.Means), SE: pl.byMeasure(x.MeanErrors), Grades: map[string]int{},
			Untested: x.Untested, Returning: x.Returning, Shortage: x.Shortage,
		}
		for _, g := range x.Grades {
			team.Grades[gradeName(g.Grade)] = g.Kids
		}
		out = append(out, team)
	}
	return out
}

func gradeName(g int) string {
	if g < 0 {
		return ""
	}
	return drills.Grades{Low: g, High: g}.String()
}

func (pl *Plan) noise(s draft.Split, b *draft.Balance) map[string]report.Noise {
	out := map[string]report.Noise{}
	for j, n := range pl.Numbers.Noise(s) {
		out[pl.Numbers.Measures[j].Label] = report.Noise{SD: n.SD, Range: n.Range, Range95: n.Range95, Even: b.Spread[j] < n.Range}
	}
	return out
}

// Compare writes another split down.
func (pl *Plan) Compare(s draft.Split, mended int) *report.Compared {
	if s == nil {
		return nil
	}
	b := pl.Numbers.Measure(s)
	out := &report.Compared{Spread: pl.byMeasure(b.Spread), Objective: b.Objective, Mended: mended, Teams: map[string][]string{}}
	for t, x := range b.Teams {
		out.Teams[pl.Numbers.Teams[t]] = pl.ids(x.Kids)
	}
	return out
}

// Evenness is how even a split is, in short.
func (pl *Plan) Evenness(s draft.Split, b *draft.Balance) report.Evenness {
	out := report.Evenness{Objective: b.Objective, Shortage: b.Shortage, Spread: pl.byMeasure(b.Spread), Parts: map[string]float64{}, Even: true}
	for _, p := range b.Parts {
		out.Parts[partName(p)] = p.Cost
	}
	for j, noise := range pl.Numbers.NoiseRanges(s) {
		out.Even = out.Even && b.Spread[j] < noise
	}
	return out
}

// PartNames names what the objective is the sum of, in its order.
func PartNames(b *draft.Balance) []string {
	var out []string
	for _, p := range b.Parts {
		out = append(out, partName(p))
	}
	return out
}

// Rules are all hard rules of the pool, in the order of the kinds.
func (pl *Plan) Rules() []draft.Rule {
	n := pl.Numbers
	small := len(n.Kids) / len(n.Teams)
	large := (len(n.Kids) + len(n.Teams) - 1) / len(n.Teams)
	rules := []draft.Rule{{Kind: draft.Sizes, Least: small, Most: large}}
	for _, g := range n.Siblings {
		rules = append(rules, draft.Rule{Kind: draft.Siblings, Kids: g})
	}
	for _, f := range n.Fixed {
		rules = append(rules, draft.Rule{Kind: draft.Settled, Kids: []int{f.Kid}, Teams: []int{f.Team}, Coach: f.Coach})
	}
	for k := range n.Kids {
		if n.Kids[k].Teams != nil {
			rules = append(rules, draft.Rule{Kind: draft.Nights, Kids: []int{k}, Teams: allowed(n.Kids[k].Teams)})
		}
	}
	for _, a := range n.Apart {
		rules = append(rules, draft.Rule{Kind: draft.Apart, Kids: []int{a[0], a[1]}})
	}
	if n.MaxReturning > 0 {
		var olds []string
		kids := map[string][]int{}
		for k := range n.Kids {
			old := n.Kids[k].Returning
			if old != "" && kids[old] == nil {
				olds = append(olds, old)
			}
			kids[old] = append(kids[old], k)
		}
		slices.Sort(olds)
		for _, old := range olds {
			rules = append(rules, draft.Rule{Kind: draft.Returning, Old: old, Kids: kids[old], Most: n.MaxReturning})
		}
	}
	return rules
}

func allowed(teams []bool) []int {
	out := []int{}
	for t, ok := range teams {
		if ok {
			out = append(out, t)
		}
	}
	return out
}

// Kept writes the hard rules down, with the teams of the kids concerned. Kids go by their ids.
func (pl *Plan) Kept(s draft.Split) []report.KeptRule {
	out := []report.KeptRule{}
	for _, r := range pl.Rules() {
		out = append(out, pl.rule(r, s))
	}
	return out
}

// rule writes one rule down; where it names no teams, those of its kids in the split.
func (pl *Plan) rule(r draft.Rule, s draft.Split) report.KeptRule {
	call := pl.Call
	pl.Call = nil
	defer func() { pl.Call = call }()
	out := report.KeptRule{Rule: ruleName(r), Kids: pl.ids(r.Kids), Teams: pl.teams(r.Teams), Words: pl.RuleWords(r)}
	if r.Kind != draft.Siblings && r.Kind != draft.Apart || s == nil {
		return out
	}
	for _, k := range r.Kids {
		if t := s[k]; t != draft.Unplaced && !slices.Contains(out.Teams, pl.Numbers.Teams[t]) {
			out.Teams = append(out.Teams, pl.Numbers.Teams[t])
		}
	}
	return out
}

// Broken writes the rules down that a split breaks.
func (pl *Plan) Broken(rules []draft.Rule, s draft.Split) []report.KeptRule {
	out := []report.KeptRule{}
	for _, r := range rules {
		out = append(out, pl.rule(r, s))
	}
	return out
}

// Wishes writes the carpools down with their prices.
func (pl *Plan) Wishes(prices []draft.WishPrice) []report.Carpool {
	out := []report.Carpool{}
	for _, p := range prices {
		out = append(out, report.Carpool{Kids: pl.ids(pl.Numbers.Carpools[p.Wish]), Granted: p.Granted, Possible: p.Possible, Priced: p.Split != nil, Price: p.Price})
	}
	return out
}

// Moved lists who changes teams from one split of the pool to another, in the pool's order.
func (pl *Plan) Moved(from, to draft.Split) []report.Moved {
	name := func(t int) string {
		if t == draft.Unplaced {
			return ""
		}
		return pl.Numbers.Teams[t]
	}
	out := []report.Moved{}
	for k := range to {
		if from[k] != to[k] {
			out = append(out, report.Moved{Kid: pl.IDs[k], From: name(from[k]), To: name(to[k])})
		}
	}
	return out
}

// Option writes an option down: who had a team and changes it, and who gets one.
func (pl *Plan) Option(now draft.Split, o draft.Option) report.DraftOption {
	out := report.DraftOption{Moves: []report.Moved{}, Placed: []report.Moved{}, After: pl.Evenness(o.Split, o.Balance)}
	for _, m := range pl.Moved(now, o.Split) {
		if m.From == "" {
			out.Placed = append(out.Placed, m)
		} else {
			out.Moves = append(out.Moves, m)
		}
	}
	return out
}

// PointPrice is what it counts in the objective if the overall mean of one team of the larger size is off by 1 T point:
// weight * n * (1 point / SD)^2, SD being the pool's standard deviation.
func (pl *Plan) PointPrice() float64 {
	n := len(pl.Numbers.Kids)
	sum, squares := 0.0, 0.0
	for _, k := range pl.Numbers.Kids {
		sum += k.Scores[0]
		squares += k.Scores[0] * k.Scores[0]
	}
	variance := squares/float64(n) - sum*sum/float64(n*n)
	if !(variance > 0) {
		return 0
	}
	return float64(pl.Numbers.Measures[0].Weight) / 100 * float64((n+len(pl.Numbers.Teams)-1)/len(pl.Numbers.Teams)) / variance
}

// Worthwhile leaves out options that a later one, which is better, needs no more moves than.
func Worthwhile(options []draft.Option) []draft.Option {
	var out []draft.Option
	for i, o := range options {
		if !slices.ContainsFunc(options[i+1:], func(x draft.Option) bool { return len(x.Moves) <= len(o.Moves) }) {
			out = append(out, o)
		}
	}
	return out
}
