package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// refused is an answer of no: in words for people, as an object for programs.
type refused struct {
	text   string
	object *report.Refusal
}

func (r *refused) Error() string { return strings.TrimSpace(r.text) }

// refusal is any error of exit status 1 as an object.
func refusal(err error) *report.Refusal {
	var r *refused
	var problems drills.Problems
	switch {
	case errors.As(err, &r):
		return r.object
	case errors.As(err, &problems):
		return report.NewRefusal(places(problems)...)
	}
	return report.NewRefusal(report.Problem{What: oneLine(err)})
}

// manner is how the command line asks for answers, as far as it can be told before it is understood: errors have to
// heed it too.
type manner struct {
	json bool
	hide func(string) string // takes out of an error what was typed and may be a name
}

func readManner(args []string) manner {
	m := manner{hide: func(s string) string { return s }}
	for i, a := range args {
		if a == "--" {
			break
		}
		if !strings.HasPrefix(a, "-") {
			continue
		}
		name, value, given := strings.Cut(strings.TrimLeft(a, "-"), "=")
		if !given && i+1 < len(args) {
			value = args[i+1]
		}
		switch name {
		case "format":
			m.json = value == "json"
		case "ids-only":
			if !given || value != "false" {
				m.hide = hideTyped(args)
			}
		}
	}
	return m
}

// hideIn applies a change to every text of a refusal.
func hideIn(r *report.Refusal, hide func(string) string) *report.Refusal {
	out := *r
	out.Problems = slices.Clone(r.Problems)
	for i := range out.Problems {
		p := &out.Problems[i]
		if p.What, p.Do = hide(p.What), hide(p.Do); strings.HasPrefix(p.File, "--") { // what was typed, not a file
			p.File = hide(p.File)
		}
	}
	return &out
}

// hideProblem applies a change to every text of a problem.
func hideProblem(p drills.Problem, hide func(string) string) drills.Problem {
	if p.What, p.Do = hide(p.What), hide(p.Do); strings.HasPrefix(p.At.File, "--") {
		p.At.File = hide(p.At.File)
	}
	return p
}

// refuse tells why there is no plan.
func (g *game) refuse(ctx context.Context) error {
	c := g.pl.Outcome.Conflict
	if c == nil {
		open, do := "no plan was found in the time given, and none was ruled out", "give it more time with --seconds 120, or ask for less: fewer series or rules"
		if r := g.pl.Outcome.Result; r != nil && !g.pl.OutOfTime(g.set) {
			open, do = "no plan was found, and none was ruled out: this game is past what can be searched through", fmt.Sprintf("ask for less: fewer series or rules; or try --seed %d", g.set.Seed+1)
		}
		return &refused{
			text:   g.Fold("sevenyard: "+open+"; "+do, "  "),
			object: report.NewRefusal(report.Problem{What: open, Do: do}),
		}
	}
	loosens := g.strict && g.loosens(ctx)
	g.pl.Call = nil // what programs read goes by ids
	object := report.NewRefusal()
	object.Conflict = g.pl.Conflict(loosens)
	g.callNames()
	return &refused{text: g.conflictText(g.pl.Conflict(loosens)), object: object}
}

// conflictText is a conflict for people.
func (g *game) conflictText(c *report.Conflict) string {
	out := g.Fold("sevenyard: no plan: "+conflictHead(c), "  ") + g.conflictBody(c)
	if c.Loosens {
		out += g.Fold("Or leave --strict out: then rules are loosened as little as need be, and the screen says which.", "")
	}
	return out
}

// conflictBody are the rules of a conflict, what a count shows about them, and what would do.
func (v view) conflictBody(c *report.Conflict) string {
	out := ""
	for _, words := range c.Words {
		out += v.Fold("- "+words, "  ")
	}
	for _, fact := range c.Facts {
		out += v.Fold(fact, "")
	}
	switch n := len(c.Remedies); {
	case n == 0 && len(c.Words) == 1:
		out += v.Fold("Mend it in team.toml or roster.csv, or change who is there.", "")
	case n == 0:
		out += v.Fold("No single one of them was found that would do alone. Mend more than one in team.toml or roster.csv, or change who is there.", "")
	case n == 1 && len(c.Remedies[0].Steps) > 1:
		out += v.Fold("No single change was found that would do alone. Both of these together would:", "")
	case n == 1:
		out += v.Fold("This would do:", "")
	case slices.ContainsFunc(c.Remedies, func(r report.Remedy) bool { return len(r.Steps) > 1 }):
		out += v.Fold("No single change was found that would do alone. Each of these pairs would:", "")
	default:
		out += v.Fold("Each of these alone would do:", "")
	}
	for _, r := range c.Remedies {
		var steps []string
		for _, x := range r.Steps {
			steps = append(steps, x.Words)
		}
		out += v.Fold("- "+strings.Join(steps, "; and with it "), "  ")
	}
	return out
}

// lookAhead is the most time that goes into what a refusal may promise.
const lookAhead = 2 * time.Second

// loosens tells whether there is a plan once rules may be loosened: some never are, so it has to be tried.
func (g *game) loosens(ctx context.Context) bool {
	set := g.set
	set.Progress = nil
	if set.Limit == 0 || set.Limit > lookAhead {
		set.Limit = lookAhead
	}
	out, err := g.pl.Game.Arrange(ctx, set, false)
	return err == nil && out != nil && out.Result != nil && out.Result.Plan != nil
}

func conflictHead(c *report.Conflict) string {
	switch {
	case len(c.Words) == 1: // for one kid, or for several at once
		return "this rule cannot hold in this game"
	case c.Smallest && !slices.ContainsFunc(c.Remedies, func(r report.Remedy) bool { return len(r.Steps) == 1 }):
		return "these rules cannot hold together, and each of them has its part in it" // others may collide too
	case c.Smallest:
		return "these rules cannot hold together; without any one of them they could"
	}
	return "these rules cannot hold together; some of them may have no part in it"
}
