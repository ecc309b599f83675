package rotation

import (
	"errors"
	"fmt"
	"slices"
)

// Violation is one rule that a plan breaks. Kid and Series are -1 where they do not apply.
type Violation struct {
	Rule        RuleKind
	Kid, Series int
	Index       int // which cover; 0 for other rules
	What        string
}

func (v Violation) String() string { return v.What }

// ErrBadProblem says that a problem is not well formed.
var ErrBadProblem = errors.New("rotation: the problem is not well formed")

// Limits on what Solve accepts at all.
const (
	MaxKids   = 64
	MaxSeries = 64
	MaxRoles  = 16
	maxValue  = 1<<24 - 1 // so that the strength of a series stays below overLevel
	maxScale  = 1 << 32
)

// Validate tells whether all indices are in range and all lists have the right length.
func (p *Problem) Validate() error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%w: %s", ErrBadProblem, fmt.Sprintf(format, args...))
	}
	n, s, r := len(p.Kids), len(p.Series), len(p.Roles)
	if n > MaxKids || s > MaxSeries || r > MaxRoles {
		return bad("%d kids, %d series, %d roles; at most %d, %d, %d", n, s, r, MaxKids, MaxSeries, MaxRoles)
	}
	if s == 0 {
		return bad("no series")
	}
	if p.MaxOn < 0 || p.MaxOff < 0 || p.MinRoles < 0 {
		return bad("a negative limit")
	}
	if p.Scale < 1 || p.Scale > maxScale {
		return bad("scale %d, not 1 to %d", p.Scale, int64(maxScale))
	}
	for i, sh := range p.Shapes {
		if len(sh.Count) != r || len(sh.Value) != n {
			return bad("shape %d has %d counts and %d rows", i, len(sh.Count), len(sh.Value))
		}
		for _, c := range sh.Count {
			if c < 0 || c > MaxKids {
				return bad("shape %d has %d spots of a role", i, c)
			}
		}
		for _, row := range sh.Value {
			if len(row) != r {
				return bad("shape %d has a row of %d values", i, len(row))
			}
			for _, v := range row {
				if v > maxValue || v < -maxValue {
					return bad("shape %d has value %d", i, v)
				}
			}
		}
	}
	for i, sh := range p.Series {
		if sh < 0 || sh >= len(p.Shapes) {
			return bad("series %d has shape %d", i, sh)
		}
	}
	for i, k := range p.Kids {
		if k.Never != nil && len(k.Never) != r {
			return bad("kid %d has %d never-roles", i, len(k.Never))
		}
		if k.Cap < 0 || k.MaxOn < 0 {
			return bad("kid %d has cap %d, and at most %d in a row", i, k.Cap, k.MaxOn)
		}
		if err := k.Presence().Validate(); err != nil {
			return bad("kid %d is %v", i, err)
		}
		if k.Different < 0 || k.Before != nil && len(k.Before) != r {
			return bad("kid %d is to play %d different roles and has %d before", i, k.Different, len(k.Before))
		}
	}
	return p.validateGroups()
}

func (p *Problem) validateGroups() error {
	kid := func(k int) bool { return k >= 0 && k < len(p.Kids) }
	for _, pairs := range [][][2]int{p.Together, p.Apart} {
		for _, pr := range pairs {
			if !kid(pr[0]) || !kid(pr[1]) || pr[0] == pr[1] {
				return fmt.Errorf("%w: pair %v", ErrBadProblem, pr)
			}
		}
	}
	for i, c := range p.Covers {
		for j, k := range c.Kids {
			if !kid(k) || slices.Contains(c.Kids[:j], k) {
				return fmt.Errorf("%w: cover %d has kid %d twice or no such kid", ErrBadProblem, i+1, k)
			}
		}
	}
	for _, pin := range p.Pins {
		if !kid(pin.Kid) || pin.Role < -1 || pin.Role >= len(p.Roles) || pin.Series < 0 || pin.Series >= len(p.Series) {
			return fmt.Errorf("%w: pin %+v", ErrBadProblem, pin)
		}
	}
	if p.Played != nil && len(p.Played) != len(p.Series) {
		return fmt.Errorf("%w: %d played series of %d", ErrBadProblem, len(p.Played), len(p.Series))
	}
	for s, cells := range p.Played {
		if s > 0 && cells != nil && p.Played[s-1] == nil {
			return fmt.Errorf("%w: series %d is over but series %d is not", ErrBadProblem, s+1, s)
		}
		seen := map[int]bool{}
		for _, c := range cells {
			if !kid(c.Kid) || c.Role < 0 || c.Role >= len(p.Roles) || seen[c.Kid] {
				return fmt.Errorf("%w: series %d, which is over, has kid %d twice or an unknown kid or role", ErrBadProblem, s+1, c.Kid)
			}
			seen[c.Kid] = true
		}
	}
	return nil
}

