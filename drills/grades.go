package drills

import (
	"fmt"
	"strconv"
	"strings"
)

// MaxGrade is the highest school grade that files may name. Kindergarten is 0.
const MaxGrade = 12

// Contains tells whether a school grade (kindergarten 0) is in the range.
func (g Grades) Contains(grade int) bool { return g.Low <= grade && grade <= g.High }

// Overlaps tells whether two ranges share a grade.
func (g Grades) Overlaps(o Grades) bool { return g.Low <= o.High && o.Low <= g.High }

// String writes the range as files do: "3-4", "k-1", "5".
func (g Grades) String() string {
	if g.Low == g.High {
		return gradeString(g.Low)
	}
	return gradeString(g.Low) + "-" + gradeString(g.High)
}

func gradeString(grade int) string {
	if grade == 0 {
		return "k"
	}
	return strconv.Itoa(grade)
}

// ParseGrades reads "3-4", "k-1" or "5"; k is kindergarten. The error says what is allowed.
func ParseGrades(s string) (Grades, error) {
	low, high, isRange := strings.Cut(strings.ReplaceAll(s, "–", "-"), "-")
	l, ok := parseGrade(low)
	h := l
	if ok && isRange {
		h, ok = parseGrade(high)
	}
	if !ok {
		return Grades{}, fmt.Errorf("%s is no grade or range of grades; write one such as \"3-4\", \"k-1\" or \"5\" (k to %d)", quote(s), MaxGrade)
	}
	if h < l {
		return Grades{}, fmt.Errorf("grades %s run backwards; write the lower grade first", quote(s))
	}
	return Grades{l, h}, nil
}

// parseGrade reads one grade: "k" or a number from 0 to MaxGrade.
func parseGrade(s string) (int, bool) {
	s = strings.TrimSpace(s)
	if strings.EqualFold(s, "k") {
		return 0, true
	}
	if len(s) == 0 || len(s) > 2 {
		return 0, false
	}
	n, err := strconv.ParseUint(s, 10, 8)
	if err != nil || n > MaxGrade {
		return 0, false
	}
	return int(n), true
}
