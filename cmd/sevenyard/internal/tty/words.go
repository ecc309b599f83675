package tty

import (
	"fmt"
	"strings"

	"sevenyard/drills/prose"
)

// PointsMean says what T points are.
const PointsMean = "50 is the middle of your team, 10 points are one standard deviation."

// The marks of numbers that are not from drills, explained.
const (
	OwnWords      = "*: your own number, from fits.csv."
	UntestedWords = "?: not tested. The middle of the team stands in, with the widest error; it is not a zero."
)

// Mark is the mark of a number: the coach's own, or none of its drills was done.
func Mark(own, tested bool) string {
	switch {
	case own:
		return "*"
	case !tested:
		return "?"
	}
	return ""
}

// HurtShare explains the share of a kid who was hurt: nobody could know.
const HurtShare = "The share of a kid who was hurt is what it had played by then: nothing is due for the rest of that game."

// WarningsAt says where to read warnings that are about the folder as such.
func WarningsAt(n int, src Source) string {
	return fmt.Sprintf("note: %s about the files and the scores: sevenyard check %s", prose.Count(n, "warning"), src.Name)
}

// Signed is a balance for a table: +0.4 is owed, -0.4 was had; 0 has no sign.
func Signed(x float64) string {
	text := fmt.Sprintf("%+.1f", x)
	if strings.Trim(text, "+-0.") == "" {
		return "0"
	}
	return text
}
