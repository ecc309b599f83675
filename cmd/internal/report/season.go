package report

import "math"

// SeasonSchema is the schema of Season.
const SeasonSchema = "sevenyard.season/1"

// Season is the games on record, summed up.
type Season struct {
	Schema   string       `json:"schema"`
	Team     string       `json:"team"`
	Games    []SeasonGame `json:"games"` // in the order of the record; those without a series on record do not count
	Kids     []SeasonKid  `json:"kids"`
	Jain     *float64     `json:"jain"` // Jain's index of series / share over the kids with a share, 1/n to 1 (even); null: nobody has one
	Gini     *float64     `json:"gini"` // Gini's index of the same, 0 (even) to (n-1)/n; null: nobody has a share
	Warnings []string     `json:"warnings"`
}

// SeasonGame is one game on record; Series are the numbers of those that were played.
type SeasonGame struct {
	Game     string `json:"game"`
	Date     string `json:"date"`
	Opponent string `json:"opponent,omitempty"`
	Series   []int  `json:"series"`
}

// SeasonKid is one kid's season. Share is the fair number of series, given who was there when; Owed = Share - Series, and above 0 the kid is owed.
type SeasonKid struct {
	Kid        string         `json:"kid"`
	Gone       bool           `json:"gone"`     // on record, and not on the roster any more
	Attended   int            `json:"attended"` // games
	There      int            `json:"there"`    // series there for
	Series     int            `json:"series"`   // on the field
	Share      float64        `json:"share"`
	Owed       float64        `json:"owed"`
	Roles      map[string]int `json:"roles"`      // series by role played
	LongestOff int            `json:"longestOff"` // series in a row on the bench while there, in one game
	Games      []SeasonPart   `json:"games"`      // one for each game, those missed included
}

// SeasonPart is a kid's part in a game. There is from which to which series, but for those of Away; null: the kid was not there. Owed is after the game. Of a kid
// who was hurt in the game the share is what it had played by then.
type SeasonPart struct {
	Game       string         `json:"game"`
	There      *[2]int        `json:"there"`
	Away       [][2]int       `json:"away,omitempty"` // stretches in between for which it was not there
	Hurt       bool           `json:"hurt,omitempty"`
	Series     int            `json:"series"`
	Share      float64        `json:"share"`
	Owed       float64        `json:"owed"`
	Roles      map[string]int `json:"roles"`
	LongestOff int            `json:"longestOff"`
}

// LineupSeason is what a plan owes to earlier games: how many count, who has the larger share because of them, and who should have
// had it and does not, because no plan with that was found that keeps the rules.
type LineupSeason struct {
	Games  int      `json:"games"`
	Larger []string `json:"larger"`
	Passed []string `json:"passed"`
	// PaidBack are the series paid back to kids who are owed more than a whole one. Unpaid are such kids who get none, although there are kids who
	// have had more, because no plan with that was found that keeps the rules.
	PaidBack []PaidBack `json:"paidBack,omitempty"`
	Unpaid   []string   `json:"unpaid,omitempty"`
}

// PaidBack is one series paid back: kid To plays one more than its share gives it, kid From one less.
type PaidBack struct {
	To   string `json:"to"`
	From string `json:"from"`
}

// Number is a number that may not be there.
func Number(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}
