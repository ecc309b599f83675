// Package manual shows a reference page on a terminal. A page is written in Markdown, and of that in what the pages of this project need: headings,
// paragraphs, lists, tables, fenced blocks, and within a line strong words, code and links. On the screen it is plain text.
package manual

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
)

const (
	fence  = "```"
	indent = "  "
)

// Text lays the page out, as wide as the style's screen (cells, at least screen.MinWidth). Only a word that is longer than a line may stick out of it.
func Text(page string, st screen.Style) string {
	st.Width = max(st.Width, screen.MinWidth)
	var out []string
	lines := strings.Split(strings.TrimRight(page, "\n"), "\n")
	for len(lines) > 0 {
		n, text := block(lines, st)
		lines = lines[n:]
		if text != "" {
			out = append(out, text)
		}
	}
	return strings.Join(out, "\n")
}

// block lays out what the lines begin with. It tells how many lines that took, at least one.
func block(lines []string, st screen.Style) (int, string) {
	first := lines[0]
	switch {
	case strings.TrimSpace(first) == "":
		return 1, ""
	case strings.HasPrefix(first, fence):
		n := 1
		for n < len(lines) && lines[n] != fence {
			n++
		}
		return min(n+1, len(lines)), fenced(lines[1:n], st)
	case isHeading(first):
		return 1, heading(first, st)
	case strings.HasPrefix(first, "|"):
		n := run(lines, func(l string) bool { return strings.HasPrefix(l, "|") })
		return n, table(lines[:n], st)
	case strings.HasPrefix(first, "- "):
		n := run(lines, func(l string) bool { return strings.HasPrefix(l, "- ") || strings.HasPrefix(l, indent) })
		return n, list(lines[:n], st)
	}
	n := run(lines, func(l string) bool {
		return strings.TrimSpace(l) != "" && !strings.HasPrefix(l, fence) && !isHeading(l) && !strings.HasPrefix(l, "|") && !strings.HasPrefix(l, "- ")
	})
	return n, st.Fold(inline(strings.Join(lines[:n], " "), prose), "")
}

// run counts the lines from the first on that are alike; the first one is.
func run(lines []string, alike func(string) bool) int {
	n := 1
	for n < len(lines) && alike(lines[n]) {
		n++
	}
	return n
}

var headings = regexp.MustCompile(`^#+ `)

func isHeading(line string) bool { return headings.MatchString(line) }

// heading underlines the page's title and its chapters; what is below them stands for itself.
func heading(line string, st screen.Style) string {
	marks, words, _ := strings.Cut(line, " ")
	text := st.Fold(inline(words, prose), "")
	width := 0
	for _, l := range strings.Split(text, "\n") {
		width = max(width, texttab.Width(l))
	}
	rule := map[string]string{"#": "═", "##": "─"}[marks]
	if rule == "" {
		return st.Strong(strings.TrimSuffix(text, "\n")) + "\n"
	}
	return st.Strong(strings.TrimSuffix(text, "\n")) + "\n" + strings.Repeat(rule, width) + "\n"
}

func list(lines []string, st screen.Style) string {
	out, item := "", ""
	for _, l := range append(slices.Clone(lines), "- ") {
		if !strings.HasPrefix(l, "- ") {
			item += " " + strings.TrimSpace(l)
			continue
		}
		if item != "" {
			out += st.Fold("- "+inline(item, prose), indent)
		}
		item = strings.TrimPrefix(l, "- ")
	}
	return out
}

// table sets a table side by side where it fits, else its rows one below the other: the first cell, and below it what the others say.
func table(lines []string, st screen.Style) string {
	t := &texttab.Table{}
	for i, l := range lines {
		row := cells(l)
		switch {
		case i == 0:
			t.Head, t.Align = row, make([]texttab.Align, len(row))
		case i > 1:
			t.Rows = append(t.Rows, row)
		}
	}
	if t.TotalWidth() <= st.Width {
		if text, err := t.Render(); err == nil {
			return text
		}
	}
	out := ""
	for _, row := range t.Rows {
		out += st.Fold(row[0], indent)
		for i, c := range row[1:] {
			if c != "" {
				out += below(say(t.Head, i+1)+c, st)
			}
		}
	}
	return out
}

