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
	Schema    string             `json:"schema"`
	League    string             `json:"league"`
	Division  string             `json:"division"`
	Seed      uint64             `json:"seed"`
	Pool      string             `json:"pool"` // a fingerprint of what a draft goes by: scores and rules, no names
	Measures  []string           `json:"measures"`
	Teams     []DraftTeam        `json:"teams"`
	Spread    map[string]float64 `json:"spread"` // range of the team means
	Error     map[string]Noise   `json:"error"`
	Snake     *Compared          `json:"snake"`  // null: none was found that keeps the rules
	Random    *Compared          `json:"random"` // null: none was found that keeps the rules
	Objective float64            `json:"objective"`
	Bound     float64            `json:"bound"`    // no split that keeps the rules and has the least shortage has a lower objective; 0: none known
	Proven    bool               `json:"proven"`   // no split that keeps the rules is better
	Better    *Evenness          `json:"better"`   // a more even split that keeps the rules and is known: of saved teams; null: none is known
	Shortage  int                `json:"shortage"` // spots of the formation that teams cannot fill from their own kids
	Parts     []Part             `json:"parts"`    // what the objective is the sum of
	Rules     []KeptRule         `json:"rules"`    // the hard rules, kept but for those of Broken
	Broken    []KeptRule         `json:"broken"`   // what saved teams break, where the rules or the file have changed; a draft breaks none
	Carpools  []Carpool          `json:"carpools"`
	Play      *PlayedOut         `json:"play"`  // null: not tried out
	Moved     []Moved            `json:"moved"` // who changed teams since the split this one was made from
	Warnings  []string           `json:"warnings"`
	Cautions  []string           `json:"cautions"`
}

// DraftTeam is one team. Nights are its practice nights, none listed: not settled. Coach is who has drawn it; "": not known.
type DraftTeam struct {
	Team      string             `json:"team"`
	Nights    []string           `json:"nights"`
	Coach     string             `json:"coach"`
	Kids      []string           `json:"kids"`
	Means     map[string]float64 `json:"means"`
	SE        map[string]float64 `json:"se"`        // standard errors of the means
	Grades    map[string]int     `json:"grades"`    // kids by grade; "" not given
	Untested  int                `json:"untested"`  // kids who missed evaluation night
	Returning int                `json:"returning"` // kids who played last season
	Shortage  int                `json:"shortage"`
}

// Noise is what measurement error alone would do to the means of teams that are truly equal: their standard deviation, their expected
// range, and the range that is exceeded in one case of twenty. Even: the spread is less than the expected range.
type Noise struct {
	SD      float64 `json:"sd"`
	Range   float64 `json:"range"`
	Range95 float64 `json:"range95"`
	Even    bool    `json:"even"`
}

// Compared is another split of the same pool, by the same rules. Mended: kids who had to be moved after the snake to keep the rules.
type Compared struct {
	Spread    map[string]float64  `json:"spread"`
	Objective float64             `json:"objective"`
	Mended    int                 `json:"mended"`
	Teams     map[string][]string `json:"teams"` // kids by team
}

// Part is one term of the objective: its cost, weight included, and the least it can be in any split that keeps the rules (0: not known).
type Part struct {
	Part  string  `json:"part"` // a measure, grades, untested, uncertainty, returning or carpools
	Cost  float64 `json:"cost"`
	Bound float64 `json:"bound"`
}

// KeptRule is one hard rule: sizes, siblings, coach, fixed, nights, apart or returning.
type KeptRule struct {
	Rule  string   `json:"rule"`
	Kids  []string `json:"kids"`
	Teams []string `json:"teams"` // siblings: the team they are on; coach and fixed: the team; nights: the teams allowed; apart: those of the two
	Words string   `json:"words"`
}

// Carpool is a wish. Price is how much worse the rest of the objective is with it than without, as far as was searched; it says
// nothing where Priced is false: no way to grant the wish was found, and none was ruled out.
type Carpool struct {
	Kids     []string `json:"kids"`
	Granted  bool     `json:"granted"`
	Possible bool     `json:"possible"` // false: the rules forbid it
	Priced   bool     `json:"priced"`
	Price    float64  `json:"price"`
}

// PlayedOut is every team's own plan of a game, for the drafted teams and for the two splits they are compared with.
type PlayedOut struct {
	Series    int      `json:"series"`
	Formation []string `json:"formation"`
	Seconds   float64  `json:"seconds"` // the most time that went into one team's plan
	Draft     *Played  `json:"draft"`
	Snake     *Played  `json:"snake"`
	Random    *Played  `json:"random"`
}

// Played is how the teams of one split play. Spreads are ranges over the teams, in T points. Proven: every team's plan is the best
// possible; where it is not, another run may differ.
type Played struct {
	Teams         []TeamPlay `json:"teams"`
	WeakestSpread float64    `json:"weakestSpread"`
	AverageSpread float64    `json:"averageSpread"`
	Proven        bool       `json:"proven"`
}

// TeamPlay is one team's best plan as far as it was searched: its weakest series and the average of all.
type TeamPlay struct {
	Team    string  `json:"team"`
	Kids    int     `json:"kids"` // who can be planned
	Weakest float64 `json:"weakest"`
	Average float64 `json:"average"`
	Proven  bool    `json:"proven"` // no plan has a stronger weakest series, or with as strong a one a higher average
}

// Moved is a kid on another team than before; From "": new, To "": gone.
type Moved struct {
	Kid  string `json:"kid"`
	From string `json:"from"`
	To   string `json:"to"`
}

// Evenness is how even one split is. Spread is keyed by measure, in T points; Parts by what the objective is the sum of. Even: in every
// measure the teams differ by less than measurement error alone would make them.
type Evenness struct {
	Objective float64            `json:"objective"`
	Shortage  int                `json:"shortage"`
	Spread    map[string]float64 `json:"spread"`
	Parts     map[string]float64 `json:"parts"`
	Even      bool               `json:"even"`
}
