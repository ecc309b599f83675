package report

import "sevenyard/drills"

// FormationsSchema is the schema of the list of formations.
const FormationsSchema = "sevenyard.formations/1"

// FormationSheet are the formations that may be planned with.
type FormationSheet struct {
	Schema     string      `json:"schema"`
	Team       string      `json:"team"` // "": those that come with the tool
	Formations []Formation `json:"formations"`
}

// Formation is one arrangement. Its spots stand in the order in which they are kept when a team is short-handed: the last one is dropped first.
type Formation struct {
	Formation string `json:"formation"`
	Title     string `json:"title"`
	Grades    [2]int `json:"grades"` // lowest and highest that it suits; 0: kindergarten
	Used      bool   `json:"used"`   // the team plays it
	Spots     []Spot `json:"spots"`
	Source    string `json:"source"`
}

// Spot is a place on the field. Yards off the line of scrimmage, and from the middle of the field: below 0 to the left, as the defense sees it.
type Spot struct {
	Role   string  `json:"role"`
	Letter string  `json:"letter"`
	Deep   float64 `json:"deep"`
	Across float64 `json:"across"`
}

// NewFormationSheet lists the formations of a catalogue, those first that a team plays (in its order).
func NewFormationSheet(team string, played []drills.Formation, cat *drills.Catalogue) *FormationSheet {
	out := &FormationSheet{Schema: FormationsSchema, Team: team, Formations: []Formation{}}
	seen := map[string]bool{}
	add := func(f drills.Formation, used bool) {
		if seen[f.Name] {
			return
		}
		seen[f.Name] = true
		x := Formation{Formation: f.Name, Title: f.Title, Grades: [2]int{f.Grades.Low, f.Grades.High}, Used: used, Spots: []Spot{}, Source: f.Source}
		for _, s := range f.Spots {
			role, _ := cat.Role(s.Role)
			x.Spots = append(x.Spots, Spot{Role: s.Role, Letter: role.Letter, Deep: s.Deep, Across: s.Across})
		}
		out.Formations = append(out.Formations, x)
	}
	for _, f := range played {
		add(f, true)
	}
	for _, f := range cat.Formations {
		add(f, false)
	}
	return out
}
