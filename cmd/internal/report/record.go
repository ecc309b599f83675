package report

import "sevenyard/drills/games"

// RecordSchema is the schema of Record.
const RecordSchema = "sevenyard.record/1"

// Record is what was written about one game, and what is on record of it now. Series count from 1.
type Record struct {
	Schema     string         `json:"schema"`
	Team       string         `json:"team"`
	Game       string         `json:"game"`
	Date       string         `json:"date"`
	DatedToday bool           `json:"datedToday"` // the date is today's, because none was given and none was on record
	Opponent   string         `json:"opponent"`
	Entry      int            `json:"entry"` // the number of the entry in games.csv; 0: there was nothing new to write
	Series     []RecordSeries `json:"series"`
	Kids       []RecordKid    `json:"kids"`
	Away       []string       `json:"away"`     // on the roster, not on hold, and not there
	Hurt       []string       `json:"hurt"`     // out for the day
	Swaps      []RecordSwap   `json:"swaps"`    // corrections to a plan or to the record
	Void       []int          `json:"void"`     // series that do not count any more
	VoidGame   bool           `json:"voidGame"` // all that was on record of the game does not count any more
	Repaired   *Repaired      `json:"repaired"` // null: there was nothing to repair
	Warnings   []string       `json:"warnings"`
	Cautions   []string       `json:"cautions"`
}

// RecordSeries is a series on record; State is new, corrected or kept.
type RecordSeries struct {
	Number int          `json:"number"`
	State  string       `json:"state"`
	Slots  []games.Slot `json:"slots"`
	Bench  []string     `json:"bench"` // there and not on the field
}

// RecordKid is a kid who was there, from the first to the last of the series on record, the stretches in between for which it was away, and how
// many series it played.
type RecordKid struct {
	Kid     string   `json:"kid"`
	Present [2]int   `json:"present"`
	Away    [][2]int `json:"away,omitempty"`
	Series  int      `json:"series"`
}

// RecordSwap says that In played in Out's spot; "" is nobody.
type RecordSwap struct {
	Series int    `json:"series"`
	Role   string `json:"role"`
	In     string `json:"in"`
	Out    string `json:"out"`
}

// Repaired is what a crash had left of an entry: so many bytes were taken out of games.csv and are kept in a file.
type Repaired struct {
	Bytes int64  `json:"bytes"`
	File  string `json:"file"`
}
