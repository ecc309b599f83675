package played

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// attendance settles who is there: what is on record, else what the plan says, else everybody on the
// roster who may play; then what is said now.
func (b *builder) attendance() {
	there := func(kid string) *turnout {
		if b.who[kid] == nil {
			b.who[kid] = &turnout{}
		}
		return b.who[kid]
	}
	switch {
	case len(b.was.Attendance) > 0 && !b.told.VoidGame:
		for _, p := range b.was.Attendance {
			there(p.Kid).put(p.First, p.Last, true)
		}
		if b.told.Plan != nil {
			b.joinPlan()
		}
	case b.told.Plan != nil:
		for _, k := range b.told.Plan.Kids {
			*there(k.Kid) = b.planned(k)
		}
	default:
		b.account.Everybody = true
		for _, k := range b.folder.Roster {
			if _, barred := b.out.Find(k.ID); !barred || b.plays(k.ID) > 0 {
				there(k.ID).put(1, 0, true)
			}
		}
	}
	for _, kid := range b.told.Absent {
		if b.known(asked.Where{Field: asked.Absent}, kid) {
			delete(b.who, kid)
		}
	}
	b.comings()
	b.hurt()
	for kid, t := range b.who {
		if !t.before(maxSeries + 1) {
			delete(b.who, kid) // left before having come: not there
		}
	}
}

// planned is when a kid is there by the plan; one who stays to its last series is there to the end.
func (b *builder) planned(k gameplan.SavedKid) (t turnout) {
	n := len(b.told.Plan.Series)
	for s, here := range k.There(n) {
		if t[s+1] = here; here && s+1 == n {
			t.put(n, 0, true)
		}
	}
	return t
}

// joinPlan takes over from a newer plan who has left since, who is still to come, and who left and comes back.
func (b *builder) joinPlan() {
	over := availability.Recorded(&b.was)
	for _, k := range b.told.Plan.Kids {
		p := b.planned(k)
		was, there := b.who[k.Kid]
		switch {
		case !there && !p.before(over+1):
			b.who[k.Kid] = &p
		case there && was[maxSeries] && (p[maxSeries] || b.plays(k.Kid) <= k.Available[1] && was.before(k.Available[1]+1)): // on record, it came before the end
			for n := over + 1; n <= maxSeries; n++ { // away for a while by the plan, but for what it has played
				was[n] = was[n] && (p[n] || b.on(k.Kid, n))
			}
			if !p[maxSeries] {
				was.put(k.Available[1]+1, 0, false)
			}
		case there && !slices.Contains(b.was.Hurt, k.Kid) && k.BackAfter(was.last(), over, len(b.told.Plan.Series)): // left, and back by the plan
			for n := max(over, was.last()) + 1; n <= maxSeries; n++ {
				was[n] = p[n]
			}
		}
	}
}

// plays is the last series in which the kid is on the field, 0 if none.
func (b *builder) plays(kid string) int {
	last := 0
	for n := range b.series {
		if b.on(kid, n) {
			last = max(last, n)
		}
	}
	return last
}

// on tells whether the kid is on the field in series n.
func (b *builder) on(kid string, n int) bool {
	return slices.ContainsFunc(b.series[n], func(x games.Slot) bool { return x.Kid == kid })
}

// played tells whether the kid is on the field in a series before n.
func (b *builder) played(kid string, n int) bool {
	for m := range b.series {
		if m < n && b.on(kid, m) {
			return true
		}
	}
	return false
}

// hurt is the end of the day for a kid. The series counts for the kid if it was on the field in it. Who is on record as hurt stays so, whatever
// is recorded now.
func (b *builder) hurt() {
	b.stillHurt()
	for _, at := range b.told.Hurt {
		place := asked.Where{Field: asked.Hurt, Value: fmt.Sprintf("%s@%d", at.Kid, at.Series)}
		if !b.known(place, at.Kid) || b.otherwise(place, at, b.told.Hurt) || b.otherwise(place, at, b.told.Left) {
			continue
		}
		if at.Series > maxSeries {
			b.problemAt(place, "series are counted 1, 2, 3", "series is %d", at.Series)
			continue
		}
		t, there := b.who[at.Kid]
		if !there || !t.before(maxSeries+1) {
			b.problemAt(place, "a kid who is not there cannot be hurt; who was there?", "kid %s is not there", at.Kid)
			continue
		}
		last := at.Series - 1
		if b.on(at.Kid, at.Series) {
			last = at.Series
		}
		for !t.before(last + 1) { // hurt before the first series: there for that one, on the bench
			last++
		}
		t.put(last+1, 0, false)
		b.markHurt(at.Kid, at.Series)
	}
	if b.told.Plan == nil {
		return
	}
	for _, kid := range b.told.Plan.Hurt {
		if t, there := b.who[kid]; there && !t[maxSeries] {
			last := 0
			for n := range t {
				if t[n] {
					last = n
				}
			}
			b.markHurt(kid, last+1)
			b.warnCleared(kid)
		}
	}
}

// warnCleared says that a plan has a kid as hurt whom a person has cleared in this game. Which of the two came last the plan does not say, and so the
// kid is out; a plan that knows of the clearing has it hurt anew.
func (b *builder) warnCleared(kid string) {
	i := slices.IndexFunc(b.was.Marks, func(m games.Mark) bool { return m.Kid == kid && m.Cleared })
	if i < 0 || slices.Contains(b.was.Hurt, kid) || slices.Contains(b.told.Plan.Cleared, kid) {
		return
	}
	b.warn("kid %s was cleared in this game, and the plan has it as hurt: recorded as hurt again, and out for the day; is the plan older than that, "+
		"take the mark back with ⟦clear⟧, and record from the plan that clear has saved", kid)
}

