// Package draftplan brings a pool folder, its scores and a draft together: labels and T points to numbers,
// and splits, rules and refusals back into words.
package draftplan

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"sevenyard/assess"
	"sevenyard/drills"
	"sevenyard/optimize/draft"
)

// Plan is one pool on its way to teams.
type Plan struct {
	Pool    *drills.Pool
	Folder  *drills.Folder // the pool as one team
	Profile *assess.Profile
	Numbers *draft.Pool
	IDs     []string // of the pool's kids, in its order
	// Call gives a kid's name for sentences, after the id; nil or "": the id alone.
	Call func(id string) string

	index   map[string]int
	coaches map[[2]int]bool // pairs kept apart because each is a head coach's own kid
}

// New scores the pool and puts its numbers together. The error is about a pool that is too large.
func New(p *drills.Pool) (*Plan, error) {
	f := p.Folder()
	profile := assess.Assess(f)
	pl := &Plan{Pool: p, Folder: f, Profile: profile, Numbers: &draft.Pool{MaxReturning: p.League.MaxReturning}, index: map[string]int{}, coaches: map[[2]int]bool{}}
	for i := range p.Kids {
		pl.index[p.Kids[i].ID] = i
		pl.IDs = append(pl.IDs, p.Kids[i].ID)
	}
	for _, t := range p.League.Teams {
		pl.Numbers.Teams = append(pl.Numbers.Teams, t.Name)
	}
	pl.weigh()
	pl.roles()
	pl.kids()
	pl.rules()
	return pl, pl.limits()
}

// limits puts the limits of a draft into a coordinator's words.
func (pl *Plan) limits() error {
	n := pl.Numbers
	switch {
	case len(n.Kids) > draft.MaxKids:
		return fmt.Errorf("%d kids, and at most %d can be drafted at once; draft one division at a time", len(n.Kids), draft.MaxKids)
	case len(n.Teams) > draft.MaxTeams:
		return fmt.Errorf("%d teams, and at most %d can be drafted at once", len(n.Teams), draft.MaxTeams)
	case len(n.Measures) > draft.MaxMeasures:
		return fmt.Errorf("%d traits, and at most %d can be balanced", len(n.Measures)-1, draft.MaxMeasures-1)
	case len(n.Roles) > draft.MaxRoles:
		return fmt.Errorf("formation %s has %d different roles, and at most %d can be balanced", pl.Folder.Team.Formations[0].Name, len(n.Roles), draft.MaxRoles)
	}
	return n.Validate()
}

// evenness gives the weight of a part of the objective in hundredths: the league's own, or the usual one.
func (pl *Plan) evenness(name string, usual int) int {
	for _, w := range pl.Pool.League.Evenness {
		if w.Name == name {
			return int(math.Round(100 * w.Value))
		}
	}
	return usual
}

// weigh chooses what the teams are to be even in: the overall score and every trait that somebody was tested in.
func (pl *Plan) weigh() {
	n := pl.Numbers
	n.Measures = append(n.Measures, draft.Measure{Label: drills.EvenOverall, Weight: pl.evenness(drills.EvenOverall, 100)})
	for t, trait := range pl.Folder.Team.Catalogue.Traits {
		if pl.measured(t) {
			n.Measures = append(n.Measures, draft.Measure{Label: trait.Name, Weight: pl.evenness(trait.Name, 100)})
		}
	}
	w := draft.DefaultWeights()
	n.Weights = draft.Weights{
		Grades:      pl.evenness(drills.EvenGrades, w.Grades),
		Untested:    pl.evenness(drills.EvenUntested, w.Untested),
		Uncertainty: pl.evenness(drills.EvenUncertainty, w.Uncertainty),
		Returning:   pl.evenness(drills.EvenReturning, w.Returning),
		Carpool:     pl.evenness(drills.EvenCarpools, w.Carpool),
	}
}

// measured tells whether anybody was tested in a trait; of any other trait there is nothing to even out.
func (pl *Plan) measured(trait int) bool {
	return slices.ContainsFunc(pl.Profile.Kids, func(k assess.Kid) bool { return k.Traits[trait].Tested })
}

