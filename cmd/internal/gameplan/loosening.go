package gameplan

import (
	"fmt"
	"slices"

	"sevenyard/cmd/internal/report"
	"sevenyard/optimize/rotation"
)

// loosening writes a loosened rule down so that it can be read back.
func (pl *Plan) loosening(x rotation.Loosened) report.Loosening {
	out := report.Loosening{Rule: x.Rule.Kind.String(), Kids: []string{}, From: x.Rule.Value, To: x.To, Kept: x.Kept}
	for _, k := range x.Rule.Kids {
		out.Kids = append(out.Kids, pl.IDs[k])
	}
	return out
}

// mayGiveWay finds the rule of a name among those that can be loosened at all.
func mayGiveWay(name string) (rotation.RuleKind, bool) {
	for kind := rotation.RuleSeasonRoles; kind <= rotation.RuleShare; kind++ {
		if kind.String() == name {
			return kind, true
		}
	}
	return 0, false
}

// loose looks at the loosened rules of a file: none that is never loosened, and no number that no game can have.
func (f *finder) loose() {
	for i, x := range f.sv.Loosening {
		path := fmt.Sprintf("loosening.%d", i)
		if _, may := mayGiveWay(x.Rule); !may {
			f.add(path+".rule", "take the entry out, or save the plan anew", "the rule %q is never loosened, or is none", x.Rule)
		} else if x.To < -1 || x.To > rotation.MaxSeries {
			f.add(path+".to", "mend it by hand, or save the plan anew", "%s is loosened to %d", x.Rule, x.To)
		}
	}
}

// keepLoose takes over what the saved plan had loosened, as far as the team's rules are still those that were loosened, and notes
// what is another rule by now.
func (pl *Plan) keepLoose(sv *Saved) {
	g := pl.Game
	asked := map[rotation.RuleKind]int{rotation.RuleMaxOn: g.MaxOn, rotation.RuleMaxOff: g.MaxOff, rotation.RuleMinRoles: g.MinRoles, rotation.RuleSameRole: g.MaxSameRole}
	for _, x := range sv.Loosening {
		kind, _ := mayGiveWay(x.Rule)
		r := rotation.RuleRef{Kind: kind, Index: -1, Value: x.From, Lo: -1, Hi: -1}
		r.Kids = pl.numbers(x.Kids)
		if now, limit := asked[kind]; limit && now != x.From {
			if now > 0 {
				pl.note("note: the plan was made with %s loosened from %d, and it is %d by now: that counts", kind, x.From, now)
			}
			continue
		}
		switch kind {
		case rotation.RuleCover:
			r.Index = slices.IndexFunc(g.Covers, func(c rotation.Cover) bool { return c.AtLeast == x.From && slices.Equal(c.Kids, r.Kids) })
			if r.Index < 0 {
				continue
			}
		default:
			if len(r.Kids) < len(x.Kids) { // about a kid who is not planned any more
				continue
			}
		}
		g.Loose = append(g.Loose, rotation.Loosened{Rule: r, To: x.To})
	}
}
