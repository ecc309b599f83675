// Package screen knows how a terminal looks: its width, its colours, and how long lines fold.
package screen

import (
	"strings"

	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
)

// Limits of the width of a screen, in cells.
const (
	DefaultWidth = 80
	MinWidth     = 40
	MaxWidth     = 400
)

// Style is how to write for one reader.
type Style struct {
	Width int  // cells
	Color bool // terminal colours allowed
}

// The palette keeps clear of pairs that red-green blindness joins: blue, orange, teal, rose, ochre, grey,
// all of middle lightness, so that they read on light and on dark. A letter always goes with the colour.
var palette = [...]string{"38;5;32", "38;5;172", "38;5;36", "38;5;169", "38;5;136", "38;5;245"}

// Paint gives the text the i-th colour of the palette; the colours repeat.
func (s Style) Paint(i int, text string) string {
	return s.sgr(palette[((i%len(palette))+len(palette))%len(palette)], text)
}

// The codes beside the palette's.
const (
	reset  = "0"
	strong = "1"
	faint  = "38;5;245"
)

// Strong makes the text bold.
func (s Style) Strong(text string) string { return s.sgr(strong, text) }

// Faint makes the text grey.
func (s Style) Faint(text string) string { return s.sgr(faint, text) }

func (s Style) sgr(code, text string) string {
	if !s.Color || text == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[" + reset + "m"
}

// Fold breaks a text into lines of at most the screen's width, at spaces; lines after the first
// start with hang. A word longer than a line is left whole.
func (s Style) Fold(text, hang string) string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case texttab.Width(line)+1+texttab.Width(word) <= s.Width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = hang + word
		}
	}
	return strings.Join(append(lines, line), "\n") + "\n"
}

// Flow sets parts side by side with three spaces between them, on as many lines as it takes.
func (s Style) Flow(parts []string) string {
	const gap = "   "
	out, line := "", ""
	for _, p := range parts {
		if line != "" && texttab.Width(line+gap+p) > s.Width {
			out, line = out+line+"\n", ""
		}
		if line != "" {
			line += gap
		}
		line += p
	}
	return out + line + "\n"
}

// Clip shortens a text to n cells, with an ellipsis where something is left out.
func Clip(text string, n int) string {
	if texttab.Width(text) <= n {
		return text
	}
	out := ""
	for _, r := range text {
		if texttab.Width(out+string(r)) > n-1 {
			break
		}
		out += string(r)
	}
	return out + "…"
}

// Clean drops control and format characters, so that no text from a file can steer the terminal; see drills.MapHidden for what
// spelling needs.
func Clean(text string) string {
	return drills.MapHidden(text, func(rune, string) string { return "" })
}

// Pad fills a text with spaces to n cells, on the right or, for numbers, on the left.
func Pad(text string, n int, left bool) string {
	fill := strings.Repeat(" ", max(0, n-texttab.Width(text)))
	if left {
		return fill + text
	}
	return text + fill
}
