package report

// ClearSchema is the schema of Clear.
const ClearSchema = "sevenyard.clear/1"

// Clear says that a person has cleared a kid who was marked as hurt.
type Clear struct {
	Schema   string   `json:"schema"`
	Team     string   `json:"team"`
	Game     string   `json:"game"`
	Kid      string   `json:"kid"`
	By       string   `json:"by,omitempty"`   // left out where names are
	Entry    int      `json:"entry"`          // the number of the entry in games.csv
	Plan     string   `json:"plan,omitempty"` // the new plan, without the mark; left out where there is none
	Warnings []string `json:"warnings"`
	Cautions []string `json:"cautions"`
}
