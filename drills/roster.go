package drills

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// ReadRoster reads roster.csv; the catalogue gives the roles that the column never may name. Kids
// stand in natural order of their ids (9 before 10), whatever the order of the rows. The error is of
// type Problems; with one, the kids are those that could be read.
func ReadRoster(r io.Reader, cat Catalogue) ([]Kid, Problems, error) {
	data, probs := readAll(r, "roster.csv", maxFile)
	warn := &collector{file: probs.file}
	ros := &roster{}
	if data != nil {
		ros = readRoster(data, &cat, probs, warn)
	}
	return ros.kids, warn.finish(), probs.finish().err()
}

// roster is roster.csv with what the readers of the other files need.
type roster struct {
	file   string // its name, for messages
	kids   []Kid
	index  map[string]int  // id to place in kids
	keys   map[string]int  // the same by IDKey; nil: not asked for yet
	spoilt map[string]bool // ids of rows with problems: not unknown, but not usable
	ids    []string
}

var rosterColumns = []string{"kid", "name", "grade", "hold", "never", "notes"}

func readRoster(data []byte, cat *Catalogue, probs, warn *collector) *roster {
	ros := rosterOf(nil)
	ros.file = probs.file
	ros.kids = kidRows(data, rosterColumns, "7,Ben,3,,,", probs, warn, ros.spoilt, warnNoHold, func(t *table) (Kid, bool) { return readKid(t, cat, warn) }, func(k Kid) string { return k.ID })
	for i := range ros.kids {
		ros.index[ros.kids[i].ID] = i
		ros.ids = append(ros.ids, ros.kids[i].ID)
	}
	return ros
}

// warnNoHold says of a roster that has no column for medical holds that it knows of none: nobody must think that a hold was heeded.
func warnNoHold(t *table, warn *collector) {
	if _, there := t.columns["hold"]; !there {
		warn.add(t.line, "add a column hold, and write a word there for a kid who must not play", "there is no column hold: nobody counts as on medical hold")
	}
}

// kidRows reads a table with a row for each kid, in the order of the ids. Rows that cannot be read are told as problems, and their kids noted as spoilt.
func kidRows[K any](data []byte, columns []string, example string, probs, warn *collector, spoilt map[string]bool, head func(*table, *collector), read func(*table) (K, bool), id func(K) string) []K {
	t := openTable(data, probs, warn)
	if t == nil {
		if len(probs.list) == 0 {
			probs.add(0, "write the header line "+strings.Join(columns, ",")+" and a row for each kid", "%s is empty", probs.file)
		}
		return nil
	}
	if !t.name(columns, []string{"kid"}) {
		return nil
	}
	head(t, warn)
	var kids []K
	type written struct {
		id   string
		line int
	}
	seen := map[string]written{} // by IDKey
	rows := 0
	for t.next() {
		if rows++; rows > maxKids {
			probs.add(t.line, "is this the right file?", "more than %d kids; the rest was not read", maxKids)
			break
		}
		kid, ok := read(t)
		key := IDKey(id(kid))
		if was, twice := seen[key]; twice && id(kid) != "" {
			if was.id == id(kid) {
				probs.add(t.line, "give every kid an id of its own", "kid %s is already on line %d", quote(id(kid)), was.line)
			} else {
				probs.add(t.line, "if it is the same kid, keep one row; else give one of them another id, such as "+quote(id(kid)+"b"),
					"kid %s could be kid %s of line %d: the two are written differently and mean the same", quote(id(kid)), quote(was.id), was.line)
				spoilt[id(kid)] = true
			}
			continue
		}
		seen[key] = written{id(kid), t.line}
		if !ok {
			spoilt[id(kid)] = true
			continue
		}
		kids = append(kids, kid)
	}
	if rows == 0 && len(probs.list) == 0 {
		probs.add(0, "add a row for each kid, such as "+example, "%s has no kids yet", probs.file)
	}
	slices.SortFunc(kids, func(a, b K) int { return NaturalOrder(id(a), id(b)) })
	return kids
}

