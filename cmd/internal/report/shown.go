package report

// Shown is what a front end needs to show a plan, beside its numbers: words and places that are not part of what is saved, since kids may be called by
// name in them.
type Shown struct {
	Division string    `json:"division"` // "grades 3-4"
	Roles    []RoleKey `json:"roles"`    // in the catalogue's order: colours go by it
	Spots    []int     `json:"spots"`    // of each series' formation
	Out      []Out     `json:"out"`      // kids who are not planned, and those who have left or were hurt
	Ended    Ended     `json:"ended"`
	// Bare: there is no plan to keep, and the series still to play are planned from the record alone.
	Bare     bool     `json:"bare"`
	Season   bool     `json:"season"`   // earlier games count
	Rules    []string `json:"rules"`    // in force, after loosening
	Loosened []string `json:"loosened"` // given up or widened
	Calls    []string `json:"calls"`    // of a rebuilt plan: what to call out, a sentence each
	Care     []string `json:"care"`     // the cautions about a knock to the head
}

// RoleKey is how a role is written in a small place.
type RoleKey struct {
	Role   string `json:"role"`
	Letter string `json:"letter"`
}

// Out is a kid who is not planned, or, from Last on, no more. Why: absent, on_hold, hurt or not_in_plan.
type Out struct {
	Kid  string `json:"kid"`
	Why  string `json:"why"`
	Last int    `json:"last"` // the last series that it was there for; 0: it is in no series
}

// Ended is how a search ended.
type Ended string

// The ends of a search. Where it is not proven that no plan is better: the time was up (another run may give another plan), it gave up by itself (another
// run gives the same), or a person stopped it.
const (
	EndProven  Ended = "proven"
	EndTime    Ended = "time"
	EndGaveUp  Ended = "gave_up"
	EndStopped Ended = "stopped"
)
