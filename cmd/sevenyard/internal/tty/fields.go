package tty

import (
	"errors"
	"slices"
	"strings"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// spelled are the fields that are no flags of the same name, as a terminal has them; %s is what is said there.
var spelled = map[asked.Field]string{
	asked.FromFile:   "--from %s",
	asked.LineAbsent: "absent %s", asked.LineLate: "late %s", asked.LineLeft: "left %s", asked.LineHurt: "hurt %s", asked.OfSeries: "series %s",
	asked.Plan: "sevenyard lineup", asked.PlanFavor: "sevenyard lineup --favor %s", asked.PlanLonger: "sevenyard lineup --series N --save plan.json",
	asked.SavePlan: "sevenyard lineup --save", asked.SaveRebuild: "sevenyard rebuild --save", asked.RebuildHurt: "rebuild --hurt %s",
	asked.Record: "sevenyard record", asked.RecordSwap: "sevenyard record --swap %s", asked.Clear: "sevenyard clear",
	asked.SaveTeams: "sevenyard draft --save", asked.StartBoard: "sevenyard draft pick --start",
}

// Spell puts the flag, or the command, in place of a reference to what a person can say or do.
func Spell(f asked.Field, value string) string {
	if f == asked.ClearKid {
		kid, game, _ := strings.Cut(value, " ")
		return "sevenyard clear --kid " + kid + " --game " + game + " --by NAME"
	}
	form, own := spelled[f]
	if !own {
		form = "--" + string(f) + " %s"
	}
	return strings.TrimRight(strings.Replace(form, "%s", value, 1), " ")
}

// Said is a sentence with flags and commands in place of its references.
func Said(text string) string { return asked.Render(text, Spell) }

// SaidAll does the same for each of a list.
func SaidAll(list []string) []string { return asked.RenderAll(slices.Clone(list), Spell) }

// SaidProblems does the same for problems of files.
func SaidProblems(ps drills.Problems) drills.Problems {
	out := slices.Clone(ps)
	for i := range out {
		out[i].At.File, out[i].What, out[i].Do = Said(out[i].At.File), Said(out[i].What), Said(out[i].Do)
	}
	return out
}

// SaidConflict does the same for rules that collide.
func SaidConflict(c *report.Conflict) *report.Conflict {
	if c == nil {
		return nil
	}
	out := *c
	out.Words, out.Facts, out.Remedies = SaidAll(c.Words), SaidAll(c.Facts), slices.Clone(c.Remedies)
	for i := range out.Remedies {
		out.Remedies[i].Steps = slices.Clone(out.Remedies[i].Steps)
		for j := range out.Remedies[i].Steps {
			step := &out.Remedies[i].Steps[j]
			step.Words = Said(step.Words)
		}
	}
	return &out
}

// AsTyped puts problems with what was asked for into those of a command line: a flag stands where files have their names. Others stay as they are.
func AsTyped(err error) error {
	var ps asked.Problems
	if !errors.As(err, &ps) {
		return err
	}
	out := make(drills.Problems, len(ps))
	for i, p := range ps {
		out[i] = drills.Problem{At: p.At, What: Said(p.What), Do: Said(p.Do)}
		if p.Field != "" {
			out[i].At = drills.Place{File: Said(p.Place())}
		}
	}
	inFile := func(p drills.Problem) bool { return !strings.HasPrefix(p.At.File, "--") }
	if slices.ContainsFunc(out, inFile) {
		return out
	}
	return UsageError{Err: out}
}
