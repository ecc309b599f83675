package report

import "slices"

// RefusalSchema is the schema of what --format json gives where the files or the rules allow no answer (exit status 1).
const RefusalSchema = "sevenyard.refusal/1"

// Refusal says why there is no answer: what is wrong with the files or the request, or which rules collide.
type Refusal struct {
	Schema   string    `json:"schema"`   // name and version of this object's schema
	Problems []Problem `json:"problems"` // what is wrong with the files or the request
	Conflict *Conflict `json:"conflict"` // which rules collide; null: it is about none, or which ones was not found
}

// Conflict is a set of rules that cannot hold together, with what would do.
type Conflict struct {
	Rules []ConflictRule `json:"rules"` // the rules that cannot hold together
	Words []string       `json:"words"` // the rules in words, those of several kids gathered
	// settled: without any one of these rules the others of these can hold; rules that are not among them may collide too
	Smallest bool     `json:"smallest"`
	Facts    []string `json:"facts"`    // what a count shows, in words
	Remedies []Remedy `json:"remedies"` // each of them makes a plan possible; empty: none was found, which does not say that there is none
	Loosens  bool     `json:"loosens"`  // without --strict the tool loosens rules until there is a plan
}

// ConflictRule is one rule, for one kid, some kids, or (none listed) all.
type ConflictRule struct {
	Rule  string   `json:"rule"`  // its name in team.toml, league.toml or roster.csv, or equal_series
	Kids  []string `json:"kids"`  // ids of the kids it speaks of; none listed: all
	Words string   `json:"words"` // the rule in words
}

// Remedy is a change of one or more rules, all of them together.
type Remedy struct {
	Steps []Step `json:"steps"` // changes of rules, all of them together
}

// Step sets a rule's number to To; -1: the rule is dropped. For returning To is max_returning of league.toml, for equal_series how far shares may
// differ from the fair ones, for min_share the series of a kid who is there throughout.
type Step struct {
	Rule string   `json:"rule"` // the rule's name
	Kids []string `json:"kids"` // ids of the kids whose rule it is; none listed: it is one for everybody
	// the rule's number from now on, in the rule's own unit (returning: max_returning of league.toml; equal_series: how many series shares may
	// differ from the fair ones; min_share: number of series of a kid who is there throughout); -1: the rule is dropped
	To    int    `json:"to"`
	Words string `json:"words"` // the change in words
}

// Same tells whether two steps are one.
func (s Step) Same(x Step) bool {
	return s.Rule == x.Rule && s.To == x.To && s.Words == x.Words && slices.Equal(s.Kids, x.Kids)
}

// NewRefusal is a refusal about problems.
func NewRefusal(problems ...Problem) *Refusal {
	return &Refusal{Schema: RefusalSchema, Problems: append([]Problem{}, problems...)}
}
