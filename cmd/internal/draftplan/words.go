package draftplan

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// Kid is one kid in a sentence: "7" or "7 Ben".
func (pl *Plan) Kid(k int) string {
	id := pl.IDs[k]
	if pl.Call != nil {
		if n := pl.Call(id); n != "" {
			return id + " " + n
		}
	}
	return id
}

// who lists kids within a sentence.
func (pl *Plan) who(kids []int) string {
	out := make([]string, len(kids))
	for i, k := range kids {
		out[i] = pl.Kid(k)
	}
	return prose.And(out)
}

// or joins words: "a", "a or b", "a, b or c".
func or(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// nights lists nights as days: "Tuesday and Thursday".
func nights(list []string) string {
	out := make([]string, len(list))
	for i, n := range list {
		out[i] = drills.NightName(n)
	}
	return prose.And(out)
}

var ruleNames = map[draft.RuleKind]string{
	draft.Sizes: "sizes", draft.Siblings: "siblings", draft.Settled: "fixed", draft.Nights: "nights", draft.Apart: "apart", draft.Returning: "returning",
}

func ruleName(r draft.Rule) string {
	if r.Kind == draft.Settled && r.Coach {
		return "coach"
	}
	return ruleNames[r.Kind]
}

// RuleWords says one rule in the coordinator's words, with the column or key it comes from.
func (pl *Plan) RuleWords(r draft.Rule) string {
	switch r.Kind {
	case draft.Siblings:
		return fmt.Sprintf("%s are siblings and stay together", pl.who(r.Kids))
	case draft.Settled:
		return pl.settledWords(r.Kids, r.Teams[0], r.Coach)
	case draft.Nights:
		return pl.nightWords(r.Kids, r.Teams)
	case draft.Apart:
		if len(r.Kids) == 2 && pl.coaches[[2]int{min(r.Kids[0], r.Kids[1]), max(r.Kids[0], r.Kids[1])}] {
			return fmt.Sprintf("%s are the own kids of two head coaches, who each have a team ([[coach]] in league.toml)", pl.who(r.Kids))
		}
		return fmt.Sprintf("%s are not to be on one team (apart)", pl.who(r.Kids))
	case draft.Returning:
		return fmt.Sprintf("at most %s of last season's %s on one team (max_returning)", prose.Count(r.Most, "kid"), r.Old)
	}
	if r.Least == r.Most {
		return fmt.Sprintf("every team has %s", prose.Count(r.Most, "kid"))
	}
	return fmt.Sprintf("every team has %d or %d kids", r.Least, r.Most)
}

func (pl *Plan) settledWords(kids []int, team int, coach bool) string {
	name := pl.Numbers.Teams[team]
	var placed, picked []int
	for _, k := range kids {
		if slices.ContainsFunc(pl.Numbers.Fixed, func(f draft.Fixed) bool { return f.Kid == k && f.Team == team }) {
			placed = append(placed, k)
		} else {
			picked = append(picked, k)
		}
	}
	var parts []string
	switch {
	case len(placed) == 0:
	case coach:
		parts = append(parts, fmt.Sprintf("%s: a parent coaches %s, so there (coach_of)", pl.who(placed), name))
	default:
		parts = append(parts, fmt.Sprintf("%s: fixed to %s (league.toml)", pl.who(placed), name))
	}
	if len(picked) > 0 {
		parts = append(parts, fmt.Sprintf("%s: on %s already", pl.who(picked), name))
	}
	return strings.Join(parts, "; ")
}

// nightWords says where kids can be because of their nights; kids of one rule have the same teams.
func (pl *Plan) nightWords(kids, teams []int) string {
	var own []string
	same := true
	for i, k := range kids {
		n := pl.Pool.Kids[k].Nights
		same = same && (i == 0 || slices.Equal(n, own))
		own = n
	}
	where := "no team"
	if len(teams) > 0 {
		where = or(pl.teams(teams))
	}
	if same && len(own) > 0 {
		return fmt.Sprintf("%s can practise on %s only: %s", pl.who(kids), nights(own), where)
	}
	return fmt.Sprintf("%s, with their nights: %s", pl.who(kids), where)
}

// RulesWords says rules, those of one kind that say the same of several kids gathered into one line.
func (pl *Plan) RulesWords(rules []draft.Rule) []string {
	var out []string
	done := make([]bool, len(rules))
	for i, r := range rules {
		if done[i] {
			continue
		}
		if r.Kind == draft.Settled || r.Kind == draft.Nights {
			r.Kids = slices.Clone(r.Kids)
			for j := i + 1; j < len(rules); j++ {
				q := rules[j]
				if q.Kind == r.Kind && q.Coach == r.Coach && slices.Equal(q.Teams, r.Teams) && pl.sameNights(q, r) {
					r.Kids = append(r.Kids, q.Kids...)
					done[j] = true
				}
			}
		}
		out = append(out, pl.RuleWords(r))
	}
	return out
}

func (pl *Plan) sameNights(a, b draft.Rule) bool {
	return a.Kind != draft.Nights || slices.Equal(pl.Pool.Kids[a.Kids[0]].Nights, pl.Pool.Kids[b.Kids[0]].Nights)
}

// CrowdWords says the count that shows that rules cannot hold, "" if there is none.
func (pl *Plan) CrowdWords(c *draft.Crowd) string {
	switch {
	case c == nil:
		return ""
	case len(c.Teams) == 0:
		return fmt.Sprintf("There is no team for %s.", pl.who(c.Kids))
	case c.TooMany:
		return fmt.Sprintf("That makes %s for %s, where there is room for %d.", prose.Count(len(c.Kids), "kid"), prose.And(pl.teams(c.Teams)), c.Room)
	}
	return fmt.Sprintf("That leaves %s for %s, where %d are needed.", prose.Count(len(c.Kids), "kid"), prose.And(pl.teams(c.Teams)), c.Room)
}

// Facts are what counts show about a conflict: the crowd of kids that has no room, or families too large for the room that is left to them.
func (pl *Plan) Facts(c *draft.Conflict) []string {
	if words := pl.CrowdWords(c.Crowd); words != "" {
		return []string{words}
	}
	var out []string
	for _, r := range c.Rules {
		if r.Kind == draft.Siblings {
			if words := pl.familyWords(r.Kids, c.Rules); words != "" {
				out = append(out, words)
			}
		}
	}
	return out
}

// familyWords tells of siblings who need more room on one team than any team open to them has left, "" if that is not so.
func (pl *Plan) familyWords(family []int, rules []draft.Rule) string {
	most := (len(pl.IDs) + len(pl.Numbers.Teams) - 1) / len(pl.Numbers.Teams)
	open := slices.Repeat([]bool{true}, len(pl.Numbers.Teams))
	left := slices.Repeat([]int{most}, len(open))
	for _, r := range rules {
		if r.Kind != draft.Nights && r.Kind != draft.Settled {
			continue
		}
		if slices.Contains(family, r.Kids[0]) {
			for t := range open {
				open[t] = open[t] && slices.Contains(r.Teams, t)
			}
		} else if r.Kind == draft.Settled {
			left[r.Teams[0]]--
		}
	}
	var parts []string
	for t, ok := range open {
		if ok && left[t] >= len(family) {
			return ""
		}
		if ok {
			parts = append(parts, fmt.Sprintf("%s %d", pl.Numbers.Teams[t], left[t]))
		}
	}
	if len(parts) == 0 {
		return "No team is open to all of " + strings.TrimSuffix(pl.who(family), ".") + "."
	}
	return fmt.Sprintf("%s need %d spots on one team, and left there are: %s.", pl.who(family), len(family), strings.Join(parts, ", "))
}

// ConflictHead opens the words about a conflict. Whether leaving one of the rules out would do is not for it to say: others may collide too.
func ConflictHead(c *draft.Conflict) string {
	switch {
	case len(c.Rules) == 1:
		return "this rule cannot hold, with teams of equal size"
	case c.Smallest:
		return "these rules cannot hold together, with teams of equal size, and each of them has its part in it"
	}
	return "these rules cannot hold together, with teams of equal size; some of them may have no part in it"
}

// Conflict writes a conflict for programs, with sets of rules, each of which would do to leave out. Kids go by their ids.
func (pl *Plan) Conflict(c *draft.Conflict, remedies [][]draft.Rule) *report.Conflict {
	call := pl.Call
	pl.Call = nil
	defer func() { pl.Call = call }()
	out := &report.Conflict{Rules: []report.ConflictRule{}, Words: append([]string{}, pl.RulesWords(c.Rules)...), Smallest: c.Smallest, Facts: []string{}, Remedies: pl.remedies(remedies)}
	for _, r := range c.Rules {
		out.Rules = append(out.Rules, report.ConflictRule{Rule: ruleName(r), Kids: pl.ids(r.Kids), Words: pl.RuleWords(r)})
	}
	out.Facts = append(out.Facts, pl.Facts(c)...)
	return out
}

// RefusalWords says why a pick is not allowed, without the rules of a dead end.
func (pl *Plan) RefusalWords(kid int, r *draft.Refusal) string {
	who := pl.Kid(kid)
	switch r.Kind {
	case draft.RefusedOver:
		return "the board is full: every kid has a team"
	case draft.RefusedTurn:
		return fmt.Sprintf("it is the turn of %s", pl.Numbers.Teams[r.Team])
	case draft.RefusedTaken:
		return fmt.Sprintf("%s is on %s already", who, pl.Numbers.Teams[r.Team])
	case draft.RefusedRule:
		if !slices.ContainsFunc(r.Rules, func(x draft.Rule) bool { return slices.Contains(x.Kids, kid) }) {
			who += " brings siblings along, and"
			return fmt.Sprintf("%s they cannot all be on that team: %s", who, strings.Join(pl.RulesWords(r.Rules), "; "))
		}
		return fmt.Sprintf("%s cannot be on that team: %s", who, strings.Join(pl.RulesWords(r.Rules), "; "))
	case draft.RefusedRoom:
		return fmt.Sprintf("there is no room for %s and the siblings", who)
	case draft.RefusedDeadEnd:
		return fmt.Sprintf("with %s there, the kids who are left cannot all be placed any more", who)
	}
	return fmt.Sprintf("whether the kids who are left could all be placed with %s there was not settled in the effort given", who)
}
