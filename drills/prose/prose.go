// Package prose has the small pieces of sentences that every message is made of: lists, numbers with their word, ranges, and what a mistyped word may have
// been meant to be.
package prose

import (
	"fmt"
	"strconv"
	"strings"
)

// And joins words: "a", "a and b", "a, b and c".
func And(words []string) string { return join(words, " and ") }

// Or joins words: "a", "a or b", "a, b or c".
func Or(words []string) string { return join(words, " or ") }

func join(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + last + words[len(words)-1]
}

// Count puts a number before a word: "1 kid", "3 kids"; the plural of series is series.
func Count(n int, word string) string {
	if n != 1 && word != "series" {
		word += "s"
	}
	return fmt.Sprintf("%d %s", n, word)
}

// Are says one series or several: "3 is", "3-5 are".
func Are(a, b int) string {
	if a == b {
		return fmt.Sprintf("%d is", a)
	}
	return fmt.Sprintf("%d-%d are", a, b)
}

// Some joins the first few of many words: "a, b, c and 4 more".
func Some(words []string, most int) string {
	if len(words) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
	}
	return strings.Join(words, ", ")
}

// Ranges writes rising numbers down, those in a row as 2-4.
func Ranges(ns []int) string {
	var out []string
	for i := 0; i < len(ns); {
		j := i
		for j+1 < len(ns) && ns[j+1] == ns[j]+1 {
			j++
		}
		part := strconv.Itoa(ns[i])
		if j > i {
			part += "-" + strconv.Itoa(ns[j])
		}
		out = append(out, part)
		i = j + 1
	}
	return strings.Join(out, ", ")
}
