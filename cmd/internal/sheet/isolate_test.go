package sheet

import (
	"html/template"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestIsolated(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "",
		"2 Ana & 3 Bo":               "2 Ana &amp; 3 Bo",
		"2 \u05d0\u05d1 and 3 Bo":    "2 <bdi>\u05d0\u05d1</bdi> and 3 Bo",
		"7 \u05d3 \u05db. 9":         "7 <bdi>\u05d3 \u05db</bdi>. 9",
		"\u0639\u0645\u0631":         "<bdi>\u0639\u0645\u0631</bdi>",
		"<\u05d0>, 4 \u05d1, 5":      "&lt;<bdi>\u05d0</bdi>&gt;, 4 <bdi>\u05d1</bdi>, 5",
		"1 \u05d0 2 \u05d1 3":        "1 <bdi>\u05d0</bdi> 2 <bdi>\u05d1</bdi> 3",
		"\u05d0\u05b8\u05d1\u05b8 x": "<bdi>\u05d0\u05b8\u05d1\u05b8</bdi> x",
	} {
		require.Equal(t, want, string(isolated(text)))
	}
}

// FuzzIsolated: nothing is lost, and nothing but our own marks is markup.
func FuzzIsolated(f *testing.F) {
	for _, s := range []string{"2 \u05d0 3", "<b>", "\u0639&", "\xff\u05d0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := string(isolated(text))
		plain := strings.NewReplacer("<bdi>", "", "</bdi>", "").Replace(got)
		require.NotContains(t, plain, "<")
		require.Equal(t, strings.Count(got, "<bdi>"), strings.Count(got, "</bdi>"))
		require.Equal(t, htmlEscaped(text), plain)
	})
}

func htmlEscaped(text string) string { return template.HTMLEscapeString(text) }
