package report

// The schemas of the draft.
const (
	DraftSchema = "sevenyard.draft/1"
	TradeSchema = "sevenyard.draft.trade/1"
	PlaceSchema = "sevenyard.draft.place/1"
	DrawSchema  = "sevenyard.draft.draw/1"
	BoardSchema = "sevenyard.draft.board/1"
)

// Draft is a split of a pool into teams. Scores, means and spreads are T points of the pool; kids go by their ids. What is keyed by
// measure has the key "overall" and one for every trait that was measured; Measures gives their order.
type Draft struct {
	Schema    string             `json:"schema"`    // name and version of this object's schema
	League    string             `json:"league"`    // the league's name
	Division  string             `json:"division"`  // the grades, such as 3-4
	Seed      uint64             `json:"seed"`      // where the search began; the same files, effort and seed give the same teams
	Pool      string             `json:"pool"`      // a fingerprint of what a draft goes by, scores and rules, no names
	Measures  []string           `json:"measures"`  // overall, and the traits that were measured: the keys of what is keyed by measure, in their order
	Teams     []DraftTeam        `json:"teams"`     // the teams, in the order of league.toml
	Spread    map[string]float64 `json:"spread"`    // by measure, highest team mean less lowest, T points
	Error     map[string]Noise   `json:"error"`     // by measure, what measurement error alone would do
	Snake     *Compared          `json:"snake"`     // a snake draft of the same pool; null: none was found that keeps the rules
	Random    *Compared          `json:"random"`    // a random split of the same pool; null: none was found that keeps the rules
	Objective float64            `json:"objective"` // the unevenness: sum of the parts (no unit), 0 even, less is better
	// no split that keeps the rules and has the least shortage has a lower objective (no unit); 0: none known
	Bound    float64    `json:"bound"`
	Proven   bool       `json:"proven"`   // no split that keeps the rules is better
	Better   *Evenness  `json:"better"`   // of saved teams, a more even split that keeps the rules and is known; null: none is known
	Shortage int        `json:"shortage"` // number of spots of the formation that teams cannot fill from their own kids
	Parts    []Part     `json:"parts"`    // what the objective is the sum of
	Rules    []KeptRule `json:"rules"`    // the hard rules, kept but for those of broken
	Broken   []KeptRule `json:"broken"`   // what saved teams break, where the rules or the file have changed; a draft breaks none
	Carpools []Carpool  `json:"carpools"` // the wishes to share a ride
	Play     *PlayedOut `json:"play"`     // the draft tried out in games; null: not tried out
	Moved    []Moved    `json:"moved"`    // who changed teams since the split this one was made from
	Warnings []string   `json:"warnings"` // sentences for a person: what looks odd and counts all the same
	Cautions []string   `json:"cautions"` // sentences for a person about the kids' safety
}

// DraftTeam is one team. Nights are its practice nights, none listed: not settled. Coach is who has drawn it; "": not known.
type DraftTeam struct {
	Team      string             `json:"team"`      // the team's name
	Nights    []string           `json:"nights"`    // its practice nights; none listed: not settled
	Coach     string             `json:"coach"`     // who has drawn it; "": not known
	Kids      []string           `json:"kids"`      // ids of its kids
	Means     map[string]float64 `json:"means"`     // by measure, mean of its kids, T points of the pool
	SE        map[string]float64 `json:"se"`        // by measure, standard error of that mean, T points
	Grades    map[string]int     `json:"grades"`    // number of kids by grade; "" not given
	Untested  int                `json:"untested"`  // number of kids who missed evaluation night
	Returning int                `json:"returning"` // number of kids who played last season
	Shortage  int                `json:"shortage"`  // number of spots of the formation that it cannot fill from its own kids
}

// Noise is what measurement error alone would do to the means of teams that are truly equal: their standard deviation, their expected
// range, and the range that is exceeded in one case of twenty. Even: the spread is less than the expected range.
type Noise struct {
	SD      float64 `json:"sd"`      // standard deviation of the means of teams that are truly equal, T points
	Range   float64 `json:"range"`   // their expected range, T points
	Range95 float64 `json:"range95"` // the range that is exceeded in one case of twenty, T points
	Even    bool    `json:"even"`    // the spread is less than the expected range
}

