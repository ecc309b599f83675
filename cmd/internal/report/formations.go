package report

import "sevenyard/drills"

// FormationsSchema is the schema of the list of formations.
const FormationsSchema = "sevenyard.formations/1"

// FormationSheet are the formations that may be planned with.
type FormationSheet struct {
	Schema     string      `json:"schema"`     // the schema's name and version
	Team       string      `json:"team"`       // "": those that come with the tool
	Formations []Formation `json:"formations"` // those that the team plays first, in its order
}

// Formation is one arrangement. Its spots stand in the order in which they are kept when a team is short-handed: the last one is dropped first.
type Formation struct {
	Formation string `json:"formation"` // its name
	Title     string `json:"title"`     // what it is, in words
	Grades    [2]int `json:"grades"`    // the lowest and the highest grade that it suits, numbers of grades; 0: kindergarten
	Used      bool   `json:"used"`      // the team plays it
	Spots     []Spot `json:"spots"`     // its places, in the order in which they are kept
	Source    string `json:"source"`    // where it comes from
}

// Spot is a place on the field. Yards off the line of scrimmage, and from the middle of the field: below 0 to the left, as the defense sees it.
type Spot struct {
	Role   string  `json:"role"`   // the role's name
	Letter string  `json:"letter"` // the role's letter
	Deep   float64 `json:"deep"`   // off the line of scrimmage, in yards
	Across float64 `json:"across"` // from the middle of the field, in yards; below 0 to the left, as the defense sees it
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
