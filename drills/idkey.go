package drills

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// IDKey is what all ways of writing one id have in common: 12, 012, 12.0, #12 and full-width digits are the same kid, and so are H1
// and h1. A spreadsheet makes 12 of 012, and a hand writes either; two kids of one team must differ in more than that, or a hold that is
// written beside one of the two says nothing of the other.
func IDKey(id string) string {
	key := strings.Map(plainDigit, norm.NFKC.String(strings.TrimSpace(id)))
	key = strings.ToLower(strings.ToUpper(strings.TrimPrefix(key, "#")))
	if whole, rest, dot := strings.Cut(key, "."); dot && whole != "" && strings.Trim(rest, "0") == "" {
		key = whole // 12.0
	}
	if short := strings.TrimLeft(key, "0"); short != "" || key == "" {
		return short
	}
	return "0"
}

// plainDigit gives a digit of any script as 0 to 9; in Unicode they stand in rows of ten.
func plainDigit(r rune) rune {
	if r < 0x80 || !unicode.IsDigit(r) {
		return r
	}
	n := rune(0)
	for unicode.IsDigit(r - n - 1) {
		n++
	}
	return '0' + n%10
}
