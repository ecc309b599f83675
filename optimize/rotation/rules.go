package rotation

import "context"

// RuleKind names a rule of a game.
type RuleKind int

// The rules, in the order in which they are loosened; the last three never are.
const (
	RuleMinRoles RuleKind = iota
	RuleSameRole
	RuleCover
	RuleTogether
	RuleApart
	RuleMaxOn
	RuleMaxOff
	RuleShare    // equal series
	RuleMinShare // minimum share of the game
	RulePin
	RuleNever
	RuleWindow // who is there when, and the spots of the forms
)

// RuleRef points at one rule of a problem.
type RuleRef struct {
	Kind  RuleKind
	Index int   // which cover, pair or pin; -1 otherwise
	Kids  []int // the kids it speaks of, if any
	Value int   // its number, if it has one
}

// Loosened is a rule that was given up or widened so that a plan exists.
type Loosened struct {
	Rule RuleRef
	To   int // the value now in force; -1: dropped altogether
}

// Outcome is an arranged game.
type Outcome struct {
	Problem  *Problem // as solved, after loosening
	Result   *Result  // nil when the rules do not allow a plan
	Short    []Short
	Loosened []Loosened
	Conflict []RuleRef // a smallest set of rules that cannot hold together; empty when they can
}

// Arrange plans the game. Where the rules cannot all hold it names the conflict and, unless strict,
// loosens in the order of the rule kinds until a plan exists.
func (g *Game) Arrange(ctx context.Context, set Settings, strict bool) (*Outcome, error) {
	panic("not written")
}