// roles are what the league's first formation asks every team to fill.
func (pl *Plan) roles() {
	for _, spot := range pl.Folder.Team.Formations[0].Spots {
		i := slices.IndexFunc(pl.Numbers.Roles, func(r draft.Role) bool { return r.Label == spot.Role })
		if i < 0 {
			i = len(pl.Numbers.Roles)
			pl.Numbers.Roles = append(pl.Numbers.Roles, draft.Role{Label: spot.Role})
		}
		pl.Numbers.Roles[i].Need++
	}
}

func (pl *Plan) kids() {
	overall := assess.Overall(&pl.Folder.Team.Catalogue, pl.Profile)
	tested := map[string]bool{}
	for _, t := range pl.Pool.Trials {
		tested[t.Kid] = true
	}
	olds := map[string]string{} // last season's teams, as first written
	for i := range pl.Pool.Kids {
		k := &pl.Pool.Kids[i]
		x := draft.Kid{
			Label: k.ID, Grade: k.Grade, Untested: !tested[k.ID],
			Scores: []float64{overall[i].T}, Errors: []float64{overall[i].SE}, Plays: pl.plays(k),
		}
		for t, score := range pl.Profile.Kids[i].Traits {
			if pl.measured(t) {
				x.Scores, x.Errors = append(x.Scores, score.T), append(x.Errors, score.SE)
			}
		}
		if k.Returning != "" {
			key := strings.ToLower(k.Returning)
			if olds[key] == "" {
				olds[key] = k.Returning
			}
			x.Returning = olds[key]
		}
		for t := range pl.Numbers.Teams {
			x.Teams = append(x.Teams, pl.Pool.League.CanPlay(k.Nights, t))
		}
		if !slices.Contains(x.Teams, false) {
			x.Teams = nil
		}
		pl.Numbers.Kids = append(pl.Numbers.Kids, x)
	}
}

// plays tells which roles a kid can fill; on medical hold none, for nobody but a person knows when that ends.
func (pl *Plan) plays(k *drills.PoolKid) []bool {
	if k.Hold == "" && len(k.Never) == 0 {
		return nil
	}
	out := make([]bool, len(pl.Numbers.Roles))
	for r, role := range pl.Numbers.Roles {
		out[r] = k.Hold == "" && !slices.Contains(k.Never, role.Label)
	}
	return out
}

func (pl *Plan) rules() {
	n, p := pl.Numbers, pl.Pool
	n.Siblings, n.Carpools = p.Families(), p.Cars()
	for i := range p.Kids {
		if t := p.Kids[i].CoachOf; t >= 0 {
			n.Fixed = append(n.Fixed, draft.Fixed{Kid: i, Team: t, Coach: true})
		}
	}
	for _, f := range p.League.Fixed {
		i, ok := pl.index[f.Kid]
		if ok && p.Kids[i].CoachOf < 0 {
			n.Fixed = append(n.Fixed, draft.Fixed{Kid: i, Team: f.Team})
		}
	}
	seen := map[[2]int]bool{}
	for i := range p.Kids {
		for _, id := range p.Kids[i].Apart {
			j, ok := pl.index[id]
			pair := [2]int{min(i, j), max(i, j)}
			if ok && i != j && !seen[pair] {
				seen[pair] = true
				n.Apart = append(n.Apart, pair)
			}
		}
	}
	pl.coachesApart(seen)
}

// coachesApart keeps the own kids of two head coaches apart, as each coach has the team the kid is on. Of siblings, and of kids who are
// both settled, that is for the league to mend: the draw says so.
func (pl *Plan) coachesApart(seen map[[2]int]bool) {
	p, list := pl.Pool, pl.Pool.League.Coaches
	settled := func(k int) bool {
		return slices.ContainsFunc(pl.Numbers.Fixed, func(f draft.Fixed) bool { return f.Kid == k })
	}
	for a := range list {
		for b := range a {
			i, ok := pl.index[list[a].Kid]
			j, too := pl.index[list[b].Kid]
			pair := [2]int{min(i, j), max(i, j)}
			siblings := ok && too && p.Kids[i].Siblings != "" && strings.EqualFold(p.Kids[i].Siblings, p.Kids[j].Siblings)
			if !ok || !too || i == j || seen[pair] || siblings || settled(i) && settled(j) {
				continue
			}
			seen[pair], pl.coaches[pair] = true, true
			pl.Numbers.Apart = append(pl.Numbers.Apart, pair)
		}
	}
}

