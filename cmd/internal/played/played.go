// Package played makes an entry of the record out of what a person says about a game: a plan as it was
// played, lines typed by hand, and corrections to both.
package played

import (
	"fmt"
	"slices"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// Told is what a person says about one game.
type Told struct {
	Game, Date, Opponent string
	Plan                 *gameplan.Saved // nil: none
	PlanName             string
	Played               int // series of the plan that were played; -1: all of them
	Lines                []Line
	Swaps                []Swap
	Absent               []string
	Late, Left, Hurt     []gameplan.At
	Void                 []int
	VoidGame             bool
	BeforeHold           []string // kids on hold who played before the hold was written
	Today                string   // the date of a game that has none; "": it stays without
}

// Line is a series typed by hand.
type Line struct {
	Number int
	Slots  []games.Slot
	At     drills.Place
}

// Swap says who played in whose spot.
type Swap = gameplan.Swap

// Account is what an entry comes to, for a screen or a program.
type Account struct {
	Date, Opponent string
	Dated          bool             // the date is that of today, because nothing else was said
	Series         []Series         // all of the game that are on record with this entry
	Kids           []games.Presence // who was there, up to the last series on record, each kid with its stretches
	Away           []string         // kids of the roster who were not there at all, those on hold left out
	Hurt           []string         // of those who left, who was hurt
	Everybody      bool             // nothing said who was there: it is everybody on the roster
	Swaps          []Spot
	Void           []int
	VoidGame       bool
	Warnings       []string
}

// State says what an entry does to a series.
type State string

// The states of a series.
const (
	New       State = "new"
	Corrected State = "corrected"
	Kept      State = "kept" // as it was on record
)

// Series is one series of the game.
type Series struct {
	games.Series
	State State
	Bench []string // there and not on the field
}

// Spot is one spot that another kid took; In or Out "" is nobody.
type Spot struct {
	Series        int
	Role, In, Out string
}

// builder puts an entry together.
type builder struct {
	told    *Told
	folder  *drills.Folder
	was     games.Game
	there   bool // the game is on record
	series  map[int][]games.Slot
	at      map[int]drills.Place // of series that were typed
	who     map[string]*turnout
	out     availability.Out // who may not be on the field
	hurtNow []games.Mark     // who is hurt and not so on record
	account *Account
	probs   asked.Problems
}

// Build makes the entry; it is nil if the record says all of it already. The error is of type asked.Problems and lists everything that does
// not go together.
func Build(f *drills.Folder, rec *games.Record, told *Told) (*games.Change, *Account, error) {
	b := &builder{folder: f, series: map[int][]games.Slot{}, at: map[int]drills.Place{}, who: map[string]*turnout{}, account: &Account{}}
	told = b.named(told)
	b.told = told
	b.was, b.there = rec.Game(told.Game)
	b.labels()
	b.out = availability.Of(f.Roster, rec, told.Game, b.account.Date, f.Team.Series)
	for _, s := range b.was.Series {
		b.series[s.Number] = slices.Clone(s.Slots)
	}
	b.voids()
	if told.Plan != nil {
		b.plan()
	}
	b.lines()
	b.swaps()
	b.account.Void = slices.DeleteFunc(b.account.Void, func(n int) bool { return b.series[n] != nil }) // replaced in the same breath
	b.attendance()
	b.together()
	if len(b.probs) > 0 {
		return nil, nil, b.probs
	}
	return b.change(), b.account, nil
}

func (b *builder) problem(field asked.Field, do, format string, args ...any) {
	b.problemAt(asked.Where{Field: field}, do, format, args...)
}

func (b *builder) problemAt(at asked.Where, do, format string, args ...any) {
	b.probs = append(b.probs, asked.Problem{Where: at, What: fmt.Sprintf(format, args...), Do: do})
}

func (b *builder) warn(format string, args ...any) {
	b.account.Warnings = append(b.account.Warnings, fmt.Sprintf(format, args...))
}

// labels settles date and opponent: what is said now, or what is on record.
func (b *builder) labels() {
	b.account.Date, b.account.Opponent = b.was.Date, b.was.Opponent
	if d := b.told.Date; d != "" {
		date, what, do := ParseDate(d, b.told.Today)
		switch {
		case what != "":
			b.problem(asked.Date, do, "%s", what)
		case date != d:
			b.warn("note: %s is taken as %s", drills.Quote(d), date)
			d = date
		}
		if b.account.Date = d; b.told.Today != "" && d > b.told.Today {
			b.warn("the date %s is still to come (today is %s); was another one meant? ⟦date⟧ says otherwise", d, b.told.Today)
		}
	}
	gone := b.told.VoidGame && b.told.Plan == nil && len(b.told.Lines) == 0 // nothing is left of the game to date
	if b.account.Date == "" && b.told.Today != "" && !gone {
		b.account.Date, b.account.Dated = b.told.Today, true
	}
	if b.told.Opponent != "" {
		b.account.Opponent = b.told.Opponent
		if bad := drills.CheckText(b.told.Opponent); bad != "" {
			b.problem(asked.Opponent, "write it without", "it %s", bad)
		}
	}
	if bad := drills.CheckID(b.told.Game); bad != "" {
		b.problem(asked.Game, "use the game's number or any short id", "%s", bad)
	}
}

// known reports an id that the roster does not have.
func (b *builder) known(at asked.Where, id string) bool {
	if slices.ContainsFunc(b.folder.Roster, func(k drills.Kid) bool { return k.ID == id }) {
		return true
	}
	b.problemAt(at, drills.KidAdvice(id, b.folder.Roster), "no kid %q in the roster", id)
	return false
}

func (b *builder) voids() {
	none := func(what string) {
		b.problem(asked.Void, "look the game up in games.csv", "%s", what)
	}
	if b.told.VoidGame {
		if !b.there {
			none(fmt.Sprintf("no series of game %s is on record", b.told.Game))
		}
		b.account.VoidGame = true
		clear(b.series)
	}
	for _, n := range b.told.Void {
		if slices.Contains(b.account.Void, n) || b.told.VoidGame && b.there {
			continue // said twice
		}
		if _, on := b.series[n]; !on {
			none(fmt.Sprintf("series %d of game %s is not on record", n, b.told.Game))
			continue
		}
		delete(b.series, n)
		b.account.Void = append(b.account.Void, n)
	}
	slices.Sort(b.account.Void)
}

// plan takes the series over that were played as planned. What is on record stays: it was corrected on purpose.
func (b *builder) plan() {
	pl, n := b.told.Plan, b.told.Played
	where := asked.Where{At: drills.Place{File: b.told.PlanName}}
	if pl.Team != "" && b.folder.Team.Name != "" && pl.Team != b.folder.Team.Name {
		b.problemAt(where, "give this team's own plan", "this is a plan of %s, and the folder is %s's", pl.Team, b.folder.Team.Name)
		return
	}
	for _, note := range pl.ByHand(&b.folder.Team.Catalogue) {
		b.warn("%s", note)
	}
	if n > len(pl.Series) {
		b.problem(asked.Played, "use a number up to that, and add the others with ⟦line⟧", "%d, and the plan has %s", n, prose.Count(len(pl.Series), "series"))
		return
	}
	if n < 0 {
		n = len(pl.Series)
	}
	roles := b.folder.Team.Catalogue.RoleNames()
	for _, s := range pl.Series[:n] {
		var slots []games.Slot
		for _, x := range s.Slots {
			b.known(where, x.Kid)
			if !slices.Contains(roles, x.Role) {
				b.problemAt(where, "put the role back into team.toml, or type the series with ⟦line⟧", "series %d has a role %q, which the team does not know", s.Number, x.Role)
			}
			slots = append(slots, x)
		}
		if old, on := b.series[s.Number]; !on {
			b.series[s.Number] = slots
		} else if !same(old, slots) && !slices.ContainsFunc(b.told.Lines, func(l Line) bool { return l.Number == s.Number }) {
			b.warn("note: series %d is on record otherwise than planned, and stays so", s.Number)
		}
	}
}

func (b *builder) lines() {
	seen := map[int]drills.Place{}
	for _, l := range b.told.Lines {
		if at, twice := seen[l.Number]; twice {
			b.problemAt(asked.Where{At: l.At}, "type each series once", "series %d is there twice, also on line %d", l.Number, at.Line)
			continue
		}
		seen[l.Number] = l.At
		b.series[l.Number], b.at[l.Number] = l.Slots, l.At
	}
}

// swaps puts kids into each other's spots.
func (b *builder) swaps() {
	for _, x := range b.told.Swaps {
		at := asked.Where{Field: asked.Swap, Value: x.Text}
		if !b.known(at, x.Out) || x.In != "" && !b.known(at, x.In) {
			continue
		}
		for n := x.First; n <= x.Last; n++ {
			b.swap(at, x, n)
		}
	}
}

func (b *builder) swap(at asked.Where, x Swap, n int) {
	slots, on := b.series[n]
	if !on {
		b.problemAt(at, "give the plan with ⟦from⟧, or the series with ⟦line⟧", "series %d is not on record and not among those to record", n)
		return
	}
	find := func(kid string) int { return slices.IndexFunc(slots, func(s games.Slot) bool { return s.Kid == kid }) }
	i, j := find(x.Out), find(x.In)
	if i < 0 {
		if b.correction(at, x, n) {
			return
		}
		do := "look up who was on the field"
		if b.recorded(n) {
			do = fmt.Sprintf("a swap goes by what is on record: say who is there in the spot, or give the plan again with ⟦from⟧, and the swap is about kid %s's spot in it", x.Out)
		}
		if x.In != "" && j >= 0 {
			do = fmt.Sprintf("did you mean ⟦swap %s:%s@%d⟧?", x.In, x.Out, n)
			if b.recorded(n) { // most likely the same swap again, and turned round it would be undone
				do = fmt.Sprintf("if that is what you mean, it is on record; only to put %s back in for %s: ⟦swap %s:%s@%d⟧", x.Out, x.In, x.In, x.Out, n)
			}
		}
		b.problemAt(at, do, "kid %s has no spot in series %d", x.Out, n)
		return
	}
	if b.elsewhere(at, x, n, slots[i].Role) {
		return
	}
	b.put(at, x, n)
}

// recorded tells whether a series stands as it is on record.
func (b *builder) recorded(n int) bool {
	return slices.ContainsFunc(b.was.Series, func(s games.Series) bool { return s.Number == n }) && !b.changed(n)
}

// same tells whether two lists have the same kids in the same roles.
func same(a, b []games.Slot) bool {
	if len(a) != len(b) {
		return false
	}
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}
