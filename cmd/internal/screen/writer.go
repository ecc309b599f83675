package screen

import (
	"fmt"
	"io"
	"strings"
	"sync/atomic"
	"unicode/utf8"

	"sevenyard/drills"
)

// Writer is the way to a stream for people: whatever came from paths, flags or files on the way into a text cannot steer the terminal.
// Control and format characters, and bytes that are no UTF-8, are written out as in a Go string, such as \x1b or \u202e; line ends
// stay, and so do the codes of Style where colours are allowed. Each Write has to be of whole characters.
type Writer struct {
	out    io.Writer
	colors atomic.Bool
	failed atomic.Pointer[error] // the first one
}

// NewWriter writes to out.
func NewWriter(out io.Writer) *Writer { return &Writer{out: out} }

// AllowColors lets the codes of Style pass, and no others.
func (w *Writer) AllowColors() { w.colors.Store(true) }

// Err is the first error of the stream.
func (w *Writer) Err() error {
	if err := w.failed.Load(); err != nil {
		return *err
	}
	return nil
}

// Write writes text.
func (w *Writer) Write(text []byte) (int, error) {
	return len(text), w.put(w.visible(string(text)))
}

// Raw writes a document as it is, in which what came from files stands escaped already.
func (w *Writer) Raw(document []byte) error { return w.put(string(document)) }

func (w *Writer) put(text string) error {
	_, err := io.WriteString(w.out, text)
	if err != nil {
		w.failed.CompareAndSwap(nil, &err)
	}
	return err
}

// visible writes out what cannot be seen.
func (w *Writer) visible(text string) string {
	if !w.colors.Load() {
		return Visible(text)
	}
	var b strings.Builder
	for text != "" {
		at := strings.IndexByte(text, '\x1b')
		if at < 0 {
			break
		}
		b.WriteString(Visible(text[:at]))
		text = text[at:]
		code := own(text)
		if code == "" {
			code = text[:1]
			b.WriteString(Visible(code))
		} else {
			b.WriteString(code)
		}
		text = text[len(code):]
	}
	return b.String() + Visible(text)
}

// Visible writes out what cannot be seen in a text, line ends apart.
func Visible(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = drills.MapHidden(line, escape)
	}
	return strings.Join(lines, "\n")
}

func escape(r rune, bytes string) string {
	switch {
	case r == '\t':
		return " "
	case r == utf8.RuneError:
		return fmt.Sprintf(`\x%02x`, bytes[0])
	case r < 0x80:
		return fmt.Sprintf(`\x%02x`, r)
	case r <= 0xffff:
		return fmt.Sprintf(`\u%04x`, r)
	}
	return fmt.Sprintf(`\U%08x`, r)
}

// own is the code of Style that the text begins with, "" if none.
func own(text string) string {
	for _, code := range append([]string{reset, strong, faint}, palette[:]...) {
		if s := "\x1b[" + code + "m"; strings.HasPrefix(text, s) {
			return s
		}
	}
	return ""
}
