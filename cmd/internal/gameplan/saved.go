package gameplan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/jsonlines"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// Saved is a plan read back from a file: of the report that it is (said), what a rebuild needs. Series count from 1.
type Saved struct {
	Schema  string        `json:"schema"`
	Team    string        `json:"team"`
	Favor   string        `json:"favor"` // which objective came first; "": the file does not say
	Played  int           `json:"played"`
	Kids    []SavedKid    `json:"kids"`
	Series  []SavedSeries `json:"series"`
	Hurt    []string      `json:"hurt"`    // out for the rest of the day
	Cleared []string      `json:"cleared"` // who was hurt by an earlier plan, and has been cleared by a person
	Heat    *report.Heat  `json:"heat"`    // nil: no reading was given
	// Loosening is what the plan had loosened; none in files from before that was kept.
	Loosening []report.Loosening `json:"loosening"`

	said     *report.Lineup // every number that the file has; not for showing, only for telling where it is wrong by now
	seal     seal
	from     *Saved // the plan as it was in its file, where the record has changed it since
	file     string
	lines    map[string]int // by the place in the object, such as series.2.slots.0.kid
	bare     bool           // made from the record alone: nobody is planned yet for the series to come
	recorded int            // the first so many series are on record
	notes    []string       // where the record and the plan do not say the same
}

// SavedKid is a kid of a saved plan, with the first and the last series available, and the stretches in between for which it is away.
type SavedKid struct {
	Kid       string   `json:"kid"`
	Available [2]int   `json:"available"`
	Away      [][2]int `json:"away,omitempty"`
	Back      int      `json:"back,omitempty"` // the series for which it last came back; 0: it never left, or not by what was known then
}

// There is in which series, from 0, of so many the kid is there.
func (k SavedKid) There(series int) []bool {
	out := make([]bool, series)
	for s := range out {
		away := slices.ContainsFunc(k.Away, func(w [2]int) bool { return w[0] <= s+1 && s+1 <= w[1] })
		out[s] = k.Available[0] <= s+1 && s+1 <= k.Available[1] && !away
	}
	return out
}

// BackAfter tells whether the plan brings the kid back after series last, the last one that the record has it there for (0: to the end), when so
// many series are over. A plan that has the kid there for the series after last, and says of no coming back, knows nothing of its leaving.
func (k SavedKid) BackAfter(last, over, series int) bool {
	if last == 0 || last >= series {
		return false
	}
	there := k.There(series)
	if k.Back > max(last, over) && k.Back <= series {
		return there[k.Back-1]
	}
	gone := max(last+1, min(over, series)) // until then the plan has to know the kid gone
	return !slices.Contains(there[last:gone], true) && slices.Contains(there[gone:], true)
}

// savedKid is a kid who is there in these series, from 0; ok is false if there is none.
func savedKid(id string, there []bool) (k SavedKid, ok bool) {
	p := rotation.PresenceOf(there)
	k = SavedKid{Kid: id, Available: [2]int{p.First + 1, p.Last + 1}}
	for _, w := range p.Away {
		k.Away = append(k.Away, [2]int{w.First + 1, w.Last + 1})
	}
	return k, p.First <= p.Last
}

// SavedSeries is one series of a saved plan.
type SavedSeries struct {
	Number    int          `json:"number"`
	Formation string       `json:"formation"`
	Slots     []games.Slot `json:"slots"`
}

// MaxSaved is the most bytes of a saved plan that are read; the largest game takes far fewer.
const MaxSaved = 4 << 20

// ReadSaved reads a saved plan. What is wrong with it comes back as problems of the file of that name.
func ReadSaved(file string, data []byte) (*Saved, error) {
	sv := &Saved{file: file, said: &report.Lineup{}}
	const again = "save the plan anew with ⟦save-plan⟧"
	if len(data) > MaxSaved {
		return nil, sv.problems(0, "the file is too large for a plan", again)
	}
	if line, wrong := jsonlines.Decode(data, sv.said); wrong != "" {
		return nil, sv.problems(line, wrong, again)
	}
	sv.take(sv.said)
	if sv.Schema != report.LineupSchema && sv.Schema != report.RebuildSchema {
		return nil, sv.problems(1, fmt.Sprintf("schema is %q, and a plan has %s or %s", sv.Schema, report.LineupSchema, report.RebuildSchema), again)
	}
	sv.lines = jsonlines.Places(data)
	sv.seal = sealOf(data, sv.said.Sum)
	if ps := sv.form(); len(ps) > 0 {
		return nil, ps
	}
	return sv, nil
}

