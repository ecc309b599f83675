package report

import "math"

// SeasonSchema is the schema of Season.
const SeasonSchema = "sevenyard.season/1"

// Season is the games on record, summed up.
type Season struct {
	Schema   string       `json:"schema"`   // name and version of this object's schema
	Team     string       `json:"team"`     // the team's name
	Games    []SeasonGame `json:"games"`    // the games, in the order of the record; those without a series on record do not count
	Kids     []SeasonKid  `json:"kids"`     // the kids, in the order of roster.csv, then those who are gone
	Jain     *float64     `json:"jain"`     // Jain's index of series / share over the kids with a share, 1/n to 1 (even); null: nobody has one
	Gini     *float64     `json:"gini"`     // Gini's index of the same, 0 (even) to (n-1)/n; null: nobody has a share
	Warnings []string     `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}

// SeasonGame is one game on record; Series are the numbers of those that were played.
type SeasonGame struct {
	Game     string `json:"game"`               // the game's id
	Date     string `json:"date"`               // its date, year-month-day; "": not known
	Opponent string `json:"opponent,omitempty"` // the other team; left out: not known, or names are
	Series   []int  `json:"series"`             // numbers of the series that were played, counted from 1
}

// SeasonKid is one kid's season. Share is the fair number of series, given who was there when; Owed = Share - Series, and above 0 the kid is owed.
type SeasonKid struct {
	Kid        string         `json:"kid"`        // the kid's id
	Gone       bool           `json:"gone"`       // on record, and not on the roster any more
	Attended   int            `json:"attended"`   // number of games it came to
	There      int            `json:"there"`      // number of series it was there for
	Series     int            `json:"series"`     // number of series on the field
	Share      float64        `json:"share"`      // its fair number of series, given who was there when; it need not be whole
	Owed       float64        `json:"owed"`       // share less series, in series; above 0 the kid is owed
	Roles      map[string]int `json:"roles"`      // number of series by role played
	LongestOff int            `json:"longestOff"` // most series in a row on the bench while there, in one game
	Games      []SeasonPart   `json:"games"`      // one part for each game, those missed included
}

// SeasonPart is a kid's part in a game. There is from which to which series, but for those of Away; null: the kid was not there. Owed is after the game. Of a kid
// who was hurt in the game the share is what it had played by then.
type SeasonPart struct {
	Game  string  `json:"game"`  // the game's id
	There *[2]int `json:"there"` // from which to which series, counted from 1, it was there, but for those of away; null: it was not
	// first and last series, counted from 1, of stretches in between for which it was not there; left out where there is none
	Away       [][2]int       `json:"away,omitempty"`
	Hurt       bool           `json:"hurt,omitempty"` // it was hurt in the game; left out: it was not
	Series     int            `json:"series"`         // number of series on the field
	Share      float64        `json:"share"`          // its fair number of series; of a kid who was hurt what it had played by then
	Owed       float64        `json:"owed"`           // owed after the game, in series
	Roles      map[string]int `json:"roles"`          // number of series by role played
	LongestOff int            `json:"longestOff"`     // most series in a row on the bench while there
}

// LineupSeason is what a plan owes to earlier games: how many count, who has the larger share because of them, and who should have
// had it and does not, because no plan with that was found that keeps the rules.
type LineupSeason struct {
	Games  int      `json:"games"`  // number of earlier games that count
	Larger []string `json:"larger"` // ids of kids who have the larger share because of them
	// ids of kids who should have had it and do not, because no plan with that was found that keeps the rules
	Passed   []string   `json:"passed"`
	PaidBack []PaidBack `json:"paidBack,omitempty"` // series paid back to kids who are owed more than a whole one
	// ids of such kids who get none, although there are kids who have had more, because no plan with that was found that keeps the rules
	Unpaid []string `json:"unpaid,omitempty"`
}

// PaidBack is one series paid back: kid To plays one more than its share gives it, kid From one less.
type PaidBack struct {
	To   string `json:"to"`   // id of the kid who plays one series more than its share gives it
	From string `json:"from"` // id of the kid who plays one less
}

// Number is a number that may not be there.
func Number(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}
