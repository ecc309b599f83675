package games

import "sevenyard/drills"

// File is the record's name in a team folder.
const File = "games.csv"

// Slot is a kid in a role.
type Slot struct {
	Role string `json:"role"` // the role's name
	Kid  string `json:"kid"`  // the kid's id
}

// Series is one series as it was played. Number counts from 1; slots stand in the order of the file.
type Series struct {
	Number int
	Slots  []Slot
}

// Presence is a kid who was there from series First to series Last, inclusive, from 1. A kid who left and came back has one for each
// stretch.
type Presence struct {
	Kid         string
	First, Last int
}

// Game is one game after all corrections. Kids stand in natural order of their ids, each with its stretches
// in their order. Series ascend; there may be gaps.
type Game struct {
	ID, Date, Opponent string
	Kids               []Presence
	Series             []Series
	At                 drills.Place // where the game first appears
	// Attendance is what the record says of who is there, not cut at the last series on record as Kids is, for a game that is
	// still on; Last 0: to the end. Kids stand in the order of the file; none: the record does not say.
	Attendance []Presence
	Marks      []Mark   // who was hurt, in the order in which it was recorded; nothing but a clearing row ends one
	Hurt       []string // kids with a mark that nobody has cleared: out for the day, in natural order
}

// Mark says that a kid was hurt in a game. It outlives every correction of series and attendance, also the game being void, and ends
// only where a person clears it.
type Mark struct {
	Kid     string
	Series  int    // the series in which the kid was hurt, from 1; 0: not known
	Cleared bool   // a person has cleared the kid, or it was the wrong one
	By      string // who cleared it
}

// There tells whether one of the kid's stretches has the series; it counts to the end where Last is 0.
func There(stretches []Presence, kid string, series int) bool {
	for _, p := range stretches {
		if p.Kid == kid && p.First <= series && (p.Last == 0 || series <= p.Last) {
			return true
		}
	}
	return false
}

// Record is all games, in the order in which they first appear.
type Record struct {
	Games    []Game
	Warnings drills.Problems // things that look odd but count, and an entry cut off by a crash

	mentions []mention          // of kids and roles, to be compared with a team
	index    map[mentionKey]int // of mentions
	state    fileState
}

// Game finds a game by its id, however it is written: 7, 07.
func (r *Record) Game(id string) (Game, bool) {
	for i := range r.Games {
		if drills.IDKey(r.Games[i].ID) == drills.IDKey(id) {
			return r.Games[i], true
		}
	}
	return Game{}, false
}
