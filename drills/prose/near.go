package prose

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// Near returns the choice most like a mistyped word, or "" if none is like it. Case does not
// count. Among equally near ones the first in the order of choices is returned.
func Near(word string, choices []string) string {
	if near := NearAll(word, choices); len(near) > 0 {
		return near[0]
	}
	return ""
}

// NearAll returns all choices at the least edit distance, if that is small for the word's
// length: 1 up to three letters, 2 up to seven, 3 beyond. Failing that, it returns the choices
// that the word begins ("back" for backpedal).
func NearAll(word string, choices []string) []string {
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

// DidYouMean gives `did you mean A or B?` for a mistyped word, or the fallback.
func DidYouMean(word string, choices []string, fallback string) string {
	near := NearAll(word, choices)
	if len(near) == 0 || len(near) > 3 {
		return fallback
	}
	return "did you mean " + Or(near) + "?"
}
