package drills

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// NearID returns the id most like a mistyped one, or "" if none is like it: see nearIDs.
func NearID(id string, ids []string) string {
	if near := nearIDs(id, ids); len(near) > 0 {
		return near[0]
	}
	return ""
}

// nearIDs are the ids that a mistyped one may mean. Numbers that differ by a digit are two kids, and neither is a slip of the other: for a
// number only the same number written otherwise is near (07 and 7, 7.0), and of three digits on one with two digits changed about.
func nearIDs(id string, ids []string) []string {
	number, is := wholeID(id)
	if !is {
		return prose.NearAll(id, slices.DeleteFunc(slices.Clone(ids), func(x string) bool {
			_, n := wholeID(x)
			return n && len(x) < 3 // one letter away from anything short
		}))
	}
	var near []string
	for _, x := range ids {
		if n, ok := wholeID(x); ok && (n == number || transposed(n, number)) {
			near = append(near, x)
		}
	}
	return near
}

// wholeID is an id that is a number, without its leading zeros and what a spreadsheet puts behind it.
func wholeID(id string) (string, bool) {
	id = strings.TrimSpace(id)
	if whole, part, ok := strings.Cut(id, "."); ok && whole != "" && strings.Trim(part, "0") == "" {
		id = whole
	}
	if id == "" || strings.Trim(id, "0123456789") != "" {
		return "", false
	}
	return strings.TrimLeft(id, "0"), true
}

// transposed tells whether two numbers of three digits on differ by two neighbours changed about.
func transposed(a, b string) bool {
	if len(a) != len(b) || len(a) < 3 {
		return false
	}
	for i := 0; i+1 < len(a); i++ {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}

// KidsThere lists the ids of a roster for a message, in its order; long ones are cut.
func KidsThere(ids []string) string {
	const most = 30
	if n := len(ids) - most; n > 1 {
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), n)
	}
	return prose.And(ids)
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
