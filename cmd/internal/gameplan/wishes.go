// Package gameplan carries a team folder, its profile and the wishes for one game over to the
// solver, and the solver's answer back into kids, roles and rules. It passes numbers on, and adds of its own only what a
// sentence needs: counts of turns, shares and spots about a conflict, and fits compared by their errors.
package gameplan

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// At is a kid and a series, counted from 1, as in 9@3.
type At struct {
	Kid    string
	Series int
}

// Wishes are what the coach says about one game on the command line.
type Wishes struct {
	Absent []string
	Late   []At             // there from this series on
	Leaves []At             // this series is the last one
	Hurt   []At             // rebuild only: hurt in this series, and not planned from it on
	Swaps  []Swap           // rebuild only: changes made on the field already
	Out    availability.Out // who may not be on the field, whatever is wished: by roster and record
	Series int              // series to plan; 0: as the team has it
	Favor  string           // "weakest", "total", "even"; "": as the team has it
}

// ParseKids reads kids separated by commas, as in 4,7.
func ParseKids(field asked.Field, text string) ([]string, error) {
	var kids []string
	for _, part := range strings.Split(text, ",") {
		kid := strings.TrimSpace(part)
		if kid == "" {
			return nil, asked.Wrong(field, fmt.Sprintf("%q names no kid", text), "write kids as in the roster, such as "+field.With("4")+" or "+field.With("4,7"))
		}
		if before, series, ok := strings.Cut(kid, "@"); ok {
			return nil, asked.Wrong(field, fmt.Sprintf("%q has a series, and %s is for the whole game", kid, field),
				fmt.Sprintf("a kid who comes for series %[2]s: ⟦late %[1]s@%[2]s⟧; whose last one is series %[2]s: ⟦leaves %[1]s@%[2]s⟧; at the field: ⟦rebuild-hurt %[1]s@%[2]s⟧",
					before, series))
		}
		kids = append(kids, kid)
	}
	return kids, nil
}

// ParseAts reads kids with a series each, separated by commas, as in 9@3 or 9@3,6@5.
func ParseAts(field asked.Field, text string) ([]At, error) {
	var ats []At
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		i := strings.LastIndex(part, "@")
		if i < 0 {
			return nil, asked.Wrong(field, fmt.Sprintf("%q names no series", part), "write the kid, @, and the series, such as "+field.With("9@3"))
		}
		kid, number := strings.TrimSpace(part[:i]), strings.TrimSpace(part[i+1:])
		n, err := strconv.Atoi(number)
		switch {
		case kid == "":
			return nil, asked.Wrong(field, fmt.Sprintf("%q names no kid", part), "write the kid, @, and the series, such as "+field.With("9@3"))
		case err != nil || n < 1:
			return nil, asked.Wrong(field, fmt.Sprintf("%q is no series", number), "series are counted 1, 2, 3, such as "+field.With("9@3")+"; who is not there at all is ⟦absent⟧")
		}
		ats = append(ats, At{kid, n})
	}
	return ats, nil
}

// favors are the names of the orders of objectives.
var favors = map[rotation.Favor]string{rotation.Weakest: "weakest", rotation.Total: "total", rotation.Even: "even"}

// ParseFavor tells which objective comes first.
func ParseFavor(name string) (rotation.Favor, error) {
	switch name {
	case "weakest", "":
		return rotation.Weakest, nil
	case "total":
		return rotation.Total, nil
	case "even":
		return rotation.Even, nil
	}
	return 0, asked.Wrong(asked.Favor, fmt.Sprintf("%q is not known", name), "use weakest, total or even")
}

// read checks the wishes against the roster, and says who is there when.
func (w Wishes) read(roster []drills.Kid, series int) (*availability.Kids, error) {
	k := availability.NewKids(series, 0, w.Out.WithHolds(roster))
	for _, kid := range roster {
		k.Come(kid.ID, 1)
	}
	for _, kid := range w.Absent {
		if err := known(asked.Absent, kid, roster); err != nil {
			return nil, err
		}
		k.Leave(kid, 0, availability.Absent)
	}
	evs, err := w.events(roster, series, fmt.Sprintf("use a series from 1 to %d, or plan more with ⟦series⟧", series), "game")
	if err != nil {
		return nil, err
	}
	said := map[string]bool{}
	for _, e := range evs {
		switch {
		case slices.Contains(w.Absent, e.Kid):
			return nil, asked.Wrong(e.field, fmt.Sprintf("kid %s is also in ⟦absent⟧", e.Kid), "say one of the two")
		case !e.comes:
			k.Leave(e.Kid, e.Series, availability.Absent)
		case said[e.Kid]: // back again
			k.Come(e.Kid, e.Series)
		default:
			k.Gap(e.Kid, 1, e.Series-1)
		}
		said[e.Kid] = true
	}
	return k, nil
}

