package assess

import "sevenyard/drills"

// Score is a kid's T-score in one drill, trait or role: mean 50, SD 10 in the pool, higher is better.
type Score struct {
	Name   string  // the drill, trait or role
	T      float64 // T points
	SE     float64 // standard error, T points
	Tested bool    // false: no measurement of this kid is behind it
	Own    bool    // the coach's own number (roles only)
}

// Result is a kid's true result in one drill in the drill's own unit (seconds, mark, or share of attempts).
type Result struct {
	Estimate, SE float64
	Low, High    float64 // central 95 % interval
	Trials       int     // trials behind it (counted drills: attempts)
}

// Report says how well one drill measured.
type Report struct {
	Drill, Unit    string
	Kids, Trials   int
	Mean           float64 // in the drill's unit (counted: share of attempts)
	SDKid, SDTrial float64 // between kids, and between trials of one kid; same unit
	ICC1, ICCMean  float64 // reliability of one trial, and of a kid's mean (at the usual number of trials per kid)
	SEM, MDC       float64 // standard error of measurement of one trial, and minimal detectable change; same unit
	Assumed        bool    // only one trial each: ICC1 is the catalogue's
	TrialsFor80    int     // trials for a reliability of 0.8; 0: out of reach
	Alpha, Beta    float64 // counted drills: fitted beta-binomial; 0 otherwise
}

// Kid is one kid's profile. Slices stand in the catalogue's order of drills, traits and roles.
type Kid struct {
	ID, Name string
	Hold     bool
	Drills   []Score
	Results  []Result
	Traits   []Score
	Fits     []Score
}

// Profile is the pool's assessment; kids stand in roster order.
type Profile struct {
	Reports  []Report
	Kids     []Kid
	Warnings []string
}

// Assess scores a team folder.
func Assess(f *drills.Folder) *Profile { panic("not written") }

// TooClose tells whether two fits in one role differ by less than the standard error of their difference.
func TooClose(a, b Score) bool { panic("not written") }

// Importance is the value of one spot of a role in a division: run*RunValue + (1-run)*PassValue,
// or the team's override.
func Importance(t *drills.Team, role string) float64 { panic("not written") }
