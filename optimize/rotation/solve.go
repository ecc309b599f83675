package rotation

import (
	"fmt"
	"time"
)

// Settings steer a solve. The zero value asks for the weakest series first, without limit.
type Settings struct {
	Favor Favor
	// Limit is the wall-clock time after which the best plan so far is returned with its
	// certified gap; 0: none. Only a solve that ends by this limit can depend on the machine.
	Limit time.Duration
	// Budget, if not nil, is what the solves of Grant and Prices share, instead of Limit for each.
	Budget *Budget
	// Workers is how many searches may run at once; 0: as many as there are processors, at
	// most 2. The result does not depend on it.
	Workers int
	// Seed starts the local search. Values do not depend on it when proven; among plans of equal value it may choose another.
	Seed uint64
	// Start, if it is a legal plan of the problem, is where the solve begins: its result is never worse.
	Start Plan
	// Progress, if not nil, is called now and then with the state so far, from the solving goroutine.
	Progress func(Progress)

	pace pacing
}

// Budget is time that several solves share, one after another: what a quick one leaves over is there for those after it.
type Budget struct {
	end    time.Time
	solves int
}

// NewBudget shares out the limit among about so many solves; more of them get less each. At least 1 ms is left for any.
func NewBudget(limit time.Duration, solves int) *Budget {
	return &Budget{time.Now().Add(limit), solves}
}

// budgetPart is the part of what is left that a hard solve may take, where an equal part is less.
const budgetPart = 8

// next is the limit of the next solve.
func (b *Budget) next() time.Duration {
	n := min(max(b.solves, 1), budgetPart)
	b.solves--
	return max(time.Millisecond, time.Until(b.end)/time.Duration(n))
}

// Progress is the state of a running solve.
type Progress struct {
	Weakest, Total Bounded
}

// Status is how a solve ended.
type Status int

// The ways a solve ends.
const (
	Proven     Status = iota // the plan is optimal in the order of the objectives
	Limited                  // stopped by the limit or the context; the plan is legal, bounds certified
	Infeasible               // proven: no plan obeys the rules
	Unknown                  // stopped before a plan was found or excluded
)

var statusNames = [...]string{"proven", "limited", "infeasible", "unknown"}

// String is the status as a word; a number that is no status has its number.
func (s Status) String() string {
	if s < 0 || int(s) >= len(statusNames) {
		return fmt.Sprintf("Status(%d)", int(s))
	}
	return statusNames[s]
}

// Bounded is a value with a certified upper bound, both in the problem's units. Proven: no plan
// does better, given the objectives that come before.
type Bounded struct {
	Value, Bound int64
	Proven       bool
}

// Result is the outcome of Solve.
type Result struct {
	Status        Status
	Plan          Plan
	Strength      []int64 // by series, in the problem's units
	Weakest       Bounded
	WeakestSeries int
	Total         Bounded
	// Levels is how many series are proven as strong as can be, counted from the weakest up (Even only).
	Levels int
	Stats  Stats
}

// Stats tells what a solve did.
type Stats struct {
	Nodes   int64
	Elapsed time.Duration
	First   time.Duration // until the first legal plan
}
