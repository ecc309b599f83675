package screen

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func TestWriterShowsWhatCannotBeSeen(t *testing.T) {
	for text, want := range map[string]string{
		"a\x1b[31mb\n":               "a\\x1b[31mb\n",
		"bell\a \x7f \u009b":         `bell\x07 \x7f \u009b`,
		"\u202eback\u2066\U000e0041": `\u202eback\u2066\U000e0041`,
		"\xffx\xed\xa0\x80":          `\xffx\xed\xa0\x80`,
		"a\tb\r\n":                   "a b\\x0d\n",
		"Zoë 李 👩\u200d⚕️ می\u200cخواهم\n": "Zoë 李 👩\u200d⚕️ می\u200cخواهم\n",
		"A\u200bnn": `A\u200bnn`,
	} {
		var b bytes.Buffer
		n, err := NewWriter(&b).Write([]byte(text))
		require.NoError(t, err)
		require.Equal(t, len(text), n)
		require.Equal(t, want, b.String())
	}
}

// With colours allowed the codes of Style pass, and those only.
func TestWriterColors(t *testing.T) {
	st := Style{Color: true}
	text := st.Paint(0, "F") + st.Strong("x") + st.Faint("y") + "\x1b[5m\x1b[38;5;32mz"
	var plain, colored bytes.Buffer
	w := NewWriter(&colored)
	w.AllowColors()
	_, _ = w.Write([]byte(text))
	require.Equal(t, st.Paint(0, "F")+st.Strong("x")+st.Faint("y")+`\x1b[5m`+"\x1b[38;5;32mz", colored.String())
	_, _ = NewWriter(&plain).Write([]byte(text))
	require.NotContains(t, plain.String(), "\x1b")
}

type broken struct{ left int }

func (b *broken) Write(p []byte) (int, error) {
	if b.left--; b.left < 0 {
		return 0, errFull
	}
	return len(p), nil
}

var errFull = errors.New("full")

// The first error stays, whoever ignored it.
func TestWriterRemembersTheError(t *testing.T) {
	w := NewWriter(&broken{left: 1})
	_, err := w.Write([]byte("a"))
	require.NoError(t, err)
	require.NoError(t, w.Err())
	_, err = w.Write([]byte("b"))
	require.ErrorIs(t, err, errFull)
	require.ErrorIs(t, w.Raw([]byte("c")), errFull)
	require.ErrorIs(t, w.Err(), errFull)
}

func FuzzVisible(f *testing.F) {
	for _, s := range []string{"", "a\x1b[31m", "\xff", "\u202e\n", "👩\u200d⚕️", "\u200d"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := Visible(s)
		if !utf8.ValidString(got) || strings.ContainsFunc(got, func(r rune) bool { return r != '\n' && unicode.IsControl(r) }) || strings.Count(got, "\n") != strings.Count(s, "\n") {
			t.Fatalf("%q became %q", s, got)
		}
	})
}
