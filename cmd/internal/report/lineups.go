package report

// LineupsSchema is the schema of the plans of several teams.
const LineupsSchema = "sevenyard.lineups/1"

// Lineups are the plans of several teams' games, in the order of the command line.
type Lineups struct {
	Schema string       `json:"schema"` // name and version of this object's schema
	Teams  []TeamLineup `json:"teams"`  // the teams, in the order of the command line
}

// TeamLineup is one team's plan, or why there is none: one of the two is null. Seconds is the time it took, which no two runs share.
type TeamLineup struct {
	Folder  string   `json:"folder"`  // the team's folder, as typed
	Seconds float64  `json:"seconds"` // time it took, seconds; no two runs share it
	Lineup  *Lineup  `json:"lineup"`  // the plan; null: there is none
	Refusal *Refusal `json:"refusal"` // why there is no plan; null: there is one
}
