package availability

// Kids knows for each kid of one game, and each of its series from 1, whether the kid may be on the field. Presence is any set of series: a kid
// may come, leave and come back. What is over is a fact, and no bar reaches it.
type Kids struct {
	series, over int
	out          Out
	kids         map[string]*kid
}

// kid is one kid's presence. Why says why it is not there in the series to come.
type kid struct {
	there []bool // by series, from 0
	why   Reason
}

// NewKids is a game of so many series, the first of them over, in which nobody is there yet.
func NewKids(series, over int, out Out) *Kids {
	return &Kids{series: series, over: over, out: out, kids: map[string]*kid{}}
}

// Over is how many series are over.
func (k *Kids) Over() int { return k.over }

func (k *Kids) kid(id string) *kid {
	if k.kids[id] == nil {
		k.kids[id] = &kid{there: make([]bool, k.series), why: NotInPlan}
	}
	return k.kids[id]
}

// Come says that a kid is there from a series on, to the end; it leaves alone what was said of series before.
func (k *Kids) Come(id string, series int) {
	for s := max(1, series); s <= k.series; s++ {
		k.kid(id).there[s-1] = true
	}
}

// Leave says that a series is the last one a kid is there for (0: none), and why.
func (k *Kids) Leave(id string, last int, why Reason) {
	x := k.kid(id)
	for s := max(0, last); s < k.series; s++ {
		x.there[s] = false
	}
	x.why = why
}

// Gap says that a kid is not there for the series first to last.
func (k *Kids) Gap(id string, first, last int) {
	for s := max(1, first); s <= min(last, k.series); s++ {
		k.kid(id).there[s-1] = false
	}
}

// Bar keeps a kid off the field from here on, for good.
func (k *Kids) Bar(id string, b Bar) {
	k.out = k.out.clone() // the caller's stays as it is
	k.out.bar(id, b)
}

// May tells whether the kid may be on the field in a series; if not, why gives the reason.
func (k *Kids) May(id string, series int) (why Reason, ok bool) {
	x := k.kids[id]
	if b, barred := k.out.Find(id); barred && series > k.over {
		return b.Why, false
	}
	if x == nil {
		return NotInPlan, false
	}
	if series < 1 || series > k.series || !x.there[series-1] {
		return x.why, false
	}
	return 0, true
}

// Present tells whether the kid is said to be there in a series, whether it may play or not.
func (k *Kids) Present(id string, series int) bool {
	x := k.kids[id]
	return x != nil && series >= 1 && series <= k.series && x.there[series-1]
}

// There is in which series, from 0, the kid may be on the field, and why it may not to the end; ok is false if there is none.
func (k *Kids) There(id string) (there []bool, why Reason, ok bool) {
	there = make([]bool, k.series)
	for s := range there {
		_, there[s] = k.May(id, s+1)
		ok = ok || there[s]
	}
	why, _ = k.May(id, k.series)
	if b, barred := k.out.Find(id); barred {
		why = b.Why
	}
	return there, why, ok
}

// First and Last are the first and the last series that the kid is there for, whether it may play or not; 0: none.
func (k *Kids) First(id string) int {
	for s := 1; s <= k.series; s++ {
		if k.Present(id, s) {
			return s
		}
	}
	return 0
}

// Last see First.
func (k *Kids) Last(id string) int {
	for s := k.series; s >= 1; s-- {
		if k.Present(id, s) {
			return s
		}
	}
	return 0
}

// Barred gives what keeps a kid off the field for good.
func (k *Kids) Barred(id string) (Bar, bool) { return k.out.Find(id) }