// otherwise reports that the same is said of the kid with another series: which one is right is not for the tool to say.
func (b *builder) otherwise(place asked.Where, at gameplan.At, others []gameplan.At) bool {
	i := slices.IndexFunc(others, func(x gameplan.At) bool { return x.Kid == at.Kid && x.Series != at.Series })
	if i >= 0 {
		b.problemAt(place, "say one of the two", "kid %s is also said to have series %d there", at.Kid, others[i].Series)
	}
	return i >= 0
}

// stillHurt says of kids who are on record as hurt in this game that they stay so, where they are now said to be there again: once, and
// not anew with every later entry.
func (b *builder) stillHurt() {
	b.account.Hurt = slices.Clone(b.was.Hurt)
	for _, kid := range b.was.Hurt {
		t, there := b.who[kid]
		if !there {
			continue
		}
		was := turnout{}
		for _, p := range b.was.Attendance {
			if p.Kid == kid {
				was.put(p.First, p.Last, true)
			}
		}
		for n := range t {
			if t[n] && !was[n] && was.before(n) {
				b.warn("kid %s is on record as hurt in this game, and out for the day; recorded as told, and the kid stays marked as hurt", kid)
				break
			}
		}
	}
}

func (b *builder) markHurt(kid string, series int) {
	if !slices.Contains(b.account.Hurt, kid) {
		b.account.Hurt = append(b.account.Hurt, kid)
		b.hurtNow = append(b.hurtNow, games.Mark{Kid: kid, Series: min(series, maxSeries)})
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
		at := asked.Where{At: b.at[n]}
		if at.At.File == "" {
			at = asked.Where{Field: asked.OfSeries, Value: strconv.Itoa(n)}
		}
		for i, x := range slots {
			if slices.ContainsFunc(slots[:i], func(y games.Slot) bool { return y.Kid == x.Kid }) {
				b.problemAt(at, "a kid has one spot in a series", "kid %s is there twice", x.Kid)
			}
			b.wasThere(at, n, x)
			b.mayPlay(at, n, x.Kid)
		}
		if b.changed(n) && !sizes[len(slots)] {
			b.warn("series %d has %s on the field, and a formation of the team has %d", n, prose.Count(len(slots), "kid"), most)
		}
	}
	b.odd()
}

func (b *builder) wasThere(at asked.Where, n int, x games.Slot) {
	t, there := b.who[x.Kid]
	const who = "say who played in the spot (⟦swap %s:KID@%d⟧), or when the kid was there (⟦late %s@%d⟧)"
	switch {
	case !there && slices.Contains(b.told.Absent, x.Kid):
		b.problemAt(at, fmt.Sprintf("say who played in the spot: ⟦swap %s:KID@%d⟧", x.Kid, n), "kid %s is said to be absent and has a spot in series %d", x.Kid, n)
	case !there:
		b.problemAt(at, fmt.Sprintf("if the kid was: ⟦late %s@%d⟧", x.Kid, n), "kid %s has a spot in series %d and was not there", x.Kid, n)
	case t[n]:
	case !t.before(n):
		b.problemAt(at, fmt.Sprintf(who, x.Kid, n, x.Kid, n), "kid %s has a spot in series %d and was there from series %d on", x.Kid, n, slices.Index(t[:], true))
	default:
		last := n
		for !t[last] {
			last--
		}
		do := fmt.Sprintf("say who played in the spot (⟦swap %[1]s:KID@%[2]d⟧), that the kid came back (⟦late %[1]s@%[2]d⟧), or, if it had never left, ⟦left %[1]s@%[2]d⟧", x.Kid, n)
		if slices.Contains(b.account.Hurt, x.Kid) { // no way back onto the field is to be offered
			do = fmt.Sprintf("say who played in the spot (⟦swap %s:KID@%d⟧); who was hurt is out for the day", x.Kid, n)
		}
		b.problemAt(at, do, "kid %s has a spot in series %d, and series %d was the last one", x.Kid, n, last)
	}
}

// mayPlay reports a kid on the field who is out for the day, or on hold: what was played is a fact, and so it is for a person to say that it was.
func (b *builder) mayPlay(at asked.Where, n int, kid string) {
	bar, barred := b.out.Find(kid)
	switch {
	case !barred || !b.changed(n):
	case bar.Why == availability.OnHold && slices.Contains(b.told.BeforeHold, kid):
	case bar.Why == availability.OnHold:
		b.problemAt(at, fmt.Sprintf("mend the series; if the kid played before the hold was written, add ⟦before-hold %s⟧", kid),
			"kid %s has a spot in series %d and a hold in roster.csv", kid, n)
	case drills.IDKey(bar.Game) == drills.IDKey(b.told.Game) && n <= bar.Series:
	default:
		b.problemAt(at, fmt.Sprintf("mend the series; where it was a mistake, or somebody who may has cleared the kid: ⟦clear-kid %s %s⟧", kid, bar.Game),
			"kid %s has a spot in series %d, and is on record as hurt in game %s and out for the day", kid, n, bar.Game)
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
