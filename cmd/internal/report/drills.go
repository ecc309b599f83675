package report

// DrillsSchema is the schema of the list of drills.
const DrillsSchema = "sevenyard.drills/1"

// DrillSheet is how the drills are run.
type DrillSheet struct {
	Schema   string    `json:"schema"`   // name and version of this object's schema
	Drills   []Station `json:"drills"`   // the drills, in the catalogue's order
	Cautions []string  `json:"cautions"` // sentences for a person about the kids' safety
}

// Station is one drill: how it is scored and set up. Minutes are for one kid and all usual trials; 0 of a number: not given.
type Station struct {
	Drill    string  `json:"drill"`    // the drill's name
	Title    string  `json:"title"`    // what it is called on a page
	Kind     string  `json:"kind"`     // timed (less is better), counted or rated
	Unit     string  `json:"unit"`     // the unit of its values, such as s
	Trials   int     `json:"trials"`   // usual number of trials a kid; 0: not given
	Attempts int     `json:"attempts"` // number of attempts in one trial of a counted drill; 0: not given
	Minutes  float64 `json:"minutes"`  // minutes for one kid and all usual trials; 0: not given
	Setup    string  `json:"setup"`    // how it is set up and run
	Safety   string  `json:"safety"`   // what keeps it safe
	Source   string  `json:"source"`   // where its ranges and its reliability were read
}
