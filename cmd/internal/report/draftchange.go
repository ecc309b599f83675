package report

// Trade is a proposed trade with its price: the objective after it less that before. Along lists who moves only because a sibling does.
type Trade struct {
	Schema   string        `json:"schema"`
	League   string        `json:"league"`
	Moves    []Moved       `json:"moves"`
	Along    []string      `json:"along"`
	Allowed  bool          `json:"allowed"`
	Broken   []KeptRule    `json:"broken"` // the rules that the trade breaks
	Price    float64       `json:"price"`
	Before   Evenness      `json:"before"`
	After    Evenness      `json:"after"`
	Counters []DraftOption `json:"counters"` // on top of the trade; each better than those with fewer moves
	Restored bool          `json:"restored"` // the last one brings the balance back to what it was, or better
	Taken    int           `json:"taken"`    // the counter-trade that was saved, from 1; 0: the trade alone, or nothing
	Warnings []string      `json:"warnings"`
}

// DraftOption is one way to change a split: kids who had a team and change it, kids who get one, and how even it is then.
type DraftOption struct {
	Moves  []Moved  `json:"moves"`
	Placed []Moved  `json:"placed"`
	After  Evenness `json:"after"`
}

// Placement is how kids who came late get a team, or how the teams go on without kids who left. Each option is better than
// those with fewer moves. Beyond: with as few moves as asked for none was found, and what is listed moves more.
type Placement struct {
	Schema   string        `json:"schema"`
	League   string        `json:"league"`
	New      []string      `json:"new"`
	Gone     []Moved       `json:"gone"`
	Most     int           `json:"most"` // moves asked for
	Options  []DraftOption `json:"options"`
	Beyond   bool          `json:"beyond"`
	Taken    int           `json:"taken"` // the option that was saved, from 1; 0: none
	Warnings []string      `json:"warnings"`
}

// Draw is the record of a draw of teams to coaches. Anybody can redo it from Seed, Open and Drawn; Input.SHA256 is that of the file of
// teams as it was.
type Draw struct {
	Schema  string      `json:"schema"`
	League  string      `json:"league"`
	Input   Input       `json:"input"`
	Words   string      `json:"words"` // as typed
	Seed    string      `json:"seed"`  // as hashed
	Open    []string    `json:"open"`  // the teams to be drawn, in the order before the draw
	Drawn   []string    `json:"drawn"` // the coaches they are drawn to, in their order
	Steps   []DrawStep  `json:"steps"`
	Coaches []CoachTeam `json:"coaches"`
	// Warnings are what the file of teams says that does not hold of them any more.
	Warnings []string `json:"warnings"`
}

// Input is a file and its SHA-256 in hexadecimal digits.
type Input struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
}

// DrawStep says which places of the list of open teams were exchanged, counted from 0. Number is what the hash gave, in decimal
// digits, as some readers of JSON lose the last ones of large numbers; With = Number mod (At+1).
type DrawStep struct {
	At     int    `json:"at"`
	With   int    `json:"with"`
	Number string `json:"number"`
}

// CoachTeam is a coach's team; Drawn false: the coach's own kid is on it.
type CoachTeam struct {
	Coach string `json:"coach"`
	Team  string `json:"team"`
	Drawn bool   `json:"drawn"`
}

// Board is a live snake as it stands. Rest is the most even that the picks so far leave possible, as far as was searched; Even is the
// even split that was possible before the first pick.
type Board struct {
	Schema   string             `json:"schema"`
	League   string             `json:"league"`
	Order    []string           `json:"order"` // of the teams in round 1
	Over     bool               `json:"over"`
	Round    int                `json:"round"` // of the next turn
	Turn     string             `json:"turn"`  // whose it is; "" when over
	Entries  []BoardEntry       `json:"entries"`
	Teams    []DraftTeam        `json:"teams"`
	Measures []string           `json:"measures"`
	Left     []string           `json:"left"`   // kids without a team, best overall first
	Legal    []string           `json:"legal"`  // those of them that the team whose turn it is may call
	Spread   map[string]float64 `json:"spread"` // of the teams as they stand
	Rest     *Evenness          `json:"rest"`   // null: the board is over, or none was found
	Even     Evenness           `json:"even"`
	Warnings []string           `json:"warnings"`
}

// BoardEntry is one turn: kids picked, placed (settled kids), or none because turns were owed for siblings or the team is full.
type BoardEntry struct {
	Round int      `json:"round"`
	Team  string   `json:"team"`
	How   string   `json:"how"` // picked, placed, owed or full
	Kids  []string `json:"kids"`
}