// Compared is another split of the same pool, by the same rules. Mended: kids who had to be moved after the snake to keep the rules.
type Compared struct {
	Spread    map[string]float64  `json:"spread"`    // by measure, highest team mean less lowest, T points
	Objective float64             `json:"objective"` // its unevenness (no unit), less is better
	Mended    int                 `json:"mended"`    // number of kids who had to be moved after the snake to keep the rules
	Teams     map[string][]string `json:"teams"`     // ids of kids by team
}

// Part is one term of the objective: its cost, weight included, and the least it can be in any split that keeps the rules (0: not known).
type Part struct {
	Part  string  `json:"part"`  // a measure, grades, untested, uncertainty, returning or carpools
	Cost  float64 `json:"cost"`  // what it adds to the objective, weight included (no unit)
	Bound float64 `json:"bound"` // the least it can be in any split that keeps the rules (no unit); 0: not known
}

// KeptRule is one hard rule: sizes, siblings, coach, fixed, nights, apart or returning.
type KeptRule struct {
	Rule  string   `json:"rule"`  // sizes, siblings, coach, fixed, nights, apart or returning
	Kids  []string `json:"kids"`  // ids of the kids it speaks of
	Teams []string `json:"teams"` // siblings: the team they are on; coach and fixed: the team; nights: the teams allowed; apart: those of the two
	Words string   `json:"words"` // the rule in words
}

// Carpool is a wish. Price is how much worse the rest of the objective is with it than without, as far as was searched; it says
// nothing where Priced is false: no way to grant the wish was found, and none was ruled out.
type Carpool struct {
	Kids     []string `json:"kids"`     // ids of the kids who would share a ride
	Granted  bool     `json:"granted"`  // they are on one team
	Possible bool     `json:"possible"` // false: the rules forbid it
	Priced   bool     `json:"priced"`   // false: no way to grant the wish was found, and none was ruled out; the price says nothing
	Price    float64  `json:"price"`    // how much worse the rest of the objective is with it than without, as far as was searched (no unit)
}

// PlayedOut is every team's own plan of a game, for the drafted teams and for the two splits they are compared with.
type PlayedOut struct {
	Series    int      `json:"series"`    // number of series of the game
	Formation []string `json:"formation"` // names of the formations, repeated over the game
	Seconds   float64  `json:"seconds"`   // the most time that went into one team's plan, seconds
	Draft     *Played  `json:"draft"`     // how the drafted teams play; null: not tried out
	Snake     *Played  `json:"snake"`     // how those of the snake play; null: not tried out
	Random    *Played  `json:"random"`    // how those of the random split play; null: not tried out
}

// Played is how the teams of one split play. Spreads are ranges over the teams, in T points. Proven: every team's plan is the best
// possible; where it is not, another run may differ.
type Played struct {
	Teams         []TeamPlay `json:"teams"`         // each team's best plan
	WeakestSpread float64    `json:"weakestSpread"` // range over the teams of their weakest series, T points
	AverageSpread float64    `json:"averageSpread"` // range over the teams of their average series, T points
	Proven        bool       `json:"proven"`        // every team's plan is the best possible; where it is not, another run may differ
}

// TeamPlay is one team's best plan as far as it was searched: its weakest series and the average of all.
type TeamPlay struct {
	Team    string  `json:"team"`    // the team's name
	Kids    int     `json:"kids"`    // number of kids who can be planned
	Weakest float64 `json:"weakest"` // strength of its weakest series, T points
	Average float64 `json:"average"` // mean strength of its series, T points
	Proven  bool    `json:"proven"`  // no plan has a stronger weakest series, or with as strong a one a higher average
}

// Moved is a kid on another team than before; From "": new, To "": gone.
type Moved struct {
	Kid  string `json:"kid"`  // the kid's id
	From string `json:"from"` // the team it was on; "": new
	To   string `json:"to"`   // the team it is on; "": gone
}

// Evenness is how even one split is. Spread is keyed by measure, in T points; Parts by what the objective is the sum of. Even: in every
// measure the teams differ by less than measurement error alone would make them.
type Evenness struct {
	Objective float64            `json:"objective"` // the unevenness (no unit), 0 even, less is better
	Shortage  int                `json:"shortage"`  // number of spots of the formation that teams cannot fill from their own kids
	Spread    map[string]float64 `json:"spread"`    // by measure, highest team mean less lowest, T points
	Parts     map[string]float64 `json:"parts"`     // by what the objective is the sum of, what it adds, weight included (no unit)
	Even      bool               `json:"even"`      // in every measure the teams differ by less than measurement error alone would make them
}