// never tells whether kid k may not play role r.
func (p *Problem) never(k, r int) bool { return p.Kids[k].Never != nil && p.Kids[k].Never[r] }

// checker walks a plan and collects what it breaks. It shares no code with the solver.
type checker struct {
	p    *Problem
	plan Plan
	role [][]int  // role[k][s], -1: not on the field
	here [][]bool // here[k][s]: the kid is there
	out  []Violation
}

func (c *checker) add(rule RuleKind, k, s int, format string, args ...any) {
	c.out = append(c.out, Violation{Rule: rule, Kid: k, Series: s, What: fmt.Sprintf(format, args...)})
}

// Check lists every rule of the problem that the plan breaks; nil: none. It shares nothing
// with the solver, so that it can catch the solver.
func Check(p *Problem, plan Plan) []Violation {
	c := &checker{p: p, plan: plan}
	if err := p.Validate(); err != nil {
		c.add(RuleWindow, -1, -1, "%v", err)
		return c.out
	}
	if len(plan) != len(p.Series) {
		c.add(RuleWindow, -1, -1, "%d series planned of %d", len(plan), len(p.Series))
		return c.out
	}
	c.presence()
	if !c.spots() {
		return c.out
	}
	c.groups()
	c.pins()
	for k := range p.Kids {
		c.kid(k)
	}
	return c.out
}

// presence writes down who is there when.
func (c *checker) presence() {
	c.here = make([][]bool, len(c.p.Kids))
	for k, kid := range c.p.Kids {
		c.here[k] = make([]bool, len(c.p.Series))
		for s := range c.here[k] {
			c.here[k][s] = s >= kid.First && s <= kid.Last
		}
		for _, away := range kid.Away {
			for s := max(away.First, 0); s <= away.Last && s < len(c.p.Series); s++ {
				c.here[k][s] = false
			}
		}
	}
}

// spots checks that every spot is filled once by a kid who is there, and fills role.
func (c *checker) spots() bool {
	p := c.p
	c.role = make([][]int, len(p.Kids))
	for k := range c.role {
		c.role[k] = make([]int, len(p.Series))
		for s := range c.role[k] {
			c.role[k][s] = -1
		}
	}
	for s, cells := range c.plan {
		if p.Played != nil && p.Played[s] != nil {
			c.fact(s, cells)
			continue
		}
		left := append([]int(nil), p.Shapes[p.Series[s]].Count...)
		for _, cell := range cells {
			if cell.Kid < 0 || cell.Kid >= len(p.Kids) || cell.Role < 0 || cell.Role >= len(p.Roles) {
				c.add(RuleWindow, -1, s, "series %d has a cell out of range", s+1)
				return false
			}
			k := p.Kids[cell.Kid]
			left[cell.Role]--
			switch {
			case c.role[cell.Kid][s] >= 0:
				c.add(RuleWindow, cell.Kid, s, "kid %s stands in two spots of series %d", k.Label, s+1)
			case !c.here[cell.Kid][s]:
				c.add(RuleWindow, cell.Kid, s, "kid %s plays series %d but is not there", k.Label, s+1)
			case k.Never != nil && k.Never[cell.Role]:
				c.add(RuleNever, cell.Kid, s, "kid %s never plays %s", k.Label, p.Roles[cell.Role])
			}
			c.role[cell.Kid][s] = cell.Role
		}
		for r, n := range left {
			if n != 0 {
				c.add(RuleWindow, -1, s, "series %d: %d spots of %s too few", s+1, n, p.Roles[r])
			}
		}
	}
	return true
}

// fact takes a series that is over as it was played; no rule is checked on it.
func (c *checker) fact(s int, cells []Cell) {
	if !sameCells(c.p.Played[s], cells) {
		c.add(RuleWindow, -1, s, "series %d is over and differs from what was played", s+1)
	}
	for _, cell := range c.p.Played[s] {
		c.role[cell.Kid][s] = cell.Role
	}
}

func (c *checker) over(s int) bool { return c.p.Played != nil && c.p.Played[s] != nil }

