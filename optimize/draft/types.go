package draft

// Pool is what is to be split: kids with scores, teams, and the rules. Kids and teams are indices from 0; labels serve
// messages and the order of ties only. The order of the kids changes nothing.
type Pool struct {
	Kids  []Kid
	Teams []string // labels, all different; at least 2
	// Measures are what the teams are to be even in. The first is the overall score: the snake goes by it.
	Measures []Measure
	// Roles are what every team should be able to fill at the same time from its own kids; empty: no such demand.
	Roles []Role

	Siblings [][]int  // kids of each group stay together (hard)
	Fixed    []Fixed  // kids whose team is settled (hard)
	Apart    [][2]int // never on the same team (hard)
	// MaxReturning is the most kids of the same old team on one team (hard); 0: no limit.
	MaxReturning int
	// Carpools are wishes: the kids of each would like to be on one team. One that is broken costs Weights.Carpool for every car
	// too many, that is for every team beyond the first that its kids are spread over.
	Carpools [][]int

	Weights Weights
}

// Kid is one kid in numbers.
type Kid struct {
	Label string
	// Scores, one for each measure, in T points (any unit will do); higher is better. A kid who was not tested has the pool's prior.
	Scores []float64
	// Errors are the standard errors of the scores, same unit; nil: none.
	Errors []float64
	// Untested tells that the kid missed evaluation night.
	Untested bool
	// Grade is any whole number; kids of the same grade share it.
	Grade int
	// Returning is last season's team; "": a new kid.
	Returning string
	// Teams tells by team whether the kid can be there (practice nights); nil: anywhere.
	Teams []bool
	// Plays tells by role whether the kid can fill it; nil: all of them.
	Plays []bool
}

// Measure is a score that the teams are to be even in.
type Measure struct {
	Label string
	// Weight in hundredths: 100 is the ordinary weight, 0 leaves the measure out of the objective (its spread is still reported).
	Weight int
	// Step is the grid on which scores are compared, in their unit; 0: 0.01.
	Step float64
}

// Role is a role every team should be able to fill: Need spots of it.
type Role struct {
	Label string
	Need  int
}

// Fixed settles the team of a kid. Coach tells that it is a coach's or assistant's own kid, which counts
// in a live snake like any fixed kid; it only changes the words.
type Fixed struct {
	Kid, Team int
	Coach     bool
}

// Weights are the weights of what is not a measure, in hundredths; 0 leaves it out. Each of the first four
// counts like a measure of the same weight, for it is standardised over the pool too.
type Weights struct {
	Grades      int // how many kids of each grade
	Untested    int // how many kids nobody has seen
	Uncertainty int // the error variance of the overall score
	Returning   int // how many kids who played last season
	// Carpool is the price of a car too many, in hundredths of the objective's unit: 9 is about what it costs that one team of
	// nine is 0.1 SD (1 T point) off in one measure.
	Carpool int
}

// DefaultWeights are the house's: a choice, no source.
func DefaultWeights() Weights {
	return Weights{Grades: 50, Untested: 100, Uncertainty: 50, Returning: 50, Carpool: 10}
}

// Limits of a pool. What goes beyond them is refused by Validate.
const (
	MaxKids     = 1000
	MaxTeams    = 60
	MaxMeasures = 24
	MaxRoles    = 6
	MaxApart    = 20_000 // pairs
)

// Unplaced stands in a Split for a kid without a team.
const Unplaced = -1

// Split gives the team of every kid, in the pool's order; Unplaced: none yet.
type Split []int

// RuleKind is the kind of a hard rule.
type RuleKind int

// The hard rules.
const (
	Sizes     RuleKind = iota // every kid on one team, team sizes differ by at most 1
	Siblings                  // Kids stay together
	Settled                   // Kids[0] is settled on Teams[0]
	Nights                    // Kids[0] can only be on Teams
	Apart                     // Kids[0] and Kids[1] never on one team
	Returning                 // at most Most kids from Old on one team; Kids are all of Old's
)

// Rule is one hard rule of a pool. Kids and Teams are in the pool's order.
type Rule struct {
	Kind  RuleKind
	Kids  []int
	Teams []int
	Old   string // of Returning: last season's team
	Most  int    // of Returning: the limit; of Sizes: the larger size
	Least int    // of Sizes: the smaller size
	Coach bool   // of Settled: a coach's own kid
}

// Goal is what the search makes small.
type Goal int

// The goals.
const (
	// Squares is the objective of the package comment: sums of squared differences.
	Squares Goal = iota
	// Ranges is the sum over measures of the range of team means, in standard deviations times weight; what is not a measure
	// counts as with Squares. For comparisons with other solvers: linear programs can state it.
	Ranges
)

// Settings steer a search; the zero value is what a coordinator wants.
type Settings struct {
	// Seed starts the search; 0: 1, the usual one. Any other seed is searched from beside the usual one, for twice the work, so that its result is never worse.
	Seed uint64
	// Effort multiplies the number of moves tried; 0: 1; at most 1000. The work is a number of moves, never a time, so that the same
	// pool, seed and effort give the same teams on every machine. More effort begins with all that less effort does: the result is never worse.
	Effort int
	// Grant also goes on from the best splits carpool by carpool, as the function of that name does.
	Grant bool
	// Workers is how many searches run at once; 0: as many as there are processors, at most 4. The result does not depend on it.
	Workers int
	Goal    Goal
	// Progress, if not nil, is called now and then from one goroutine at a time with the share of the work done, 0 to 1.
	Progress func(done float64)
}

// Coach takes part in the draw of teams. Team is settled if the coach's own kid is on it, else Unplaced.
type Coach struct {
	Label string
	Team  int
}

// DrawStep is one step of the draw: team Swapped and team Kept of the list trade places.
type DrawStep struct {
	At, With int    // positions in the list of open teams, from 0; At counts down
	Number   uint64 // the number from the hash that gave With = Number mod (At+1)
}

// Drawn is the result of the draw.
type Drawn struct {
	Seed  string // the words as they were hashed: lower case, single spaces
	Teams []int  // the team of each coach, in the order given
	Open  []int  // the teams that were drawn, in the order before the draw
	Steps []DrawStep
}

// EntryKind tells how kids came to a team in a live snake.
type EntryKind int

// The kinds of entries on a board.
const (
	Picked EntryKind = iota // called by the coach, with siblings
	Placed                  // settled on the team: the pick of the round that their score says is spent on them
	Owed                    // no kid: the turn is spent for siblings taken before
	Full                    // no kid: the team has no room for any kid that is left
)

// Entry is one turn on a board.
type Entry struct {
	Kind  EntryKind
	Round int // from 1
	Team  int
	Kids  []int // first the kid that was called
}

// Turn is whose turn it is.
type Turn struct {
	Over  bool
	Round int // from 1
	Team  int
}

// RefusalKind tells why a pick was refused.
type RefusalKind int

// Why a pick is refused.
const (
	RefusedOver    RefusalKind = iota // the board is full
	RefusedTurn                       // another team's turn
	RefusedTaken                      // the kid has a team
	RefusedRule                       // a rule forbids it: see Rules
	RefusedRoom                       // the kid's siblings do not fit
	RefusedDeadEnd                    // the kids left could not be placed any more: see Conflict
	RefusedOpen                       // whether the kids left could be placed was not settled within the effort
)

// Refusal says why a pick is not allowed. It changes nothing on the board.
type Refusal struct {
	Kind     RefusalKind
	Rules    []Rule
	Conflict *Conflict // of RefusedDeadEnd: with the picks so far as Settled rules
	Team     int       // of RefusedTurn: whose turn it is; of RefusedTaken: who has the kid
}
