package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// pool is all kids with all their trials, ready to be scored drill by drill. Kids stand in the order
// of their ids, whatever the order of the files.
type pool struct {
	folder   *drills.Folder
	ids      []string
	index    map[string]int // of ids
	trials   [][]trial      // by drill, sorted by kid and value
	warnings []string
}

// trial is a usable measurement of kid (an index of pool.ids).
type trial struct {
	kid int
	*drills.Trial
}

// largest magnitude of a value; a second of a drill never comes near it.
const largest = 1e9

func newPool(f *drills.Folder) *pool {
	p := &pool{folder: f, index: make(map[string]int, len(f.Roster))}
	for _, k := range f.Roster {
		p.ids = append(p.ids, k.ID)
	}
	slices.Sort(p.ids)
	p.ids = slices.Compact(p.ids)
	for i, id := range p.ids {
		p.index[id] = i
	}
	list := f.Team.Catalogue.Drills
	byName := make(map[string]int, len(list))
	for i := range list {
		byName[list[i].Name] = i
	}
	p.trials = make([][]trial, len(list))
	for i := range f.Trials {
		t := &f.Trials[i]
		kid, known := p.index[t.Kid]
		d, held := byName[t.Drill]
		reason := ""
		switch {
		case !known:
			reason = "the kid is not in the roster"
		case !held:
			reason = "there is no such drill"
		default:
			reason = unusable(&list[d], t)
		}
		if reason != "" {
			p.warnings = append(p.warnings, fmt.Sprintf("%s: kid %s, %s: left out, %s", place(t.At), t.Kid, t.Drill, reason))
			continue
		}
		p.trials[d] = append(p.trials[d], trial{kid, t})
	}
	for _, ts := range p.trials {
		slices.SortStableFunc(ts, func(a, b trial) int {
			return cmp.Or(cmp.Compare(a.kid, b.kid), cmp.Compare(a.Value, b.Value), cmp.Compare(a.Attempts, b.Attempts),
				cmp.Compare(a.Number, b.Number), strings.Compare(a.Timer, b.Timer))
		})
	}
	return p
}

// unusable says why a trial cannot be scored, "" if it can.
func unusable(d *drills.Drill, t *drills.Trial) string {
	switch {
	case math.IsNaN(t.Value) || math.Abs(t.Value) > largest:
		return "its value is no number that can be scored"
	case d.Kind == drills.Counted && t.Attempts <= 0:
		return "it has no attempts"
	case d.Kind == drills.Counted && (t.Value < 0 || t.Value > float64(t.Attempts)):
		return fmt.Sprintf("%g of %d attempts cannot be", t.Value, t.Attempts)
	}
	return ""
}

func place(at drills.Place) string {
	if at.Line <= 0 {
		return at.File
	}
	return fmt.Sprintf("%s:%d", at.File, at.Line)
}

// measured is one drill's part of the profile; scores and results are by kid, in the pool's order.
type measured struct {
	report   Report
	scores   []Score
	results  []Result
	warnings []string
}

// warn adds a warning that starts with the drill's name.
func (m *measured) warn(format string, args ...any) {
	m.warnings = append(m.warnings, m.report.Drill+": "+fmt.Sprintf(format, args...))
}

// measure scores one drill.
func (p *pool) measure(d int) *measured {
	drill, ts := &p.folder.Team.Catalogue.Drills[d], p.trials[d]
	m := &measured{
		report:  Report{Drill: drill.Name, Unit: drill.Unit, Trials: len(ts)},
		scores:  make([]Score, len(p.ids)),
		results: make([]Result, len(p.ids)),
	}
	for k := range p.ids {
		m.scores[k] = Score{Name: drill.Name, T: mid, SE: spread}
	}
	for i, t := range ts {
		m.scores[t.kid].Tested = true
		if i == 0 || ts[i-1].kid != t.kid {
			m.report.Kids++
		}
	}
	if len(ts) == 0 {
		p.guess(m, drill, nil)
		return m
	}
	if drill.Kind == drills.Counted {
		p.count(m, drill, ts)
	} else {
		p.time(m, drill, ts)
		p.timers(m, ts)
	}
	m.warnings = append(m.warnings, odd(drill, ts)...)
	p.warnUntested(m)
	return m
}

// warnUntested names the kids without a trial.
func (p *pool) warnUntested(m *measured) {
	var missing []string
	for k, s := range m.scores {
		if !s.Tested {
			missing = append(missing, p.ids[k])
		}
	}
	sort.Slice(missing, func(i, j int) bool { return drills.NaturalLess(missing[i], missing[j]) })
	if len(missing) > 0 {
		m.warn("not tested: %s %s; scored 50 with a standard error of about 10, not as a zero", plural(len(missing), "kid", "kids"), prose.Some(missing, 12))
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// guess fills the results when the trials tell nothing of how far kids or trials lie apart (none, or
// all the same): the plausible range, taken as three SDs each way, is all there is to go by.
func (p *pool) guess(m *measured, d *drills.Drill, center *float64) {
	low, high := plausible(d, p.folder.Team.Division)
	r := Result{Estimate: (low + high) / 2, SE: (high - low) / 6}
	if center != nil {
		r.Estimate = *center
	}
	r.Low, r.High = math.Min(r.Estimate, math.Max(low, r.Estimate-1.96*r.SE)), math.Max(r.Estimate, math.Min(high, r.Estimate+1.96*r.SE))
	for k := range m.results {
		r.Trials = m.results[k].Trials
		m.results[k] = r
	}
}

// plausible is the range of one trial in a division, or of any grade if the division has none; 0 to 1
// for the share of a counted drill.
func plausible(d *drills.Drill, division drills.Grades) (low, high float64) {
	if d.Kind == drills.Counted {
		return 0, 1
	}
	if r := d.RangeFor(division); finite(r.Min) && finite(r.Max) {
		return r.Min, r.Max
	}
	return 0, 0 // a drill made without ranges
}
