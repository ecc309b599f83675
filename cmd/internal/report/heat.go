package report

// Heat is what the league's table says to a wet-bulb globe temperature, or without one all published tables, of each demand the most cautious one.
type Heat struct {
	WBGTF        float64    `json:"wbgtF"`        // the reading, degrees Fahrenheit (wet-bulb globe temperature)
	WBGTC        float64    `json:"wbgtC"`        // the reading, degrees Celsius (wet-bulb globe temperature)
	MaxOn        int        `json:"maxOn"`        // most series in a row on the field; 0: as otherwise
	MaxOnKept    bool       `json:"maxOnKept"`    // false: with so few kids somebody is on the field for longer
	BreakEvery   int        `json:"breakEvery"`   // a water break every so many series; 0: none is asked for
	BreakMinutes int        `json:"breakMinutes"` // least length of a break, minutes
	League       string     `json:"league"`       // the table that team.toml names; "": none
	Word         string     `json:"word"`         // whose word counts, as a sentence
	Off          []string   `json:"off"`          // tables that call the game off and do not decide it, as sentences
	Rules        []HeatRule `json:"rules"`        // what each table says
	Caution      string     `json:"caution"`      // what to look out for, as a sentence
}

// HeatRule is what one table says.
type HeatRule struct {
	Table      string `json:"table"`      // the table's name
	Column     string `json:"column"`     // which of its columns is used, and why
	Words      string `json:"words"`      // what it asks for
	Counts     bool   `json:"counts"`     // false: more cautious than the league's table, and only told
	Superseded string `json:"superseded"` // by what, when, and where that is known from; "": the table is current
	Source     string `json:"source"`     // where the table was read
}

// Break is a water break after a series.
type Break struct {
	After   int `json:"after"`   // the series, counted from 1, after which it is
	Minutes int `json:"minutes"` // its least length, minutes
}
