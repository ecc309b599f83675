package gameplan

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"sevenyard/assess"
	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// Reason is why a kid is not planned, or not any more.
type Reason = availability.Reason

// The reasons.
const (
	Absent    = availability.Absent
	OnHold    = availability.OnHold
	Hurt      = availability.Hurt
	NotInPlan = availability.NotInPlan
	Reasons   = availability.Reasons
)

// Away is a kid of the roster who is not planned.
type Away struct {
	ID  string
	Why Reason
}

// Plan is one game: what goes to the solver and what comes back.
type Plan struct {
	Team    *drills.Team
	Profile *assess.Profile
	Game    *rotation.Game
	IDs     []string // of the game's kids, in roster order
	Away    []Away
	Gone    []Away   // rebuild only: kids who have been there and are out from here on
	Notes   []string // what could not be taken over, in words
	Over    int      // the first so many series have been played
	Outcome *rotation.Outcome
	Broken  []string // Verify only: rules that the plan does not keep, in words
	Season  *Season  // the games before this one; nil: none count
	// Call gives a kid's name for sentences, after the id; nil or "": the id alone.
	Call func(id string) string

	shown bool           // a saved plan as it is, and no new one
	saved *Saved         // rebuild only: the plan that is rebuilt
	old   rotation.Plan  // the same in the solver's numbers
	back  map[string]int // rebuild only: the series for which kids who had left came back
	rows  []int          // of the game's kids, in the roster and the profile
	index map[string]int // id to the game's kid
	// marked are kids who are hurt by the saved plan or by what is said now, also those whom a hold keeps out as well.
	marked []string
	// cleared are kids of the roster who were hurt by an earlier plan, and have been cleared.
	cleared []string
}

// Errors that are the game's, not the program's.
var (
	ErrNobody = errors.New("nobody is left to play")
	ErrRoster = errors.New("too many kids for one game")
)

// New puts a game together. The profile's kids stand in roster order.
func New(f *drills.Folder, profile *assess.Profile, w Wishes) (*Plan, error) {
	series := f.Team.Series
	if w.Series > 0 {
		series = w.Series
	}
	if series > rotation.MaxSeries {
		return nil, asked.Wrong(asked.Series, fmt.Sprintf("%d series", series), fmt.Sprintf("at most %d can be planned", rotation.MaxSeries))
	}
	there, err := w.read(f.Roster, series)
	if err != nil {
		return nil, err
	}
	forms := make([]drills.Formation, series)
	for s := range forms {
		forms[s] = f.Team.Formations[s%len(f.Team.Formations)]
	}
	return build(f, profile, forms, there)
}

// build puts a game together from its formations, series by series, and from who is there when.
func build(f *drills.Folder, profile *assess.Profile, forms []drills.Formation, there *availability.Kids) (*Plan, error) {
	series := len(forms)
	pl := &Plan{Team: &f.Team, Profile: profile, Game: &rotation.Game{}, index: map[string]int{}, Over: there.Over()}
	pl.roles()
	if err := pl.series(forms); err != nil {
		return nil, err
	}
	pl.kids(f.Roster, there)
	if len(pl.IDs) == 0 {
		return nil, fmt.Errorf("%w: every kid of the roster is absent, on hold or hurt; mend roster.csv or ⟦absent⟧", ErrNobody)
	}
	if len(pl.IDs) > rotation.MaxKids {
		return nil, fmt.Errorf("%w: %d, and at most %d can be planned; a team folder holds one team", ErrRoster, len(pl.IDs), rotation.MaxKids)
	}
	pl.rules(series)
	return pl, nil
}

// Arrange solves the game.
func (pl *Plan) Arrange(ctx context.Context, set rotation.Settings, strict bool) error {
	out, err := pl.Game.Arrange(ctx, set, strict)
	pl.Outcome = out
	return err
}

func (pl *Plan) roles() {
	for _, r := range pl.Team.Catalogue.Roles {
		pl.Game.Roles = append(pl.Game.Roles, r.Name)
		pl.Game.Importance = append(pl.Game.Importance, assess.Importance(pl.Team, r.Name))
	}
}

func (pl *Plan) role(name string) int {
	for i, r := range pl.Game.Roles {
		if r == name {
			return i
		}
	}
	return -1
}

