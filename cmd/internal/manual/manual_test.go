package manual

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
	"sevenyard/optimize/draft"
)

func TestText(t *testing.T) {
	const page = "# The **page**\n\nWords of a paragraph that go on in the\nnext line with `code`, `a b`, `;` and [a link](x.md#y)\nor [one](https://example.org) *out*.\n" +
		"- first\n- second, which goes on\n  below `x`\n\n## A chapter\n\n| key | what | left out |\n| --- | --- | --- |\n| `a`, `;` | what a \\| b is | none |\n" +
		"| `b` | it is so long that it does not fit beside the key | |\n\n```console\n$ run  it **as** `is`\na line that is longer than forty columns wide\n```\n\n" +
		"| a | b |\n| --- | --- |\n| 1 | 2 |\n"
	require.Equal(t, `The page
════════

Words of a paragraph that go on in the
next line with "code", a b, ";" and a
link or one (https://example.org) out.

- first
- second, which goes on below "x"

A chapter
─────────

a, ";"
    what a | b is
    left out: none
b
    it is so long that it does not fit
    beside the key

$ run  it **as** `+"`is`"+`
a line that is longer than forty columns
  wide

a  b
────
1  2
`, Text(page, screen.Style{Width: 40}))
}

// heads are words over first and second columns, which go where a table is set row by row.
var heads = []string{"key", "column", "what", "its", "keys", "q", "it", "counts"}

var word = regexp.MustCompile(`[\p{L}\p{N}]+`)

// Every page fits every screen, has no marks left, and loses no word.
func TestPagesFit(t *testing.T) {
	for name, page := range map[string]string{"drills": drills.Reference(), "draft": draft.Reference()} {
		words := word.FindAllString(link.ReplaceAllString(strings.ReplaceAll(page, "```console", ""), "$1"), -1)
		for width := screen.MinWidth; width <= 100; width++ {
			got := Text(page, screen.Style{Width: width})
			for _, l := range strings.Split(got, "\n") {
				require.LessOrEqual(t, texttab.Width(l), width, "%s: %q", name, l)
				require.NotRegexp(t, "`|\\*\\*|^#|^\\||\\]\\(", l, name)
			}
			had := map[string]bool{}
			for _, w := range word.FindAllString(got, -1) {
				had[w] = true
			}
			for _, w := range words {
				require.True(t, had[w] || slices.Contains(heads, w), "%s: %q is lost at %d", name, w, width)
			}
		}
	}
}

func FuzzText(f *testing.F) {
	f.Add("# a\n- b\n  c\n| d |\n| - |\n| e | f |\n```\n"+strings.Repeat("x ", 50)+"\n", 40)
	f.Add("```\n\xff"+strings.Repeat("\xfe", 90), 44)
	f.Add("`a` \x000\x00 **b** [c](d)", 0)
	f.Fuzz(func(t *testing.T, page string, width int) {
		width = max(screen.MinWidth, width%120)
		longest := 0
		for _, w := range strings.Fields(page) {
			longest = max(longest, texttab.Width(w))
		}
		for _, l := range strings.Split(Text(page, screen.Style{Width: width}), "\n") {
			require.LessOrEqual(t, texttab.Width(l), max(width, longest+10), "%q", l)
		}
	})
}
