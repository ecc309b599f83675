package tty

import (
	"fmt"
	"math"

	"sevenyard/cmd/internal/screen"
)

// Point is a number of T points as screens show it.
func Point(x float64) string { return screen.Figure(x, 1) }

// Fitted is a fit or a score with its standard error, to whole points.
func Fitted(x, se float64) string { return screen.Figure(x, 0) + " ±" + screen.Figure(se, 0) }

// Tenths is the same as a whole number of tenths.
func Tenths(x float64) int64 {
	var whole, tenth int64
	text := Point(x)
	sign := int64(1)
	if text[0] == '-' {
		sign, text = -1, text[1:]
	}
	if _, err := fmt.Sscanf(text, "%d.%d", &whole, &tenth); err != nil {
		return int64(math.Round(10 * x)) // no number, or past all points there are
	}
	return sign * (10*whole + tenth)
}

// Rise is the difference of two values as it can be seen on the screen, so that what is shown adds up: the one, and so much more, is
// the other. A difference that rounding hides is told in words, never as 0.0.
func Rise(from, to float64) string {
	switch d := Tenths(to) - Tenths(from); {
	case d != 0:
		return Point(math.Abs(float64(d)) / 10)
	case from == to:
		return "nothing"
	}
	return "less than 0.1"
}
