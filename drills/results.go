package drills

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"sevenyard/drills/prose"
)

// Results is results.csv as read. Trials and Untested stand in roster order, then in the catalogue's
// order of drills, then by trial number, whatever the order of the rows.
type Results struct {
	Trials   []Trial
	Untested []Untested
	Warnings Problems
}

// ReadResults reads results.csv, in long form (one row a trial) or as a wide sheet (one row a kid,
// one column a drill and trial). Division gives the plausible ranges for kids without a grade. The
// error is of type Problems; with one, the results are those that could be read.
func ReadResults(r io.Reader, cat Catalogue, kids []Kid, division Grades) (*Results, error) {
	data, probs := readAll(r, "results.csv", maxFile)
	warn := &collector{file: probs.file}
	res := &Results{}
	if data != nil {
		res = readResults(data, &cat, rosterOf(kids), division, probs, warn)
	}
	res.Warnings = warn.finish()
	return res, probs.finish().err()
}

// record is one trial or one mark that says there was none.
type record struct {
	kid, drill int // places in the roster and the catalogue
	number     int
	line       int
	value      float64
	attempts   int
	timer      string
	date       string
	mark       string
	untested   bool
}

// results is a reader at work.
type results struct {
	*table
	cat      *Catalogue
	ros      *roster
	division Grades
	warn     *collector
	unknown  *unknowns
	names    []string // of drills
	index    map[string]int
	records  []record
	ranges   map[[2]int]Range  // by drill and grade
	texts    map[string]string // timers and dates that are fit to show, kept once
}

var (
	longColumns    = []string{"kid", "drill", "trial", "value", "attempts", "timer", "date", "name", "notes"}
	wideColumns    = []string{"kid", "name", "timer", "date", "notes"}
	resultsColumns = "kid,drill,trial,value,attempts,timer,date"
)

func readResults(data []byte, cat *Catalogue, ros *roster, division Grades, probs, warn *collector) *Results {
	r := &results{table: openTable(data, probs, warn), cat: cat, ros: ros, division: division, warn: warn,
		unknown: newUnknowns(probs), names: cat.drillNames(), index: map[string]int{}, ranges: map[[2]int]Range{},
		texts: map[string]string{}}
	if r.table == nil {
		if len(probs.list) == 0 {
			probs.add(0, "write the header line "+resultsColumns+" and a row for each trial", "results.csv is empty")
		}
		return &Results{}
	}
	for i, n := range r.names {
		r.index[n] = i
	}
	r.records = make([]record, 0, min(len(data)/16, 50_000))
	rows := 0
	if r.isWide() {
		rows = r.readWide()
	} else {
		rows = r.readLong()
	}
	if rows == 0 && len(probs.list) == 0 {
		warn.add(0, "", "results.csv has no results yet: every kid counts as untested")
	}
	r.unknown.report(ros, r.names)
	return r.sorted()
}

// isWide tells the two forms apart by the header: the long form names its columns drill and value.
func (r *results) isWide() bool {
	long, wide := 0, 0
	for _, h := range r.header {
		switch name := columnName(h); {
		case name == "drill" || name == "value" || name == "trial" || name == "attempts":
			long++
		case slices.Contains(wideColumns, name):
		default:
			if c, ok := r.parseColumn(h); c.drill >= 0 || r.cat.isSpoilt("drill", c.word) {
				wide++
			} else if ok && len(prose.DidYouMean(c.word, r.names, "")) > 0 && prose.Near(h, longColumns) == "" {
				wide++
			}
		}
	}
	return wide > 0 && long == 0
}

func (r *results) readLong() int {
	if !r.name(longColumns, []string{"kid", "drill", "value"}) {
		return 1
	}
	return r.each(r.longRow)
}

// each reads the rows below the header and returns how many there are.
func (r *results) each(read func()) (rows int) {
	for r.next() {
		if rows++; rows > maxTrials {
			r.probs.add(r.line, "is this the right file?", "more than %d rows; the rest was not read", maxTrials)
			break
		}
		if r.fits() {
			read()
		}
	}
	return rows
}

func (r *results) longRow() {
	rec := record{line: r.line, number: 1}
	ok := r.person(&rec)
	drill := r.cell("drill")
	rec.drill = r.findDrill(drill)
	if rec.drill < 0 && !r.cat.isSpoilt("drill", drill) {
		r.unknown.add("drill", drill, r.line)
	}
	if c := r.cell("trial"); c != "" {
		n, fine := parseWhole(c)
		if !fine || n < 1 || n > mostTrials {
			r.probs.add(r.line, "write 1, 2, ...", "trial is %s", quote(c))
			ok = false
		}
		rec.number = n
	}
	if rec.drill < 0 {
		return
	}
	if r.measure(&rec, r.cell("value"), r.cell("attempts"), 0) && ok {
		r.keep(rec)
	}
}