// take keeps of a plan what a rebuild needs.
func (sv *Saved) take(l *report.Lineup) {
	sv.Schema, sv.Team, sv.Favor, sv.Played, sv.Hurt, sv.Cleared, sv.Heat, sv.Loosening = l.Schema, l.Team, l.Favor, l.Played, l.Hurt, l.Cleared, l.Heat, l.Loosening
	for _, k := range l.Kids {
		sv.Kids = append(sv.Kids, SavedKid{Kid: k.Kid, Available: k.Available, Away: k.Away, Back: k.Back})
	}
	for _, s := range l.Series {
		line := SavedSeries{Number: s.Number, Formation: s.Formation}
		for _, x := range s.Slots {
			line.Slots = append(line.Slots, x.Slot)
		}
		sv.Series = append(sv.Series, line)
	}
}

func (sv *Saved) problems(line int, what, do string) drills.Problems {
	return drills.Problems{{At: drills.Place{File: sv.file, Line: line}, What: what, Do: do}}
}

// finder gathers the problems of a saved plan.
type finder struct {
	sv *Saved
	ps drills.Problems
}

func (f *finder) add(path, do, format string, args ...any) {
	f.ps = append(f.ps, drills.Problem{At: drills.Place{File: f.sv.file, Line: f.sv.lines["."+path]}, What: fmt.Sprintf(format, args...), Do: do})
}

// form checks what can be seen without the team.
func (sv *Saved) form() drills.Problems {
	f := &finder{sv: sv}
	const mend = "save the plan anew, or mend it by hand"
	n := len(sv.Series)
	switch {
	case n == 0:
		f.add("series", mend, "the plan has no series")
	case n > rotation.MaxSeries:
		f.add("series", mend, "the plan has %d series; at most %d can be planned", n, rotation.MaxSeries)
	case len(sv.Kids) == 0:
		f.add("kids", mend, "the plan has no kids")
	case sv.Played < 0 || sv.Played > n:
		f.add("played", mend, "played is %d, and the plan has %d series", sv.Played, n)
	}
	if _, err := ParseFavor(sv.Favor); err != nil {
		f.add("favor", mend, "favor is %q; weakest, total and even are known", sv.Favor)
	}
	f.loose()
	if len(f.ps) > 0 {
		return f.ps
	}
	there := map[string][]bool{}
	for i, k := range sv.Kids {
		path := fmt.Sprintf("kids.%d", i)
		_, twice := there[k.Kid]
		switch {
		case k.Kid == "" || twice:
			f.add(path+".kid", mend, "kid %q stands there twice or has no id", k.Kid)
		case k.Available[0] < 1 || k.Available[1] > n || k.Available[0] > k.Available[1]:
			f.add(path+".available", mend, "kid %s is available for series %d to %d of %d", k.Kid, k.Available[0], k.Available[1], n)
		}
		there[k.Kid] = k.There(n)
	}
	for i, s := range sv.Series {
		if s.Number != i+1 {
			f.add(fmt.Sprintf("series.%d.number", i), mend, "series %d is numbered %d", i+1, s.Number)
		}
		var seen []string
		for j, x := range s.Slots {
			path := fmt.Sprintf("series.%d.slots.%d.kid", i, j)
			here, known := there[x.Kid]
			switch {
			case !known:
				f.add(path, mend, "kid %q plays in series %d and is not among the plan's kids", x.Kid, i+1)
			case !here[i]:
				f.add(path, mend, "kid %s plays in series %d and is not available for it", x.Kid, i+1)
			case slices.Contains(seen, x.Kid):
				f.add(path, mend, "kid %s stands in two spots of series %d", x.Kid, i+1)
			}
			seen = append(seen, x.Kid)
		}
	}
	return f.ps
}

