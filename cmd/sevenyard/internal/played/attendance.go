package played

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// attendance settles who is there: what is on record, else what the plan says, else everybody on the
// roster who is not on hold; then what is said now.
func (b *builder) attendance() {
	switch {
	case len(b.was.Attendance) > 0 && !b.told.VoidGame:
		for _, p := range b.was.Attendance {
			b.who[p.Kid] = p
		}
		if b.told.Plan != nil {
			b.joinPlan()
		}
	case b.told.Plan != nil:
		for _, k := range b.told.Plan.Kids {
			b.who[k.Kid] = b.planned(k)
		}
	default:
		b.account.Everybody = true
		for _, k := range b.folder.Roster {
			if k.Hold == "" || b.plays(k.ID) > 0 {
				b.who[k.ID] = games.Presence{Kid: k.ID, First: 1}
			}
		}
	}
	for _, kid := range b.told.Absent {
		if b.known(drills.Place{File: "--absent"}, kid) {
			delete(b.who, kid)
		}
	}
	b.come("--late", b.told.Late, func(p games.Presence, n int) games.Presence { p.First = n; return p })
	b.come("--left", b.told.Left, func(p games.Presence, n int) games.Presence { p.Last = n; return p })
	b.hurt()
	for kid, p := range b.who {
		if p.Last > 0 && p.First > p.Last {
			delete(b.who, kid) // left before having come: not there
		}
	}
}

// planned is a kid's time by the plan; one who stays to its last series is there to the end.
func (b *builder) planned(k gameplan.SavedKid) games.Presence {
	p := games.Presence{Kid: k.Kid, First: k.Available[0], Last: k.Available[1]}
	if p.Last >= len(b.told.Plan.Series) {
		p.Last = 0
	}
	return p
}

// joinPlan takes over from a newer plan who has left since, and who is still to come.
func (b *builder) joinPlan() {
	over := 0
	if n := len(b.was.Series); n > 0 {
		over = b.was.Series[n-1].Number
	}
	for _, k := range b.told.Plan.Kids {
		p := b.planned(k)
		was, there := b.who[k.Kid]
		switch {
		case !there && p.First > over:
			b.who[k.Kid] = p
		case there && was.Last == 0 && p.Last > 0 && b.plays(k.Kid) <= p.Last:
			was.Last = p.Last
			b.who[k.Kid] = was
		}
	}
}

// plays is the last series in which the kid is on the field, 0 if none.
func (b *builder) plays(kid string) int {
	last := 0
	for n, slots := range b.series {
		if n > last && slices.ContainsFunc(slots, func(x games.Slot) bool { return x.Kid == kid }) {
			last = n
		}
	}
	return last
}

func (b *builder) come(flag string, ats []gameplan.At, set func(games.Presence, int) games.Presence) {
	for _, at := range ats {
		place := drills.Place{File: fmt.Sprintf("%s %s@%d", flag, at.Kid, at.Series)}
		if !b.known(place, at.Kid) || b.otherwise(place, at, ats) {
			continue
		}
		if slices.Contains(b.told.Absent, at.Kid) {
			b.problemAt(place, "say one of the two", "kid %s is also in --absent", at.Kid)
			continue
		}
		p, there := b.who[at.Kid]
		if !there {
			p = games.Presence{Kid: at.Kid, First: 1}
		}
		p = set(p, at.Series)
		if p.Last > 0 && p.First > p.Last {
			b.problemAt(place, "mend one of the two", "kid %s would come for series %d and leave after series %d", at.Kid, p.First, p.Last)
			continue
		}
		b.who[at.Kid] = p
	}
}

// hurt is the end of the day for a kid. The series counts for the kid if it was on the field in it. Who is on record as hurt stays so, whatever
// else the entry says: it replaces all attendance of the game, and must not lift a hold in passing.
func (b *builder) hurt() {
	if !b.told.VoidGame {
		b.stillHurt()
	}
	for _, at := range b.told.Hurt {
		place := drills.Place{File: fmt.Sprintf("--hurt %s@%d", at.Kid, at.Series)}
		if !b.known(place, at.Kid) || b.otherwise(place, at, b.told.Hurt) || b.otherwise(place, at, b.told.Left) {
			continue
		}
		p, there := b.who[at.Kid]
		if !there {
			b.problemAt(place, "a kid who is not there cannot be hurt; who was there?", "kid %s is not there", at.Kid)
			continue
		}
		p.Last = at.Series - 1
		if slices.ContainsFunc(b.series[at.Series], func(x games.Slot) bool { return x.Kid == at.Kid }) {
			p.Last = at.Series
		}
		if p.Last < p.First {
			p.Last = p.First // hurt before the first series: there for that one, on the bench
		}
		b.who[at.Kid] = p
		b.markHurt(at.Kid)
	}
	if b.told.Plan == nil {
		return
	}
	for _, kid := range b.told.Plan.Hurt {
		if p, there := b.who[kid]; there && p.Last > 0 {
			b.markHurt(kid)
		}
	}
}