// Find gives a kid's place in the pool.
func (pl *Plan) Find(id string) (int, bool) {
	i, ok := pl.index[id]
	return i, ok
}

// FindTeam gives a team's place in the league; case does not count.
func (pl *Plan) FindTeam(name string) (int, bool) {
	i := slices.IndexFunc(pl.Numbers.Teams, func(t string) bool { return strings.EqualFold(t, name) })
	return i, i >= 0
}

// ids names kids by their ids.
func (pl *Plan) ids(kids []int) []string {
	out := make([]string, len(kids))
	for i, k := range kids {
		out[i] = pl.IDs[k]
	}
	return out
}

// teams names teams.
func (pl *Plan) teams(list []int) []string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = pl.Numbers.Teams[t]
	}
	return out
}

// Without gives the pool without some kids, and whatever is said about them.
func Without(p *drills.Pool, ids []string) *drills.Pool {
	gone := func(id string) bool { return slices.Contains(ids, id) }
	out := *p
	out.Kids = slices.DeleteFunc(slices.Clone(p.Kids), func(k drills.PoolKid) bool { return gone(k.ID) })
	out.Trials = slices.DeleteFunc(slices.Clone(p.Trials), func(t drills.Trial) bool { return gone(t.Kid) })
	out.Untested = slices.DeleteFunc(slices.Clone(p.Untested), func(u drills.Untested) bool { return gone(u.Kid) })
	out.League.Fixed = slices.DeleteFunc(slices.Clone(p.League.Fixed), func(f drills.FixedKid) bool { return gone(f.Kid) })
	out.League.Coaches = slices.Clone(p.League.Coaches)
	for i := range out.League.Coaches {
		if gone(out.League.Coaches[i].Kid) {
			out.League.Coaches[i].Kid = ""
		}
	}
	return &out
}

// Fingerprint tells whether a pool is still the same in everything that a draft goes by. Names do not count, nor does the order of rows.
func (pl *Plan) Fingerprint() string {
	data, err := json.Marshal(ordered(pl.Numbers))
	if err != nil {
		panic("draftplan: " + err.Error()) // plain numbers and texts
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// ordered is a pool with its kids, and all that is said of them, in the order of their labels.
func ordered(p *draft.Pool) *draft.Pool {
	out := *p
	order := make([]int, len(p.Kids))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(p.Kids[a].Label, p.Kids[b].Label) })
	place := make([]int, len(order))
	out.Kids = make([]draft.Kid, len(order))
	for i, k := range order {
		place[k], out.Kids[i] = i, p.Kids[k]
		out.Kids[i].Returning = strings.ToLower(p.Kids[k].Returning)
	}
	groups := func(list [][]int) (out [][]int) {
		for _, g := range list {
			own := make([]int, len(g))
			for i, k := range g {
				own[i] = place[k]
			}
			slices.Sort(own)
			out = append(out, own)
		}
		slices.SortFunc(out, slices.Compare)
		return out
	}
	out.Siblings, out.Carpools = groups(p.Siblings), groups(p.Carpools)
	out.Fixed, out.Apart = slices.Clone(p.Fixed), slices.Clone(p.Apart)
	for i, f := range out.Fixed {
		out.Fixed[i].Kid = place[f.Kid]
	}
	slices.SortFunc(out.Fixed, func(a, b draft.Fixed) int { return cmp.Or(a.Kid-b.Kid, a.Team-b.Team) })
	for i, a := range out.Apart {
		x, y := place[a[0]], place[a[1]]
		out.Apart[i] = [2]int{min(x, y), max(x, y)}
	}
	slices.SortFunc(out.Apart, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return &out
}
