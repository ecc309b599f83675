package report

import "sevenyard/drills/games"

// RecordSchema is the schema of Record.
const RecordSchema = "sevenyard.record/1"

// Record is what was written about one game, and what is on record of it now. Series count from 1.
type Record struct {
	Schema     string         `json:"schema"`     // name and version of this object's schema
	Team       string         `json:"team"`       // the team's name
	Game       string         `json:"game"`       // the game's id
	Date       string         `json:"date"`       // its date, year-month-day; "": not known
	DatedToday bool           `json:"datedToday"` // the date is today's, because none was given and none was on record
	Opponent   string         `json:"opponent"`   // the other team; "": not known
	Entry      int            `json:"entry"`      // number of the entry in games.csv, counted from 1; 0: there was nothing new to write
	Series     []RecordSeries `json:"series"`     // the series on record, in their order
	Kids       []RecordKid    `json:"kids"`       // who was there
	Away       []string       `json:"away"`       // ids of kids on the roster, not on hold, and not there
	Hurt       []string       `json:"hurt"`       // ids of kids who were hurt, and are out for the day
	Swaps      []RecordSwap   `json:"swaps"`      // corrections to a plan or to the record
	Void       []int          `json:"void"`       // numbers of series, counted from 1, that do not count any more
	VoidGame   bool           `json:"voidGame"`   // all that was on record of the game does not count any more
	Repaired   *Repaired      `json:"repaired"`   // what a crash had left and was put aside; null: there was nothing to repair
	Warnings   []string       `json:"warnings"`   // sentences for a person: what looks odd and counts all the same
	Cautions   []string       `json:"cautions"`   // sentences for a person about the kids' safety
}

// RecordSeries is a series on record; State is new, corrected or kept.
type RecordSeries struct {
	Number int          `json:"number"` // its number, counted from 1
	State  string       `json:"state"`  // new, corrected or kept
	Slots  []games.Slot `json:"slots"`  // who played where
	Bench  []string     `json:"bench"`  // ids of kids who were there and not on the field
}

// RecordKid is a kid who was there, from the first to the last of the series on record, the stretches in between for which it was away, and how
// many series it played.
type RecordKid struct {
	Kid     string `json:"kid"`     // the kid's id
	Present [2]int `json:"present"` // the first and the last of the series on record, counted from 1, for which it was there
	// first and last series, counted from 1, of stretches in between for which it was away; left out where there is none
	Away   [][2]int `json:"away,omitempty"`
	Series int      `json:"series"` // number of series on the field
}

// RecordSwap says that In played in Out's spot; "" is nobody.
type RecordSwap struct {
	Series int    `json:"series"` // the series, counted from 1
	Role   string `json:"role"`   // the role's name
	In     string `json:"in"`     // id of the kid who played; "": nobody
	Out    string `json:"out"`    // id of the kid in whose spot; "": nobody
}

// Repaired is what a crash had left of an entry: so many bytes were taken out of games.csv and are kept in a file.
type Repaired struct {
	Bytes int64  `json:"bytes"` // number of bytes taken out of games.csv
	File  string `json:"file"`  // the file that keeps them
}
