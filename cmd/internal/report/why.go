package report

// Why tells about one kid in the plan of a game, and what the rules cost. Differences are those to the plan, in T points:
// above 0 is stronger.
type Why struct {
	Schema   string   `json:"schema"`
	Team     string   `json:"team"`
	Kid      string   `json:"kid"`
	Seed     uint64   `json:"seed"`
	Limited  bool     `json:"limited"` // the plan itself is not proven
	Plays    []Stint  `json:"plays"`
	Share    float64  `json:"share"`
	LongTurn string   `json:"longTurn"` // why the kid may stay on for longer than the others, "" where it may not
	Fits     []Rank   `json:"fits"`
	Weakest  Weakest  `json:"weakest"`
	Total    Bounded  `json:"total"`
	Wishes   []Wish   `json:"wishes"`
	Rules    []Price  `json:"rules"`
	Loosened []string `json:"loosened"`
	Warnings []string `json:"warnings"`
	From     *From    `json:"from,omitempty"` // only of a saved plan
}

// From is the saved plan asked about. Changes: so many of its spots had to change, because who is there or the rules have; what is
// told is then told of the changed plan. Fresh is what a plan without regard to it would gain; null: none was found in the time given.
type From struct {
	File    string `json:"file"`
	Played  int    `json:"played"` // the first so many series are over, and not asked about
	Changes int    `json:"changes"`
	Fresh   *Fresh `json:"fresh"`
}

// Stint is the series that the kid plays in one role.
type Stint struct {
	Role   string `json:"role"`
	Series []int  `json:"series"`
}

// Rank is the kid's fit for a role among the kids who are planned and may play it.
type Rank struct {
	Role     string   `json:"role"`
	Fit      float64  `json:"fit"`
	SE       float64  `json:"se"`
	Own      bool     `json:"own"`
	Tested   bool     `json:"tested"`
	Never    bool     `json:"never"` // the kid does not play the role
	Rank     int      `json:"rank"`  // 1: the best; 0: never plays it
	Of       int      `json:"of"`
	TooClose []string `json:"tooClose"` // kids whose fits differ by less than the error of the difference
}

// Wish is what the best plan would be if the kid played a role in a series (0: at least once), or, with Not, where the plan has
// it so, if the kid did not (Series 0: in no series). Proven: both plans are the best there are, or there is no such plan.
type Wish struct {
	Role     string     `json:"role"`
	Series   int        `json:"series"`
	Not      bool       `json:"not"`
	Possible bool       `json:"possible"`
	Weakest  float64    `json:"weakest"`
	Total    float64    `json:"total"`
	Proven   bool       `json:"proven"`
	Against  []Opponent `json:"against"` // who has the role, or would have it instead
}

// Opponent is another kid in the role asked about.
type Opponent struct {
	Kid      string  `json:"kid"`
	Fit      float64 `json:"fit"`
	SE       float64 `json:"se"`
	Own      bool    `json:"own"`
	Tested   bool    `json:"tested"`
	TooClose bool    `json:"tooClose"` // the fits differ by less than the error of their difference
}

// Price is what the plan would gain without some rules.
type Price struct {
	Rules   []string `json:"rules"` // their names, each once
	Words   string   `json:"words"`
	Weakest float64  `json:"weakest"`
	Total   float64  `json:"total"`
	Proven  bool     `json:"proven"`
}