// say names a cell of a third or later column by the column's head: the second says what the first one is, as a sentence does.
func say(head []string, i int) string {
	if i < 2 || i >= len(head) || head[i] == "" {
		return ""
	}
	return head[i] + ": "
}

// below folds words as a block of their own, set in.
func below(words string, st screen.Style) string {
	narrow := st
	narrow.Width -= len(indent + indent)
	out := ""
	for _, l := range strings.Split(strings.TrimSuffix(narrow.Fold(words, ""), "\n"), "\n") {
		out += indent + indent + l + "\n"
	}
	return out
}

// cells takes a row apart. A bar within a cell is written \|.
func cells(line string) []string {
	const bar = "\x00"
	line = strings.ReplaceAll(strings.TrimSpace(line), `\|`, bar)
	var out []string
	for _, c := range strings.Split(strings.Trim(line, "|"), "|") {
		out = append(out, inline(strings.ReplaceAll(strings.TrimSpace(c), bar, "|"), signs))
	}
	return out
}

// fenced shows lines as they stand. One that is too long is broken at a space, or where the screen ends.
func fenced(lines []string, st screen.Style) string {
	out := ""
	for _, l := range lines {
		for texttab.Width(l) > st.Width {
			head := cutAt(l, st.Width)
			out += strings.TrimRight(head, " ") + "\n"
			l = indent + strings.TrimLeft(l[len(head):], " ")
		}
		out += l + "\n"
	}
	return out
}

// cutAt is the beginning of a line that is longer than the width: up to its last space in the second half, or as much as there is room for.
func cutAt(line string, width int) string {
	end, space := 0, 0
	for end < len(line) {
		r, n := utf8.DecodeRuneInString(line[end:])
		if texttab.Width(line[:end+n]) > width {
			break
		}
		end += n
		if r == ' ' && texttab.Width(line[:end]) > width/2 {
			space = end
		}
	}
	if space > 0 && !strings.HasPrefix(line[end:], " ") {
		return line[:space]
	}
	return line[:end]
}

var (
	code   = regexp.MustCompile("`([^`]+)`")
	strong = regexp.MustCompile(`\*\*([^*]+)\*\*`)
	slant  = regexp.MustCompile(`(^|[ (])\*([^* ][^*]*)\*`)
	link   = regexp.MustCompile(`\[([^\]]+)\]\(([^)]+)\)`)
)

// inline takes the marks out of a line: links by their words, with the address where it leads out of the project; code as quote has it.
func inline(text string, quote func(string) string) string {
	var kept []string // code is no place for marks
	text = code.ReplaceAllStringFunc(text, func(m string) string {
		kept = append(kept, quote(strings.Trim(m, "`")))
		return fmt.Sprintf("\x00%d\x00", len(kept)-1)
	})
	text = link.ReplaceAllStringFunc(text, func(m string) string {
		part := link.FindStringSubmatch(m)
		if strings.Contains(part[2], "://") {
			return part[1] + " (" + part[2] + ")"
		}
		return part[1]
	})
	text = slant.ReplaceAllString(strong.ReplaceAllString(text, "$1"), "$1$2")
	for i, k := range kept {
		text = strings.Replace(text, fmt.Sprintf("\x00%d\x00", i), k, 1)
	}
	return text
}

var plainWord = regexp.MustCompile(`^[a-z_]+$`)

// prose sets code in quotation marks that nobody could tell from the words around it: a plain word, or signs alone.
func prose(code string) string {
	if plainWord.MatchString(code) {
		return `"` + code + `"`
	}
	return signs(code)
}

// signs does so in tables, where words stand for themselves.
func signs(code string) string {
	if strings.HasPrefix(code, `"`) || strings.ContainsFunc(code, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
		return code
	}
	return `"` + code + `"`
}
