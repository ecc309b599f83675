package drills

import (
	"fmt"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// Every control and format character, wherever it stands in a Latin name, is refused with its number; an id takes none anywhere.
func TestInvisibleCharactersAreRefused(t *testing.T) {
	n := 0
	for r := rune(0); r <= unicode.MaxRune; r++ {
		format := unicode.Is(unicode.Cf, r) && !unicode.Is(unicode.Prepended_Concatenation_Mark, r)
		if r == ' ' || !(unicode.IsControl(r) || format || r == 0x2028 || r == 0x2029 || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r)) {
			continue
		}
		n++
		for _, text := range []string{"A" + string(r) + "nn", string(r) + "Ann", "Ann" + string(r)} {
			require.Contains(t, CheckText(text), fmt.Sprintf("character (U+%04X)", r))
			require.NotEmpty(t, CheckID(text), "%U", r)
		}
		require.NotEmpty(t, CheckID("7"+string(r)), "%U", r)
	}
	require.Greater(t, n, 200)
}

func TestWhatSpellingNeedsStays(t *testing.T) {
	for _, text := range []string{
		"می\u200cخواهم", "क्\u200dष", "ශ්\u200dරී", // joiners within Persian, Hindi and Sinhala
		"👩\u200d⚕️ cleared her", "👨\u200d👩\u200d👧", "👩🏽\u200d🦱", "❤️", "1️⃣", // pictures
		"José", "Zoë", "Nguyễn", "李", "O’Neil", "؀١٢",
	} {
		require.Empty(t, CheckText(text), "%q", text)
		require.Equal(t, text, MapHidden(text, func(rune, string) string { return "?" }), "%q", text)
	}
	for _, text := range []string{"A\u200dnn", "Ann\u200c", "\u200d👩", "می\u200c ", "می\u200cA", "e️", "👩\u200dA", "می\u200c\u200cخ"} {
		require.Contains(t, CheckText(text), "an invisible character (U+", "%q", text)
	}
}

func FuzzMapHidden(f *testing.F) {
	for _, s := range []string{"", "Ann", "a\x1b[31mb", "\xff", "می\u200cخواهم", "👩\u200d⚕️", "\u202e", "\u200d\u200d", "\xff\ufe0f", "👩\u200d\xff", "ក\u200d\u17b4"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := MapHidden(s, func(rune, string) string { return "x" })
		if !utf8.ValidString(got) || strings.ContainsFunc(got, unicode.IsControl) || strings.ContainsAny(got, "\u202e\u2066\u200b\u200e\ufeff") {
			t.Fatalf("%q became %q", s, got)
		}
		if again := MapHidden(got, func(rune, string) string { return "x" }); again != got {
			t.Fatalf("%q became %q, and that %q", s, got, again)
		}
	})
}
