package report

// ClearSchema is the schema of Clear.
const ClearSchema = "sevenyard.clear/1"

// Clear says that a person has cleared a kid who was marked as hurt.
type Clear struct {
	Schema   string   `json:"schema"`         // name and version of this object's schema
	Team     string   `json:"team"`           // the team's name
	Game     string   `json:"game"`           // id of the game in which the kid was marked as hurt
	Kid      string   `json:"kid"`            // the kid's id
	By       string   `json:"by,omitempty"`   // who says so; left out where names are
	Entry    int      `json:"entry"`          // number of the entry in games.csv, counted from 1
	Plan     string   `json:"plan,omitempty"` // file of the new plan, without the mark; left out where there is none
	Warnings []string `json:"warnings"`       // sentences for a person: what looks odd and counts all the same
	Cautions []string `json:"cautions"`       // sentences for a person about the kids' safety
}
