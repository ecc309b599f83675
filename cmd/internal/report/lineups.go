package report

// LineupsSchema is the schema of the plans of several teams.
const LineupsSchema = "sevenyard.lineups/1"

// Lineups are the plans of several teams' games, in the order of the command line.
type Lineups struct {
	Schema string       `json:"schema"`
	Teams  []TeamLineup `json:"teams"`
}

// TeamLineup is one team's plan, or why there is none: one of the two is null. Seconds is the time it took, which no two runs share.
type TeamLineup struct {
	Folder  string   `json:"folder"`
	Seconds float64  `json:"seconds"`
	Lineup  *Lineup  `json:"lineup"`
	Refusal *Refusal `json:"refusal"`
}
