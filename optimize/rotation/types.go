package rotation

// Problem is one game to plan, in whole numbers. Kids, roles, shapes and series are indices
// from 0. Build one by hand, or from a coach's wishes with Game.Problem.
type Problem struct {
	Kids   []Kid
	Roles  []string // labels, for messages only
	Shapes []Shape
	Series []int // the shape of each series

	// MaxOn and MaxOff are the most series in a row on the field, and on the bench while
	// present; 0 means no limit. Runs start afresh when a kid arrives, and when it comes back.
	MaxOn, MaxOff int

	// MinRoles asks that every kid who plays at all plays at least so many different roles; 0 or 1: no demand.
	MinRoles int

	Together [][2]int // both on the field or neither, in every series
	Apart    [][2]int // never both on the field
	Covers   []Cover
	Pins     []Pin

	// Played fixes series that are over: Played[s] is nil for a series still to plan.
	Played [][]Cell

	// Scale turns values into T points: strength of a series = (sum of its values) / Scale. At least 1.
	Scale int64
}

// Kid is one kid's availability and limits.
type Kid struct {
	Label       string
	First, Last int      // first and last series the kid is there for, inclusive; First > Last: not at all
	Away        []Window // stretches in between that it is not there for, as in Presence; nil: there throughout
	Lo, Hi      int      // least and most series on the field, as equal series give it
	Least       int      // least series on the field by the minimum share; 0: none. Lo and Least both bind.
	Never       []bool   // by role; nil: plays everything
	// MaxOn is the most series in a row on the field for this kid, where that is more than Problem.MaxOn; 0: no more.
	MaxOn int
	// MaxOff is the most series in a row on the bench for this kid, where that is more than Problem.MaxOff; 0: no more.
	MaxOff int
	// Cap is the most series in one role; 0: no limit.
	Cap int
	// Different asks that the roles a kid has played by the end of this game are at least so many different ones, if it plays at
	// all; 0: no demand. Before are the roles played earlier in the season, by role; nil: none.
	Different int
	Before    []bool
}

// Shape is a formation in numbers.
type Shape struct {
	Label string
	Count []int     // spots by role
	Value [][]int32 // Value[kid][role]: what the kid is worth at one such spot
}

// Cover asks for at least AtLeast of Kids on the field in every series.
type Cover struct {
	Kids    []int
	AtLeast int
}

// Pin puts a kid into a role (Role -1: any role) in a series, or keeps the kid out of it.
type Pin struct {
	Kid, Role, Series int
	Must              bool
}

// Cell is one filled spot.
type Cell struct{ Kid, Role int }

// Plan is who plays which role in each series; cells are ordered by role, then kid.
type Plan [][]Cell

// Favor is the order of the objectives.
type Favor int

// The objectives, each lexicographic.
const (
	Weakest Favor = iota // the weakest series first, then the total
	Total                // the total first, then the weakest series
	Even                 // weakest, then second weakest, and so on down
)
