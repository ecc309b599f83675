package gameplan

import (
	"fmt"
	"strconv"
	"strings"

	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// names lists the game's kids by their ids, and by name where names are called: "kid 7", "kids 2 and 9", "kids 1, 2 and 3".
func (pl *Plan) names(kids []int) string {
	ids := make([]string, 0, len(kids))
	for _, k := range kids {
		if k >= 0 && k < len(pl.IDs) {
			ids = append(ids, pl.kid(pl.IDs[k]))
		}
	}
	if len(ids) == 1 {
		return "kid " + ids[0]
	}
	return "kids " + prose.And(ids)
}

// kid is one kid in a sentence.
func (pl *Plan) kid(id string) string {
	if pl.Call != nil {
		if n := pl.Call(id); n != "" {
			return id + " " + n
		}
	}
	return id
}

// ConflictWords says the rules of a conflict, equal shares and least shares gathered by their number.
func (pl *Plan) ConflictWords(rules []rotation.RuleRef) []string {
	var out []string
	done := make([]bool, len(rules))
	for i, r := range rules {
		if done[i] {
			continue
		}
		if r.Kind == rotation.RuleShare || r.Kind == rotation.RuleMinShare {
			kids := append([]int(nil), r.Kids...)
			for j := i + 1; j < len(rules); j++ {
				if q := rules[j]; q.Kind == r.Kind && q.Lo == r.Lo && q.Hi == r.Hi && q.Value == r.Value {
					kids = append(kids, q.Kids...)
					done[j] = true
				}
			}
			r.Kids = kids
		}
		out = append(out, pl.RuleWords(r))
	}
	return out
}

// RuleWords says one rule in the coach's words, with its name in team.toml where it has one.
func (pl *Plan) RuleWords(r rotation.RuleRef) string {
	who := "every kid"
	if len(r.Kids) > 0 {
		who = pl.names(r.Kids)
	}
	switch r.Kind {
	case rotation.RuleSeasonRoles:
		return fmt.Sprintf("%s in a role not yet played this season (season_roles)", who)
	case rotation.RuleMinRoles:
		return fmt.Sprintf("%s in at least %s (min_roles)", who, prose.Count(pl.number(r, pl.Game.MinRoles), "different role"))
	case rotation.RuleSameRole:
		return fmt.Sprintf("%s at most %s in one role (max_same_role)", who, prose.Count(pl.number(r, pl.Game.MaxSameRole), "series"))
	case rotation.RuleCover:
		c := pl.cover(r)
		return fmt.Sprintf("at least %d of %s on the field in every series (cover)", c.AtLeast, pl.names(c.Kids))
	case rotation.RuleTogether:
		return fmt.Sprintf("%s on the field together or not at all (together)", pl.pair(r, pl.Game.Together))
	case rotation.RuleApart:
		return fmt.Sprintf("%s never on the field together (apart)", pl.pair(r, pl.Game.Apart))
	case rotation.RuleMaxOn:
		return fmt.Sprintf("%s at most %d series in a row on the field (max_on)", who, pl.number(r, pl.Game.MaxOn))
	case rotation.RuleMaxOff:
		return fmt.Sprintf("%s at most %d series in a row on the bench (max_off)", who, pl.number(r, pl.Game.MaxOff))
	case rotation.RuleShare:
		return pl.shareWords(r, who)
	case rotation.RuleMinShare:
		if r.Value > 0 {
			return fmt.Sprintf("%s on the field for at least %d series (min_share)", who, r.Value)
		}
		return fmt.Sprintf("%s on the field in at least %d %% of the series there for (min_share)", who, percent(pl.Game.MinShare))
	case rotation.RulePin:
		return pl.pin(r)
	case rotation.RuleNever:
		return pl.neverWords(r)
	default:
		return pl.window(r)
	}
}

// number is the rule's own number, or the game's where the rule carries none.
func (pl *Plan) number(r rotation.RuleRef, game int) int {
	if r.Value > 0 {
		return r.Value
	}
	return game
}

func (pl *Plan) cover(r rotation.RuleRef) rotation.Cover {
	if r.Index >= 0 && r.Index < len(pl.Game.Covers) {
		return pl.Game.Covers[r.Index]
	}
	return rotation.Cover{Kids: r.Kids, AtLeast: r.Value}
}

func (pl *Plan) pair(r rotation.RuleRef, pairs [][2]int) string {
	if r.Index >= 0 && r.Index < len(pairs) {
		return pl.names(pairs[r.Index][:])
	}
	return pl.names(r.Kids)
}

func (pl *Plan) pin(r rotation.RuleRef) string {
	if r.Index < 0 || r.Index >= len(pl.Game.Pins) {
		return "a pin of " + pl.names(r.Kids)
	}
	p := pl.Game.Pins[r.Index]
	what := "is on the field"
	if p.Role >= 0 {
		what = "plays " + pl.Game.Roles[p.Role]
	}
	if !p.Must {
		what = "is kept off the field"
		if p.Role >= 0 {
			what = "does not play " + pl.Game.Roles[p.Role]
		}
	}
	return fmt.Sprintf("kid %s %s in series %d (pin)", pl.kid(pl.IDs[p.Kid]), what, p.Series+1)
}

func (pl *Plan) neverWords(r rotation.RuleRef) string {
	var parts []string
	for _, k := range r.Kids {
		var roles []string
		for i, no := range pl.Game.Kids[k].Never {
			if no {
				roles = append(roles, pl.Game.Roles[i])
			}
		}
		parts = append(parts, fmt.Sprintf("kid %s never plays %s", pl.kid(pl.IDs[k]), prose.And(roles)))
	}
	if len(parts) == 0 {
		return "roles that kids never play (never, in roster.csv)"
	}
	return strings.Join(parts, "; ") + " (never, in roster.csv)"
}

func (pl *Plan) window(r rotation.RuleRef) string {
	var parts []string
	for _, k := range r.Kids {
		var when []string
		for _, w := range pl.Game.Kids[k].Presence().Stretches(len(pl.Game.Series)) {
			when = append(when, fmt.Sprintf("%d to %d", w.First+1, w.Last+1))
		}
		parts = append(parts, fmt.Sprintf("kid %s is there for series %s", pl.kid(pl.IDs[k]), prose.And(when)))
	}
	if len(parts) == 0 {
		return "who is there when, and one kid for every spot"
	}
	return strings.Join(parts, "; ")
}

// shareWords says an equal share, with those of its ends that matter.
func (pl *Plan) shareWords(r rotation.RuleRef, who string) string {
	switch {
	case len(r.Kids) == 0 || r.Lo < 0 && r.Hi < 0:
		return "equal series for " + who
	case r.Hi < 0:
		return fmt.Sprintf("equal series: %s at least %d", who, r.Lo)
	case r.Lo < 0:
		return fmt.Sprintf("equal series: %s at most %d", who, r.Hi)
	}
	return fmt.Sprintf("equal series: %s %d to %d", who, r.Lo, r.Hi)
}

// LoosenedWords says what became of a rule.
func (pl *Plan) LoosenedWords(x rotation.Loosened) string {
	rule := pl.RuleWords(x.Rule)
	if x.Kept {
		rule = "kept loosened, as in the plan: " + rule
	}
	switch {
	case givenUp(x):
		return rule + ": given up"
	case x.Rule.Kind == rotation.RuleShare:
		return fmt.Sprintf("%s: up to %d series more or less than the fair share", rule, x.To)
	case x.Rule.Kind == rotation.RuleMinRoles || x.Rule.Kind == rotation.RuleCover:
		return fmt.Sprintf("%s: now at least %d", rule, x.To)
	default:
		return fmt.Sprintf("%s: now at most %d", rule, x.To)
	}
}

// givenUp tells whether nothing is left of a loosened rule.
func givenUp(x rotation.Loosened) bool {
	return x.To < 0 || x.Rule.Kind == rotation.RuleCover && x.To == 0 || x.Rule.Kind == rotation.RuleMinRoles && x.To <= 1
}

// RemedyWords says one change of a rule that would make a plan possible, as the coach would make it.
func (pl *Plan) RemedyWords(x rotation.Loosened) string {
	switch k := x.Rule.Kind; {
	case k == rotation.RuleMinShare && x.To <= 0:
		return "without min_share under [rules] in team.toml"
	case k == rotation.RuleMinShare:
		return fmt.Sprintf("min_share = %s under [rules] in team.toml: %d of %d series for a kid who is there throughout",
			strconv.FormatFloat(leastShare(x.To, len(pl.Game.Series)), 'f', -1, 64), x.To, len(pl.Game.Series))
	case k == rotation.RuleMaxOn && pl.Game.SafeOn > 0 && x.To > pl.Game.SafeOn: // team.toml has no say in it
		return fmt.Sprintf("%d series in a row, longer than the heat allows: rather more kids, shorter series, or cancel", x.To)
	case k == rotation.RuleShare:
		return fmt.Sprintf("shares up to %d series off the fair ones (without ⟦strict⟧, where no other rule may give way)", x.To)
	case givenUp(x):
		return "without this: " + pl.RuleWords(x.Rule)
	case k == rotation.RuleCover:
		return fmt.Sprintf("at_least = %d in the cover of %s", x.To, pl.names(pl.cover(x.Rule).Kids))
	}
	return fmt.Sprintf("%s = %d under [rules] in team.toml", x.Rule.Kind, x.To)
}
