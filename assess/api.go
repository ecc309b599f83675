package assess

import "sevenyard/drills"

// Score is a kid's T-score in one drill, trait or role: mean 50, SD 10 in the pool, higher is better.
type Score struct {
	Name   string  // the drill, trait or role
	T      float64 // T points
	SE     float64 // standard error, T points
	Tested bool    // false: no measurement of this kid is behind it, nor a number of the coach's own
	Own    bool    // the coach's own number (roles only)
}

// Result is a kid's true result in one drill in the drill's own unit (seconds, mark, or share of attempts).
type Result struct {
	Estimate, SE float64
	Low, High    float64 // central 95 % interval
	Trials       int     // trials behind it (counted drills: attempts); 0: untested, the rest says what the pool does
}

// Report says how well one drill measured. Its values are the textbook's plug-in ones; the kids'
// results are averaged over what these leave open.
type Report struct {
	Drill, Unit       string
	Kids, Trials      int     // kids tested, and trials (rows) in all; 0: nobody did it and the rest is 0
	Mean              float64 // in the drill's unit (counted: share of attempts)
	SDKid, SDTrial    float64 // between kids, and between trials of one kid; same unit
	ICC1, ICCMean     float64 // reliability of one trial, and of a kid's mean (at the usual number of trials per kid)
	ICC1Low, ICC1High float64 // 95 % interval of ICC(1,1); 0 to 1 where the trials cannot say; counted drills: both 0
	SEM, MDC          float64 // standard error of measurement of one trial, and minimal detectable change; same unit
	Assumed           bool    // only one trial each: ICC1 is the catalogue's
	TrialsFor80       int     // trials for a reliability of 0.8; 0: out of reach
	Alpha, Beta       float64 // counted drills: fitted beta-binomial; 0 otherwise
	ICCs              []ICC   // the six forms, when all tested kids have equally many trials; nil otherwise
}

// Kid is one kid's profile. Slices stand in the catalogue's order of drills, traits and roles.
type Kid struct {
	ID, Name string
	Hold     bool // on medical hold: profiled, and in the pool if tested, but never planned
	Drills   []Score
	Results  []Result
	Traits   []Score
	Fits     []Score
}

// Profile is the pool's assessment; kids stand in roster order.
type Profile struct {
	Reports  []Report
	Kids     []Kid
	Warnings []string // kids by id, never by name
}

// mid and spread are the mean and the SD of T-scores.
const mid, spread = 50.0, 10.0

// Assess scores a team folder. It takes any folder: trials that cannot be used (of an unknown kid or
// drill, or no finite number) are left out with a warning each.
func Assess(f *drills.Folder) *Profile {
	p := &Profile{}
	pool := newPool(f)
	p.Warnings = append(p.Warnings, pool.warnings...)
	p.Kids = make([]Kid, len(f.Roster))
	for i, k := range f.Roster {
		p.Kids[i] = Kid{ID: k.ID, Name: k.Name, Hold: k.Hold != ""}
	}
	for d := range f.Team.Catalogue.Drills {
		m := pool.measure(d)
		p.Reports = append(p.Reports, m.report)
		p.Warnings = append(p.Warnings, m.warnings...)
		for i := range p.Kids {
			at := pool.index[p.Kids[i].ID]
			p.Kids[i].Drills = append(p.Kids[i].Drills, m.scores[at])
			p.Kids[i].Results = append(p.Kids[i].Results, m.results[at])
		}
	}
	p.Warnings = append(p.Warnings, notHeld(p.Reports)...)
	m := newMixer(&f.Team.Catalogue)
	own := ownFits(f.Fits)
	for i := range p.Kids {
		k := &p.Kids[i]
		k.Traits, k.Fits = m.traits(k.Drills), m.fits(k.Drills, own[k.ID])
	}
	return p
}
