package report

// Rebuild is a lineup made from a saved one.
type Rebuild struct {
	Lineup
	ChangeCosts float64    `json:"changeCosts"` // T points of the total that a changed spot counts as; 0: as few changes as can be
	Changes     Changes    `json:"changes"`
	Fresh       *Fresh     `json:"fresh"`     // null: none was found in the time given
	Tradeoffs   []Tradeoff `json:"tradeoffs"` // only where asked for
}

// Changes are the filled spots that the saved plan does not have. No legal plan has fewer than Bound; Proven: nor fewer than Value.
type Changes struct {
	Value  int      `json:"value"`
	Bound  int      `json:"bound"`
	Proven bool     `json:"proven"`
	List   []Change `json:"list"` // as many as Value
}

// Change puts a kid into a role in a series. Was is the kid's role there in the saved plan, "" the bench; For is the
// kid who goes off the field in turn, "" none.
type Change struct {
	Series int    `json:"series"`
	Kid    string `json:"kid"`
	Role   string `json:"role"`
	Was    string `json:"was"`
	For    string `json:"for"`
}

// Fresh is the plan for the series still to play that takes no heed of the saved one: its weakest series and
// total, what they would gain, and how many spots would change.
type Fresh struct {
	Weakest       Bounded `json:"weakest"`
	Total         Bounded `json:"total"`
	GainWeakest   float64 `json:"gainWeakest"`
	GainTotal     float64 `json:"gainTotal"`
	Changes       int     `json:"changes"` // the fewest of such a plan, or if not proven the fewest found
	ChangesProven bool    `json:"changesProven"`
}

// Tradeoff is the strongest weakest series that so many changes reach.
type Tradeoff struct {
	Changes int     `json:"changes"`
	Weakest Bounded `json:"weakest"`
	Total   float64 `json:"total"`
}
