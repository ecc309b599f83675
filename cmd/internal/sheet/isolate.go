package sheet

import (
	"html/template"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/bidi"
)

// isolated is a sentence with every stretch that is written from right to left set apart, so that the numbers and names around a name keep their
// order.
func isolated(text string) template.HTML {
	var b strings.Builder
	for text != "" {
		from, to := rightToLeft(text)
		b.WriteString(template.HTMLEscapeString(text[:from]))
		if from < to {
			b.WriteString("<bdi>" + template.HTMLEscapeString(text[from:to]) + "</bdi>")
		}
		text = text[to:]
	}
	return template.HTML(b.String()) //nolint:gosec // all of it is escaped
}

// rightToLeft is the first stretch of letters that are written from right to left, with what stands between them; both are the length of a text
// that has none.
func rightToLeft(text string) (from, to int) {
	from, to = len(text), len(text)
	for i, r := range text {
		p, _ := bidi.LookupRune(r)
		switch c := p.Class(); {
		case c == bidi.R || c == bidi.AL:
			if from == len(text) {
				from = i
			}
			to = i + utf8.RuneLen(r)
		case from < len(text) && unicode.Is(unicode.Mn, r):
			to = i + utf8.RuneLen(r)
		case from < len(text) && !unicode.IsSpace(r) && !strings.ContainsRune("-'.\u05f3\u05f4", r):
			return from, to
		}
	}
	return from, to
}
