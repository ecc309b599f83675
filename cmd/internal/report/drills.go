package report

// DrillsSchema is the schema of the list of drills.
const DrillsSchema = "sevenyard.drills/1"

// DrillSheet is how the drills are run.
type DrillSheet struct {
	Schema   string    `json:"schema"`
	Drills   []Station `json:"drills"`
	Cautions []string  `json:"cautions"`
}

// Station is one drill: how it is scored and set up. Minutes are for one kid and all usual trials; 0 of a number: not given.
type Station struct {
	Drill    string  `json:"drill"`
	Title    string  `json:"title"`
	Kind     string  `json:"kind"` // timed, counted or rated
	Unit     string  `json:"unit"`
	Trials   int     `json:"trials"`
	Attempts int     `json:"attempts"` // in one trial of a counted drill
	Minutes  float64 `json:"minutes"`
	Setup    string  `json:"setup"`
	Safety   string  `json:"safety"`
	Source   string  `json:"source"`
}