func sameCells(a, b []Cell) bool {
	if len(a) != len(b) {
		return false
	}
	left := map[Cell]int{}
	for _, c := range a {
		left[c]++
	}
	for _, c := range b {
		if left[c]--; left[c] < 0 {
			return false
		}
	}
	return true
}

func (c *checker) groups() {
	p := c.p
	for s := range p.Series {
		if c.over(s) {
			continue
		}
		on := func(k int) bool { return c.role[k][s] >= 0 }
		for _, pr := range p.Together {
			if on(pr[0]) != on(pr[1]) {
				c.add(RuleTogether, pr[0], s, "kids %s and %s are not together in series %d", p.Kids[pr[0]].Label, p.Kids[pr[1]].Label, s+1)
			}
		}
		for _, pr := range p.Apart {
			if on(pr[0]) && on(pr[1]) {
				c.add(RuleApart, pr[0], s, "kids %s and %s are both on in series %d", p.Kids[pr[0]].Label, p.Kids[pr[1]].Label, s+1)
			}
		}
		for i, cov := range p.Covers {
			n := 0
			for _, k := range cov.Kids {
				if on(k) {
					n++
				}
			}
			if n < cov.AtLeast {
				c.add(RuleCover, -1, s, "cover %d: %d of %d on in series %d", i+1, n, cov.AtLeast, s+1)
				c.out[len(c.out)-1].Index = i
			}
		}
	}
}

func (c *checker) pins() {
	for _, pin := range c.p.Pins {
		if c.over(pin.Series) {
			continue
		}
		r := c.role[pin.Kid][pin.Series]
		hit := r >= 0 && (pin.Role < 0 || r == pin.Role)
		if hit != pin.Must {
			c.add(RulePin, pin.Kid, pin.Series, "the pin of kid %s in series %d does not hold", c.p.Kids[pin.Kid].Label, pin.Series+1)
		}
	}
}

// kid checks the rules that speak of one kid's whole game. Runs that began in a series that is over go on, but
// only series still to plan can break a rule.
func (c *checker) kid(k int) {
	p, kid := c.p, c.p.Kids[k]
	count, past, on, off, longOn, longOff := 0, 0, 0, 0, 0, 0
	perRole, pastRole := make([]int, len(p.Roles)), make([]int, len(p.Roles))
	for s := range p.Series {
		r := c.role[k][s]
		switch {
		case r >= 0:
			count++
			perRole[r]++
			on, off = on+1, 0
			if c.over(s) {
				past++
				pastRole[r]++
			}
		case c.here[k][s]:
			on, off = 0, off+1
		case s >= kid.First && s <= kid.Last: // away for a while
			on, off = 0, 0
		}
		if !c.over(s) && c.here[k][s] {
			longOn, longOff = max(longOn, on), max(longOff, off)
		}
	}
	if count < kid.Lo || count > max(kid.Hi, past) {
		c.add(RuleShare, k, -1, "kid %s plays %d series, not %d to %d", kid.Label, count, kid.Lo, kid.Hi)
	}
	if count < kid.Least {
		c.add(RuleMinShare, k, -1, "kid %s plays %d series, fewer than the minimum of %d", kid.Label, count, kid.Least)
	}
	if p.MaxOn > 0 && longOn > max(p.MaxOn, kid.MaxOn) {
		c.add(RuleMaxOn, k, -1, "kid %s is on for %d series in a row", kid.Label, longOn)
	}
	if p.MaxOff > 0 && longOff > max(p.MaxOff, kid.MaxOff) {
		c.add(RuleMaxOff, k, -1, "kid %s is off for %d series in a row", kid.Label, longOff)
	}
	roles := 0
	for r, n := range perRole {
		if n > 0 {
			roles++
		}
		if kid.Cap > 0 && n > max(kid.Cap, pastRole[r]) {
			c.add(RuleSameRole, k, -1, "kid %s plays %s %d times", kid.Label, p.Roles[r], n)
		}
	}
	ever := 0
	for r, n := range perRole {
		if n > 0 || kid.Before != nil && kid.Before[r] {
			ever++
		}
	}
	if count > 0 && ever < kid.Different {
		c.add(RuleSeasonRoles, k, -1, "kid %s has played %d roles in the season, fewer than %d", kid.Label, ever, kid.Different)
	}
	if count > 0 && roles < p.MinRoles {
		c.add(RuleMinRoles, k, -1, "kid %s plays %d roles, fewer than %d", kid.Label, roles, p.MinRoles)
	}
}