func (pl *Plan) series(forms []drills.Formation) error {
	seen := map[string]int{}
	for _, f := range forms {
		key := fmt.Sprint(f.Name, f.Spots) // series that are over may have been played in another way than the formation's
		id, ok := seen[key]
		if !ok {
			form := rotation.Form{Label: f.Name}
			for _, spot := range f.Spots {
				r := pl.role(spot.Role)
				if r < 0 {
					return fmt.Errorf("formation %s has role %q, which the catalogue does not know", f.Name, spot.Role)
				}
				form.Spots = append(form.Spots, r)
			}
			id = len(pl.Game.Forms)
			seen[key] = id
			pl.Game.Forms = append(pl.Game.Forms, form)
		}
		pl.Game.Series = append(pl.Game.Series, id)
	}
	return nil
}

func (pl *Plan) kids(roster []drills.Kid, kids *availability.Kids) {
	for i, k := range roster {
		there, why, ok := kids.There(k.ID)
		if !ok {
			pl.Away = append(pl.Away, Away{k.ID, why})
			continue
		}
		when := rotation.PresenceOf(there)
		p := rotation.Player{Label: k.ID, First: when.First, Last: when.Last, Away: when.Away}
		for _, fit := range pl.Profile.Kids[i].Fits {
			p.Fit = append(p.Fit, fit.T)
		}
		if len(k.Never) > 0 {
			p.Never = make([]bool, len(pl.Game.Roles))
			for _, name := range k.Never {
				if r := pl.role(name); r >= 0 {
					p.Never[r] = true
				}
			}
		}
		pl.index[k.ID] = len(pl.IDs)
		pl.IDs = append(pl.IDs, k.ID)
		pl.rows = append(pl.rows, i)
		pl.Game.Kids = append(pl.Game.Kids, p)
	}
}

// rules takes the team's rules over. A rule about a kid who is not there is left out or goes on
// for the others, and a note says so.
func (pl *Plan) rules(series int) {
	t, g := pl.Team, pl.Game
	if t.Rules.MaxOn != nil {
		g.MaxOn = *t.Rules.MaxOn
	}
	if t.Rules.MaxOff != nil {
		g.MaxOff = *t.Rules.MaxOff
	}
	g.MinRoles, g.SeasonRoles, g.MaxSameRole, g.MinShare = t.Rules.MinRoles, t.Rules.SeasonRoles, t.Rules.MaxSameRole, t.Rules.MinShare
	g.PayBack = t.Rules.PayBack
	g.Together = pl.pairs(t.Together, "together")
	g.Apart = pl.pairs(t.Apart, "")
	for _, c := range t.Covers {
		if kids := pl.numbers(c.Kids); len(kids) < c.AtLeast {
			pl.note("cover of kids %s: only %d of them can be planned, %d are asked for; the rule is left out of this plan",
				strings.Join(c.Kids, ", "), len(kids), c.AtLeast)
		} else {
			g.Covers = append(g.Covers, rotation.Cover{Kids: kids, AtLeast: c.AtLeast})
		}
	}
	for _, p := range t.Pins {
		k, ok := pl.index[p.Kid]
		role := -1
		if p.Role != "" {
			role = pl.role(p.Role)
		}
		switch {
		case p.Series > series:
			pl.note("pin of kid %s in series %d: the game has %d series; the pin is left out of this plan", p.Kid, p.Series, series)
		case ok && p.Must && p.Series > pl.Over && !pl.thereIn(k, p.Series-1):
			pl.note("pin of kid %s in series %d: the kid is not there then; the pin is left out", p.Kid, p.Series)
		case !ok && p.Must:
			pl.note("pin of kid %s in series %d: the kid is not planned; the pin is left out", p.Kid, p.Series)
		case ok:
			g.Pins = append(g.Pins, rotation.Pin{Kid: k, Role: role, Series: p.Series - 1, Must: p.Must})
		}
	}
}

func (pl *Plan) thereIn(k, s int) bool {
	return pl.Game.Kids[k].There(s)
}

// pairs takes pairs over whose kids are both there. A pair kept apart needs no word when one is away.
func (pl *Plan) pairs(pairs []drills.Pair, name string) [][2]int {
	var out [][2]int
	for _, p := range pairs {
		a, okA := pl.index[p[0]]
		b, okB := pl.index[p[1]]
		switch {
		case okA && okB:
			out = append(out, [2]int{a, b})
		case name != "" && okA != okB:
			pl.note("kids %s and %s are to be on the field %s, and only one of them is planned; the pair is left out of this plan", p[0], p[1], name)
		}
	}
	return out
}

func (pl *Plan) numbers(ids []string) []int {
	var out []int
	for _, id := range ids {
		if k, ok := pl.index[id]; ok {
			out = append(out, k)
		}
	}
	return out
}

func (pl *Plan) note(format string, args ...any) {
	pl.Notes = append(pl.Notes, fmt.Sprintf(format, args...))
}
