package drills

import (
	"io"
	"slices"
	"strings"
)

var fitsColumns = []string{"kid", "role", "fit", "se"}

// ReadFits reads fits.csv: a kid's fit in a role and its standard error, in T points (0 to 100 and
// 0 to 50). Rows stand in roster order, then in the catalogue's order of roles. The error is of type
// Problems.
func ReadFits(r io.Reader, cat Catalogue, kids []Kid) ([]OwnFit, Problems, error) {
	data, probs := readAll(r, "fits.csv", maxFile)
	warn := &collector{file: probs.file}
	var fits []OwnFit
	if data != nil {
		fits = readFits(data, &cat, rosterOf(kids), probs, warn)
	}
	return fits, warn.finish(), probs.finish().err()
}

func rosterOf(kids []Kid) *roster {
	ros := &roster{file: "roster.csv", kids: kids, index: map[string]int{}, spoilt: map[string]bool{}}
	for i := range kids {
		ros.index[kids[i].ID] = i
		ros.ids = append(ros.ids, kids[i].ID)
	}
	return ros
}

func readFits(data []byte, cat *Catalogue, ros *roster, probs, warn *collector) []OwnFit {
	t := openTable(data, probs, warn)
	if t == nil || !t.name(fitsColumns, fitsColumns) {
		return nil
	}
	type place struct{ kid, role int }
	type row struct {
		place
		fit OwnFit
	}
	var rows []row
	lines := map[place]int{}
	known := cat.roleNames()
	unknown := newUnknowns(probs)
	for t.next() {
		if len(rows) > maxTrials {
			probs.add(t.line, "is this the right file?", "more than %d rows", maxTrials)
			break
		}
		if !t.fits() {
			continue
		}
		f := OwnFit{Kid: strings.Clone(t.cell("kid")), Role: cat.RoleMeant(t.cell("role")), At: Place{probs.file, t.line}}
		kid, isKid := ros.meant(f.Kid)
		if kid >= 0 {
			f.Kid = ros.kids[kid].ID
		}
		if !isKid {
			unknown.add("kid", f.Kid, t.line)
		}
		role := slices.Index(known, f.Role)
		if role < 0 && !cat.isSpoilt("role", f.Role) {
			unknown.add("role", f.Role, t.line)
		}
		good := readPoints(t, "fit", 100, &f.Fit)
		good = readPoints(t, "se", 50, &f.SE) && good
		if !good || kid < 0 || role < 0 {
			continue
		}
		at := place{kid, role}
		if line, twice := lines[at]; twice {
			probs.add(t.line, "take one of the rows out", "kid %s as %s is already on line %d", f.Kid, f.Role, line)
			continue
		}
		lines[at] = t.line
		rows = append(rows, row{at, f})
	}
	unknown.report(ros, known)
	slices.SortFunc(rows, func(a, b row) int {
		if a.kid != b.kid {
			return a.kid - b.kid
		}
		return a.role - b.role
	})
	fits := make([]OwnFit, len(rows))
	for i := range rows {
		fits[i] = rows[i].fit
	}
	return fits
}

// readPoints reads a number of T points from 0 to most.
func readPoints(t *table, column string, most float64, to *float64) bool {
	cell := t.cell(column)
	x, ok := parseNumber(cell)
	switch {
	case cell == "":
		t.probs.add(t.line, "write T points from 0 to "+number(most), "%s is empty", column)
	case !ok:
		t.probs.add(t.line, "write T points from 0 to "+number(most), "%s is %s, not a number", column, quote(cell))
	case x < 0 || x > most:
		t.probs.add(t.line, "write T points from 0 to "+number(most), "%s is %s", column, cell)
	default:
		*to = x
		return true
	}
	return false
}