// readKid reads one row; ok is false if it has a problem. The id is given wherever it can be.
func readKid(t *table, cat *Catalogue, warn *collector) (k Kid, ok bool) {
	k = Kid{ID: strings.Clone(t.cell("kid")), Grade: -1, Line: t.line}
	if !t.fits() {
		return k, false
	}
	ok = true
	fail := func(do, format string, args ...any) {
		t.probs.add(t.line, do, format, args...)
		ok = false
	}
	if k.ID == "" {
		fail("write the jersey number or any short id", "the row has no kid")
	} else if bad := badID(k.ID); bad != "" {
		fail("use letters and digits, such as the jersey number", "kid: %s", bad)
	}
	who := "kid " + quote(k.ID)
	texts := []struct {
		column string
		to     *string
		most   int
	}{{"name", &k.Name, longName}, {"hold", &k.Hold, longText}, {"notes", &k.Notes, longText}}
	for _, x := range texts {
		*x.to = strings.Clone(t.cell(x.column))
		if bad := badText(*x.to, x.most); bad != "" {
			fail("mend the cell", "%s: %s %s", who, x.column, bad)
		}
	}
	if g := t.cell("grade"); g != "" {
		var fine bool
		if k.Grade, fine = parseGrade(g); !fine {
			k.Grade = -1
			fail(fmt.Sprintf("write k, or a number from 1 to %d, or leave it empty", MaxGrade), "%s: grade is %s", who, quote(g))
		}
	}
	switch strings.ToLower(k.Hold) {
	case "no", "n", "none", "0", "false", "-", "ok", "x", "n/a":
		warn.add(t.line, "if there is no medical hold, empty the cell", "%s: hold says %s, and anything written there holds the kid out", who, quote(k.Hold))
	}
	for _, role := range strings.FieldsFunc(t.cell("never"), func(r rune) bool { return strings.ContainsRune(";,/| \t", r) }) {
		known := cat.roleNames()
		name := cat.RoleMeant(role)
		if cat.isSpoilt("role", name) {
			continue
		}
		if !slices.Contains(known, name) {
			fail(prose.DidYouMean(name, known, "known roles are "+prose.And(known)), "%s: never names an unknown role %s", who, quote(role))
		} else if !slices.Contains(k.Never, name) {
			k.Never = append(k.Never, name)
		}
	}
	slices.Sort(k.Never)
	return k, ok
}

// find gives the kid's place in the roster. known is false for an id that is nowhere in the file.
func (r *roster) find(id string) (i int, known bool) {
	if i, ok := r.index[id]; ok {
		return i, true
	}
	return -1, r.spoilt[id]
}

// meant is find for the rows of a sheet, where an id may be written otherwise than in the roster: a spreadsheet makes 1 of 001. No two
// kids of a roster have ids that mean the same, so that nothing is guessed.
func (r *roster) meant(id string) (i int, known bool) {
	if i, known := r.find(id); known || id == "" {
		return i, known
	}
	key := IDKey(id)
	for other := range r.spoilt {
		if IDKey(other) == key {
			return -1, true
		}
	}
	if r.keys == nil {
		r.keys = map[string]int{}
		for i := range r.kids {
			r.keys[IDKey(r.kids[i].ID)] = i
		}
	}
	if i, known := r.keys[key]; known {
		return i, true
	}
	return -1, false
}

// advice suggests whom an unknown id may mean.
func (r *roster) advice(id string) string {
	var same []string
	for i := range r.kids {
		k := &r.kids[i]
		if k.Name != "" && strings.EqualFold(k.Name, id) || IDKey(k.ID) == IDKey(id) {
			same = append(same, k.ID)
		}
	}
	if len(same) > 0 && len(same) <= 3 {
		return "did you mean " + prose.Or(same) + "?"
	}
	if near := nearIDs(id, r.ids); len(near) > 0 && len(near) <= 3 {
		return "did you mean " + prose.Or(near) + "?"
	}
	add := "add the kid to " + r.file + " or mend the id"
	if _, number := wholeID(id); number && len(r.ids) > 0 {
		return add + "; there are " + KidsThere(r.ids)
	}
	return add
}
