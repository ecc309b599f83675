package draft

import "fmt"

// Conflict is a set of rules that cannot hold together, beside team sizes that differ by at most 1 (which always
// count and are not listed).
type Conflict struct {
	Rules []Rule
	// Smallest tells that without any one of the rules the others can hold; false: some question was left open by its
	// effort, and the set may hold more than it needs.
	Smallest bool
	// Crowd is the count that shows it, nil where no single count does.
	Crowd *Crowd
}

// Crowd is a count that cannot come out. Too many: Kids can only be on Teams, where Room spots are. Too few: only Kids can be on Teams,
// which need Room at least.
type Crowd struct {
	Kids, Teams []int
	Room        int
	TooMany     bool
}

// Balance is how even a split is.
type Balance struct {
	// Objective is the sum of all parts' costs, carpools included; 0 = nothing differs; lower is better. See the package comment.
	Objective float64
	// Shortage is the number of role spots that teams cannot fill from their own kids; it counts before the objective.
	Shortage int
	Parts    []Part
	Teams    []TeamBalance
	// Spread is the range (largest less smallest) of the team means by measure, in the scores' unit.
	Spread []float64
	// SpreadSD is the same in standard deviations of the pool.
	SpreadSD []float64
	// Ranges is the sum of SpreadSD over the measures that count.
	Ranges float64
	// BrokenWishes are the carpools that are not on one team, as indices of Pool.Carpools.
	BrokenWishes []int
}

// Part is one term of the objective.
type Part struct {
	Kind  PartKind
	Label string // of a measure
	// Cost is what the part adds to the objective, weight included.
	Cost float64
	// Bound is the certified least it adds in any split that keeps the rules; 0 where none is known.
	Bound float64
}

// PartKind tells what a part of the objective is about.
type PartKind int

// The parts of the objective.
const (
	PartMeasure PartKind = iota
	PartGrades
	PartUntested
	PartUncertainty
	PartReturning
	PartCarpool
)

// TeamBalance is one team of a split.
type TeamBalance struct {
	Kids  []int     // in the pool's order
	Means []float64 // by measure, in the scores' unit; of an empty team 0
	// MeanErrors are the standard errors of the means by measure: sqrt(sum of squared errors) / kids.
	MeanErrors []float64
	Grades     []GradeCount // by grade, ascending; every grade of the pool
	Untested   int
	Returning  int
	Shortage   int // role spots that the team cannot fill
}

// GradeCount is how many kids of a grade a team has.
type GradeCount struct{ Grade, Kids int }

// Noise is what measurement error alone would do to a measure's team means if all teams were truly equal, or, put the other way round,
// how far apart the true means of teams may be whose estimates are equal. Same unit as the scores.
type Noise struct {
	// SD is the root mean square of the standard errors of the team means.
	SD float64
	// Range is the expected range of the team means, and Range95 what it exceeds in one of twenty cases.
	Range, Range95 float64
}

// Status is how a draft ended.
type Status int

// The ways a draft ends.
const (
	Done       Status = iota // all moves tried, or proved
	Stopped                  // the context ended first: the best split so far, which another run need not give
	Infeasible               // the rules cannot all hold: see Conflict
	Unsettled                // no split found, none refuted within the effort
)

var statusNames = [...]string{"done", "stopped", "infeasible", "unsettled"}

// String is the status as a word; a number that is no status has its number.
func (s Status) String() string {
	if s < 0 || int(s) >= len(statusNames) {
		return fmt.Sprintf("Status(%d)", int(s))
	}
	return statusNames[s]
}

// Result is a draft.
type Result struct {
	Status  Status
	Split   Split    // nil unless Done or Stopped
	Balance *Balance // of Split
	// Bound is a certified lower bound on the objective of any split that keeps the rules and has the least shortage; 0: none is known.
	Bound float64
	// Proven tells that no split that keeps the rules is better: an exhaustive search ended, or the objective meets the bound.
	Proven bool
	// Snake is the rule-keeping snake draft on the same numbers, and SnakeBalance how even it is.
	Snake        Split
	SnakeBalance *Balance
	// SnakeMended is how many kids had to be moved after the snake to keep the rules.
	SnakeMended int
	Conflict    *Conflict // of Infeasible; nil when no small one was found
}

// Move puts a kid on a team.
type Move struct{ Kid, Team int }

// Option is a split that can be had by moving kids.
type Option struct {
	// Moves are the kids who had a team and change it, in the pool's order.
	Moves   []Move
	Split   Split
	Balance *Balance
}

// Trade is a proposed trade with its price: After.Objective less Before.Objective.
type Trade struct {
	Moves []Move // everybody who changes, siblings brought along included
	Along []int  // who changes only because a sibling does
	Split Split  // after the trade
	// Broken are the rules that the trade breaks (none: it is allowed).
	Broken        []Rule
	Before, After *Balance
	// Counters are counter-trades on top of the trade that keep every rule and leave its kids where it puts them, by the number of kids moved, each better than
	// those with fewer; they end with the first that restores the balance of before.
	Counters []Option
	// Restored tells that the last counter-trade brings shortage and objective to what they were before, or better.
	Restored bool
}

// Placement is how a pool with late registrations or kids who left can be put in order.
type Placement struct {
	// Options by the number of kids moved, each better than those with fewer.
	Options []Option
	// Beyond tells that no option with as few moves as asked for was found; Options then holds one with more, if one was found.
	Beyond   bool
	Conflict *Conflict // when the rules cannot hold at all
}

// WishPrice is what one carpool costs, or would cost.
type WishPrice struct {
	Wish    int // index of Pool.Carpools
	Granted bool
	// Price is how much worse the objective, this wish's own cost not counted, is with the wish granted than without, as far as searched; a
	// granted wish of price 0 costs nothing. Never negative.
	Price float64
	// Possible is false when the rules forbid the wish (proven).
	Possible bool
	// Split is the other split: with the wish if it is not granted, without if it is; nil when impossible, and where none was found though nothing proves that
	// there is none: Price then is 0 and says nothing.
	Split Split
}
