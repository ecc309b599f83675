package drills

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFormulasAreGuarded(t *testing.T) {
	for text, cell := range map[string]string{
		"=cmd|' /C calc'!A0": "'=cmd|' /C calc'!A0", "+1": "'+1", "-1": "'-1", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'\r=1",
		"＝1": "'＝1", " =1": "' =1", "'=1": "''=1", "''-": "'''-",
		"": "", "Egrets": "Egrets", "'Ohana": "'Ohana", "7": "7", "a=b": "a=b", "'": "'", "O'Neil-Ray": "O'Neil-Ray",
	} {
		require.Equal(t, cell, GuardCell(text), "%q", text)
		require.Equal(t, text, UnguardCell(cell), "%q", cell)
	}
	require.Equal(t, "=typed by hand", UnguardCell("=typed by hand"))
}

// Whatever the text, it comes back, and no cell begins as a formula does; through a CSV file too.
func TestGuardRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	letters := []string{"=", "+", "-", "@", "\t", "\n", " ", "'", `"`, ",", ";", "＝", "＠", "a", "7", "é", "\u202e", "\x00", "\u00a0"}
	var texts [][]string
	for range 20_000 {
		var b strings.Builder
		for range rng.IntN(6) {
			b.WriteString(letters[rng.IntN(len(letters))])
		}
		text := b.String()
		cell := GuardCell(text)
		require.Equal(t, text, UnguardCell(cell), "%q", text)
		require.False(t, cell != "" && strings.ContainsRune("=+-@\t\r\n", rune(cell[0])), "%q", cell)
		texts = append(texts, []string{"x", text})
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for _, row := range texts {
		require.NoError(t, w.Write([]string{row[0], GuardCell(row[1])}))
	}
	w.Flush()
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for i, row := range rows {
		require.Equal(t, texts[i][1], UnguardCell(row[1]))
	}
}

func FuzzGuardCell(f *testing.F) {
	for _, s := range []string{"", "=1", "'=1", "''", "＋", " -", "\t"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if back := UnguardCell(GuardCell(s)); back != s {
			t.Fatalf("%q came back as %q", s, back)
		}
	})
}
