package report

// Trade is a proposed trade with its price: the objective after it less that before. Along lists who moves only because a sibling does.
type Trade struct {
	Schema   string        `json:"schema"`   // name and version of this object's schema
	League   string        `json:"league"`   // the league's name
	Moves    []Moved       `json:"moves"`    // the kids traded, and who moves along
	Along    []string      `json:"along"`    // ids of kids who move only because a sibling does
	Allowed  bool          `json:"allowed"`  // it breaks no rule
	Broken   []KeptRule    `json:"broken"`   // the rules that it breaks
	Price    float64       `json:"price"`    // objective after it less that before (no unit); above 0 is less even
	Before   Evenness      `json:"before"`   // how even the teams are before it
	After    Evenness      `json:"after"`    // how even they are after it
	Counters []DraftOption `json:"counters"` // counter-trades on top of it, each better than those with fewer moves
	Restored bool          `json:"restored"` // the last counter-trade brings the balance back to what it was, or better
	Taken    int           `json:"taken"`    // number of the counter-trade that was saved, counted from 1; 0: the trade alone, or nothing
	Warnings []string      `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}

// DraftOption is one way to change a split: kids who had a team and change it, kids who get one, and how even it is then.
type DraftOption struct {
	Moves  []Moved  `json:"moves"`  // kids who had a team and change it
	Placed []Moved  `json:"placed"` // kids who get a team
	After  Evenness `json:"after"`  // how even the teams are then
}

// Placement is how kids who came late get a team, or how the teams go on without kids who left. Each option is better than
// those with fewer moves. Beyond: with as few moves as asked for none was found, and what is listed moves more.
type Placement struct {
	Schema   string        `json:"schema"`   // name and version of this object's schema
	League   string        `json:"league"`   // the league's name
	New      []string      `json:"new"`      // ids of kids who came late
	Gone     []Moved       `json:"gone"`     // kids who left, and from which team
	Most     int           `json:"most"`     // number of moves asked for
	Options  []DraftOption `json:"options"`  // the ways to go on, each better than those with fewer moves
	Beyond   bool          `json:"beyond"`   // with as few moves as asked for none was found, and what is listed moves more
	Taken    int           `json:"taken"`    // number of the option that was saved, counted from 1; 0: none
	Warnings []string      `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}

// Draw is the record of a draw of teams to coaches. Anybody can redo it from Seed, Open and Drawn; Input.SHA256 is that of the file of
// teams as it was.
type Draw struct {
	Schema   string      `json:"schema"`   // name and version of this object's schema
	League   string      `json:"league"`   // the league's name
	Input    Input       `json:"input"`    // the file of teams as it was
	Words    string      `json:"words"`    // the seed words as typed
	Seed     string      `json:"seed"`     // the seed words as hashed
	Open     []string    `json:"open"`     // the teams to be drawn, in the order before the draw
	Drawn    []string    `json:"drawn"`    // the coaches they are drawn to, in their order
	Steps    []DrawStep  `json:"steps"`    // the exchanges of the draw, in their order
	Coaches  []CoachTeam `json:"coaches"`  // who has which team
	Warnings []string    `json:"warnings"` // what the file of teams says that does not hold of them any more
}

// Input is a file and its SHA-256 in hexadecimal digits.
type Input struct {
	File   string `json:"file"`   // the file's name
	SHA256 string `json:"sha256"` // SHA-256 of its bytes, hexadecimal digits
}

// DrawStep says which places of the list of open teams were exchanged, counted from 0. Number is what the hash gave, in decimal
// digits, as some readers of JSON lose the last ones of large numbers; With = Number mod (At+1).
type DrawStep struct {
	At     int    `json:"at"`     // place in the list of open teams, counted from 0
	With   int    `json:"with"`   // the place it was exchanged with, counted from 0: number mod (at + 1)
	Number string `json:"number"` // what the hash gave, decimal digits in a text, as some readers of JSON lose the last ones of large numbers
}

// CoachTeam is a coach's team; Drawn false: the coach's own kid is on it.
type CoachTeam struct {
	Coach string `json:"coach"` // the coach's name, or a number in its place where names are left out
	Team  string `json:"team"`  // the team's name
	Drawn bool   `json:"drawn"` // false: the coach's own kid is on it
}

// Board is a live snake as it stands. Rest is the most even that the picks so far leave possible, as far as was searched; Even is the
// even split that was possible before the first pick.
type Board struct {
	Schema   string             `json:"schema"`   // name and version of this object's schema
	League   string             `json:"league"`   // the league's name
	Order    []string           `json:"order"`    // the teams in the order of round 1
	Over     bool               `json:"over"`     // no turn is left
	Round    int                `json:"round"`    // round of the next turn, counted from 1
	Turn     string             `json:"turn"`     // the team whose turn is next; "": the board is over
	Entries  []BoardEntry       `json:"entries"`  // the turns so far, in their order
	Teams    []DraftTeam        `json:"teams"`    // the teams as they stand
	Measures []string           `json:"measures"` // overall, and the traits that were measured: the keys of what is keyed by measure, in their order
	Left     []string           `json:"left"`     // ids of kids without a team, best overall first
	Legal    []string           `json:"legal"`    // ids of those of them that the team whose turn it is may call
	Spread   map[string]float64 `json:"spread"`   // by measure, highest mean of the teams as they stand less lowest, T points
	// the most even that the picks so far leave possible, as far as was searched; null: the board is over, or none was found
	Rest     *Evenness `json:"rest"`
	Even     Evenness  `json:"even"`     // the even split that was possible before the first pick
	Warnings []string  `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}

// BoardEntry is one turn: kids picked, placed (settled kids), or none because turns were owed for siblings or the team is full.
type BoardEntry struct {
	Round int      `json:"round"` // its round, counted from 1
	Team  string   `json:"team"`  // the team's name
	How   string   `json:"how"`   // picked; placed: settled kids; owed: none, because turns were owed for siblings; full: none, the team is
	Kids  []string `json:"kids"`  // ids of the kids
}
