package drills

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// NearMatch returns the choice most like a mistyped word, or "" if none is like it. Case does not
// count. Among equally near ones the first in the order of choices is returned.
func NearMatch(word string, choices []string) string {
	if near := nearMatches(word, choices); len(near) > 0 {
		return near[0]
	}
	return ""
}

// nearMatches returns all choices at the least edit distance, if that is small for the word's
// length: 1 up to three letters, 2 up to seven, 3 beyond. Failing that, it returns the choices
// that the word begins ("back" for backpedal).
func nearMatches(word string, choices []string) []string {
	w := strings.ToLower(strings.TrimSpace(word))
	n := utf8.RuneCountInString(w)
	if n == 0 || n > 60 {
		return nil
	}
	best := 3
	if n <= 7 {
		best = 2
	}
	if n <= 3 {
		best = 1
	}
	var near, begun []string
	for _, c := range choices {
		lower := strings.ToLower(c)
		if n >= 3 && strings.HasPrefix(lower, w) {
			begun = append(begun, c)
		}
		m := utf8.RuneCountInString(lower)
		if m-n > best || n-m > best {
			continue
		}
		d := levenshtein.ComputeDistance(w, lower)
		if d > best || d >= n && d >= m {
			continue
		}
		if d < best {
			best, near = d, nil
		}
		near = append(near, c)
	}
	if near == nil {
		return begun
	}
	return near
}

// didYouMean gives `did you mean A or B?` for a mistyped word, or the fallback.
func didYouMean(word string, choices []string, fallback string) string {
	near := nearMatches(word, choices)
	if len(near) == 0 || len(near) > 3 {
		return fallback
	}
	return "did you mean " + orList(near) + "?"
}

// orList joins words: "a", "a or b", "a, b or c".
func orList(words []string) string { return joinList(words, " or ") }

// andList joins words: "a", "a and b", "a, b and c".
func andList(words []string) string { return joinList(words, " and ") }

func joinList(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + last + words[len(words)-1]
}

// NaturalOrder compares ids in the order of NaturalLess: below 0, 0 or above 0, for sorting.
func NaturalOrder(a, b string) int {
	switch {
	case NaturalLess(a, b):
		return -1
	case NaturalLess(b, a):
		return 1
	}
	return 0
}

// NaturalLess orders ids as people do: runs of digits by their number, the rest letter by letter;
// "9" before "10", "a2" before "a10". Ids that differ only in leading zeros stand in byte order, so
// that the order is total.
func NaturalLess(a, b string) bool {
	x, y := a, b
	for x != "" && y != "" {
		if isDigit(x[0]) && isDigit(y[0]) {
			var m, n string
			m, x = digits(x)
			n, y = digits(y)
			if len(m) != len(n) {
				return len(m) < len(n)
			}
			if m != n {
				return m < n
			}
			continue
		}
		if x[0] != y[0] {
			return x[0] < y[0]
		}
		x, y = x[1:], y[1:]
	}
	if x == "" && y == "" {
		return a < b
	}
	return x == ""
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// digits splits the leading run of digits off, without its leading zeros.
func digits(s string) (run, rest string) {
	i := 0
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	return strings.TrimLeft(s[:i], "0"), s[i:]
}
