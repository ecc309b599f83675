package sheet

import (
	"fmt"
	"strings"

	"sevenyard/cmd/internal/report"
)

// heatWords are what the heat asks for in this game: breaks, and how long a kid may be on the field. Whose word that is stands in the plan.
func heatWords(l *report.Lineup) []string {
	h := l.Heat
	if h == nil {
		return nil
	}
	text := fmt.Sprintf("WBGT %s °F (%s °C).", strings.TrimSuffix(fixed(h.WBGTF, 2), "0"), fixed(h.WBGTC, 1))
	if len(l.Breaks) > 0 {
		text += fmt.Sprintf(" Water where it says so, %d minutes or more each, in the shade.", h.BreakMinutes)
	}
	if h.MaxOn > 0 && h.MaxOnKept {
		text += fmt.Sprintf(" At most %d in a row on the field.", min(h.MaxOn, max(1, l.Rules.MaxOn)))
	}
	out := []string{text + " Read again every hour. " + h.Caution}
	for _, off := range h.Off {
		out = append(out, strings.ToUpper(off[:1])+off[1:]+".")
	}
	if h.MaxOn > 0 && !h.MaxOnKept {
		out = append(out, fmt.Sprintf("Somebody is on the field for more than %d series in a row: make the series shorter, bring more kids, or cancel.", h.MaxOn))
	}
	return out
}
