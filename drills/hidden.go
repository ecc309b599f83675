package drills

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden tells whether a character is one that nobody sees: a control character, a mark of direction, a space without width, a filler,
// a tag. Such a character can steer a terminal, turn the order of what is read, or make two names that look alike differ. The joiners U+200C
// and U+200D and the selector U+FE0F count too, though in their place they are part of how a word is written; see MapHidden.
func Hidden(r rune) bool {
	if r < 0x7f {
		return r < ' '
	}
	switch {
	case unicode.IsControl(r), r == 0x2028, r == 0x2029, r >= 0xfe00 && r <= 0xfe0f, r >= 0xe0000 && r <= 0xe0fff:
		return true
	case unicode.Is(unicode.Cf, r):
		return !unicode.Is(unicode.Prepended_Concatenation_Mark, r) // signs around numbers, which show
	}
	return unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || unicode.Is(unicode.Variation_Selector, r)
}

// MapHidden gives the text with what f makes of each hidden character, and of each byte that is no UTF-8, in its place. Three
// stay, each only where spelling needs it: U+200C and U+200D between two letters of one script that joins its letters, as in Persian,
// Hindi or Sinhala; U+200D between two pictures; and U+FE0F after a sign. In ids none of them stands.
func MapHidden(text string, f func(r rune, bytes string) string) string {
	if plainASCII(text) {
		return text
	}
	var b strings.Builder
	before := rune(0)
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		bytes := text[i : i+size]
		i += size
		next, wide := utf8.DecodeRuneInString(text[i:])
		if next == utf8.RuneError && wide < 2 {
			next = 0
		}
		if r == utf8.RuneError && size == 1 || Hidden(r) && !needed(before, r, next) {
			b.WriteString(f(r, bytes))
			r = 0 // what stands there now is spelling for nothing
		} else {
			b.WriteString(bytes)
		}
		before = r
	}
	return b.String()
}

func plainASCII(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] >= 0x7f {
			return false
		}
	}
	return true
}

// needed tells whether a hidden character is spelling where it stands.
func needed(before, r, next rune) bool {
	switch r {
	case 0xfe0f:
		return before != 0 && !unicode.IsLetter(before) && !unicode.IsMark(before) && !unicode.IsSpace(before) && !Hidden(before)
	case 0x200d:
		if picture(before) && picture(next) && next != 0xfe0f {
			return true
		}
	case 0x200c:
	default:
		return false
	}
	for _, script := range joining {
		if unicode.Is(script, before) && unicode.Is(script, next) {
			return unicode.In(before, unicode.L, unicode.M) && unicode.In(next, unicode.L, unicode.M) && !Hidden(before) && !Hidden(next)
		}
	}
	return false
}

// picture: signs, their colours of skin, and the selector that makes a sign a picture.
func picture(r rune) bool { return unicode.In(r, unicode.So, unicode.Sk) && r > 0x7f || r == 0xfe0f }

// joining are the scripts whose letters change with their neighbours, or join into one.
var joining = []*unicode.RangeTable{
	unicode.Adlam, unicode.Arabic, unicode.Balinese, unicode.Bengali, unicode.Devanagari, unicode.Gujarati, unicode.Gurmukhi, unicode.Hanifi_Rohingya,
	unicode.Javanese, unicode.Kannada, unicode.Khmer, unicode.Malayalam, unicode.Mandaic, unicode.Mongolian, unicode.Myanmar, unicode.Nko, unicode.Oriya,
	unicode.Phags_Pa, unicode.Sinhala, unicode.Syriac, unicode.Tamil, unicode.Telugu, unicode.Tibetan,
}
