package screen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/cmd/internal/texttab"
)

func TestFold(t *testing.T) {
	st := Style{Width: 12}
	require.Equal(t, "one two\n  three four\n  five\n", st.Fold("one two three four five", "  "))
	require.Equal(t, "\n", st.Fold("", "  "))
	require.Equal(t, "averyverylongword\n  x\n", st.Fold("averyverylongword x", "  "))
}

// TestFoldKeepsWords: folding moves no word, and lines fit unless one word alone does not.
func TestFoldKeepsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zé±]{1,9}`)).Draw(t, "words")
		st := Style{Width: rapid.IntRange(12, 40).Draw(t, "width")}
		got := st.Fold(strings.Join(words, " "), "  ")
		if strings.Join(strings.Fields(got), " ") != strings.Join(words, " ") {
			t.Fatalf("%q", got)
		}
		for _, l := range strings.Split(got, "\n") {
			if texttab.Width(l) > st.Width {
				t.Fatalf("%q is wider than %d", l, st.Width)
			}
		}
	})
}

func TestFlow(t *testing.T) {
	require.Equal(t, "F front   C corner\nD deep\n", Style{Width: 18}.Flow([]string{"F front", "C corner", "D deep"}))
}

func TestColor(t *testing.T) {
	require.Equal(t, "F", Style{}.Paint(0, "F"))
	on := Style{Color: true}
	require.Equal(t, 1, texttab.Width(on.Paint(0, "F")))
	require.NotEqual(t, on.Paint(0, "F"), on.Paint(1, "F"))
	require.Equal(t, on.Paint(0, "F"), on.Paint(len(palette), "F"))
	require.NotPanics(t, func() { on.Paint(-1, "F") })
	require.Empty(t, on.Paint(0, ""))
}

func TestClipAndClean(t *testing.T) {
	require.Equal(t, "Maximili…", Clip("Maximilian-Friedrich", 9))
	require.Equal(t, "Łucja", Clip("Łucja", 5))
	require.Equal(t, "[31mAnn", Clean("\x1b[31mAn\nn\u200b"))
	require.Equal(t, " 7", Pad("7", 2, true))
	require.Equal(t, "7 ", Pad("7", 2, false))
}
