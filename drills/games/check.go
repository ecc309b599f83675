package games

import (
	"fmt"
	"slices"
	"strconv"

	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// mention is a kid or a role on a row that counts.
type mention struct {
	role  bool // a role; else a kid
	word  string
	typed bool // on a row typed by hand
	lines []int
}

type mentionKey struct {
	role, typed bool
	word        string
}

// mention notes the kid and the role of a row.
func (r *Record) mention(x *row) {
	r.note(mention{word: x.kid, typed: x.entry == 0}, x.line)
	if x.isSlot {
		r.note(mention{role: true, word: x.role, typed: x.entry == 0}, x.line)
	}
}

func (r *Record) note(m mention, line int) {
	if r.index == nil {
		r.index = map[mentionKey]int{}
	}
	key := mentionKey{m.role, m.typed, m.word}
	i, there := r.index[key]
	if !there {
		i = len(r.mentions)
		r.index[key] = i
		r.mentions = append(r.mentions, m)
	}
	if k := &r.mentions[i]; len(k.lines) < mostLines && !slices.Contains(k.lines, line) { // a row may count in two ways
		k.lines = append(k.lines, line)
	}
}

// mostLines is how many lines are named of one word.
const mostLines = 6

// Check compares the record with a team, and writes the kids' ids as the roster does (001, where a spreadsheet has made 1 of it). A kid or a role on rows typed by hand that the team does not have is a problem; on
// rows that the tool wrote, it was there once, and it is a warning. The error is of type drills.Problems.
func (r *Record) Check(f *drills.Folder) (warnings drills.Problems, err error) {
	roles := f.Team.Catalogue.RoleNames()
	var problems drills.Problems
	kids := map[string]bool{}
	for _, k := range f.Roster {
		kids[drills.IDKey(k.ID)] = true
	}
	r.rename(f.Roster)
	r.nameRoles(&f.Team.Catalogue)
	for _, m := range r.mentions {
		kind, do := "kid", ""
		switch {
		case m.role && slices.Contains(roles, f.Team.Catalogue.RoleMeant(m.word)), !m.role && kids[drills.IDKey(m.word)]:
			continue
		case m.role:
			kind, do = "role", prose.DidYouMean(m.word, roles, "known roles are "+prose.And(roles)+"; other rows have "+prose.And([]string{present, hurt, cleared, void})+" there")
		case m.typed:
			do = drills.KidAdvice(m.word, f.Roster) + " (a kid who has left the team stays in roster.csv, with a word under hold)"
		default:
			do = "if the kid has left the team, that is fine; else put it back into roster.csv"
		}
		p := drills.Problem{At: drills.Place{File: File, Line: m.lines[0]}, What: fmt.Sprintf("unknown %s %s%s", kind, drills.Quote(m.word), also(m.lines[1:])), Do: do}
		if m.typed {
			problems = append(problems, p)
		} else {
			warnings = append(warnings, p)
		}
	}
	for _, word := range reserved {
		if slices.Contains(roles, word) {
			problems = append(problems, drills.Problem{At: drills.Place{File: "team.toml"}, What: "a role is called " + word, Do: "games.csv uses that word itself: call the role something else"})
		}
	}
	if len(problems) == 0 {
		return warnings, nil
	}
	return warnings, problems
}

// nameRoles writes roles by their names, where a hand has written their letters.
func (r *Record) nameRoles(cat *drills.Catalogue) {
	for i := range r.Games {
		for s := range r.Games[i].Series {
			slots := r.Games[i].Series[s].Slots
			for j := range slots {
				slots[j].Role = cat.RoleMeant(slots[j].Role)
			}
		}
	}
}

// rename writes the kids' ids as the roster does.
func (r *Record) rename(roster []drills.Kid) {
	own := map[string]string{}
	for _, k := range roster {
		own[drills.IDKey(k.ID)] = k.ID
	}
	name := func(kid *string) {
		if id, there := own[drills.IDKey(*kid)]; there {
			*kid = id
		}
	}
	for i := range r.Games {
		g := &r.Games[i]
		for s := range g.Series {
			for j := range g.Series[s].Slots {
				name(&g.Series[s].Slots[j].Kid)
			}
		}
		for _, list := range [][]Presence{g.Kids, g.Attendance} {
			for j := range list {
				name(&list[j].Kid)
			}
		}
		for j := range g.Marks {
			name(&g.Marks[j].Kid)
		}
		for j := range g.Hurt {
			name(&g.Hurt[j])
		}
		slices.SortStableFunc(g.Kids, func(a, b Presence) int { return drills.NaturalOrder(a.Kid, b.Kid) })
	}
}

func also(lines []int) string {
	if len(lines) == 0 {
		return ""
	}
	words := make([]string, len(lines))
	for i, n := range lines {
		words[i] = strconv.Itoa(n)
	}
	if len(lines) == mostLines-1 { // and maybe others, which are not kept
		words[mostLines-2] = "more"
	}
	return " (also on line " + prose.And(words) + ")"
}
