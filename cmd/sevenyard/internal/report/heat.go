package report

// Heat is what the published tables say to a wet-bulb globe temperature, of each demand the most cautious one.
type Heat struct {
	WBGTF        float64    `json:"wbgtF"`        // degrees Fahrenheit
	WBGTC        float64    `json:"wbgtC"`        // degrees Celsius
	MaxOn        int        `json:"maxOn"`        // series in a row on the field; 0: as otherwise
	MaxOnKept    bool       `json:"maxOnKept"`    // false: with so few kids somebody is on the field for longer
	BreakEvery   int        `json:"breakEvery"`   // series
	BreakMinutes int        `json:"breakMinutes"` // at least
	Rules        []HeatRule `json:"rules"`
	Caution      string     `json:"caution"`
}

// HeatRule is what one table says.
type HeatRule struct {
	Table  string `json:"table"`
	Column string `json:"column"`
	Words  string `json:"words"`
	Source string `json:"source"`
}

// Break is a water break after a series.
type Break struct {
	After   int `json:"after"`
	Minutes int `json:"minutes"` // at least
}