// match checks the plan against the team's folder, and finds its formations.
func (sv *Saved) match(fo *drills.Folder) ([]drills.Formation, error) {
	f := &finder{sv: sv}
	if sv.Team != "" && fo.Team.Name != "" && sv.Team != fo.Team.Name {
		f.add("team", "give this team's own plan, or save one with ⟦save-plan⟧", "this is a plan of %s, and the folder is %s's", sv.Team, fo.Team.Name)
		return nil, f.ps
	}
	for i, k := range sv.Kids {
		if err := known("", k.Kid, fo.Roster); err != nil {
			f.add(fmt.Sprintf("kids.%d.kid", i), "put the kid back into roster.csv (with hold or ⟦absent⟧ the kid stays out), or save a new plan",
				"kid %q is not in roster.csv any more", k.Kid)
		}
	}
	var forms []drills.Formation
	for i, s := range sv.Series {
		at := slices.IndexFunc(fo.Team.Catalogue.Formations, func(x drills.Formation) bool { return x.Name == s.Formation })
		switch {
		case at < 0 && i < sv.Played:
			forms = append(forms, f.asPlayed(i, &fo.Team.Catalogue))
			continue
		case at < 0:
			f.add(fmt.Sprintf("series.%d.formation", i), "put it back into team.toml, or save a new plan", "no formation %q", s.Formation)
			continue
		}
		form := fo.Team.Catalogue.Formations[at]
		what := sv.spots(i, form)
		switch {
		case what == "" || sv.bare && i >= sv.Played:
		case i < sv.Played:
			form = f.asPlayed(i, &fo.Team.Catalogue)
		default:
			f.add(fmt.Sprintf("series.%d.slots", i), "save a new plan", "%s", what)
		}
		forms = append(forms, form)
	}
	if len(f.ps) > 0 {
		return nil, f.ps
	}
	return forms, nil
}

// spots says what is wrong with the roles of a series: they have to be the first spots of its formation, as many as
// there are kids for.
func (sv *Saved) spots(s int, form drills.Formation) string {
	there := 0
	for _, k := range sv.Kids {
		if k.There(len(sv.Series))[s] {
			there++
		}
	}
	want := min(there, len(form.Spots))
	if got := len(sv.Series[s].Slots); got != want || want == 0 {
		return fmt.Sprintf("series %d has %s filled, and %s in %s: it should be %d", s+1, prose.Count(got, "spot"), prose.Count(there, "kid"), form.Name, want)
	}
	var need, have []string
	for i, x := range sv.Series[s].Slots {
		role := x.Role
		if !slices.ContainsFunc(form.Spots, func(spot drills.Spot) bool { return spot.Role == role }) {
			role = strconv.Quote(role) // whatever stands there
		}
		need, have = append(need, form.Spots[i].Role), append(have, role)
	}
	slices.Sort(need)
	slices.Sort(have)
	if !slices.Equal(need, have) {
		return fmt.Sprintf("series %d in %s has the roles %s, and it should be %s", s+1, form.Name, strings.Join(have, ", "), strings.Join(need, ", "))
	}
	return ""
}

// asPlayed is the formation of a series that is over and was not played in the one it is said to be: the first formation with just these
// roles, or one of its own.
func (f *finder) asPlayed(s int, c *drills.Catalogue) drills.Formation {
	line := f.sv.Series[s]
	for _, form := range c.Formations {
		if len(form.Spots) == len(line.Slots) && f.sv.spots(s, form) == "" {
			return form
		}
	}
	own := drills.Formation{Name: "as played"}
	for j, x := range line.Slots {
		if !slices.ContainsFunc(c.Roles, func(r drills.Role) bool { return r.Name == x.Role }) {
			f.add(fmt.Sprintf("series.%d.slots.%d.role", s, j), "put the role back into team.toml, or mend the series", "no role %q", x.Role)
		}
		own.Spots = append(own.Spots, drills.Spot{Role: x.Role})
	}
	return own
}
