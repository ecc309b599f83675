package games

import "sevenyard/drills"

// File is the record's name in a team folder.
const File = "games.csv"

// Slot is a kid in a role.
type Slot struct{ Role, Kid string }

// Series is one series as it was played. Number counts from 1; slots stand in the order of the file.
type Series struct {
	Number int
	Slots  []Slot
}

// Presence is a kid who was there from series First to series Last, inclusive, from 1.
type Presence struct {
	Kid         string
	First, Last int
}

// Game is one game after all corrections. Kids stand in natural order of their ids, each once. Series
// ascend; there may be gaps.
type Game struct {
	ID, Date, Opponent string
	Kids               []Presence
	Series             []Series
	At                 drills.Place // where the game first appears
	// Attendance is what the record says of who is there, not cut at the last series on record as Kids is, for a game that is
	// still on; Last 0: to the end. Kids stand in the order of the file; none: the record does not say.
	Attendance []Presence
	Hurt       []string // kids whose attendance is noted as hurt: out for the day
}

// Record is all games, in the order in which they first appear.
type Record struct {
	Games    []Game
	Warnings drills.Problems // things that look odd but count, and an entry cut off by a crash

	mentions []mention          // of kids and roles, to be compared with a team
	index    map[mentionKey]int // of mentions
	state    fileState
}

// Game finds a game by its id.
func (r *Record) Game(id string) (Game, bool) {
	for i := range r.Games {
		if r.Games[i].ID == id {
			return r.Games[i], true
		}
	}
	return Game{}, false
}
