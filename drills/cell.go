package drills

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	longText = 2000 // letters in a text
	longName = 80   // letters in a name
	longID   = 24   // letters in an id
)

// badText says what is wrong with a text for a screen, or "".
func badText(s string, longest int) string {
	if plainASCII(s) && len(s) <= longest {
		return ""
	}
	if !utf8.ValidString(s) {
		return "is not UTF-8 text: " + quote(s)
	}
	bad := ""
	MapHidden(s, func(r rune, _ string) string {
		switch {
		case bad != "":
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
			bad = fmt.Sprintf("has a control character (U+%04X) in %s", r, quote(s))
		default:
			bad = fmt.Sprintf("has an invisible character (U+%04X), as copying from elsewhere leaves them, in %s", r, quote(s))
		}
		return ""
	})
	if bad != "" {
		return bad
	}
	if n := utf8.RuneCountInString(s); n > longest {
		return fmt.Sprintf("is %d letters long, more than %d", n, longest)
	}
	return ""
}

// badID says what is wrong with a kid's id, or "".
func badID(s string) string {
	if bad := badText(s, longID); bad != "" {
		return bad
	}
	for i, r := range s {
		ok := unicode.IsLetter(r) || unicode.IsDigit(r) || i > 0 && (r == '-' || r == '_' || r == '.')
		if !ok {
			return fmt.Sprintf("%s is no id: %s cannot stand there", quote(s), quote(string(r)))
		}
	}
	if isUntested(s) {
		return quote(s) + " means 'not done' and cannot be an id"
	}
	return ""
}

// untestedMarks are the cells that say: this was not done.
var untestedMarks = map[string]bool{
	"dnf": true, "dns": true, "dnp": true, "dnr": true, "nt": true, "n/a": true, "na": true, "x": true,
	"-": true, "--": true, "–": true, "—": true, "abs": true, "absent": true,
}

func isUntested(cell string) bool {
	return len(cell) <= len("absent") && untestedMarks[strings.ToLower(cell)]
}

// parseNumber reads digits with at most one decimal point or comma and an optional sign. Nothing
// else is a number: no exponents, no thousands separators, no units, no Inf or NaN.
func parseNumber(s string) (float64, bool) {
	if len(s) == 0 || len(s) > 30 {
		return 0, false
	}
	body, seen, digitsSeen := s, -1, false
	if body[0] == '-' || body[0] == '+' {
		body = body[1:]
	}
	for i := 0; i < len(body); i++ {
		switch c := body[i]; {
		case isDigit(c):
			digitsSeen = true
		case (c == '.' || c == ',') && seen < 0:
			seen = i
		default:
			return 0, false
		}
	}
	if !digitsSeen {
		return 0, false
	}
	if seen >= 0 && body[seen] == ',' {
		s = strings.Replace(s, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil && !math.IsInf(x, 0)
}

// parseClock reads a time written as minutes and seconds, such as 7:05, and gives the seconds.
func parseClock(s string) (float64, bool) {
	minutes, seconds, ok := strings.Cut(s, ":")
	if !ok {
		minutes, seconds, ok = strings.Cut(s, "'")
		seconds = strings.TrimRight(seconds, "'\"")
	}
	if !ok {
		return 0, false
	}
	m, ok1 := parseNumber(strings.TrimSpace(minutes))
	sec, ok2 := parseNumber(strings.TrimSpace(seconds))
	return 60*m + sec, ok1 && ok2 && m >= 0 && sec >= 0
}

// parseWhole reads a whole number from 0 up, of at most six digits; "10.0" from a spreadsheet counts.
func parseWhole(s string) (int, bool) {
	x, ok := parseNumber(s)
	if !ok || x < 0 || x > 999_999 || x != math.Trunc(x) {
		return 0, false
	}
	return int(x), true
}
