// Package gameplan carries a team folder, its profile and the wishes for one game over to the
// solver, and the solver's answer back into kids, roles and rules. It passes numbers on, and adds of its own only what a
// sentence needs: counts of turns, shares and spots about a conflict, and fits compared by their errors.
package gameplan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

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
	Late   []At   // there from this series on
	Leaves []At   // this series is the last one
	Hurt   []At   // rebuild only: hurt in this series, and not planned from it on
	Series int    // series to plan; 0: as the team has it
	Favor  string // "weakest", "total", "even"; "": as the team has it
}

// WishError is a wish that the folder does not know or that contradicts another one.
type WishError struct {
	Flag string // such as --absent
	What string // what is wrong, with the value
	Do   string // what to do
}

func (e *WishError) Error() string {
	if e.Do == "" {
		return e.Flag + ": " + e.What
	}
	return e.Flag + ": " + e.What + "; " + e.Do
}

// ParseKids reads kids separated by commas, as in 4,7.
func ParseKids(flag, text string) ([]string, error) {
	var kids []string
	for _, part := range strings.Split(text, ",") {
		kid := strings.TrimSpace(part)
		if kid == "" {
			return nil, &WishError{flag, fmt.Sprintf("%q names no kid", text), "write kids as in the roster, such as " + flag + " 4 or " + flag + " 4,7"}
		}
		if before, series, ok := strings.Cut(kid, "@"); ok {
			return nil, &WishError{flag, fmt.Sprintf("%q has a series, and %s is for the whole game", kid, flag),
				fmt.Sprintf("a kid who comes for series %[2]s: --late %[1]s@%[2]s; whose last one is series %[2]s: --leaves %[1]s@%[2]s; at the field: rebuild --hurt %[1]s@%[2]s",
					before, series)}
		}
		kids = append(kids, kid)
	}
	return kids, nil
}

// ParseAts reads kids with a series each, separated by commas, as in 9@3 or 9@3,6@5.
func ParseAts(flag, text string) ([]At, error) {
	var ats []At
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		i := strings.LastIndex(part, "@")
		if i < 0 {
			return nil, &WishError{flag, fmt.Sprintf("%q names no series", part), "write the kid, @, and the series, such as " + flag + " 9@3"}
		}
		kid, number := strings.TrimSpace(part[:i]), strings.TrimSpace(part[i+1:])
		n, err := strconv.Atoi(number)
		switch {
		case kid == "":
			return nil, &WishError{flag, fmt.Sprintf("%q names no kid", part), "write the kid, @, and the series, such as " + flag + " 9@3"}
		case err != nil || n < 1:
			return nil, &WishError{flag, fmt.Sprintf("%q is no series", number), "series are counted 1, 2, 3, such as " + flag + " 9@3; who is not there at all is --absent"}
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
	return 0, &WishError{"--favor", fmt.Sprintf("%q is not known", name), "use weakest, total or even"}
}

// presence is the first and last series of the kids of the roster, from 0, where they are not those of the game.
type presence struct {
	absent      map[string]bool
	why         map[string]Reason // of absent kids, where it is another one
	plays       map[string]bool   // in the game although on hold: the kid has been there already
	first, last map[string]int
	over        int // the first so many series have been played
}

func newPresence() *presence {
	return &presence{absent: map[string]bool{}, why: map[string]Reason{}, plays: map[string]bool{}, first: map[string]int{}, last: map[string]int{}}
}

// out tells whether a kid is not planned at all, and why.
func (p *presence) out(k drills.Kid) (Reason, bool) {
	if k.Hold != "" {
		return OnHold, !p.plays[k.ID]
	}
	return p.why[k.ID], p.absent[k.ID]
}

// read checks the wishes against the roster.
func (w Wishes) read(roster []drills.Kid, series int) (*presence, error) {
	p := newPresence()
	for _, kid := range w.Absent {
		if err := known("--absent", kid, roster); err != nil {
			return nil, err
		}
		p.absent[kid] = true
	}
	if err := p.put("--late", w.Late, p.first, roster, series); err != nil {
		return nil, err
	}
	if err := p.put("--leaves", w.Leaves, p.last, roster, series); err != nil {
		return nil, err
	}
	for _, at := range w.Late {
		if last, ok := p.last[at.Kid]; ok && last < p.first[at.Kid] {
			return nil, &WishError{"--leaves", fmt.Sprintf("kid %s leaves after series %d and comes for series %d", at.Kid, last+1, at.Series),
				"mend one of them, or use --absent " + at.Kid}
		}
	}
	return p, nil
}

func (p *presence) put(flag string, ats []At, into map[string]int, roster []drills.Kid, series int) error {
	for _, at := range ats {
		if err := known(flag, at.Kid, roster); err != nil {
			return err
		}
		before, twice := into[at.Kid]
		switch {
		case p.absent[at.Kid]:
			return &WishError{flag, fmt.Sprintf("kid %s is also in --absent", at.Kid), "say one of the two"}
		case at.Series > series:
			return &WishError{flag, fmt.Sprintf("%s@%d, but the game has %d series", at.Kid, at.Series, series),
				"use a series from 1 to " + strconv.Itoa(series) + ", or plan more with --series"}
		case twice && before != at.Series-1:
			return &WishError{flag, fmt.Sprintf("kid %s has two series, %d and %d", at.Kid, before+1, at.Series), "say one of them"}
		}
		into[at.Kid] = at.Series - 1
	}
	return nil
}

// known says whether the roster has the kid, and what may have been meant otherwise.
func known(flag, kid string, roster []drills.Kid) error {
	var byName, ids []string
	for _, k := range roster {
		if k.ID == kid {
			return nil
		}
		ids = append(ids, k.ID)
		if k.Name != "" && slices.Contains(strings.Fields(strings.ToLower(k.Name)), strings.ToLower(kid)) || strings.EqualFold(k.Name, kid) {
			byName = append(byName, k.ID)
		}
	}
	do := "use the kid's id as the roster has it"
	if len(ids) > 0 {
		do += ": " + drills.KidsThere(ids)
	}
	if near := drills.NearID(kid, ids); near != "" {
		do = fmt.Sprintf("did you mean %s? Otherwise look the id up in roster.csv", near)
	}
	if len(byName) == 1 {
		do = "kids go by their id here: use " + byName[0]
	}
	return &WishError{flag, fmt.Sprintf("no kid %q in the roster", kid), do}
}