const mostTrials = 99

// person reads who ran, who held the watch and when.
func (r *results) person(rec *record) bool {
	id := r.cell("kid")
	i, known := r.ros.meant(id)
	rec.kid = i
	if !known {
		r.unknown.add("kid", id, r.line)
	}
	ok := i >= 0
	if name := r.cell("name"); ok && !sameName(name, r.ros.kids[i].Name) {
		r.warn.add(r.line, "see that the row has the right kid", "kid %s is %s here and %s in %s", id, quote(name), quote(r.ros.kids[i].Name), r.ros.file)
	}
	ok = r.text("timer", &rec.timer) && ok
	return r.text("date", &rec.date) && ok
}

// sameName tells whether two names may be one kid's: neither says more than that one begins the other, as
// Ann does Ann B. An empty name says nothing.
func sameName(a, b string) bool {
	x, y := strings.Fields(strings.ToLower(a)), strings.Fields(strings.ToLower(b))
	n := min(len(x), len(y))
	return slices.Equal(x[:n], y[:n])
}

// text reads a short text; equal ones are kept once.
func (r *results) text(column string, to *string) bool {
	cell := r.cell(column)
	if cell == "" {
		return true
	}
	if kept, seen := r.texts[cell]; seen {
		*to = kept
		return true
	}
	if bad := badText(cell, longName); bad != "" {
		r.probs.add(r.line, "mend the cell", "%s %s", column, bad)
		return false
	}
	kept := strings.Clone(cell)
	r.texts[kept] = kept
	*to = kept
	return true
}

// findDrill gives a drill's place in the catalogue, -1 if there is none of the name. Case, and
// spaces or underscores for hyphens, do not count.
func (r *results) findDrill(name string) int {
	if i, ok := r.index[name]; ok {
		return i
	}
	if i, ok := r.index[drillName(name)]; ok {
		return i
	}
	return -1
}

func drillName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return c == ' ' || c == '_' || c == '-' }), "-")
}

func (r *results) keep(rec record) {
	if len(r.records) > maxTrials {
		return
	}
	r.records = append(r.records, rec)
}

// place sorts the records by kid, drill and trial (in one number, for speed), then by place in the file.
type place struct {
	trial uint64
	at    int
}

// sorted puts the records in order, reports what stands twice, and splits them.
func (r *results) sorted() *Results {
	order := make([]place, len(r.records))
	for i := range r.records {
		rec := &r.records[i]
		order[i] = place{uint64(rec.kid)<<40 | uint64(rec.drill)<<16 | uint64(rec.number), i}
	}
	slices.SortFunc(order, func(a, b place) int {
		if a.trial != b.trial {
			return cmp.Compare(a.trial, b.trial)
		}
		return a.at - b.at
	})
	res := &Results{Trials: make([]Trial, 0, len(r.records))}
	first := 0
	for i, p := range order {
		rec := &r.records[p.at]
		if i > 0 && order[first].trial == p.trial {
			r.double(&r.records[order[first].at], rec)
			continue
		}
		first = i
		kid, drill, at := r.ros.kids[rec.kid].ID, r.names[rec.drill], Place{r.probs.file, rec.line}
		if rec.untested {
			res.Untested = append(res.Untested, Untested{Kid: kid, Drill: drill, Number: rec.number, Mark: rec.mark, At: at})
			continue
		}
		res.Trials = append(res.Trials, Trial{Kid: kid, Drill: drill, Number: rec.number, Value: rec.value,
			Attempts: rec.attempts, Timer: rec.timer, Date: rec.date, At: at})
	}
	return res
}

// double reports that a record repeats the kid, drill and trial of an earlier one.
func (r *results) double(first, rec *record) {
	do := "take one of them out, or give it another trial number"
	_, long := r.columns["drill"]
	if _, numbered := r.columns["trial"]; long && !numbered {
		do = "take one of them out, or add a column trial with 1, 2, ..."
	}
	where := "on line " + strconv.Itoa(first.line)
	if first.line == rec.line {
		where = "on the same line"
	}
	if !long && first.line != rec.line { // a sheet: one problem for the whole row, as the same ones are told once
		r.probs.add(rec.line, "take one of the rows out, or number the trials 1, 2, ...",
			"kid %s has a row on line %d already, with trials that this row has too", r.ros.kids[rec.kid].ID, first.line)
		return
	}
	r.probs.add(rec.line, do, "kid %s, %s, trial %d is already %s", r.ros.kids[rec.kid].ID, r.names[rec.drill], rec.number, where)
}
