package report

// Rebuild is a lineup made from a saved one. What it is compared with comes together, or is left out of a plan that clear has saved without a mark.
type Rebuild struct {
	Lineup
	ChangeCosts float64    `json:"changeCosts"` // what a changed spot counts as, T points of the total; 0: as few changes as can be
	Changes     Changes    `json:"changes"`     // what is not as in the saved plan
	Fresh       *Fresh     `json:"fresh"`       // the plan that takes no heed of the saved one; null: none was found in the time given
	Tradeoffs   []Tradeoff `json:"tradeoffs"`   // what more changes buy; null: it was not asked for
}

// Changes are the filled spots that the saved plan does not have. No legal plan has fewer than Bound; Proven: nor fewer than Value.
type Changes struct {
	Value  int      `json:"value"`  // number of changed spots
	Bound  int      `json:"bound"`  // no legal plan has a smaller number of changed spots than this
	Proven bool     `json:"proven"` // no legal plan has fewer than value
	List   []Change `json:"list"`   // the changed spots, as many as value
}

// Change puts a kid into a role in a series. Was is the kid's role there in the saved plan, "" the bench; For is the
// kid who goes off the field in turn, "" none.
type Change struct {
	Series int    `json:"series"` // the series, counted from 1
	Kid    string `json:"kid"`    // id of the kid who is in the role now
	Role   string `json:"role"`   // the role's name
	Was    string `json:"was"`    // the kid's role there in the saved plan; "": the bench
	For    string `json:"for"`    // id of the kid who goes off the field in turn; "": none
}

// Fresh is the plan for the series still to play that takes no heed of the saved one: its weakest series and
// total, what they would gain, and how many spots would change.
type Fresh struct {
	Weakest       Bounded `json:"weakest"`       // strength of its weakest series still to play, T points
	Total         Bounded `json:"total"`         // sum of the strengths of its series still to play, T points
	GainWeakest   float64 `json:"gainWeakest"`   // what its weakest series has more, T points
	GainTotal     float64 `json:"gainTotal"`     // what its total has more, T points
	Changes       int     `json:"changes"`       // the smallest number of changed spots of such a plan, or if not proven the smallest found
	ChangesProven bool    `json:"changesProven"` // no such plan has fewer
}

// Tradeoff is the strongest weakest series that so many changes reach.
type Tradeoff struct {
	Changes int     `json:"changes"` // number of changed spots
	Weakest Bounded `json:"weakest"` // the strongest weakest series that so many changes reach, T points
	Total   float64 `json:"total"`   // sum of the strengths of the series still to play, T points
}
