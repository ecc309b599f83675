package tty

import (
	"errors"
	"slices"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// Refused is an answer of no: in words for people, as an object for programs.
type Refused struct {
	Text   string
	Object *report.Refusal
}

func (r *Refused) Error() string { return strings.TrimSpace(r.Text) }

// Refusal is any error of exit status 1 as an object.
func Refusal(err error) *report.Refusal {
	var r *Refused
	var problems drills.Problems
	switch {
	case errors.As(err, &r):
		return r.Object
	case errors.As(err, &problems):
		return report.NewRefusal(report.Places(SaidProblems(problems))...)
	}
	return report.NewRefusal(report.Problem{What: Said(OneLine(err))})
}

// Manner is how the command line asks for answers, as far as it can be told before it is understood: errors have to
// heed it too.
type Manner struct {
	Json bool
	Hide func(string) string // takes out of an error what was typed and may be a name
}

// HideIn applies a change to every text of a refusal.
func HideIn(r *report.Refusal, hide func(string) string) *report.Refusal {
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

// HideProblem applies a change to every text of a problem.
func HideProblem(p drills.Problem, hide func(string) string) drills.Problem {
	if p.What, p.Do = hide(p.What), hide(p.Do); strings.HasPrefix(p.At.File, "--") {
		p.At.File = hide(p.At.File)
	}
	return p
}
