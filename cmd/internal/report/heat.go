package report

// Heat is what the league's table says to a wet-bulb globe temperature, or without one all published tables, of each demand the most cautious one.
type Heat struct {
	WBGTF        float64    `json:"wbgtF"`        // degrees Fahrenheit
	WBGTC        float64    `json:"wbgtC"`        // degrees Celsius
	MaxOn        int        `json:"maxOn"`        // series in a row on the field; 0: as otherwise
	MaxOnKept    bool       `json:"maxOnKept"`    // false: with so few kids somebody is on the field for longer
	BreakEvery   int        `json:"breakEvery"`   // series
	BreakMinutes int        `json:"breakMinutes"` // at least
	League       string     `json:"league"`       // the table that team.toml names; "": none
	Word         string     `json:"word"`         // whose word counts, as a sentence
	Off          []string   `json:"off"`          // tables that call the game off and do not decide it, as sentences
	Rules        []HeatRule `json:"rules"`
	Caution      string     `json:"caution"`
}

// HeatRule is what one table says.
type HeatRule struct {
	Table      string `json:"table"`
	Column     string `json:"column"`
	Words      string `json:"words"`
	Counts     bool   `json:"counts"`     // false: more cautious than the league's table, and only told
	Superseded string `json:"superseded"` // by what, when, and where that is known from; "": the table is current
	Source     string `json:"source"`
}

// Break is a water break after a series.
type Break struct {
	After   int `json:"after"`
	Minutes int `json:"minutes"` // at least
}