// event is a kid who comes or leaves.
type event struct {
	At
	comes bool
	field asked.Field
}

// before is the last series before the event.
func (e event) before() int {
	if e.comes {
		return e.Series - 1
	}
	return e.Series
}

// events are who comes and who leaves, in the order in which it happens; of a kid, the one follows the other.
func (w Wishes) events(roster []drills.Kid, series int, do, of string) ([]event, error) {
	var out []event
	for _, list := range []struct {
		field asked.Field
		ats   []At
		comes bool
	}{{asked.Leaves, w.Leaves, false}, {asked.Late, w.Late, true}} {
		for _, at := range list.ats {
			if err := known(list.field, at.Kid, roster); err != nil {
				return nil, err
			}
			if at.Series > series {
				return nil, asked.Wrong(list.field, fmt.Sprintf("%s@%d, but the %s has %d series", at.Kid, at.Series, of, series), do)
			}
			if e := (event{at, list.comes, list.field}); !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b event) int { return cmp.Compare(a.before(), b.before()) })
	last := map[string]event{}
	for _, e := range out {
		if was, twice := last[e.Kid]; twice && was.comes == e.comes {
			return nil, asked.Wrong(e.field, fmt.Sprintf("kid %s has two series, %d and %d", e.Kid, was.Series, e.Series),
				"say one of them; a kid who goes away in between and comes back takes ⟦leaves⟧ and ⟦late⟧")
		}
		last[e.Kid] = e
	}
	return out, nil
}

// Kid is the id of the kid of a roster that is meant by a word; field is where it was said.
func Kid(field asked.Field, typed string, roster []drills.Kid) (string, error) {
	id, which := drills.FindKid(typed, roster)
	if id == "" {
		what, do := drills.KidError(typed, which, roster)
		return "", asked.Wrong(field, what, do)
	}
	return id, nil
}

// Named gives the wishes with kids by the ids of the roster, however they were typed. A kid who cannot be found stays as typed: what is wrong is told
// where the wish is read.
func (w Wishes) Named(roster []drills.Kid) (Wishes, error) {
	find := func(field asked.Field, typed string) (string, error) {
		id, which := drills.FindKid(typed, roster)
		if len(which) > 1 {
			what, do := drills.KidError(typed, which, roster)
			return "", asked.Wrong(field, what, do)
		}
		return cmp.Or(id, typed), nil
	}
	var err error
	w.Absent = slices.Clone(w.Absent)
	for i := range w.Absent {
		if w.Absent[i], err = find(asked.Absent, w.Absent[i]); err != nil {
			return w, err
		}
	}
	for _, list := range []struct {
		field asked.Field
		ats   *[]At
	}{{asked.Late, &w.Late}, {asked.Leaves, &w.Leaves}, {asked.Hurt, &w.Hurt}} {
		*list.ats = slices.Clone(*list.ats)
		for i := range *list.ats {
			if (*list.ats)[i].Kid, err = find(list.field, (*list.ats)[i].Kid); err != nil {
				return w, err
			}
		}
	}
	w.Swaps = slices.Clone(w.Swaps)
	for i, x := range w.Swaps {
		if w.Swaps[i].Out, err = find(asked.Swap, x.Out); err != nil {
			return w, err
		}
		if x.In != "" {
			if w.Swaps[i].In, err = find(asked.Swap, x.In); err != nil {
				return w, err
			}
		}
	}
	return w, nil
}

// known says whether the roster has the kid, and what may have been meant otherwise.
func known(field asked.Field, kid string, roster []drills.Kid) error {
	var ids []string
	for _, k := range roster {
		if k.ID == kid {
			return nil
		}
		ids = append(ids, k.ID)
	}
	do := "use the kid's id as the roster has it"
	if len(ids) > 0 {
		do += ": " + drills.KidsThere(ids)
	}
	if near := drills.NearID(kid, ids); near != "" {
		do = fmt.Sprintf("did you mean %s? Otherwise look the id up in roster.csv", near)
	}
	return asked.Wrong(field, fmt.Sprintf("no kid %q in the roster", kid), do)
}
