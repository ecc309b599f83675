package texttab

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestRender(t *testing.T) {
	tab := &Table{
		Head:  []string{"kid", "dash_20yd (s)", "", "ICC(A,1)"},
		Align: []Align{Left, Right, Center, Left},
		Rows: [][]string{
			{" 2 Максим", "58 ±3", "\x1b[38;5;32mF\x1b[0m", "3 of 4"},
			{"12 Juniper", "8 ±10", ".", ""},
		},
	}
	got, err := tab.Render()
	require.NoError(t, err)
	require.Equal(t, strings.Join([]string{
		"kid         dash_20yd (s)     ICC(A,1)",
		"──────────────────────────────────────",
		" 2 Максим           58 ±3  \x1b[38;5;32mF\x1b[0m  3 of 4",
		"12 Juniper          8 ±10  .",
		"",
	}, "\n"), got)
	require.Equal(t, 10+2+13+2+1+2+8, tab.TotalWidth())
}

func TestNothingToRender(t *testing.T) {
	got, err := (&Table{Align: []Align{Left}}).Render()
	require.NoError(t, err)
	require.Empty(t, got)
}

func TestRaggedRowIsRefused(t *testing.T) {
	for _, tab := range []*Table{
		{Align: []Align{Left, Left}, Rows: [][]string{{"a"}}},
		{Align: []Align{Left}, Head: []string{"a", "b"}},
		{Align: []Align{Left}, Rows: [][]string{{"a", "b"}}},
	} {
		_, err := tab.Render()
		require.ErrorIs(t, err, ErrRagged)
		_, err = tab.Blocks(80, 1)
		require.ErrorIs(t, err, ErrRagged)
	}
}

func TestRenderKeepsTheCallersRows(t *testing.T) {
	row := []string{"a", "b"}
	tab := &Table{Align: []Align{Left, Left}, Rows: [][]string{row}}
	_, err := tab.Render()
	require.NoError(t, err)
	require.Equal(t, []string{"a", "b"}, row)
}

// TestBlocks: whatever the table, no line is wider than the screen unless one column alone is, every column
// shows once, and the kept ones in every block.
func TestBlocks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "columns")
		keep := rapid.IntRange(0, 1).Draw(t, "keep")
		width := rapid.IntRange(20, 90).Draw(t, "width")
		tab := &Table{}
		row := []string{}
		for i := range n {
			tab.Align = append(tab.Align, Align(i%3))
			tab.Head = append(tab.Head, "h"+string(rune('a'+i)))
			row = append(row, strings.Repeat(string(rune('A'+i)), rapid.IntRange(1, 8).Draw(t, "cell")))
		}
		tab.Rows = [][]string{row}
		got, err := tab.Blocks(width, keep)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(got, "\n") {
			if Width(l) > width {
				t.Fatalf("%d cells of %d: %q", Width(l), width, l)
			}
		}
		blocks := strings.Count(strings.TrimRight(got, "\n"), "\n\n") + 1
		for i := range n {
			want := 1
			if i < keep {
				want = blocks
			}
			if c := strings.Count(got, row[i]); len(row[i]) > 1 && c != want {
				t.Fatalf("column %d shows %d times, want %d\n%s", i, c, want, got)
			}
		}
	})
}
