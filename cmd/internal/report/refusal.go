package report

import "slices"

// RefusalSchema is the schema of what --format json gives where the files or the rules allow no answer (exit status 1).
const RefusalSchema = "sevenyard.refusal/1"

// Refusal says why there is no answer: what is wrong with the files or the request, or which rules collide.
type Refusal struct {
	Schema   string    `json:"schema"`
	Problems []Problem `json:"problems"` // File "": it is about no file
	Conflict *Conflict `json:"conflict"` // null: it is about none, or which rules collide was not found
}

// Conflict is a set of rules that cannot hold together, with what would do.
type Conflict struct {
	Rules    []ConflictRule `json:"rules"`
	Words    []string       `json:"words"`    // the rules in words, those of several kids gathered
	Smallest bool           `json:"smallest"` // settled: without any one of these rules the others of these can hold; rules that are not among them may collide too
	Facts    []string       `json:"facts"`    // what a count shows
	Remedies []Remedy       `json:"remedies"` // each of them makes a plan possible; empty: none was found, which does not say that there is none
	Loosens  bool           `json:"loosens"`  // without --strict the tool loosens rules until there is a plan
}

// ConflictRule is one rule, for one kid, some kids, or (none listed) all.
type ConflictRule struct {
	Rule  string   `json:"rule"`
	Kids  []string `json:"kids"`
	Words string   `json:"words"`
}

// Remedy is a change of one or more rules, all of them together.
type Remedy struct {
	Steps []Step `json:"steps"`
}

// Step sets a rule's number to To; -1: the rule is dropped. For returning To is max_returning of league.toml, for equal_series how far shares may
// differ from the fair ones, for min_share the series of a kid who is there throughout.
type Step struct {
	Rule  string   `json:"rule"`
	Kids  []string `json:"kids"` // whose rule it is; none listed: it is one for everybody
	To    int      `json:"to"`
	Words string   `json:"words"`
}

// Same tells whether two steps are one.
func (s Step) Same(x Step) bool {
	return s.Rule == x.Rule && s.To == x.To && s.Words == x.Words && slices.Equal(s.Kids, x.Kids)
}

// NewRefusal is a refusal about problems.
func NewRefusal(problems ...Problem) *Refusal {
	return &Refusal{Schema: RefusalSchema, Problems: append([]Problem{}, problems...)}
}
