package drills

import (
	"math"
	"regexp"
	"strings"
)

// measure reads a cell of results into rec. attempts is the long form's cell, usual the attempts that
// a wide column's header gives, 0 for none. It reports what is wrong and returns false then, and also
// for an empty cell of a wide sheet, which says nothing.
func (r *results) measure(rec *record, cell, attempts string, usual int) bool {
	d := &r.cat.Drills[rec.drill]
	if isUntested(cell) || cell == "" {
		rec.untested, rec.mark = true, strings.Clone(cell)
		if rec.kid >= 0 {
			what := "empty"
			if cell != "" {
				what = quote(cell)
			}
			r.warn.add(rec.line, "", "kid %s, %s, trial %d is %s: counted as not done", r.ros.kids[rec.kid].ID, d.Name, rec.number, what)
		}
		return true
	}
	if d.Kind == Counted {
		return r.count(rec, d, cell, attempts, usual)
	}
	if attempts != "" && !isUntested(attempts) {
		r.probs.add(rec.line, "empty the cell; attempts are for counted drills", "%s has attempts %s, and %s is %s", r.who(rec), quote(attempts), d.Name, d.Kind)
		return false
	}
	x, ok := parseNumber(cell)
	if !ok {
		r.notNumber(rec, d, cell)
		return false
	}
	rec.value = x
	span := r.span(rec)
	if x >= span.Min && x <= span.Max {
		return true
	}
	do := "look at the sheet again"
	if d.Kind == Timed {
		for _, shift := range []float64{0.1, 10, 0.01, 100} {
			if y := math.Round(x*shift*1e6) / 1e6; y >= span.Min && y <= span.Max {
				do += "; a slipped decimal point would make it " + number(y)
				break
			}
		}
	}
	unit := ""
	if d.Unit != "" {
		unit = " " + d.Unit
	}
	r.probs.add(rec.line, do, "%s: %s%s is outside %s to %s%s, which is possible%s", r.who(rec), cell, unit, number(span.Min), number(span.Max), unit, r.whose(rec))
	return false
}

// who names a trial in a message.
func (r *results) who(rec *record) string {
	kid := quote(r.cell("kid"))
	if rec.kid >= 0 {
		kid = r.ros.kids[rec.kid].ID
	}
	return "kid " + kid + ", " + r.names[rec.drill] + ", trial " + number(float64(rec.number))
}

func (r *results) whose(rec *record) string {
	if rec.kid >= 0 && r.ros.kids[rec.kid].Grade >= 0 {
		return " in grade " + gradeString(r.ros.kids[rec.kid].Grade)
	}
	return " in grades " + r.division.String()
}

// span is the plausible range for the kid's grade, or the division's if the kid has none.
func (r *results) span(rec *record) Range {
	grades, grade := r.division, -1
	if rec.kid >= 0 && r.ros.kids[rec.kid].Grade >= 0 {
		grade = r.ros.kids[rec.kid].Grade
		grades = Grades{grade, grade}
	}
	key := [2]int{rec.drill, grade}
	span, ok := r.ranges[key]
	if !ok {
		span = r.cat.Drills[rec.drill].RangeFor(grades)
		r.ranges[key] = span
	}
	return span
}

func (r *results) notNumber(rec *record, d *Drill, cell string) {
	do := "write a number, or DNF if it was not done"
	if seconds, ok := parseClock(cell); ok && d.Kind == Timed {
		span, where := r.span(rec), "within"
		if seconds < span.Min || seconds > span.Max {
			where = "outside"
		}
		r.probs.add(rec.line, "write the time in seconds", "%s: %s reads as minutes and seconds, which is %s s, %s the possible %s to %s s",
			r.who(rec), quote(cell), number(seconds), where, number(span.Min), number(span.Max))
		return
	}
	if d.Kind == Timed {
		do = "write seconds, the number alone, or DNF if it was not done"
	}
	r.probs.add(rec.line, do, "%s: %s is not a number", r.who(rec), quote(cell))
}

// spreadsheetDate matches what a spreadsheet makes of 7/10.
var spreadsheetDate = regexp.MustCompile(`^(\d{1,2}[-. ]+\pL{3,}\.?|\pL{3,}\.?[- ]\d{1,2}|\d{4}-\d\d-\d\d|\d{1,2}[./]\d{1,2}[./]\d{2,4})$`)

// count reads successes and attempts: "7" beside attempts 10, or "7/10".
func (r *results) count(rec *record, d *Drill, cell, attempts string, usual int) bool {
	got, of, slash := strings.Cut(cell, "/")
	got, of = strings.TrimSpace(got), strings.TrimSpace(of)
	successes, ok := parseWhole(got)
	if !ok {
		do := "write a whole number from 0, such as 7, or 7/10"
		if spreadsheetDate.MatchString(cell) {
			do = "a spreadsheet may have made a date of 7/10: write 7, and the attempts in the header (pull 1/10) or in attempts"
		}
		r.probs.add(rec.line, do, "%s: %s is no count", r.who(rec), quote(cell))
		return false
	}
	n := usual
	if slash {
		if n, ok = parseWhole(of); !ok {
			r.probs.add(rec.line, "write it as 7/10", "%s: attempts in %s are no count", r.who(rec), quote(cell))
			return false
		}
	}
	if attempts != "" {
		m, fine := parseWhole(attempts)
		if !fine {
			r.probs.add(rec.line, "write how many attempts there were, such as 10", "%s: attempts is %s", r.who(rec), quote(attempts))
			return false
		}
		if slash && m != n {
			r.probs.add(rec.line, "write the attempts once", "%s: %s attempts in the value, %s beside it", r.who(rec), of, attempts)
			return false
		}
		n = m
	}
	if n == 0 && !slash && attempts == "" {
		r.probs.add(rec.line, "write it as 7/10, or fill attempts", "%s: %s without attempts", r.who(rec), quote(cell))
		return false
	}
	span := r.span(rec)
	switch {
	case float64(n) < span.Min || float64(n) > span.Max:
		r.probs.add(rec.line, "look at the sheet again", "%s: %d attempts are outside %s to %s", r.who(rec), n, number(span.Min), number(span.Max))
	case successes > n:
		r.probs.add(rec.line, "look at the sheet again", "%s: %d of %d attempts succeeded", r.who(rec), successes, n)
	default:
		rec.value, rec.attempts = float64(successes), n
		return true
	}
	return false
}
