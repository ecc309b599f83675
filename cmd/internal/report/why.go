package report

// Why tells about one kid in the plan of a game, and what the rules cost. Differences are those to the plan, in T points:
// above 0 is stronger.
type Why struct {
	Schema   string   `json:"schema"`         // name and version of this object's schema
	Team     string   `json:"team"`           // the team's name
	Kid      string   `json:"kid"`            // the kid's id
	Seed     uint64   `json:"seed"`           // where the search began
	Limited  bool     `json:"limited"`        // the plan itself is not proven
	Plays    []Stint  `json:"plays"`          // what the kid plays
	Share    float64  `json:"share"`          // its fair share of the turns, in series
	LongTurn string   `json:"longTurn"`       // why the kid may stay on for longer than the others; "": it may not
	Fits     []Rank   `json:"fits"`           // its fits for the roles that are played
	Weakest  Weakest  `json:"weakest"`        // strength of the plan's weakest series, T points
	Total    Bounded  `json:"total"`          // sum of the strengths of the plan's series, T points
	Wishes   []Wish   `json:"wishes"`         // the plan if the kid played elsewhere
	Rules    []Price  `json:"rules"`          // what the rules cost
	Loosened []string `json:"loosened"`       // rules given up, in words
	Warnings []string `json:"warnings"`       // sentences for a person: what looks odd and counts all the same
	From     *From    `json:"from,omitempty"` // the saved plan asked about; left out: it was none
}

// From is the saved plan asked about. Changes: so many of its spots had to change, because who is there or the rules have; what is
// told is then told of the changed plan. Fresh is what a plan without regard to it would gain; null: none was found in the time given.
type From struct {
	File   string `json:"file"`   // the plan's file
	Played int    `json:"played"` // number of series that are over, the first ones, and not asked about
	// number of its spots that had to change, because who is there or the rules have; what is told is then told of the changed plan
	Changes int    `json:"changes"`
	Fresh   *Fresh `json:"fresh"` // what a plan without regard to it would gain; null: none was found in the time given
}

// Stint is the series that the kid plays in one role.
type Stint struct {
	Role   string `json:"role"`   // the role's name
	Series []int  `json:"series"` // numbers of the series, counted from 1
}

// Rank is the kid's fit for a role among the kids who are planned and may play it.
type Rank struct {
	Role     string   `json:"role"`     // the role's name
	Fit      float64  `json:"fit"`      // the kid's fit for the role, T points
	SE       float64  `json:"se"`       // standard error of the fit, T points
	Own      bool     `json:"own"`      // the fit is the coach's own, of fits.csv
	Tested   bool     `json:"tested"`   // false: no measurement is behind the fit
	Never    bool     `json:"never"`    // the kid does not play the role
	Rank     int      `json:"rank"`     // its place among the kids, counted from 1, the best; 0: it never plays the role
	Of       int      `json:"of"`       // number of kids who are planned and may play the role
	TooClose []string `json:"tooClose"` // ids of kids whose fits differ by less than the error of the difference
}

// Wish is what the best plan would be if the kid played a role in a series (0: at least once), or, with Not, where the plan has
// it so, if the kid did not (Series 0: in no series). Proven: both plans are the best there are, or there is no such plan.
type Wish struct {
	Role     string     `json:"role"`     // the role's name
	Series   int        `json:"series"`   // the series asked about, counted from 1; 0: at least one, or with not: none at all
	Not      bool       `json:"not"`      // the plan has it so, and asked is what would be if it did not
	Possible bool       `json:"possible"` // there is such a plan
	Weakest  float64    `json:"weakest"`  // what the weakest series gains, T points; below 0 it loses
	Total    float64    `json:"total"`    // what the total gains, T points; below 0 it loses
	Proven   bool       `json:"proven"`   // both plans are the best there are, or there is no such plan
	Against  []Opponent `json:"against"`  // who has the role, or would have it instead
}

// Opponent is another kid in the role asked about.
type Opponent struct {
	Kid      string  `json:"kid"`      // the kid's id
	Fit      float64 `json:"fit"`      // its fit for the role, T points
	SE       float64 `json:"se"`       // standard error of the fit, T points
	Own      bool    `json:"own"`      // the fit is the coach's own, of fits.csv
	Tested   bool    `json:"tested"`   // false: no measurement is behind the fit
	TooClose bool    `json:"tooClose"` // the two fits differ by less than the error of their difference
}

// Price is what the plan would gain without some rules.
type Price struct {
	Rules   []string `json:"rules"`   // names of the rules, each once
	Words   string   `json:"words"`   // the rules in words
	Weakest float64  `json:"weakest"` // what the weakest series gains without them, T points
	Total   float64  `json:"total"`   // what the total gains without them, T points
	Proven  bool     `json:"proven"`  // both plans are the best there are
}