// otherwise reports that the same is said of the kid with another series: which one is right is not for the tool to say.
func (b *builder) otherwise(place drills.Place, at gameplan.At, others []gameplan.At) bool {
	i := slices.IndexFunc(others, func(x gameplan.At) bool { return x.Kid == at.Kid && x.Series != at.Series })
	if i >= 0 {
		b.problemAt(place, "say one of the two", "kid %s is also said to have series %d there", at.Kid, others[i].Series)
	}
	return i >= 0
}

// stillHurt takes over from the record who is hurt.
func (b *builder) stillHurt() {
	for _, was := range b.was.Attendance {
		p, there := b.who[was.Kid]
		if !there || !slices.Contains(b.was.Hurt, was.Kid) {
			continue
		}
		b.markHurt(was.Kid)
		if was.Last > 0 && (p.Last == 0 || p.Last > was.Last) {
			b.warn("kid %s is on record as hurt in this game, and out for the day; recorded as told, and the kid stays marked as hurt", was.Kid)
		}
	}
}

func (b *builder) markHurt(kid string) {
	if !slices.Contains(b.account.Hurt, kid) {
		b.account.Hurt = append(b.account.Hurt, kid)
	}
}

// together reports what does not go together: kids on the field who were not there, or twice in a series; and it warns of what
// is odd and may still have been so.
func (b *builder) together() {
	most, sizes := 0, map[int]bool{}
	for _, f := range b.folder.Team.Formations {
		most = max(most, len(f.Spots))
		sizes[len(f.Spots)] = true
	}
	for _, n := range slices.Sorted(maps.Keys(b.series)) {
		slots := b.series[n]
		at := b.at[n]
		if at.File == "" {
			at = drills.Place{File: "series " + strconv.Itoa(n)}
		}
		for i, x := range slots {
			if slices.ContainsFunc(slots[:i], func(y games.Slot) bool { return y.Kid == x.Kid }) {
				b.problemAt(at, "a kid has one spot in a series", "kid %s is there twice", x.Kid)
			}
			b.wasThere(at, n, x)
		}
		if b.changed(n) && !sizes[len(slots)] {
			b.warn("series %d has %s on the field, and a formation of the team has %d", n, gameplan.Count(len(slots), "kid"), most)
		}
	}
	b.odd()
}

func (b *builder) wasThere(at drills.Place, n int, x games.Slot) {
	p, there := b.who[x.Kid]
	const who = "say who played in the spot (--swap %s:KID@%d), or when the kid was there (%s %s@%d)"
	switch {
	case !there && slices.Contains(b.told.Absent, x.Kid):
		b.problemAt(at, fmt.Sprintf("say who played in the spot: --swap %s:KID@%d", x.Kid, n), "kid %s is said to be absent and has a spot in series %d", x.Kid, n)
	case !there:
		b.problemAt(at, fmt.Sprintf("if the kid was: --late %s@%d", x.Kid, n), "kid %s has a spot in series %d and was not there", x.Kid, n)
	case n < p.First:
		b.problemAt(at, fmt.Sprintf(who, x.Kid, n, "--late", x.Kid, n), "kid %s has a spot in series %d and was there from series %d on", x.Kid, n, p.First)
	case p.Last > 0 && n > p.Last:
		b.problemAt(at, fmt.Sprintf(who, x.Kid, n, "--left", x.Kid, n), "kid %s has a spot in series %d, and series %d was the last one", x.Kid, n, p.Last)
	}
}

// changed tells whether the entry says anything new of a series.
func (b *builder) changed(n int) bool {
	for _, s := range b.was.Series {
		if s.Number == n && !b.told.VoidGame && !slices.Contains(b.account.Void, n) {
			return !same(s.Slots, b.series[n])
		}
	}
	return true
}

func (b *builder) odd() {
	for _, k := range b.folder.Roster {
		for _, n := range slices.Sorted(maps.Keys(b.series)) {
			i := slices.IndexFunc(b.series[n], func(x games.Slot) bool { return x.Kid == k.ID })
			if i < 0 || !b.changed(n) {
				continue
			}
			if role := b.series[n][i].Role; slices.Contains(k.Never, role) {
				b.warn("kid %s played %s in series %d, which roster.csv says it never does", k.ID, role, n)
			}
			if k.Hold != "" {
				b.warn("kid %s played in series %d and has a hold in roster.csv; recorded as told", k.ID, n)
			}
		}
	}
	last := 0
	for _, n := range slices.Sorted(maps.Keys(b.series)) {
		if n > last+1 {
			b.warn("series %s not on record yet", isAre(last+1, n-1))
		}
		last = n
	}
}

func isAre(first, last int) string {
	if first == last {
		return fmt.Sprintf("%d is", first)
	}
	return fmt.Sprintf("%d to %d are", first, last)
}
