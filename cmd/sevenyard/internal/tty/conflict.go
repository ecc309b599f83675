package tty

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/optimize/rotation"
)

// ConflictBody are the rules of a conflict, what a count shows about them, and what would do.
func (v View) ConflictBody(c *report.Conflict) string {
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

// ConflictHead says how far the rules of a conflict are known to collide.
func ConflictHead(c *report.Conflict) string {
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

// PlanError says what to look at where no game can be put together.
func PlanError(err error) error {
	switch {
	case errors.Is(err, rotation.ErrNobody):
		return fmt.Errorf("no plan: in some series nobody is there; look at --absent, --late and --leaves")
	case errors.Is(err, rotation.ErrNoSeries):
		return fmt.Errorf("no plan: the game has no series; set series in team.toml")
	}
	return err
}
