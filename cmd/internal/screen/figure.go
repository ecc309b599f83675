package screen

import (
	"math"
	"strconv"
	"strings"
)

// Figure writes a number with so many digits after the point, as screens and pages show it: halves go away from zero, for a standard error
// as for any other number, and so does what is a half but for the dust of floating point. There is no -0.0.
func Figure(x float64, digits int) string {
	const dust = 1e-9 // of the last digit shown
	scale := math.Pow10(digits)
	if steps := math.Abs(x) * scale; steps < 1<<52 { // beyond that nothing is left to round
		x = math.Copysign(math.Floor(steps+0.5+dust)/scale, x)
	}
	text := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}
